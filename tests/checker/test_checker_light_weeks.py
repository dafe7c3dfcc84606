"""Light weeks made by hand: what makes one no lighter than it should be, and what it is held to.

Free times are those of `plan_maker`; day 0 is a Monday.
"""

from __future__ import annotations

import pytest
from plan_maker import a_year, block, day, exchanged, span, trip
from test_checker_sessions import (
    AEROBIC,
    BASE,
    LIMIT,
    PERFORMANCE,
    REST,
    SATURDAY,
    STRENGTH,
    SUNDAY,
    THURSDAY,
    TUESDAY,
    base,
    judged,
    session,
    week,
)
from test_checker_sessions_weeks import short

from seasonplan.checker import check_sessions
from seasonplan.explain.breaks import sentence
from seasonplan.plan import Block, Session
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of, standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

CODE = "session-progression"


# --- load -----------------------------------------------------------------------------------------


def waves(*light: bool, of: int = 1500) -> list[Block]:
    """One base block with light weeks where said."""
    weeks = [
        each
        for n, easy in enumerate(light)
        for each in block(BASE, 7 * n, 7, week={"aim": of, "deload": easy}).weeks
    ]
    return [exchanged(base(7 * len(light)), weeks=tuple(weeks))]


def test_a_light_week_that_is_not_light_is_told_softly() -> None:
    same = [*week(0), *week(7)]
    (found,) = judged("session-progression", *same, blocks=waves(False, True))
    told_of = (found.strength, found.span, found.found, found.limit)
    assert told_of == ("soft", span(7, 7), 1500, 1500)
    lighter = [*week(0), *week(7)[:-1]]
    assert judged("session-progression", *lighter, blocks=waves(False, True)) == []


def test_only_a_light_week_after_one_that_is_not_is_compared() -> None:
    rising = [*week(0)[:-1], *week(7)]
    for light in ((False, False), (True, False), (True, True)):
        assert judged("session-progression", *rising, blocks=waves(*light)) == []
    assert len(judged("session-progression", *rising, blocks=waves(False, True))) == 1


def test_a_light_week_whose_least_session_is_as_much_could_not_be_lighter() -> None:
    """Sessions of 240: one alone, and beside another, and beside one of 180."""
    few = [*week(0)[:1], *week(7)[:1]]
    assert judged("session-progression", *few, blocks=waves(False, True)) == []
    for minutes, told_of in ((60, 0), (45, 1)):
        more = [*few, session(AEROBIC, 7 + SUNDAY, "10:00", minutes)]
        assert len(judged("session-progression", *more, blocks=waves(False, True))) == told_of


def test_a_heavy_week_that_could_not_be_filled_is_no_measure() -> None:
    sessions, blocks = [*week(0)[:2], *week(7)[:4]], waves(False, True)
    assert len(judged("session-progression", *sessions, blocks=blocks)) == 1
    said = [short(0, 185)]
    assert judged("session-progression", *sessions, blocks=blocks, shortfalls=said) == []
    for other in (short(7, 185), short(0, 185, block="base-1"), short(0, 185, span=span(0, 6))):
        told_of = judged("session-progression", *sessions, blocks=blocks, shortfalls=[other])
        assert len(told_of) == 1  # of another week, or of another block


# --- hard sessions --------------------------------------------------------------------------------


def hard_on(*days: int, recipe: str = LIMIT) -> list[Session]:
    """A session that uses fingers hard on each of these days."""
    return [session(recipe, n, "18:00") for n in days]


def told(
    about: str, *sessions: Session, blocks: list[Block], year: Year | None = None
) -> list[Finding]:
    """Findings on light weeks that are about one thing."""
    return [f for f in judged(CODE, *sessions, blocks=blocks, year=year) if f.about == about]


def hard(*sessions: Session, blocks: list[Block], year: Year | None = None) -> list[Finding]:
    return told("hard sessions", *sessions, blocks=blocks, year=year)


