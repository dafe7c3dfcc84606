"""Menus as they are served: every course can be done in its block, twice what is asked twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from itertools import product

import pytest
from plan_maker import a_year, day, goal, season, trip
from planned import planned

from seasonplan.body.almanac import Almanac
from seasonplan.injury import most_stress
from seasonplan.planner.menus import (
    FAMILIES,
    LEAD_IN,
    Serving,
    can_train,
    finger_table,
    making,
    menu_name,
)
from seasonplan.recipes import Need, recipes
from seasonplan.rules.tables import table
from seasonplan.vocabulary import (
    CHOSEN,
    EMPHASES,
    BodyPart,
    Discipline,
    Emphasis,
    Kind,
    Phase,
    Spread,
)
from seasonplan.year import Year

BOOK = recipes()
NAMES = {(kind, one): menu_name(kind, one) for kind in CHOSEN for one in EMPHASES[kind]}


def of_discipline(
    discipline: Discipline, *, born: int | None = None, has: Sequence[str] | None = None
) -> Serving:
    """A year with one goal and season of that discipline."""
    grade = {"boulder": "7A", "ice": "WI4"}.get(discipline.value, "6c")
    one = goal(discipline=discipline.value, grade=grade)
    year = a_year(
        20, climber={"birth_year": born}, goals=[one],
        seasons=[season(105, 21, discipline=discipline.value)],
        **({} if has is None else {"sessions": {"has": list(has)}}),
    )  # fmt: skip
    return Serving(Almanac(year))


every_discipline = pytest.mark.parametrize("discipline", list(Discipline))


@every_discipline
def test_every_course_names_recipes_there_are_for_its_block(discipline: Discipline) -> None:
    serving = of_discipline(discipline)
    for (kind, emphasis), name in NAMES.items():
        courses = serving.courses(name, day(0))
        assert len(courses) >= 3
        for course in courses:
            assert all(one in BOOK for one in course), (name, course)
            if kind is not Kind.PERFORMANCE:
                assert any(kind in BOOK[one].kinds for one in course), (name, course)
        makes = making(kind, emphasis)
        hangs = name in finger_table().seconds
        assert not makes or hangs or any(set(course) & makes for course in courses)


@every_discipline
def test_a_lead_in_has_a_menu_of_its_own_with_endurance_kept_up_where_it_is_asked(
    discipline: Discipline,
) -> None:
    serving = of_discipline(discipline)
    for emphasis in EMPHASES[Kind.PERFORMANCE]:
        name = menu_name(Kind.PERFORMANCE, emphasis, lead_in=True)
        assert name == (f"{LEAD_IN} endurance" if emphasis is Emphasis.ENDURANCE else LEAD_IN)
        courses = serving.courses(name, day(100))
        assert courses and all(one in BOOK for course in courses for one in course)
        assert serving.hangs(name, day(100)) in finger_table().seconds


def test_what_is_hurt_or_comes_back_is_served_the_same_whatever_the_goal() -> None:
    for name in ("injured", "injured lower", "return", "return upper", "return lower"):
        served = {of_discipline(one).courses(name, day(0)) for one in Discipline}
        assert len(served) == 1
        kind = Kind(name.split()[0])
        assert all(any(kind in BOOK[one].kinds for one in course) for course in served.pop())


@every_discipline
def test_from_50_legs_and_pressing_are_served_twice_and_the_rest_in_its_order(
    discipline: Discipline,
) -> None:
    """But in rest and in a lead-in. Custom of this project."""
    twice = {(one,) for one in table("menus")["from_50"]["twice"]}
    young, older = of_discipline(discipline), of_discipline(discipline, born=1970)
    for name in (*NAMES.values(), LEAD_IN):
        usual, served = young.courses(name, day(0)), older.courses(name, day(0))
        if name in ("rest", LEAD_IN):
            assert served == usual
            continue
        counted = Counter(served)
        assert all(counted[one] == 2 for one in twice)
        assert [one for one in served if one not in twice] == [
            one for one in usual if one not in twice
        ]
        assert twice & set(served[:4])


@pytest.mark.parametrize(
    ("discipline", "load", "behind"), [("sport", 3000, 1), ("boulder", 1800, 0)]
)
def test_who_trains_much_has_hard_moves_in_base_too(
    discipline: str, load: float, behind: int
) -> None:
    """Who boulders before the easier problems of that week, for which no day was left. Common
    practice, no source."""
    serving = of_discipline(Discipline(discipline))
    for name in NAMES.values():
        usual = serving.courses(name, day(0), load=load - 1)
        much = serving.courses(name, day(0), load=load)
        hard = ("good-hold-boulders",)
        if name.startswith("base") and name != "base power endurance":
            assert much == (*usual[:behind], hard, *usual[behind:])
        else:
            assert much == usual


# --- stand-ins ------------------------------------------------------------------------------------


@every_discipline
def test_the_young_are_served_hard_boulders_on_good_holds_for_the_hardest_tries(
    discipline: Discipline,
) -> None:
    """Custom, no source: on a rope and on boulders twice in a base week, too."""
    young, grown = of_discipline(discipline, born=2012), of_discipline(discipline, born=1990)
    climbs = FAMILIES[discipline] in ("rope", "boulder")
    for (kind, _), name in [*NAMES.items(), ((Kind.PERFORMANCE, None), LEAD_IN)]:
        usual = [one for course in grown.courses(name, day(0)) for one in course]
        served = [one for course in young.courses(name, day(0)) for one in course]
        hardest = [one for one in usual if BOOK[one].grown_up]
        assert "good-hold-boulders" not in usual
        assert not any(BOOK[one].grown_up for one in served)
        more = 2 if climbs and kind is Kind.BASE else 0
        assert served.count("good-hold-boulders") == len(hardest) + more
    assert not BOOK["good-hold-boulders"].max_fingers


@every_discipline
def test_who_has_no_gear_is_served_pressing_and_pulling(discipline: Discipline) -> None:
    bare = of_discipline(discipline, has=())
    usual = of_discipline(discipline)
    for (kind, _), name in NAMES.items():
        at_hand = [
            one for course in bare.courses(name, day(0)) for one in course
            if set(BOOK[one].needs) <= {Need.NOTHING, Need.DAYLIGHT}
        ]  # fmt: skip
        assert kind is Kind.REST or "antagonists" in at_hand, name
        pulls = any("pulling-strength" in course for course in usual.courses(name, day(0)))
        assert ("pulling-without-weights" in at_hand) is pulls, name


def test_a_year_without_any_gear_holds_pressing_in_base_and_strength_weeks() -> None:
    year = a_year(16, seasons=[season(84, 21)], sessions={"has": ["partner"]})
    made = planned(year)
    assert made is not None
    done = {one.recipe for one in made.sessions}
    assert {"antagonists", "pulling-without-weights"} <= done and "pulling-strength" not in done


def test_an_emphasis_can_be_trained_where_one_recipe_that_makes_it_can_be_done() -> None:
    for kind, emphasis in NAMES:
        makes = making(kind, emphasis)
        assert can_train(kind, emphasis, set()) is not bool(makes)
        assert all(can_train(kind, emphasis, {one}) for one in makes)
        assert all(kind in BOOK[one].kinds for one in makes)
    assert making(Kind.REST, Emphasis.NONE) == frozenset()
    assert "limit-bouldering" in making(Kind.STRENGTH, Emphasis.POWER)


def test_every_split_names_recipes_of_hangs_and_how_often() -> None:
    for spread in Spread:
        split = finger_table().split(spread)
        assert BOOK[split.recipe].hang_seconds > 0 and 1 <= split.most_days <= 7
        assert not split.hard or BOOK[split.hard].hard_hangs
    assert not BOOK[finger_table().split(Spread.LIGHT).recipe].hard_hangs


# --- whose courses --------------------------------------------------------------------------------

SPANS = {"sport": (56, 14), "boulder": (112, 14), "ice": (154, 21)}


def of_three(priorities: dict[str, int]) -> tuple[Year, Serving]:
    year = a_year(
        28,
        goals=[
            goal(name=one, place=one, discipline=one, priority=priorities[one],
                 grade={"boulder": "7A", "ice": "WI4"}.get(one, "6c"))
            for one in SPANS
        ],
        seasons=[
            season(*days, name=f"{one} season", place=one, discipline=one)
            for one, days in SPANS.items()
        ],
    )  # fmt: skip
    return year, Serving(Almanac(year))


def served(
    on: date, days: dict[str, list[date]], priorities: dict[str, int], *, nearest: bool
) -> str:
    """By the words of the table: of goals whose next day on rock is less than sixteen weeks ahead
    the one that counts most, else the nearest; when none is ahead, the first by priority."""
    ahead = {one: min(d for d in found if d >= on) for one, found in days.items()
             if any(d >= on for d in found)}  # fmt: skip
    order = sorted(SPANS, key=lambda one: priorities[one])
    if not ahead:
        return order[0]
    weeks = table("menus")["serving"]["ahead_weeks"]
    near = [one for one in order if one in ahead and (ahead[one] - on).days < 7 * weeks]
    if near and not nearest:
        return near[0]
    return min(ahead, key=lambda one: ahead[one])


@pytest.mark.parametrize("order", [(1, 2, 3), (3, 2, 1), (2, 1, 2), (1, 1, 1), (3, 1, 2)])
def test_a_week_serves_the_goal_that_counts_most_of_those_near_enough(
    order: tuple[int, int, int],
) -> None:
    priorities = dict(zip(SPANS, order, strict=True))
    year, serving = of_three(priorities)
    days = {
        chance.goal.id: sorted(chance.chances) for chance in Almanac(year).opportunities
    }  # fmt: skip
    seen = set()
    for one, nearest in product(year.span.days(), (False, True)):
        found = serving.discipline(one, next_rock=nearest).value
        assert found == served(one, days, priorities, nearest=nearest), one
        seen.add(found)
    assert seen == set(SPANS)


def test_without_goals_it_is_sport_and_every_discipline_has_a_family() -> None:
    assert Serving(Almanac(a_year(6))).discipline(day(0), next_rock=False) is Discipline.SPORT
    away = a_year(6, goals=[goal()], trips=[trip(14, 7)])  # nothing serves it
    assert Serving(Almanac(away)).discipline(day(0), next_rock=True) is Discipline.SPORT
    assert set(FAMILIES) == set(Discipline)
    assert set(FAMILIES.values()) <= set(table("menus"))


def test_hangs_of_a_menu_stand_under_its_name_but_for_other_goals_lead_ins() -> None:
    for discipline in Discipline:
        serving = of_discipline(discipline)
        own = f"{LEAD_IN} {FAMILIES[discipline]}"
        expected = own if own in finger_table().seconds else LEAD_IN
        assert serving.hangs(LEAD_IN, day(100)) == expected
        assert serving.hangs("base fingers", day(0)) == "base fingers"


ARMS = (BodyPart.FINGER, BodyPart.WRIST, BodyPart.ELBOW, BodyPart.SHOULDER)


@pytest.mark.parametrize("part", ARMS)
@pytest.mark.parametrize("phase", [Phase.EASY, Phase.BUILDING])
def test_the_courses_for_hurt_arms_hold_slow_strength_that_the_part_allows(
    part: BodyPart, phase: Phase
) -> None:
    courses = Serving(Almanac(a_year(4))).courses("return upper", day(0))
    one = BOOK["return-arms"]
    most = most_stress([(part, phase)])
    assert (one.id,) in courses and one.kinds == (Kind.RETURN,)
    assert all(stress <= most[tissue] for tissue, stress in one.stresses.items())
    assert "physiotherapist" in one.do and "physiotherapist" in one.caution
