"""Published and computed values of load, monotony, strain and change of load against `load`.

"Computed" values were worked out apart from this code, from the definitions cited beside them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import product
from math import isclose, sqrt
from statistics import correlation, fmean, pstdev, stdev

import pytest

from seasonplan.body.load import (
    ACUTE_DAYS,
    CHRONIC_DAYS,
    LoadFigures,
    ewma,
    ewma_ratio,
    monotony,
    rolling_coupled,
    span_figures,
    strain,
)
from seasonplan.days import ONE_DAY, Span, calendar_weeks

NEAR = pytest.approx
MONDAY = date(2031, 1, 6)
RPE = (4, 0, 6, 5, 0, 7, 3)
MINUTES = (60, 0, 75, 90, 0, 120, 45)
WEEK = (240.0, 0.0, 450.0, 450.0, 0.0, 840.0, 135.0)


def close(value: float) -> object:
    """Equal as far as the outside value was printed: six decimals."""
    return NEAR(value, abs=0.51e-6, rel=0)


def from_monday(loads: Sequence[float]) -> dict[date, float]:
    return {MONDAY + timedelta(days=n): load for n, load in enumerate(loads)}


def figures(daily: dict[date, float], spans: Sequence[Span]) -> list[LoadFigures]:
    return [span_figures(daily, span) for span in spans]


def weeks(count: int) -> list[Span]:
    return calendar_weeks(Span(MONDAY, MONDAY + timedelta(days=7 * count)), 0)


# --- session and week -------------------------------------------------------------------------
# Foster 1998, Med Sci Sports Exerc 30(7):1164-1168 (abstract read): monotony is the daily mean over
# the SD, strain is load x monotony. RPE x minutes: second hand, a summary of Foster. No worked week
# of his was found and the SD is not named there; the week here is invented, its figures computed.


def test_the_invented_week_gives_the_computed_figures() -> None:
    # computed from Foster's definitions with the sample SD
    assert (sum(WEEK), fmean(WEEK), stdev(WEEK)) == (2115, close(302.142857), close(302.046591))
    assert monotony(WEEK) == close(1.000319)
    assert strain(WEEK) == close(2115.674081)


def test_the_population_sd_would_give_more_by_the_root_of_seven_sixths() -> None:
    # computed: population SD 279.640805 -> monotony 1.080468, strain 2285.189187; the two SDs of n
    # days differ by sqrt(n / (n - 1)), for a week sqrt(7/6) = 1.080123
    assert sqrt(7 / 6) == close(1.080123)
    assert pstdev(WEEK) == close(279.640805)
    sample_monotony, sample_strain = monotony(WEEK), strain(WEEK)
    assert sample_monotony is not None and sample_strain is not None
    assert sample_monotony * sqrt(7 / 6) == close(1.080468)
    assert sample_strain * sqrt(7 / 6) == close(2285.189187)


@pytest.mark.parametrize(
    "daily",
    # by definition: an SD of 0 leaves monotony undefined; 0.1 + 0.2 differs from 0.3 by rounding
    [[100.0] * 7, [0.0] * 7, [0.1 + 0.2, *[0.3] * 6], [100.0], []],
)
def test_equal_days_leave_monotony_and_strain_undefined(daily: list[float]) -> None:
    assert monotony(daily) is None
    assert strain(daily) is None


def test_days_that_differ_a_little_still_have_a_monotony() -> None:
    # computed: one of seven days a above the rest has sample SD a / sqrt(7)
    assert monotony([100.001, *[100.0] * 6]) == NEAR((100 + 0.001 / 7) * sqrt(7) / 0.001, rel=1e-6)


def test_monotony_does_not_depend_on_the_unit_of_load_and_strain_does_once() -> None:
    # by definition: a ratio of loads, and that ratio times a load
    tenfold = [10 * load for load in WEEK]
    assert monotony(tenfold) == NEAR(monotony(WEEK))
    assert strain(tenfold) == NEAR(10 * (strain(WEEK) or 0))


# --- change of load ---------------------------------------------------------------------------
# Williams et al. 2017, Br J Sports Med 51(3):209-210 (read): exponentially weighted means of
# typically 7 and 28 days; three athletes of a letter have the ratio 1.43 on day 28 with rolling
# means and 1.25, 1.41, 1.55 with weighted ones. Their loads are not shown; the weight 2 / (N + 1)
# is from memory.


def test_a_rise_from_300_to_500_rounds_to_the_published_pair() -> None:
    # loads: a reconstruction of ours that gives the published 1.25 and 1.43; six decimals computed
    loads = [300.0] * 21 + [500.0] * 7
    assert ewma(loads, days=7)[-1] == close(473.303223)
    assert ewma(loads, days=28)[-1] == close(378.719673)
    assert ewma_ratio(loads) == close(1.249746)
    assert rolling_coupled(loads) == close(1.428571)
    assert (round(ewma_ratio(loads) or 0, 2), round(rolling_coupled(loads) or 0, 2)) == (1.25, 1.43)


def test_a_week_of_twice_the_load_gives_the_computed_ratios() -> None:
    # computed from the definitions
    loads = [100.0] * 21 + [200.0] * 7
    assert ewma(loads, days=7)[-1] == close(186.651611)
    assert ewma(loads, days=28)[-1] == close(139.359836)
    assert ewma_ratio(loads) == close(1.339350)
    assert rolling_coupled(loads) == NEAR(1.6)


@pytest.mark.parametrize(("days", "weight"), [(7, 0.25), (28, 0.068966)])
def test_a_new_load_weighs_two_over_days_plus_one(days: int, weight: float) -> None:
    # from memory, see above
    assert ewma([0.0, 1.0], days=days)[-1] == close(weight)


def test_the_first_day_still_weighs_much_four_weeks_later() -> None:
    # computed: (27/29)^28 = 0.135220 of the 28-day mean, 28 days after the day that seeds it
    assert ewma([1.0] + [0.0] * 28, days=28)[-1] == close(0.135220)


def test_order_within_the_last_week_moves_the_weighted_ratio_only() -> None:
    # what Williams et al. 2017 (read) bring against rolling means: they weigh every day alike
    rising = [300.0] * 21 + [200.0, 300.0, 400.0, 500.0, 600.0, 700.0, 800.0]
    falling = rising[:21] + rising[:20:-1]
    assert rolling_coupled(rising) == NEAR(rolling_coupled(falling)) == NEAR(1.428571, abs=1e-6)
    assert (ewma_ratio(rising) or 0) > (ewma_ratio(falling) or 0) + 0.2


@pytest.mark.parametrize(
    ("coupled", "uncoupled"),
    # derived: r_u = 3 r_c / (4 - r_c). 0.8, 1.3 and 1.5 are ratios often quoted after Gabbett 2016,
    # Br J Sports Med 50(4):273-280 (from memory); here they are numbers to convert, not limits
    [(0.0, 0.0), (0.8, 0.75), (1.0, 1.0), (1.3, 1.444444), (1.5, 1.8), (2.0, 3.0)],
)
def test_loads_with_an_uncoupled_ratio_have_the_coupled_one_as_derived(
    coupled: float, uncoupled: float
) -> None:
    loads = [100.0] * 21 + [100 * uncoupled] * 7
    assert rolling_coupled(loads) == close(coupled)


def test_all_load_in_the_last_week_has_the_highest_ratio_there_is() -> None:
    # derived: the 28 days are the 7 and the 21
    loads = [0.0] * 21 + [130.7] * 7
    assert rolling_coupled(loads) == NEAR(4)


def test_the_coupled_ratio_correlates_with_itself_by_a_half() -> None:
    # derived: 0.5 exactly for four independent alike weeks. Lolli et al. 2019, Br J Sports Med
    # 53(15):921, found r = 0.52 in 1000 simulated athletes (as quoted by Windt & Gabbett 2019,
    # Br J Sports Med 53(16):988). Every combination of two weekly loads makes them independent.
    acute, chronic, before = [], [], []
    for levels in product((100.0, 200.0), repeat=4):
        loads = [level for level in levels for _ in range(7)]
        mean = fmean(loads[-ACUTE_DAYS:])
        coupled = rolling_coupled(loads)
        assert coupled is not None
        acute.append(mean)
        chronic.append(mean / coupled)
        before.append(fmean(loads[-CHRONIC_DAYS:-ACUTE_DAYS]))
    assert correlation(acute, chronic) == NEAR(0.5)
    assert correlation(acute, before) == NEAR(0, abs=1e-12)
    assert isclose(correlation(acute, chronic), 0.52, abs_tol=0.03)


@pytest.mark.parametrize("ratio", [rolling_coupled, ewma_ratio])
@pytest.mark.parametrize("loads", [[], [100.0] * (CHRONIC_DAYS - 1), [0.0] * CHRONIC_DAYS])
def test_a_short_or_empty_record_has_no_change(ratio: object, loads: list[float]) -> None:
    assert callable(ratio)
    assert ratio(loads) is None


@pytest.mark.parametrize("ratio", [rolling_coupled, ewma_ratio])
def test_the_same_load_every_day_is_no_change(ratio: object) -> None:
    # by definition
    assert callable(ratio)
    assert ratio([130.7] * CHRONIC_DAYS) == NEAR(1)


# --- weeks and blocks -------------------------------------------------------------------------


def test_each_week_has_its_figures() -> None:
    # computed, see above: three weeks at 300 a day, the fourth at 500
    found = figures(from_monday([300.0] * 21 + [500.0] * 7), weeks(4))
    assert [week.total for week in found] == [2100, 2100, 2100, 3500]
    assert [week.mean for week in found] == [300, 300, 300, 500]
    assert [week.change_rolling for week in found] == [None, None, None, close(1.428571)]
    assert [week.change_ewma for week in found] == [None, None, None, close(1.249746)]
    assert {week.monotony for week in found} == {week.strain for week in found} == {None}


def test_change_looks_no_further_than_the_week_itself() -> None:
    # by definition: what is planned later changes nothing
    loads = [300.0] * 21 + [500.0] * 7
    now = figures(from_monday(loads), weeks(4))
    assert figures(from_monday([*loads, *[900.0] * 14]), weeks(4)) == now


def test_a_block_has_the_figures_of_its_days() -> None:
    # computed, see above: the block is the last of five weeks
    block = Span(MONDAY + 28 * ONE_DAY, MONDAY + 35 * ONE_DAY)
    found = span_figures(from_monday([0.0] * 28 + list(WEEK)), block)
    assert found == LoadFigures(
        span=block, days=7, total=2115, mean=2115 / 7, monotony=monotony(WEEK),
        strain=strain(WEEK), change_rolling=found.change_rolling, change_ewma=found.change_ewma,
    )  # fmt: skip
    assert found.change_rolling == NEAR(4)


def test_a_longer_block_is_judged_over_all_its_days() -> None:
    # computed: 2115 x 4 over 28 days; the sample SD of n copies of a week is sqrt(6n / (7n - 1)) of
    # the week's
    found = span_figures(from_monday(WEEK * 4), Span(MONDAY, MONDAY + 28 * ONE_DAY))
    assert (found.days, found.total) == (28, 8460)
    assert found.mean == close(302.142857)
    assert found.monotony == NEAR((monotony(WEEK) or 0) / sqrt(24 / 27))
    assert found.strain == NEAR(8460 * (found.monotony or 0))
    assert found.change_rolling == NEAR(1)


def test_days_before_the_record_are_unknown_and_later_gaps_are_rest() -> None:
    # by definition: the record begins on Wednesday; Thursday is missing
    daily = {MONDAY + 2 * ONE_DAY: 200.0, MONDAY + 4 * ONE_DAY: 100.0}
    (found,) = figures(daily, weeks(1))
    assert (found.days, found.total, found.mean) == (5, 300, 60)
    assert found.monotony == NEAR(60 / stdev([200, 0, 100, 0, 0]))


@pytest.mark.parametrize("daily", [{}, {MONDAY + 7 * ONE_DAY: 100.0}])
def test_a_week_before_any_record_has_no_figures(daily: dict[date, float]) -> None:
    (found,) = figures(daily, weeks(1))
    assert (found.days, found.total, found.mean, found.monotony) == (0, 0, None, None)
    assert (found.strain, found.change_rolling, found.change_ewma) == (None, None, None)
