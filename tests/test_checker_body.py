"""What weeks hold: what the judges must report and let be.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from plan_maker import FIRST, a_year, absence, block, given, injury, season, span, trip
from verdicts import codes, hard, only

from seasonplan.findings import Finding
from seasonplan.plan import Block, Loads
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Trip

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
LONG_SEASON = season(0, 200)


# --- what weeks hold ----------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [BASE, STRENGTH])
def test_four_weeks_without_a_light_one_are_reported(kind: Kind) -> None:
    heavy = block(kind, 7, 28, shares=(0.9,))
    finding = only(a_year(8), block(REST, 0, 7), heavy, block(REST, 35, 7), block(BASE, 42, 14))
    assert (finding.code, finding.found, finding.span) == ("deload", 4, span(7, 28))
    three = block(kind, 7, 21, shares=(0.9,))
    assert codes(a_year(5), block(REST, 0, 7), three, block(REST, 28, 7)) == set()


def test_a_week_is_light_only_when_it_holds_clearly_less() -> None:
    barely = block(BASE, 0, 28, shares=(0.9, 0.9, 0.9, 0.64))
    light = block(BASE, 0, 28, shares=(0.9, 0.9, 0.9, 0.62))
    rest = block(REST, 28, 7)
    assert codes(a_year(5), barely, rest) == {"deload"}
    assert codes(a_year(5), light, rest) == set()


def test_a_few_days_at_either_end_are_no_week_of_the_block() -> None:
    """Three days, three whole weeks, three days: Friday to Wednesday."""
    ragged = block(BASE, 4, 27, shares=(1.0,))
    assert codes(a_year(5), block(REST, 0, 4), ragged, block(REST, 31, 4)) == {"rest-length"}
    longer = block(BASE, 3, 28, shares=(1.0,))
    assert "deload" in codes(a_year(5), block(REST, 0, 3), longer, block(REST, 31, 4))


def test_a_week_without_free_minutes_is_a_light_one() -> None:
    year = a_year(8, absences=[absence(22, 2), absence(24, 4, id="again")])
    blocks = [block(BASE, 0, 56, shares=(0.9, 0.9, 0.9, 0.0, 0.9, 0.9, 0.9, 0.6))]
    assert codes(year, *blocks) == set()


def test_a_week_full_of_training_days_is_reported_even_over_two_blocks() -> None:
    busy = {"training_days": 5}
    blocks = [block(BASE, 0, 24), block(REST, 24, 7), block(BASE, 31, 25)]
    assert codes(a_year(8), *blocks) == set()
    blocks[1] = block(REST, 24, 7, week=busy)
    found = hard(a_year(8), *blocks)
    assert [(f.code, f.found, f.span) for f in found] == [
        ("rest-day", 7, span(21, 7)),
        ("rest-day", 8, span(28, 7)),
    ]
    assert set(found[0].blocks) == {"base-0", "rest-24"}


def test_days_on_trips_are_no_training_days() -> None:
    year = a_year(8, trips=[trip(21, 7)])
    away = block(Kind.TRIP, 21, 7, entry="trip", week={"training_days": 7})
    assert codes(year, block(BASE, 0, 21), away, block(BASE, 28, 28)) == set()


# --- after days off -----------------------------------------------------------------------------


def after_days_off(days: int, *then: Block) -> set[str]:
    year = a_year(12, absences=[absence(21, days)])
    return codes(year, block(BASE, 0, 21), given(Kind.ABSENCE, 21, days, entry="away"), *then)


def test_after_a_layoff_the_load_builds_back() -> None:
    back = (0.6, 0.8, 1.0, 0.6, 0.88, 0.95, 0.6)
    assert after_days_off(14, block(BASE, 35, 49, shares=back)) == set()
    assert after_days_off(14, block(BASE, 35, 49, shares=(0.62, *back[1:]))) == {"build-back"}
    assert after_days_off(14, block(BASE, 35, 49, shares=(0.6, 0.82, *back[2:]))) == {"build-back"}


def test_a_shorter_absence_is_no_layoff() -> None:
    then = block(BASE, 34, 50, shares=(1.0, 1.0, 1.0, 0.6))
    assert after_days_off(13, then) == set()


@pytest.mark.parametrize("kind", [STRENGTH, REST])
def test_neither_strength_nor_rest_follows_a_layoff(kind: Kind) -> None:
    then = [block(kind, 35, 14 if kind is REST else 21, shares=(0.25,))]
    then.append(block(BASE, then[0].span.length + 35, 49 - then[0].span.length))
    assert after_days_off(14, *then) == {"build-back"}


def test_a_few_days_before_the_first_whole_week_hold_the_first_share_with_it() -> None:
    """Back on a Friday: three days and the week after them at 60 %, the next at 80 %."""
    back = (0.6, 0.6, 0.8, 1.0, 0.6, 1.0, 1.0, 1.0)
    assert after_days_off(18, block(BASE, 39, 45, shares=back)) == set()
    assert after_days_off(18, block(BASE, 39, 45, shares=(0.6, 0.8, *back[2:]))) == {"build-back"}


def in_a_row(*given_blocks: Block, trips: Sequence[Trip] = ()) -> set[str]:
    """Two absences of a week each and what follows, then base at full load."""
    year = a_year(
        12, absences=[absence(21, 7), absence(28, 7, id="again")], trips=trips,
        injuries=[] if trips else [injury(35, easy=35, building=35, full=42)],
    )  # fmt: skip
    off = [given(Kind.ABSENCE, 21, 7, entry="away"), given(Kind.ABSENCE, 28, 7, entry="again")]
    return codes(year, block(BASE, 0, 21), *off, *given_blocks, block(BASE, 42, 42))


def test_two_absences_in_a_row_add_up_and_a_return_to_load_does_not_hide_them() -> None:
    back = given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING)
    assert in_a_row(back) == {"build-back"}


def test_a_climbing_trip_ends_a_layoff() -> None:
    assert in_a_row(given(Kind.TRIP, 35, 7, entry="trip"), trips=[trip(35, 7)]) == set()


def test_four_days_before_the_first_whole_week_are_a_week_of_their_own() -> None:
    """Back on a Thursday: four days at 60 %, the week after them at 80 %."""
    back = (0.6, 0.8, 1.0, 0.6, 1.0, 1.0, 0.6)
    assert after_days_off(17, block(BASE, 38, 46, shares=back)) == set()
    assert after_days_off(17, block(BASE, 38, 46, shares=(0.6, 0.82, *back[2:]))) == {"build-back"}


def test_days_off_with_an_injury_are_a_layoff_and_a_rest() -> None:
    year = a_year(18, seasons=[LONG_SEASON], injuries=[injury(28, easy=42, building=42, full=42)])
    off = given(Kind.INJURED, 28, 14, entry="finger", phase=Phase.OFF)
    before = block(PERFORMANCE, 0, 28)
    built = (0.6, 0.8, 1.0, 0.6, 0.9, 0.6)
    rows = [block(BASE, 42, 42, shares=built), block(STRENGTH, 84, 42)]
    assert codes(year, before, off, *rows) == set()
    rows[0] = block(BASE, 42, 42, shares=(0.9, *built[1:]))
    assert codes(year, before, off, *rows) == {"build-back"}


# --- hurt and young -----------------------------------------------------------------------------


def hurt(off: Block, easy: Block, building: Block) -> list[Finding]:
    year = a_year(8, injuries=[injury(21, easy=28, building=35, full=42)])
    return hard(year, block(BASE, 0, 21), off, easy, building, block(BASE, 42, 14))


def phases() -> tuple[Block, Block, Block]:
    return (
        given(Kind.INJURED, 21, 7, entry="finger", phase=Phase.OFF),
        given(Kind.RETURN, 28, 7, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING),
    )


def changed(old: Block, **changes: object) -> Block:
    return block(
        old.kind, (old.span.first - FIRST).days, old.span.length, entry=old.entry, phase=old.phase,
        week=changes,
    )  # fmt: skip


def test_other_training_goes_on_while_a_finger_heals() -> None:
    assert hurt(*phases()) == []


@pytest.mark.parametrize("load", [Loads(finger_strength=10), Loads(power=10)])
def test_no_load_on_fingers_while_they_are_off(load: Loads) -> None:
    off, easy, building = phases()
    found = hurt(changed(off, loads=load), easy, building)
    assert [(f.code, f.found, f.span) for f in found] == [("injury-caps", 10, span(21, 7))]
    light = changed(easy, loads=Loads(finger_strength=10))
    assert hurt(off, light, building) == []


@pytest.mark.parametrize("at", [0, 1, 2])
def test_no_maximal_finger_work_in_any_phase(at: int) -> None:
    blocks = list(phases())
    blocks[at] = changed(blocks[at], max_fingers=True)
    found = hurt(*blocks)
    assert [(f.code, f.span) for f in found] == [("injury-caps", blocks[at].span)]


def test_no_maximal_finger_work_on_a_trip_during_the_return() -> None:
    year = a_year(8, injuries=[injury(21, easy=21, building=28, full=42)], trips=[trip(28, 7)])
    first, last = (
        given(Kind.RETURN, 21, 7, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING),
    )

    def away(**week: object) -> Block:
        return block(Kind.TRIP, 28, 7, entry="trip", week=week)

    def around(middle: Block) -> list[Block]:
        return [block(BASE, 0, 21), first, middle, last, block(BASE, 42, 14)]

    assert codes(year, *around(away())) == set()
    assert codes(year, *around(away(max_fingers=True))) == {"injury-caps"}


def test_a_week_that_is_hurt_for_a_few_days_holds_no_maximal_finger_work() -> None:
    year = a_year(8, injuries=[injury(21, easy=21, building=21, full=30)], trips=[trip(28, 7)])
    hurt_days = given(Kind.RETURN, 21, 7, entry="finger", phase=Phase.BUILDING)
    away = block(Kind.TRIP, 28, 7, entry="trip", week={"max_fingers": True})
    assert codes(year, block(BASE, 0, 21), hurt_days, away, block(BASE, 35, 21)) == {"injury-caps"}


@pytest.mark.parametrize(("born", "broken"), [(2010, True), (2009, False), (None, False)])
def test_no_maximal_finger_loading_before_17(born: int | None, broken: bool) -> None:
    """The climber of 2010 is 16 for part of 2027; the age is that of shared/rules.toml."""
    year = a_year(8, climber={"birth_year": born})
    hard_weeks = block(STRENGTH, 28, 28, week={"max_fingers": True})
    expected = {"young-fingers"} if broken else set()
    assert codes(year, block(BASE, 0, 28), hard_weeks) == expected
