"""What days of a week allow: free times, days kept free, what body and house leave of recipes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import combinations, pairwise, product
from typing import Any

import pytest
from plan_maker import a_year, absence, day, injury, span, trip
from small_week import hangs, hard, on_rock, recipe

from seasonplan.body.almanac import Almanac
from seasonplan.planner.care import harms, is_young, ramps
from seasonplan.planner.frames import Frame, Frames
from seasonplan.planner.grid import Grid
from seasonplan.planner.levels import Levels
from seasonplan.planner.rock_day import Dates, RockDay
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import table
from seasonplan.vocabulary import RockRole, Tissue
from seasonplan.year import Injury, Year

SOFT, HARD, HANG = recipe("soft"), hard("hard", days=2), hangs("hang")
LIGHT = hangs("light", share=0.3, stresses={})
WALL = recipe("wall", needs=(Need.WALL,))
BOARD = recipe("board", needs=(Need.BOARD,))
BOOK = {one.id: one for one in (SOFT, HARD, HANG, LIGHT, WALL)}
DAILY = {"minutes": dict.fromkeys(
    ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"), "18:00-19:00"
)}  # fmt: skip
Rock = Mapping[int, RockDay]


def frames_of(
    year: Year, *, rock: Rock | None = None, rules: RuleBook | None = None,
    taken: Mapping[date, Sequence[tuple[int, int]]] | None = None,
    book: Mapping[str, Recipe] = BOOK,
) -> list[Frame]:  # fmt: skip
    """The frame of every cell."""
    almanac = Almanac(year)
    dates = Dates(almanac, book=book, rules=rules or book_of(year), taken=taken or {})
    days = {day(n): one for n, one in sorted((rock or {}).items())}
    made = Frames(dates, Levels(almanac), days)
    return [made.frame(cell) for cell in Grid(almanac).cells]


def kept_free(found: Sequence[Frame]) -> list[int]:
    return [(one.day - day(0)).days for week in found for one in week.days if one.rest]


def daily(weeks: int = 4, **fields: Any) -> Year:
    return a_year(weeks, climber=DAILY | fields.pop("climber", {}), **fields)


# --- free times -----------------------------------------------------------------------------------


def minutes_free(busy: Sequence[tuple[int, int]]) -> set[int]:
    """Minutes of 18:00 to 19:00 in no busy time."""
    return {n for n in range(1080, 1140) if not any(a <= n < b for a, b in busy)}


def test_busy_hours_leave_just_the_minutes_that_nothing_takes() -> None:
    """All pairs of busy times around an hour that is free, overlapping ones too, a pair a day."""
    cuts = (1050, 1080, 1095, 1110, 1130, 1140, 1170)
    pairs = list(product(combinations(cuts, 2), repeat=2))
    for some in (pairs[n : n + 28] for n in range(0, len(pairs), 28)):
        taken = {day(n): pair for n, pair in enumerate(some)}
        for one in (one for week in frames_of(daily(), taken=taken) for one in week.days):
            left = minutes_free(taken.get(one.day, ()))
            runs = [n for n in left if n - 1 not in left and {*range(n, n + 10)} <= left]
            assert sorted(start for start, _ in one.free) == sorted(runs)
            assert {n for a, b in one.free for n in range(a, b)} <= left
            assert all(b in (1140, *(a for a, _ in taken.get(one.day, ()))) for _, b in one.free)
            assert one.all_minutes == sum(b - a for a, b in one.free)
            assert one.minutes == max((b - a for a, b in one.free), default=0)


def test_busy_hours_are_not_asked_where_the_rule_is_off() -> None:
    year = daily()
    taken = {day(0): ((1080, 1140),)}
    assert frames_of(year, taken=taken)[0].days[0].free == ()
    loose = book_of(year).without("session-hours")
    assert frames_of(year, taken=taken, rules=loose)[0].days[0].free == ((1080, 1140),)


def test_the_free_minutes_of_a_week_are_those_of_its_days() -> None:
    found = frames_of(daily(absences=[absence(7, 2)]))
    assert [week.free_minutes for week in found] == [420.0, 300.0, 420.0, 420.0]


# --- days kept free -------------------------------------------------------------------------------


@pytest.mark.parametrize("most", [4, 5, 6])
def test_no_seven_days_at_home_may_hold_more_training_days_than_the_rule_says(most: int) -> None:
    """With days on rock on all pairs of weekdays, and another pair in the week after."""
    year = daily(rules={"rest-day": {"limit": most}})
    for some, later in product(combinations(range(7), 2), ((0, 1), (2, 5), (5, 6))):
        days = {*some, *(7 + n for n in later)}
        rock = {n: on_rock(n, RockRole.EASY) for n in days}
        found = frames_of(year, rock=rock)
        free = set(kept_free(found))
        open_days = set(range(28)) - free | days
        for first in range(22):
            held = len(open_days & set(range(first, first + 7)))
            assert held <= most or set(range(first, first + 7)) - days <= free, (days, first)


def test_a_week_keeps_as_many_days_free_as_the_rule_leaves() -> None:
    for most in (5, 6, 7):
        found = frames_of(daily(rules={"rest-day": {"limit": most}}))
        assert [sum(one.rest for one in week.days) for week in found] == [7 - most] * 4
    assert kept_free(frames_of(daily(), rules=book_of(daily()).without("rest-day"))) == []


def test_the_day_kept_free_is_the_one_with_least_time_else_the_last_of_the_week() -> None:
    for n, name in enumerate(("monday", "wednesday", "sunday")):
        climber = {"minutes": {**DAILY["minutes"], name: 30}}
        number = (0, 2, 6)[n]
        assert kept_free(frames_of(daily(climber=climber))) == [number + 7 * k for k in range(4)]
    assert kept_free(frames_of(daily())) == [6, 13, 20, 27]


def test_of_days_alike_the_eve_of_a_project_is_kept_free() -> None:
    rock = {7 * n + 3: on_rock(7 * n + 3) for n in range(4)}
    assert kept_free(frames_of(daily(), rock=rock)) == [2, 9, 16, 23]
    easy = {n: on_rock(n, RockRole.EASY) for n in rock}
    assert kept_free(frames_of(daily(), rock=easy)) == [6, 13, 20, 27]  # the furthest from rock


def test_a_day_on_rock_is_never_the_one_kept_free() -> None:
    rock = {7 * n + k: on_rock(7 * n + k, RockRole.EASY) for n in range(4) for k in (5, 6)}
    assert not set(kept_free(frames_of(daily(), rock=rock))) & set(rock)


def test_days_since_the_last_free_one_are_counted_over_weeks() -> None:
    found = frames_of(daily(climber={"first_weekday": "thursday"}))
    free = kept_free(found)
    for week in found[2:]:
        first = (week.span.first - day(0)).days
        assert week.since_free == first - max(n for n in free if n < first) - 1
    off = frames_of(daily(), rules=book_of(daily()).without("rest-day"))
    assert {week.since_free for week in off} == {None}


# --- what is near ---------------------------------------------------------------------------------


def test_rock_and_trips_around_a_week_are_known_as_far_as_they_matter() -> None:
    """Four days, the rule on fresh fingers being as long, and what hard recipes keep clear."""
    rock = {n: on_rock(n, RockRole.EASY) for n in (2, 3, 6, 8, 14, 17, 18)}
    week = frames_of(daily(), rock=rock)[1]
    assert [one.day for one in week.rock_near] == [day(3), day(6), day(14), day(17)]
    assert [one.rock for one in week.days if one.rock] == [rock[8]]
    assert week.fresh_days == 4
    fresh = daily(rules={"session-fresh": {"limit": 9}})
    assert len(frames_of(fresh, rock=rock)[1].rock_near) == 6
    off = book_of(daily()).without("session-fresh")
    assert {one.fresh_days for one in frames_of(daily(), rules=off)} == {0}
    for first, begins in ((13, (day(13),)), (18, (day(18),)), (19, ()), (7, ())):
        found = frames_of(daily(trips=[trip(first, 3)]))
        assert next(w for w in found if day(8) in w.span).trips_begin == begins
    assert frames_of(daily(trips=[trip(15, 1)]))[1].trips_begin == ()  # a day is no trip
    two = frames_of(daily(trips=[trip(9, 2), trip(16, 2, name="Later")]))
    assert two[1].trips_begin == (day(9), day(16))


def test_whether_the_days_after_a_week_can_hold_a_session_is_known_as_far_as_work_reaches() -> None:
    """Two whole days after the hard one of these recipes; Sundays are kept free."""
    year = daily(climber={"first_weekday": "sunday", "minutes": {**DAILY["minutes"], "sunday": 30}})
    weeks = [week for week in frames_of(year) if week.span.length == 7]
    assert [week.open_after for week in weeks] == [(False, True)] * 2 + [(False, False)]
    usual = frames_of(daily())
    assert [week.open_after for week in usual] == [(True, True)] * 3 + [(False, False)]
    light = frames_of(daily(), book={"soft": SOFT})
    assert {week.open_after for week in light} == {()}


def test_a_week_after_a_small_one_knows_how_much_of_it_there_was() -> None:
    found = frames_of(daily(absences=[absence(7, 4)]))
    assert [week.before_share for week in found] == [1.0, 1.0, pytest.approx(3 / 7), 1.0]
    away = frames_of(daily(6, absences=[absence(7, 7)]))
    shares = {week.span.first: week.before_share for week in away}
    assert shares[day(14)] == 0.0
    assert shares[day(21)] == pytest.approx(0.7)  # of the first week back, blocks.toml
    assert shares[day(28)] == 1.0


# --- after trips and days off ---------------------------------------------------------------------


def test_after_a_trip_of_five_days_fingers_and_effort_rest_for_three() -> None:
    for days, kept in ((4, []), (5, [12, 13, 14]), (6, [13, 14, 15])):
        found = frames_of(daily(trips=[trip(7, days)]))
        at_home = [one for week in found for one in week.days if not one.away]
        for field in ("easy", "fingers"):
            told = [(one.day - day(0)).days for one in at_home
                    if getattr(one, field) is (field == "easy")]  # fmt: skip
            assert told == kept
    assert [one.away for one in frames_of(daily(trips=[trip(7, 7)]))[1].days] == [True] * 7


def test_the_first_week_back_has_few_finger_days_apart_and_not_at_once() -> None:
    """Two of them after any days off (blocks.toml); two days between are enough, the third day
    is early enough."""
    for off in (5, 10, 21):
        found = frames_of(daily(8, absences=[absence(28 - off, off)]))
        back = next(week for week in found if week.span.first == day(28))
        fingers = [n for n, one in enumerate(back.days) if one.fingers]
        assert fingers == [2, 5]
        assert [one.easy for one in back.days] == [True] * 4 + [False] * 3
        after = next(week for week in found if week.span.first == day(35))
        assert all(one.fingers for one in after.days)


def test_hangs_of_the_first_week_are_light_after_ten_days_off() -> None:
    for off, names in ((9, {"hang", "light"}), (10, {"light"})):
        found = frames_of(daily(8, absences=[absence(28 - off, off)]))
        back = next(week for week in found if week.span.first == day(28))
        for one in back.days:
            assert one.allowed & {"hang", "light"} == names
            assert {"soft", "hard"} <= one.allowed
        year = daily(8, absences=[absence(28 - off, off)])
        loose = frames_of(year, rules=book_of(year).without("session-return"))
        assert all({"hang", "light"} <= one.allowed for week in loose for one in week.days)


def test_nothing_at_home_is_at_the_limit_in_the_first_week_after_ten_days_off() -> None:
    """In the week after, and after fewer days off, it may be."""
    limit = {Need.WALL: "limit", Need.ROCK: "project"}
    book = {**BOOK, **{n: hard(n, stress=3, needs=(need,)) for need, n in limit.items()}}
    for off, may in ((9, True), (10, False), (21, False)):
        year = daily(8, absences=[absence(28 - off, off)], sessions={"has": ["wall"]})
        days = [one for week in frames_of(year, book=book) for one in week.days]
        first = [one.allowed for one in days if one.day in span(28, 7)]
        assert all(("limit" in allowed) is may and "project" in allowed for allowed in first)
        assert all("limit" in one.allowed for one in days if one.day in span(35, 7))


# --- what there is to train on --------------------------------------------------------------------


def test_only_what_there_is_everything_for_may_be_done() -> None:
    book = {**BOOK, "board": BOARD}
    for has, names in (
        (["wall"], {"soft", "hard", "wall"}), (["home wall"], {"soft", "hard", "wall"}),
        (["hangboard", "board"], {"soft", "hard", "hang", "light", "board"}),
        ([], {"soft", "hard"}),
    ):  # fmt: skip
        year = daily(sessions={"has": has})
        assert frames_of(year, book=book)[0].days[0].allowed == names
    loose = book_of(year).without("session-needs")
    assert frames_of(year, book=book, rules=loose)[0].days[0].allowed == set(book)


def test_a_wall_elsewhere_wants_a_session_of_some_length_and_the_way_there() -> None:
    way = {"wall_travel_minutes": 25, "minutes": {"monday": 110}}
    before = {"weekly_load": [900.0] * 4}
    far = frames_of(daily(sessions={"has": ["wall"]}, climber=way, before=before))[0]
    home = frames_of(daily(sessions={"has": ["home wall"]}))[0]
    assert table("blocks")["wall"]["least_minutes"] == 60 > WALL.least_minutes
    assert far.fit(WALL)[:3] == (60, 25, 110)  # minutes, the way, and both
    assert home.fit(WALL)[:3] == (30, 0, 30)
    assert far.fit(SOFT)[:3] == (30, 0, 30)


# --- care -----------------------------------------------------------------------------------------

MOST = hangs("most", max_fingers=True)
GROWN = recipe("grown", grown_up=True)
CARE = (SOFT, HARD, HANG, LIGHT, MOST, GROWN, recipe("legs", stresses={Tissue.KNEES: 3}),
        recipe("touch", stresses={Tissue.FINGERS: 1}))  # fmt: skip


def harmful(year: Year, number: int, *, rules: RuleBook | None = None) -> set[str]:
    almanac, book = Almanac(year), rules or book_of(year)
    return {one.id for one in CARE if harms(one, almanac, day(number), rules=book)}


def test_the_young_load_no_finger_to_the_most_and_do_nothing_for_the_grown() -> None:
    """Under 18 by the year of birth: whoever was born in 2008 may be 18 during 2027."""
    for born, harmed in ((None, set()), (2009, {"most", "grown"}), (2008, set())):
        year = daily(climber={"birth_year": born})
        young = is_young(Almanac(year), day(0), rules=book_of(year))
        assert young is bool(harmed)
        assert harmful(year, 0) == harmed
    year = daily(climber={"birth_year": 2011})
    assert not harmful(year, 0, rules=book_of(year).without("young-fingers"))
    assert not harmful(year, 0, rules=book_of(year).without("session-care"))


def test_a_finger_that_is_off_is_not_loaded_at_all_and_one_that_comes_back_not_hard() -> None:
    """Off on days 7 to 13, easy to 20, building to 27, then back in full."""
    year = daily(12, injuries=[injury(7, easy=14, building=21, full=28)])
    fingers = {"hard", "hang", "light", "most", "touch"}
    assert harmful(year, 6) == set()
    for number in (7, 13):
        assert harmful(year, number) == fingers
    for number in (14, 27):
        found = harmful(year, number)
        assert {"hard", "hang", "most"} <= found and not found & {"soft", "legs", "touch"}
    most, rules = recipe("most", max_fingers=True), book_of(year)
    for number in (7, 14, 27):  # whatever it stresses
        assert harms(most, Almanac(year), day(number), rules=rules)
    loose = book_of(year).without("injury-caps")
    assert harmful(year, 10, rules=loose) == set()


def test_in_full_hard_use_comes_back_step_by_step_and_the_most_last() -> None:
    """Whatever the steps are, nothing that was allowed is forbidden again later."""
    year = daily(26, injuries=[injury(7, easy=14, building=21, full=28)])
    almanac = Almanac(year)
    kept = [harmful(year, number) for number in range(28, 182)]
    for before, after in pairwise(kept):
        assert after <= before
    assert "most" in kept[0] and kept[-1] == set()
    assert bool(ramps(almanac, day(28))) and not ramps(almanac, day(27))
    last = max(n for n, one in enumerate(kept) if "most" in one)
    assert last == max(n for n, one in enumerate(kept) if one)


def test_a_step_back_allows_just_the_stress_it_names_on_its_tissues() -> None:
    """Each stress on each tissue, and the most on none, on every day of the steps."""
    year = daily(26, injuries=[injury(7, easy=14, building=21, full=28)])
    almanac, rules = Almanac(year), book_of(year)
    most = recipe("most", max_fingers=True)
    steps = [step for n in range(28, 182) for step in ramps(almanac, day(n))]
    assert len({step.most_stress for step in steps}) > 1
    for n in range(28, 182):
        held = ramps(almanac, day(n))
        for tissue, stress in product(Tissue, range(4)):
            one = recipe("one", stresses={tissue: stress})
            harmed = any(tissue in step.tissues and stress > step.most_stress for step in held)
            assert harms(one, almanac, day(n), rules=rules) is harmed
        barred = any(not step.max_fingers for step in held)
        assert harms(most, almanac, day(n), rules=rules) is barred


def test_while_a_part_comes_back_hard_sessions_are_few() -> None:
    hurt = injury(7, easy=14, building=21, full=28)
    year = daily(26, injuries=[hurt])
    found = frames_of(year)
    steps = {week.span.first: ramps(Almanac(year), week.span.first) for week in found}
    for week in found:
        most = [one.hard_a_week for one in steps[week.span.first]]
        assert week.most_hard == (min(most) if most else None)
    assert any(week.most_hard is not None for week in found)
    loose = frames_of(year, rules=book_of(year).without("injury-caps"))
    assert {week.most_hard for week in loose} == {None}


def test_what_is_allowed_follows_the_body_day_by_day() -> None:
    """A week in which a phase ends allows on each day what that day's phase does."""
    hurt = Injury(
        name="Finger", part="finger", happened=day(0), easy_from=day(3), building_from=day(5),
        full_from=day(10),
    )  # fmt: skip
    year = daily(4, injuries=[hurt])
    book = {one.id: one for one in CARE}
    for week in frames_of(year, book=book):
        for one in week.days:
            number = (one.day - day(0)).days
            there = {name for name in book if name not in harmful(year, number)}
            assert one.allowed == there


def test_days_off_by_an_injury_are_followed_by_the_same_care_as_others() -> None:
    hurt = injury(14, easy=28, building=29, full=30)
    found = frames_of(daily(8, injuries=[hurt]))
    back = [one for week in found for one in week.days if one.day >= day(28)][:7]
    assert [one.easy for one in back] == [True] * 4 + [False] * 3
    assert sum(one.fingers for one in back) == 2
    assert back[0].day + timedelta(days=6) == back[-1].day
