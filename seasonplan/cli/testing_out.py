"""What `seasonplan tests` writes: sentences for people, facts for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.testing import GoalLimits, Judged, Result, Study, Test

EMPTY = (
    "No tests in the diary yet. `seasonplan tests --usual` lists what is usual; "
    "`seasonplan log test NAME VALUE UNIT` writes one down."
)


def tell(screen: Screen, study: Study, shown: Sequence[Judged], *, every_try: bool) -> None:
    """Each series with its verdict, then what all of them say together."""
    from seasonplan.rules.tables import caution
    from seasonplan.testing import best_of, sentences, together
    from seasonplan.testing.verdicts import record_text, tries_text

    if not study.judged:
        screen.say(EMPTY)
    for one in shown:
        screen.tell(
            (*sentences(one), *record_text(one.series, best_of(one.series))), head=one.series.name
        )
        for text in tries_text(one.series) if every_try else ():
            screen.say(text, indent=2, hang=2)
    screen.tell(together(study), head="Together")
    if study.held is None and any(one.series.test.fingers for one in shown):
        screen.head("Take care")
        screen.say(caution("general"), hang=2)


def tell_usual(screen: Screen, *, as_json: bool) -> None:
    """The usual tests: what for, how, and how well they repeat."""
    from seasonplan.rules.tables import caution, sources
    from seasonplan.testing import usual_tests
    from seasonplan.testing.overall import QUALITY_WORDS

    if as_json:
        write_json({"tests": [_test_facts(test) for test in usual_tests().values()]})
        return
    for test in usual_tests().values():
        assert test.quality is not None
        screen.head(f"{test.name} ({test.id})")
        screen.say(
            f"For {QUALITY_WORDS[test.quality]}; in {test.unit}, {test.better} is better; "
            f"{test.minutes} min. {test.protocol}",
            hang=2,
        )
        unit = test.unit if test.scale == "plain" else "%"
        cited = "; ".join(sources()[key].label for key in test.error_from)
        screen.say(f"Two days differ by some {test.error:g} {unit} by chance. {cited}.", hang=2)
    screen.head("Take care")
    screen.say(caution("general"), hang=2)
    screen.say(caution("young"), hang=2)


# --- for programs -----------------------------------------------------------------------------


def facts(study: Study, shown: Sequence[Judged]) -> dict[str, Any]:
    """The study as plain values."""
    from seasonplan.testing import together

    return {
        "day": study.day.isoformat(),
        "held": study.held.value if study.held else None,
        "tests": [_series_facts(one) for one in shown],
        "levels": {
            quality.value: {
                "mean": known.level.mean, "sd": known.level.sd, "by": known.by or "own rating",
                "rated": known.rated,
            }
            for quality, known in study.known.items()
        },
        "goals": [_goal_facts(goal) for goal in study.goals],
        "together": together(study),
    }  # fmt: skip


def _test_facts(test: Test) -> dict[str, Any]:
    return test.model_dump(mode="json", exclude={"own", "anchors", "ten_percent", "grip"})


def _series_facts(one: Judged) -> dict[str, Any]:
    from seasonplan.testing import best_of, sentences

    series = one.series
    return {
        "name": series.name,
        "test": series.test.id,
        "quality": series.test.quality.value if series.test.quality else None,
        "unit": series.unit,
        "grip": series.grip,
        "side": series.side.value,
        "scale": series.test.scale,
        "results": [
            {
                "day": r.day.isoformat(), "tries": list(r.tries), "mean": r.mean, "body": r.body,
                "hurt": r.hurt, "judged": r in series.judged, **_beside(one, r),
            }
            for r in series.results
        ],
        "best": _best(best_of(series)),
        "sentences": sentences(one),
        **_judgement(one),
    }  # fmt: skip


def _best(best: Result | None) -> dict[str, Any] | None:
    """The best judged day so far; with the body where it is lifted along."""
    return {"day": best.day.isoformat(), "value": best.whole} if best is not None else None


def _beside(one: Judged, result: Result) -> dict[str, float]:
    """Load with the body as a multiple of body weight: for display, no goal."""
    from seasonplan.testing.maximum import beside_body
    from seasonplan.testing.protocols import judging

    if result.body is None or one.error is None:
        return {}
    ratio, sd = beside_body(
        body=result.body, body_sd=result.body * judging().body_error / 100,
        added=result.mean, added_sd=result.whole * one.error.sd / 100,
    )  # fmt: skip
    return {"of_body": ratio, "of_body_sd": sd}


def _judgement(one: Judged) -> dict[str, Any]:
    from seasonplan.testing.change import least_change, tries_needed
    from seasonplan.testing.protocols import judging

    series = one.series
    found: dict[str, Any] = {}
    if one.error is not None:
        wanted = judging().tell_apart[series.test.scale]
        found["error"] = {"sd": one.error.sd, "usual": one.error.usual, "pairs": one.error.pairs}
        found["least_change"] = {
            "sure_90": least_change(one.error.sd, sure=0.9),
            "sure_95": least_change(one.error.sd),
        }
        found["tries_needed"] = {"change": wanted, "each_side": tries_needed(one.error.sd, wanted)}
    if one.now is not None:
        found["level"] = {"value": series.told(one.now.mean), "sd_on_scale": one.now.sd}
    if one.change is not None:
        low, high = one.change.belief.interval
        found["change"] = {
            "since": one.change.before[0].day.isoformat(),
            "word": one.change.belief.word.value,
            "seen": series.gain_told(one.change.seen),
            "believed": series.gain_told(one.change.belief.mean),
            "low": series.gain_told(low),
            "high": series.gain_told(high),
            "chance_of_gain": one.change.belief.above(0.0),
        }
    if one.standing is not None:
        found["trend"] = {
            "word": one.standing.trend.value,
            "tests": one.standing.tests,
            "would_tell": one.standing.would_tell,
        }
    if one.next_day is not None:
        found["next_day"] = one.next_day.isoformat()
    return found


def _goal_facts(goal: GoalLimits) -> dict[str, Any]:
    return {
        "goal": goal.limiter.goal.id,
        "shares": {quality.value: share for quality, share in goal.limiter.shares.items()},
        "next_tests": [
            {"test": one.test.id, "bits": one.bits, "bits_a_minute": one.bits_a_minute}
            for one in goal.next_tests
        ],
    }
