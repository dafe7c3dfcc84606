"""What a plan goes by of the climber's tests, and what a new test changed about that, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from seasonplan.body.response import QUALITIES, body_of
from seasonplan.explain.words import join, quality_text
from seasonplan.plan import Revision
from seasonplan.vocabulary import Quality
from seasonplan.year import Year

MORE = "What is further behind what your goals ask is trained more."


def rating_lines(revision: Revision, year: Year) -> list[str]:
    """Which ratings of a plan come from tests, each beside what it replaces; none: no line."""
    told = [_rating(quality, rating, year) for quality, rating in revision.ratings.items()]
    return [*told, MORE] if told else []


def _rating(quality: Quality, rating: float, year: Year) -> str:
    from seasonplan.testing.protocols import climbers_tests

    names = [t.name for t in climbers_tests(year) if t.quality is quality and t.anchors]
    by = f"by your test {names[0]}" if len(names) == 1 else f"by your tests {join(names)}"
    name = quality_text(quality).capitalize()
    return f"{name} counts as {rating:.1f} of 5 {by}; {_own(quality, year)}."


def _own(quality: Quality, year: Year) -> str:
    own = year.climber.level.get(quality)
    return f"you rated yourself {own}" if own is not None else "you had not rated it yourself"


def rating_changes(
    before: Mapping[Quality, float], after: Mapping[Quality, float], year: Year
) -> list[str]:
    """A sentence for each quality that tests rate differently than before."""
    return list(_changes(before, after, year))


def _changes(
    before: Mapping[Quality, float], after: Mapping[Quality, float], year: Year
) -> Iterator[str]:
    usual = dict(zip(QUALITIES, body_of(year).rating, strict=True))
    for quality in QUALITIES:
        was, now = before.get(quality), after.get(quality)
        if was == now:
            continue
        if now is None:
            name, counts = quality_text(quality), f"{usual[quality]:.1f}"
            yield f"No test speaks of {name} any more; it counts as {counts}."
            continue
        then = f"{was:.1f} before" if was is not None else f"{usual[quality]:.1f} without a test"
        yield f"By your tests {quality_text(quality)} counts as {now:.1f} of 5, {then}."