def test_a_light_week_with_more_hard_sessions_than_the_normal_one_before_is_told_softly() -> None:
    """However light it is in load: two hard sessions of an hour after one and a full week."""
    normal, light = [*week(0), *hard_on(TUESDAY)], hard_on(7 + TUESDAY, 7 + SATURDAY)
    (found,) = judged(CODE, *normal, *light, blocks=waves(False, True))
    assert (found.strength, found.span, found.about) == ("soft", span(7, 7), "hard sessions")
    assert (found.found, found.limit) == (2, 1)
    assert set(found.sessions) == {one.id for one in light}
    assert judged(CODE, *normal, light[0], blocks=waves(False, True)) == []


def test_a_normal_week_may_hold_more_hard_sessions_than_the_one_before() -> None:
    more = hard_on(TUESDAY, 7 + TUESDAY, 7 + SATURDAY)
    assert hard(*more, blocks=waves(False, False)) == []


def test_a_test_is_no_hard_session_of_a_light_week_nor_of_a_normal_one() -> None:
    one, test = hard_on(TUESDAY), "test-day"
    tested = [*one, *hard_on(7 + TUESDAY), *hard_on(7 + SATURDAY, recipe=test)]
    assert hard(*tested, blocks=waves(False, True)) == []
    before = [*one, *hard_on(SATURDAY, recipe=test), *hard_on(7 + TUESDAY, 7 + SATURDAY)]
    assert [f.limit for f in hard(*before, blocks=waves(False, True))] == [1]


def test_sessions_that_use_nothing_hard_are_not_counted() -> None:
    easy = [session(AEROBIC, 7 + n, "18:00") for n in (TUESDAY, THURSDAY, SATURDAY)]
    assert hard(*hard_on(TUESDAY), *easy, blocks=waves(False, True)) == []


def test_the_measure_is_the_last_normal_week_over_a_light_one_between() -> None:
    """Two, one, then a light week with none, then one with two: one was normal last."""
    there = hard_on(1, 5, 8, 22, 26)
    (found,) = hard(*there, blocks=waves(False, False, True, True))
    assert (found.span, found.found, found.limit) == (span(21, 7), 2, 1)


def in_turn(first: Kind, second: Kind, *, gap: int = 0, lead_in: bool = False) -> list[Block]:
    """A week of one kind, so many days of rest, and a light week of another kind."""
    before = block(first, 0, 7, id="first", week={"deload": False, "lead_in": lead_in})
    between = [block(REST, 7, gap, id="rest-7")] if gap else []
    return [before, *between, block(second, 7 + gap, 7, id="second", week={"deload": True})]


def moved(sessions: list[Session], *, to: str) -> list[Session]:
    return [one.model_copy(update={"block": to}) for one in sessions]


@pytest.mark.parametrize("kind", [BASE, STRENGTH, PERFORMANCE])
def test_a_block_that_begins_lightly_is_measured_by_the_block_before(kind: Kind) -> None:
    there = [*moved(hard_on(1), to="first"), *moved(hard_on(8, 12), to="second")]
    (found,) = hard(*there, blocks=in_turn(kind, STRENGTH))
    assert (found.blocks, found.found, found.limit) == (("first", "second"), 2, 1)


def test_where_no_normal_week_stands_before_nothing_is_compared() -> None:
    """After rest, after a lead-in, after days of a trip: none of them is a normal week."""
    there = [*moved(hard_on(1), to="first"), *moved(hard_on(8, 12), to="second")]
    later = [*moved(hard_on(1), to="first"), *moved(hard_on(15, 19), to="second")]
    assert hard(*later, blocks=in_turn(BASE, STRENGTH, gap=7)) == []
    assert hard(*there, blocks=in_turn(REST, STRENGTH)) == []
    assert hard(*there, blocks=in_turn(PERFORMANCE, STRENGTH, lead_in=True)) == []
    away = a_year(4, trips=[trip(SUNDAY, 1)])
    assert hard(*hard_on(1, 8, 12), blocks=waves(False, True)) != []
    home, out = block(BASE, 0, 6).weeks, block(BASE, 6, 1).weeks
    (cut,) = waves(False, True)
    cut = exchanged(cut, weeks=(*home, *out, *cut.weeks[1:]))
    assert hard(*hard_on(1, 8, 12), blocks=[cut], year=away) == []


