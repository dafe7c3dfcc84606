"""The chance of a good day by day of year, windows, ranges, and tests on years left out."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random
from statistics import fmean

import pytest
from open_records import (
    auckland,
    auckland_bytes,
    brussels,
    half_a_year_later,
    new_york,
    new_york_bytes,
    place,
    record,
    seattle,
    seattle_bytes,
)

from seasonplan.conditions import (
    best_windows,
    day_of_year,
    fit,
    out_of_sample,
    outlook_on,
    stretch_spread,
    verdicts,
    weekly,
)
from seasonplan.conditions.climate import YEAR_DAYS, date_of
from seasonplan.conditions.windows import best_begin_by_year, outlook, past_counts
from seasonplan.days import Span
from seasonplan.rules.tables import table

Verdicts = dict[date, bool | None]


def years_only(known: Verdicts, *years: int) -> Verdicts:
    return {day: mark for day, mark in known.items() if day.year in years}


# --- Seattle ---------------------------------------------------------------------------------


def test_seattle_has_204_good_days_of_1460_known() -> None:
    """vega_datasets: 1,461 days; the first is not known, as the day before it is not."""
    known = [mark for mark in seattle().values() if mark is not None]
    assert (len(seattle()), len(known), sum(known)) == (1461, 1460, 204)


def test_seattles_best_six_weeks_begin_at_christmas() -> None:
    """Worked out apart from this project, hardly smoothed: 24 or 25 December, mean 0.374."""
    (best, *_) = best_windows(fit(seattle(), width_days=4), 42)
    assert best.first in (date(2023, 12, 24), date(2023, 12, 25))
    assert best.mean == pytest.approx(0.374, abs=0.02)


def test_four_years_are_smoothed_more_and_promise_less() -> None:
    """The best of 365 stretches is partly luck: what is promised lies below what was counted,
    and the stretch shifts by days at most."""
    light, usual = (best_windows(fit(seattle(), width_days=w), 42)[0] for w in (4, None))
    assert light.mean - 0.06 < usual.mean < light.mean
    assert abs((usual.begins - light.begins + 182) % 365 - 182) <= 4


def test_a_stretch_over_new_year_counts_in_the_year_it_begins_in() -> None:
    counts = past_counts(fit(seattle()), day_of_year(date(2023, 12, 25)), 42)
    assert list(counts) == [2012, 2013, 2014]
    begin = date(2013, 12, 25)
    assert counts[2013] == sum(seattle()[begin + timedelta(days=n)] is True for n in range(42))


def test_each_year_had_its_own_best_stretch() -> None:
    found = best_begin_by_year(fit(seattle()), 42)
    assert set(found) == {2012, 2013, 2014, 2015}
    assert len({begin for begin, _ in found.values()}) == 4
    assert all(count >= 10 for _, count in found.values())


# --- the other half of the earth ---------------------------------------------------------------


def test_the_same_weather_half_a_year_later_has_the_same_season_half_a_year_later() -> None:
    north, south = fit(seattle()), fit(half_a_year_later(seattle()))
    (best_north, *_), (best_south, *_) = best_windows(north, 42), best_windows(south, 42)
    assert best_south.first.month == 6
    assert (best_south.begins - best_north.begins) % YEAR_DAYS == pytest.approx(182, abs=1)
    assert best_south.expected == pytest.approx(best_north.expected, abs=0.1)


def test_a_southern_record_has_its_cool_season_in_the_middle_of_the_year() -> None:
    south = fit(auckland())
    (best, *_) = best_windows(south, 42)
    assert best.first.month in (6, 7, 8) and best.last.month in (7, 8, 9)
    assert south.chance_on(date(2017, 7, 15)) > south.chance_on(date(2017, 1, 15)) + 0.3
    winter = outlook_on(south, Span(date(2017, 6, 1), date(2017, 9, 1)))
    summer = outlook_on(south, Span(date(2016, 12, 1), date(2017, 3, 1)))  # over New Year
    assert winter.expected > 10 * summer.expected
    assert len(south.good) == 731 and south.is_short and not south.is_one_year


def test_a_southern_record_is_counted_as_by_hand() -> None:
    # The authority is the file itself: °F and dew point read from its lines without our reader.
    rows = [line.split(",") for line in auckland_bytes().decode().splitlines()[1:]]
    by_hand = {
        date.fromisoformat(day): 41 <= float(highest) <= 62.6 and float(dew) <= 50
        for day, highest, dew, _ in rows
    }
    assert auckland() == by_hand
    assert 100 < sum(by_hand.values()) < 400


# --- short records -----------------------------------------------------------------------------


def test_one_year_says_so_and_widens_the_range() -> None:
    one, four = fit(years_only(seattle(), 2014)), fit(seattle())
    assert one.is_one_year and not four.is_one_year
    assert four.is_short and not fit(brussels()).is_short
    begins = best_windows(four, 42)[0].begins
    narrow, wide = outlook(four, begins, 42), outlook(one, begins, 42)
    assert (wide.high - wide.low) / wide.expected > (narrow.high - narrow.low) / narrow.expected
    assert out_of_sample(years_only(seattle(), 2014)) is None


def test_hours_of_one_year_give_good_days_too() -> None:
    where = new_york(local=True, good={"temperature": ["41 F", "64.4 F"], "rain_below": 1})
    climate = fit(verdicts(record(new_york_bytes(), where), where.good[0], place=where))
    assert climate.is_one_year and len(climate.good) == 364
    months = {day.month for day, mark in climate.good.items() if mark}
    assert {4, 5, 10, 11} <= months
    summer = [climate.good[day] for day in climate.good if day.month in (7, 8)]
    assert sum(summer) < 6


def test_a_place_without_a_good_day_has_no_best_window() -> None:
    never = fit(dict.fromkeys(seattle(), False))
    assert not never.has_good_days and max(never.chance) == 0
    assert best_windows(never, 42) == ()
    flat = outlook(never, 0, 42)
    assert (flat.expected, flat.low, flat.high) == (0, 0, 0)


def test_a_place_that_is_always_good_is_certain() -> None:
    always = outlook(fit(dict.fromkeys(seattle(), True)), 100, 30)
    assert (always.expected, always.low, always.high) == (pytest.approx(30), 30, 30)


def test_a_record_that_cannot_be_judged_at_all_is_no_climate() -> None:
    with pytest.raises(ValueError, match="no day"):
        fit(dict.fromkeys(seattle(), None))


# --- the numbers behind it -----------------------------------------------------------------------


def test_chances_known_beforehand_are_found_again() -> None:
    """Thirty made years of independent days whose chance is a triangle over the year."""
    dice = Random(7)

    def truth(day: date) -> float:
        return 0.1 + 0.6 * (1 - abs(day_of_year(day) - 182) / 182)

    days = (date(1990, 1, 1) + timedelta(days=n) for n in range(30 * 365))
    climate = fit({day: dice.random() < truth(day) for day in days})
    away = [abs(climate.chance[n] - truth(date_of(n))) for n in range(YEAR_DAYS)]
    assert fmean(away) < 0.02 and max(away) < 0.08


def test_the_year_is_a_circle() -> None:
    chance = fit(seattle()).chance
    steps = [abs(chance[n] - chance[n - 1]) for n in range(YEAR_DAYS)]
    assert steps[0] <= max(steps[1:])


def test_29_february_counts_with_the_28th() -> None:
    assert day_of_year(date(2024, 2, 29)) == day_of_year(date(2023, 2, 28)) == 58
    assert day_of_year(date(2024, 12, 31)) == 364
    assert fit(seattle()).counts[58][1] == 5


def test_the_range_holds_eight_later_years_of_ten() -> None:
    """Brussels: fitted on 1976-1990, counts of 1991-2005 in six-week stretches."""
    early = fit(years_only(brussels(), *range(1976, 1991)))
    late = fit(years_only(brussels(), *range(1991, 2006)))
    inside, cases = 0, 0
    for begins in range(0, 365, 14):
        look = outlook(early, begins, 42)
        counts = past_counts(late, begins, 42).values()
        cases += len(counts)
        inside += sum(look.low <= count <= look.high for count in counts)
    assert cases > 350
    assert 0.75 < inside / cases < 0.92


def test_the_assumed_overdispersion_is_that_of_brussels() -> None:
    """shared/conditions.toml says 3, found between 2.1 and 3.7 in five records."""
    climate = fit(brussels())
    ratios = []
    for begins in range(0, 365, 14):
        chances = [climate.chance[(begins + n) % 365] for n in range(42)]
        variance = sum(p * (1 - p) for p in chances)
        counts = past_counts(climate, begins, 42).values()
        ratios.append(fmean((count - sum(chances)) ** 2 for count in counts) / variance)
    assert fmean(ratios) == pytest.approx(table("conditions")["spread"]["overdispersion"], abs=0.5)


def test_the_spread_holds_the_line() -> None:
    climate = fit(brussels())
    spread = stretch_spread(climate)
    held = sum(
        low <= p <= high for (low, high), p in zip(spread, climate.chance, strict=True)
    )  # fmt: skip
    assert held > 355 and all(0 <= low < high <= 1 for low, high in spread)


# --- years left out ------------------------------------------------------------------------------


@pytest.mark.parametrize(("known", "least"), [(seattle, 0.10), (brussels, 0.06)])
def test_chances_beat_a_constant_rate_in_years_left_out(known: object, least: float) -> None:
    proof = out_of_sample(known())  # type: ignore[operator]
    assert proof is not None and not set(proof.early) & set(proof.late)
    assert max(proof.early) < min(proof.late)
    assert proof.gain > least


def test_chances_drawn_from_nothing_beat_nothing() -> None:
    dice = Random(3)
    days = (date(2010, 1, 1) + timedelta(days=n) for n in range(6 * 365))
    proof = out_of_sample({day: dice.random() < 0.3 for day in days})
    assert proof is not None and proof.gain < 0.01


# --- seasons -------------------------------------------------------------------------------------


def test_a_window_is_judged_by_its_good_days_and_not_by_its_start() -> None:
    """Two seasons that begin on one day differ; the better is not the one that begins best."""
    climate = fit(brussels())
    short = outlook_on(climate, Span(date(2026, 9, 23), date(2026, 10, 7)))
    long = outlook_on(climate, Span(date(2026, 9, 23), date(2026, 12, 31)))
    assert long.expected > short.expected and long.mean < short.mean
    worse_start = outlook_on(climate, Span(date(2026, 8, 25), date(2026, 10, 30)))
    better_start = outlook_on(climate, Span(date(2026, 10, 1), date(2026, 10, 30)))
    assert climate.chance_on(date(2026, 8, 25)) < climate.chance_on(date(2026, 10, 1))
    assert worse_start.expected > better_start.expected


def test_weekly_chances_add_up_to_the_good_days() -> None:
    climate = fit(brussels())
    span = Span(date(2026, 12, 20), date(2027, 1, 30))
    chances = weekly(climate, span)
    assert len(chances) == 6
    days = [chances[n // 7] for n in range(span.length)]
    assert sum(days) == pytest.approx(outlook_on(climate, span).expected, abs=0.3)


def test_best_windows_do_not_touch() -> None:
    found = best_windows(fit(brussels()), 42, number=5)
    days = [(look.begins + n) % 365 for look in found for n in range(42)]
    assert len(found) == 5 and len(days) == len(set(days))
    assert [look.expected for look in found] == sorted((f.expected for f in found), reverse=True)


def test_what_is_not_known_is_left_out_and_not_called_bad() -> None:
    lines = seattle_bytes().decode().splitlines()
    holes = [line if n % 5 else ",".join([line.split(",")[0], "NA", *line.split(",")[2:]])
             for n, line in enumerate(lines[1:])]  # fmt: skip
    where = place()
    found = verdicts(
        record("\n".join([lines[0], *holes]).encode(), where), where.good[0], place=where
    )
    known = [mark for mark in found.values() if mark is not None]
    assert 0.55 < len(known) / 1461 < 0.65  # two days lost for each hole
    assert sum(known) / len(known) == pytest.approx(204 / 1460, abs=0.02)
