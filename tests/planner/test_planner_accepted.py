"""The plan that was accepted: what is over stays as it was, what changes from today on costs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from itertools import product
from typing import Any

import pytest
from plan_maker import a_year, block, day, exchanged, span

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Occasion, Proof, Revision, Score, Session, Week
from seasonplan.planner.accepted import LOOK_BACK_WEEKS, Accepted, keep_share
from seasonplan.planning.proposal import changed_days
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Before

# days 0 to 9 base, 10 to 12 nothing, 13 to 19 strength, 20 to 22 a trip, 23 to 29 rest
STOOD = (
    block(Kind.BASE, 0, 10), block(Kind.STRENGTH, 13, 7), block(Kind.TRIP, 20, 3),
    block(Kind.REST, 23, 7),
)  # fmt: skip


def session(number: int, load: float, **fields: Any) -> Session:
    """A session of so much load."""
    values = {"id": f"s-{number}", "block": "base-0", "recipe": "aerobic", "start": time(18)}
    return Session(day=day(number), minutes=round(load), rpe=1.0, **(values | fields))


# --- what was -------------------------------------------------------------------------------------


def stood_in(number: int, stood: Sequence[Block]) -> object:
    """What a day lay in: its chosen block, or the gap between two of them."""
    chosen = [one for one in stood if one.kind.chosen]
    inside = next((one.id for one in chosen if day(number) in one.span), None)
    return inside or sum(one.span.after <= day(number) for one in chosen)


def whole_part(kind: Kind, first: int, after: int, *, today: int, free: tuple[int, int]) -> bool:
    """The same by single days: those of the span that are over are all the days that are over of
    one block of that kind, as far as they are free; of no block they are rest."""
    if first >= today:
        return True
    where = stood_in(first, STOOD)
    was = next((one.kind for one in STOOD if one.id == where), Kind.REST)
    mine = {n for n in range(first, after) if n < today}
    own = {n for n in range(*free) if n < today and stood_in(n, STOOD) == where}
    return kind is was and mine == own


@pytest.mark.parametrize("free", [(0, 35), (0, 16), (8, 27)])
def test_a_block_was_so_where_its_days_that_are_over_are_those_of_one_block(
    free: tuple[int, int],
) -> None:
    """All spans that end by the fourth day from now, on five days that are today."""
    seen = {True: 0, False: 0}
    for today in (0, 8, 12, 17, 28):
        accepted = Accepted(STOOD, day(today))
        for first, after in product(range(*free), repeat=2):
            if not first < after <= today + 4:
                continue
            for kind in (Kind.BASE, Kind.STRENGTH, Kind.REST):
                said = accepted.was_so(
                    kind, Span(day(first), day(after)), free=Span(day(free[0]), day(free[1]))
                )
                assert said is whole_part(kind, first, after, today=today, free=free)
                seen[said] += first < today
    assert min(seen.values()) >= 10


def test_a_block_has_begun_on_days_that_are_over_in_chosen_blocks() -> None:
    accepted = Accepted(STOOD, day(17))
    begun = [accepted.begun(day(n)) for n in (0, 9, 10, 13, 16, 17, 23)]
    assert begun == [STOOD[0], STOOD[0], None, STOOD[1], STOOD[1], None, None]
    assert Accepted(STOOD, day(22)).begun(day(21)) is None  # a trip was not chosen


def test_cells_begin_today_and_where_blocks_met_before() -> None:
    for today in range(0, 31):
        edges = {n for n in (0, 10, 13, 20, 23, 30) if n <= today} | {today}
        assert set(Accepted(STOOD, day(today)).edges()) == {day(n) for n in edges}


# --- what changes cost ----------------------------------------------------------------------------


def cost(kind: Kind, first: int, days: int, *, today: int, emphasis: str = "") -> float:
    accepted = Accepted(STOOD, day(today))
    return 2.0 * accepted.changed(kind, Emphasis(emphasis), span(first, days))


def test_a_day_of_another_kind_costs_more_the_nearer_it_is_and_nothing_once_over() -> None:
    assert keep_share(0) == 1.0
    assert [keep_share(n) for n in range(400)] == sorted(keep_share(n) for n in range(400))[::-1]
    for today in range(0, 20, 3):
        by_hand = sum(2.0 * keep_share(n - today) for n in range(13, 20) if n >= today)
        assert cost(Kind.BASE, 13, 7, today=today) == pytest.approx(by_hand)
        assert cost(Kind.STRENGTH, 13, 7, today=today) == 0
    assert cost(Kind.BASE, 13, 7, today=20) == 0


def test_days_that_no_block_had_cost_nothing_whatever_comes() -> None:
    assert cost(Kind.REST, 10, 3, today=0) == cost(Kind.STRENGTH, 20, 3, today=0) == 0


def test_another_emphasis_alone_costs_a_part_of_a_change() -> None:
    power = exchanged(STOOD[1], emphasis=Emphasis.POWER)
    accepted, days = Accepted((power,), day(0)), span(13, 7)

    def of(kind: Kind, emphasis: Emphasis) -> float:
        return accepted.changed(kind, emphasis, days)

    full = of(Kind.BASE, Emphasis.FINGERS)
    assert of(Kind.STRENGTH, Emphasis.POWER) == 0
    share = composing().new_plan.emphasis_share
    assert 0 < share < 1
    assert of(Kind.STRENGTH, Emphasis.FINGERS) == pytest.approx(share * full)


def test_changed_days_are_those_from_today_on_whose_kind_is_another() -> None:
    new = (block(Kind.BASE, 0, 15), block(Kind.STRENGTH, 15, 5), block(Kind.REST, 20, 10))
    changed = [(one - day(0)).days for one in changed_days(STOOD, new, since=day(0))]
    assert changed == [13, 14, 20, 21, 22]
    assert changed_days(STOOD, new, since=day(21)) == (day(21), day(22))
    assert changed_days(STOOD, STOOD, since=day(0)) == ()


def test_plans_are_alike_but_for_the_price_of_changes() -> None:
    one = Accepted(STOOD, day(3), keep=0.5, done={day(0): 0.5})
    assert one.same_but_price(Accepted(STOOD, day(3), keep=0.1, done={day(0): 0.5}))
    for other in (
        Accepted(STOOD, day(4), keep=0.5, done={day(0): 0.5}), Accepted(STOOD, day(3), keep=0.5),
        Accepted(STOOD[:2], day(3), keep=0.5, done={day(0): 0.5}),
    ):  # fmt: skip
        assert not one.same_but_price(other)


# --- what was done --------------------------------------------------------------------------------


def test_what_was_borne_is_the_fullest_of_twelve_weeks_as_they_were_done() -> None:
    """Loads before the year 100 to 1500; in it 400 planned each week, of which half was done."""
    loads = tuple(float(n) for n in (1500, *range(100, 1200, 100)))
    year = a_year(6, before=Before(weekly_load=loads))
    assert len(loads) == LOOK_BACK_WEEKS
    sessions = tuple(session(7 * n + 2, 400) for n in range(6))
    done = {day(0): 0.5, day(7): 0.5, day(28): 0.1}
    borne = Accepted((), day(35), sessions=sessions, done=done).borne(Almanac(year))
    # before the second week 1500 is thirteen weeks ago
    assert borne == {day(0): 1500.0, day(7): 1100.0, day(28): 1100.0}
    assert Accepted((), day(35), sessions=sessions).borne(Almanac(year)) == {}
    alone = a_year(6, before=Before(weekly_load=(10.0,)))
    borne = Accepted((), day(35), sessions=sessions, done=done).borne(Almanac(alone))
    assert borne == {day(0): 10.0, day(7): 200.0, day(28): 400.0}


def week(first: int, **fields: Any) -> Week:
    values: dict[str, Any] = {
        "span": span(first, 7), "aim": 500.0, "minutes": 100.0, "training_days": 2, "rpe": 4.0,
        "loads": Loads(endurance=400.0),
    }  # fmt: skip
    return Week(**(values | fields))


def told(old: Week, now: Week, *, today: int = 7) -> Week:
    accepted = Accepted((exchanged(STOOD[0], weeks=(old,)),), day(today))
    return accepted.as_it_was(now)


def test_a_week_that_is_over_stays_as_it_was_told_where_its_sessions_are_the_same() -> None:
    old = week(0, aim=600.0, deload=True, hard_seconds=99)
    for now in (week(0), week(0, loads=Loads(power=400.6)), week(0, rpe=4.009)):
        assert told(old, now) is old
    assert told(old, week(0), today=1) is old  # begun
    assert told(old, week(0, minutes=101.0), today=6) == week(0, minutes=101.0)
    assert told(old, week(0), today=0) == week(0)  # not yet
    assert told(old, week(7), today=21) == week(7)  # another week


@pytest.mark.parametrize(
    "changed",
    [{"loads": Loads(endurance=401.0)}, {"rpe": 4.02}, {"minutes": 101.0}, {"training_days": 3},
     {"rock_days": 1}],
)  # fmt: skip
def test_where_sessions_are_others_only_what_it_was_for_stays(changed: dict[str, Any]) -> None:
    old = week(0, aim=600.0, deload=True, lead_in=True)
    now = week(0, **changed)
    assert told(old, now) == Week(**{**dict(now), "aim": 600.0, "deload": True, "lead_in": True})


def test_a_week_of_an_older_program_is_told_anew() -> None:
    bare = week(0, aim=0.0, free_minutes=0.0, deload=True)
    assert told(bare, week(0)) == week(0)


def test_an_accepted_revision_knows_whether_weeks_went_otherwise_than_it_knew() -> None:
    homes = (session(1, 100),)
    revision = Revision(
        number=1, stamp=datetime(2027, 1, 1, tzinfo=UTC), cause="", year_digest="", blocks=STOOD,
        score=Score(occasions=(), costs=(), points=0.0), sessions=homes, done={day(0): 0.6},
        proof=Proof(optimal=True, gap=0.0, bound=0.0),
    )  # fmt: skip
    same = Accepted.of(revision, day(9), keep=0.2)
    assert (same.blocks, same.today, same.keep) == (STOOD, day(9), 0.2)
    assert same.sessions == same.homes == homes
    assert same.done == {day(0): 0.6} and not same.other_done
    other = Accepted.of(revision, day(9), done={})
    assert other.done == {} and other.other_done
    assert not Accepted.of(revision, day(9), done={day(0): 0.6}).other_done


def test_what_goals_had_is_no_part_of_what_a_choice_hangs_on() -> None:
    had = Occasion(goal="line", entry="season", span=span(0, 7), possible=1.0, good_days=1.0)
    one = Accepted(STOOD, day(3), occasions=(had,))
    assert one.same_but_price(Accepted(STOOD, day(3)))
    assert isinstance(one.today, date)
