"""What one series of tests says, in sentences; `overall` has what all of them say together.

Never advice to be lighter, never a grade foretold from strength. Owns the words, no numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.days import count_text, day_month_text, day_text
from seasonplan.testing.change import Belief, Called, TestChange, least_change, tries_needed
from seasonplan.testing.error import Error
from seasonplan.testing.leverage import TEN_PER_CENT, worth_of
from seasonplan.testing.plateau import RecentTrend, Slope, Trend
from seasonplan.testing.protocols import judging
from seasonplan.testing.series import Result, Series
from seasonplan.testing.study import Judged

# --- one series -------------------------------------------------------------------------------


def verdict(one: Judged) -> str:
    """The one sentence that matters most of a series."""
    if one.error is None:
        return "Not judged now."
    if one.change is None:
        return _no_change(one.series)
    return _change(one.series, one.change)


def sentences(one: Judged) -> list[str]:
    """All that a series says, the verdict first."""
    if one.error is None:
        return [verdict(one), *_left_out(one.series)]
    told = [verdict(one), *_level(one), *_error(one.series, one.error)]
    if one.standing is not None:
        told += _standing(one.series, one.standing)
    told += [*_worth(one), *_left_out(one.series)]
    if one.next_day is not None:
        told.append(f"Next test: from {day_text(one.next_day)}.")
    return told


def _no_change(series: Series) -> str:
    days = len(series.judged)
    if not days:
        return "No result that can be judged."
    if days == 1:
        return "One test is no trend: the second one begins to tell."
    apart = (series.judged[-1].day - series.judged[0].day).days
    return (
        f"{days} tests within {count_text(apart, 'day')} show no change yet: they tell how exactly "
        "you test."
    )


def _change(series: Series, change: TestChange) -> str:
    since = day_text(change.before[0].day)
    seen = f"{_signed(series, change.seen)} since {since}"
    believed = _believed(series, change.belief)
    word = change.belief.word
    if word is Called.UNKNOWN:
        return f"{seen} {word}; {believed}."
    return f"{word.value.capitalize()}: {seen} as measured; {believed}."


def _believed(series: Series, belief: Belief) -> str:
    low, high = belief.interval
    return (
        f"the best estimate is {_signed(series, belief.mean)} "
        f"({_bare(series, low)} to {_bare(series, high)}, nine times in ten)"
    )


def _level(one: Judged) -> Iterator[str]:
    series, now = one.series, one.now
    if now is None:
        return
    reach = 1.645 * now.sd
    low, high = sorted(series.told(now.mean + sign * reach) for sign in (-1, 1))
    unit = f" {series.unit}" if series.unit else ""
    body = " with your body" if series.test.adds_body else ""
    yield (
        f"Now about {series.told(now.mean):.1f}{unit}{body} ({low:.1f} to {high:.1f}, nine times "
        f"in ten), from {count_text(len(series.judged), 'day')} of tests."
    )


def _error(series: Series, error: Error) -> Iterator[str]:
    wanted = judging().tell_apart[series.test.scale]
    tries = tries_needed(error.sd, wanted)
    pairs = count_text(error.pairs, "pair") if error.pairs else "no pair"
    yield (
        f"Two days differ by {_amount(series, error.sd)} by chance (usual {error.usual:g}, "
        f"{pairs} of your own). "
        f"One test before and one after tell {_amount(series, least_change(error.sd, sure=0.9))} "
        f"apart from chance nine times in ten, {_amount(series, least_change(error.sd))} nineteen "
        f"times in twenty; for {_amount(series, wanted)} it takes {count_text(tries, 'test')} on "
        "separate days before and as many after."
    )


def _standing(series: Series, standing: RecentTrend) -> Iterator[str]:
    if standing.slope is None or standing.trend is Trend.UNKNOWN:
        yield _not_known(series, standing)
        return
    slope = _slope(series, standing.slope)
    if standing.trend is Trend.PLATEAU:
        yield (
            f"A plateau in the last eight weeks: {slope}, all within the {_worth_having(series)}. "
            "A slower gain than that could look the same."
        )
    else:
        yield f"{standing.trend.value.capitalize()} in the last eight weeks: {slope}."


def _slope(series: Series, slope: Slope) -> str:
    return (
        f"{_signed(series, slope.middle)} in four weeks, "
        f"{_bare(series, slope.low)} to {_bare(series, slope.high)} nine times in ten"
    )


def _worth_having(series: Series) -> str:
    worth = _amount(series, series.test.worth_having)
    if series.test.own is not None and series.test.own.worth_having is not None:
        return f"{worth} that you call worth having"
    return f"{worth} taken as worth having (say yours: `worth_having`)"


def _not_known(series: Series, standing: RecentTrend) -> str:
    seen = f"{count_text(standing.tests, 'test')} in the last eight weeks"
    if standing.slope is not None:
        seen += f" ({_slope(series, standing.slope)})"
    if standing.would_tell is None:
        return (
            f"Whether it stands still is not known yet, from {seen}: telling "
            f"{_amount(series, series.test.worth_having)} in four weeks from none takes more tests "
            "than anybody does."
        )
    return (
        f"Whether it stands still is not known yet, from {seen}: "
        f"{standing.would_tell}, spread over them, would tell a standstill eight times in ten."
    )


def _worth(one: Judged) -> Iterator[str]:
    series, change = one.series, one.change
    if not series.test.ten_percent or series.test.scale == "plain":
        return
    gained = change is not None and change.belief.word in (Called.REAL_GAIN, Called.PROBABLE_GAIN)
    percent = series.gain_told(change.belief.mean) if change and gained else TEN_PER_CENT
    worth = worth_of(percent, series.test.ten_percent)
    assert worth is not None
    gain = f"a gain of {percent:.1f} % is" if gained else "ten per cent more would be"
    yield (
        f"By your own estimate {gain} worth {worth.likely:.1f} grade steps ({worth.least:.1f} to "
        f"{worth.most:.1f}): a preference, no measurement."
    )


def _left_out(series: Series) -> Iterator[str]:
    hurt = sum(result.hurt for result in series.results)
    if hurt:
        days = count_text(hurt, "day")
        yield f"{days} of tests in an injury {'is' if hurt == 1 else 'are'} not judged."
    bare = sum(series.test.adds_body and result.body is None for result in series.results)
    if bare:
        yield (
            f"On {count_text(bare, 'day')} of tests no body weight was logged within "
            f"{judging().weight_days} days: the body is lifted along, so log it beside the test."
        )
    odd = sum(
        not series.counts(result) and not (series.test.adds_body and result.body is None)
        for result in series.results
    )
    if odd:
        yield (
            f"On {count_text(odd, 'day')} of tests the result is zero or below: per cent of that "
            'mean nothing. If the body is lifted along, say so with `like = "edge-hang"`.'
        )


def record_text(series: Series, best: Result | None) -> list[str]:
    """The best day so far, where one was judged."""
    if best is None:
        return []
    unit = f" {series.unit}" if series.unit else ""
    body = " with your body" if best.body is not None else ""
    return [f"Your best day: {best.whole:.4g}{unit}{body}, on {day_text(best.day)}."]


def tries_text(series: Series) -> list[str]:
    """A line for each day: its tries, and body weight beside them."""
    unit = f" {series.unit}" if series.unit else ""
    found = []
    for result in series.results:
        tries = ", ".join(f"{value:g}" for value in result.tries)
        body = f", body {result.body:.1f}{unit}" if result.body is not None else ""
        hurt = ", in an injury" if result.hurt else ""
        day = f"{day_month_text(result.day)} {result.day.year}"
        found.append(f"{day}: {tries}{unit}{body}{hurt}")
    return found


# --- numbers in words -------------------------------------------------------------------------


def _unit(series: Series) -> str:
    return series.unit if series.test.scale == "plain" else "%"


def _amount(series: Series, size: float) -> str:
    return f"{size:.1f} {_unit(series)}"


def _signed(series: Series, gain: float) -> str:
    return f"{series.gain_told(gain):+.1f} {_unit(series)}"


def _bare(series: Series, gain: float) -> str:
    return f"{series.gain_told(gain):.1f}"