def test_a_block_that_begins_lightly_is_asked_about_until_the_week_before_it_begins() -> None:
    year, blocks = a_year(4), in_turn(BASE, STRENGTH)
    there = [*moved(hard_on(1), to="first"), *moved(hard_on(8, 12), to="second")]
    for today, times in ((0, 1), (1, 0)):
        found = check_sessions(year, blocks, there, (), book=book_of(year), today=day(today))
        assert sum(one.code == CODE for one in found) == times


# --- hard hangs -----------------------------------------------------------------------------------


def hung(n: int, hangs: int, *, recipe: str = "fingerboard-long") -> Session:
    """Hangs of ten seconds at 85 % and more, and others where said."""
    return session(recipe, n, "18:00", hangs=hangs)


def hangs(*sessions: Session, blocks: list[Block]) -> list[Finding]:
    return told("hard hangs", *sessions, blocks=blocks)


def test_a_light_week_with_more_hard_hangs_than_any_normal_one_of_its_block_is_told() -> None:
    normal = [hung(1, 6), hung(8, 8)]
    (found,) = hangs(*normal, hung(15, 9), blocks=waves(False, False, True))
    assert (found.strength, found.span, found.found, found.limit) == ("soft", span(14, 7), 90, 80)
    assert hangs(*normal, hung(15, 8), blocks=waves(False, False, True)) == []


def test_the_normal_week_with_most_hangs_may_come_after_the_light_one() -> None:
    assert hangs(hung(1, 6), hung(8, 7), hung(15, 7), blocks=waves(False, True, False)) == []
    assert len(hangs(hung(1, 6), hung(8, 7), hung(15, 6), blocks=waves(False, True, False))) == 1


def test_hangs_below_eighty_percent_are_no_hard_ones() -> None:
    """Twenty seconds at 40 to 60 % of the own maximum."""
    often = hung(8, 10, recipe="fingerboard-often")
    assert hangs(hung(1, 6), often, blocks=waves(False, True)) == []
    assert [f.limit for f in hangs(often, hung(15, 6), blocks=waves(True, False, True))] == [0]


def test_a_block_of_light_weeks_alone_has_no_hangs_to_compare_with() -> None:
    assert hangs(hung(1, 6), hung(8, 9), blocks=waves(True, True)) == []


def test_a_lead_in_is_held_to_the_normal_week_with_most_hangs_of_the_block_before() -> None:
    before = block(BASE, 0, 14, id="first", week={"deload": False})
    lead_in = block(PERFORMANCE, 14, 7, id="second", week={"lead_in": True})
    normal = moved([hung(1, 6), hung(8, 8)], to="first")
    for number, reported in ((9, True), (8, False)):
        found = hangs(*normal, *moved([hung(15, number)], to="second"), blocks=[before, lead_in])
        assert [(f.found, f.limit) for f in found] == ([(90, 80)] if reported else [])
    rested = [before, block(REST, 14, 7, id="rest"), block(PERFORMANCE, 21, 7, id="second")]
    rested[2] = exchanged(rested[2], weeks=lead_in.weeks)
    assert hangs(*normal, *moved([hung(22, 9)], to="second"), blocks=rested) == []


# --- as told --------------------------------------------------------------------------------------


def test_what_is_told_of_a_light_week_names_its_measure() -> None:
    there = [*hard_on(1), hung(8, 9), *hard_on(12)]
    said = [
        sentence(f, book=standard_book()) for f in judged(CODE, *there, blocks=waves(False, True))
    ]
    assert any("found 2 hard sessions, 1 in the normal week before." in text for text in said)
    assert any(
        "found 90 s of hard hangs, 0 s in the normal week with most." in text for text in said
    )
