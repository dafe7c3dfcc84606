"""What all tests say together, in sentences: what holds back, what to test next, what is mixed.

Never advice to be lighter, never a grade foretold from strength.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from seasonplan.rules.tables import caution
from seasonplan.testing.leverage import spread_left
from seasonplan.testing.limiter import Limiter, usual_tests_for
from seasonplan.testing.series import PER_CENT
from seasonplan.testing.study import GoalLimits, Judged, NotJudged, Study
from seasonplan.vocabulary import Quality

QUALITY_WORDS: Mapping[Quality, str] = {
    Quality.FINGER_STRENGTH: "finger strength",
    Quality.POWER: "power",
    Quality.POWER_ENDURANCE: "power endurance",
    Quality.ENDURANCE: "endurance",
    Quality.FITNESS: "general fitness",
    Quality.MOVEMENT: "movement",
}
TENTHS = 10


def held_text(held: NotJudged) -> list[str]:
    """Why nothing is judged, with the caution that belongs to it."""
    if held is NotJudged.YOUNG:
        return ["Under 18 no test is judged here: growing comes first.", caution("young")]
    return ["While something is hurt no test is judged, and none is due.", caution("injury")]


def together(study: Study) -> list[str]:
    """What the tests say together: protocols mixed, what holds back, what to test next."""
    if study.held is not None:
        return held_text(study.held)
    told = [*_mixed(study.judged), *_without_meaning(study.judged)]
    for goal in study.goals:
        told += _of_goal(goal, study)
    return list(dict.fromkeys([*told, *_others(study.judged)]))


def _others(judged: Sequence[Judged]) -> Iterator[str]:
    """How little others' numbers say, beside what the climber thinks a gain is worth."""
    tests = [one.series.test for one in judged]
    if any(t.ten_percent and t.quality is Quality.FINGER_STRENGTH for t in tests):
        low, high = (round(PER_CENT * share) for share in spread_left())
        yield (
            "What a gain in finger strength is worth no study can say for you: among climbers of "
            f"one and the same strength the grades still spread {low} to {high} % of their whole "
            "spread."
        )


def _mixed(judged: Sequence[Judged]) -> Iterator[str]:
    """One test done in several ways."""
    by_test = groupby(judged, key=lambda one: one.series.test.id)
    for _, group in by_test:
        several = list(group)
        now = [one.series for one in several if not one.series.earlier]  # else it was said so
        if len({(series.unit, series.grip.casefold()) for series in now}) > 1:
            names = "; ".join(series.name for series in now)
            yield (
                f"Several ways of one test are mixed and judged apart: {names}. Keep to one, or "
                "they never make a trend."
            )


def _without_meaning(judged: Sequence[Judged]) -> Iterator[str]:
    silent = dict.fromkeys(
        one.series.test.name
        for one in judged
        if one.now is not None and not one.series.test.anchors
    )
    if silent:
        names = ", ".join(silent)
        yield (
            f"What holds you back is not read from {names}: say which result is a 1 and which a 5 "
            "for you, as `anchors` under [[test]]."
        )


def _of_goal(goal: GoalLimits, study: Study) -> Iterator[str]:
    limiter = goal.limiter
    quality = limiter.likeliest
    yield f"{limiter.goal.name}: probably held back by {limits_text(limiter)}."
    if not study.known[quality].by:
        yield from _untested(quality, study)
    telling = [one for one in goal.next_tests if one.bits > 0.005]
    if telling:
        yield f"{limiter.goal.name}: one more {telling[0].test.name} would tell most for its time."


def limits_text(limiter: Limiter) -> str:
    """Such as "finger strength (7 in 10), endurance (2 in 10), unclear (1 in 10)"."""
    tenths = {quality: int(TENTHS * share) for quality, share in limiter.shares.items()}
    ranked = sorted(tenths.items(), key=lambda item: (-item[1], list(Quality).index(item[0])))
    named = [(QUALITY_WORDS[quality], number) for quality, number in ranked if number]
    left = TENTHS - sum(number for _, number in named)
    told = [*named, ("unclear", left)] if left else named
    return ", ".join(f"{word} ({number} in {TENTHS})" for word, number in told)


def _untested(quality: Quality, study: Study) -> Iterator[str]:
    """No test speaks of the quality that probably comes first."""
    rated = study.known[quality].rated
    speaks = "only your own rating speaks" if rated else "nothing speaks, not even your own rating"
    head = f"About {QUALITY_WORDS[quality]} {speaks}"
    own = [test.name for test in study.tests if test.quality is quality]
    if own:
        yield f"{head}: {own[0]} has no results with anchors yet."
        return
    usual = ", ".join(f"{test.name} ({test.minutes} min)" for test in usual_tests_for(quality))
    yield f"{head}. Usual tests of it: {usual}. `seasonplan tests --usual` says how."
