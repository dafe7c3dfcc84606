"""The tested maximum of the fingers in kilograms, and strength beside body weight, for display."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt

from seasonplan.days import ONE_DAY, Span
from seasonplan.diary.entry import KILOGRAMS_A_POUND, WEIGHT_UNITS, DiaryEntry
from seasonplan.plan import Block
from seasonplan.testing.series import PER_CENT, Series
from seasonplan.testing.study import Judged, study_of
from seasonplan.vocabulary import Quality, Side
from seasonplan.year import Year

ONE_HAND = "edge-pull"
HANGS = (ONE_HAND, "edge-hang")


@dataclass(frozen=True, slots=True)
class Maximum:
    """A tested maximum: `kg` to the half kilogram, with the error of one standard deviation.

    `with_body`: the body is lifted along and counts in it, `body_kg` of that test. `a_hand`: one
    hand lifts it.
    """

    kg: float
    error_kg: float
    test: str
    tested: date
    with_body: bool
    a_hand: bool = False
    body_kg: float | None = None


def maximum_kg(
    year: Year, diary: Sequence[DiaryEntry], day: date, *, blocks: Sequence[Block] = ()
) -> Maximum | None:
    """The climber's tested maximum of the fingers on a day, of the weaker hand.

    None where there is no test in kilograms or pounds, where nothing is judged, and where
    something was hurt since: an old maximum then means nothing.
    """
    study = study_of(year, diary, day=day, blocks=blocks)
    found = [one for one in study.judged if _is_finger_maximum(one)]
    if study.held is not None or not found:
        return None
    newest = max(found, key=lambda one: one.series.judged[-1].day)
    sides = [
        one for one in found
        if (one.series.test.id, one.series.grip) == (newest.series.test.id, newest.series.grip)
        and one.series.unit == newest.series.unit
    ]  # fmt: skip
    weaker = min(sides, key=_kilograms)
    last = weaker.series.judged[-1]
    if hurt_since(year, last.day, day):
        return None
    kilograms, now = _kilograms(weaker), weaker.now
    assert now is not None
    return Maximum(
        kg=round(2 * kilograms) / 2, error_kg=kilograms * now.sd / PER_CENT,
        test=weaker.series.name, tested=last.day, with_body=weaker.series.test.adds_body,
        a_hand=weaker.series.test.usual == ONE_HAND or weaker.series.side is not Side.NONE,
        body_kg=None if last.body is None else last.body * _kilograms_a_unit(weaker.series),
    )  # fmt: skip


def hurt_since(year: Year, tested: date, day: date) -> bool:
    """Whether something was hurt between a test and a day."""
    since = Span(tested, max(tested, day) + ONE_DAY)
    return any(span.meet(since) for injury in year.injuries for _, span in injury.phases)


def _is_finger_maximum(one: Judged) -> bool:
    series = one.series
    named = series.test.usual in HANGS or (
        not series.test.usual and series.test.quality is Quality.FINGER_STRENGTH
    )
    return named and series.unit in WEIGHT_UNITS and one.now is not None and not series.earlier


def _kilograms(one: Judged) -> float:
    assert one.now is not None
    return one.series.told(one.now.mean) * _kilograms_a_unit(one.series)


def _kilograms_a_unit(series: Series) -> float:
    return KILOGRAMS_A_POUND if series.unit == "lb" else 1.0


def beside_body(
    *, body: float, body_sd: float, added: float, added_sd: float
) -> tuple[float, float]:  # fmt: skip
    """Load with the body as a multiple of body weight, and its error. For display, no goal."""
    ratio = (body + added) / body
    return ratio, sqrt((added_sd / body) ** 2 + (added * body_sd / body**2) ** 2)
