"""At which step of its work a session is: counted by what stands in the plan, not by its weeks.

Common practice, no source: after weeks without it hard work begins again below what it was.
"""

from __future__ import annotations

import pytest
from folder_maker import YEAR, revision, session
from hurt import hurt_text
from plan_maker import block, day

from seasonplan.explain.agenda import Agenda
from seasonplan.explain.day_told import DayTeller
from seasonplan.explain.sessions import notes_by_session, text_of
from seasonplan.explain.steps import steps_of
from seasonplan.ical.layers import Layer
from seasonplan.plan import Session
from seasonplan.recipes import Step, standard_recipes
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind
from seasonplan.year import Year
from seasonplan.year.toml import read_year

BOOK = standard_recipes()
HUNG = "\n[before]\nhard_finger_sessions = 2\nhung_daily = true\n"
AWAY = read_year(YEAR + HUNG, file="year.toml")  # a fair takes the week of 15 February
KNOWN = AWAY.model_copy(update={"absences": ()})
SHORT, LONG, KEPT = "fingerboard-short", "fingerboard-long", "season-fingers"
LINKS, LIMIT, PULLS = "interval-circuits", "limit-bouldering", "pulling-strength"
ADDING = ("add up to", "gets up to", "take 1 kg", "1 kg more", "a little more weight", "load of")


def on(recipe: str, *weeks: int, block: str = "base-1", light: int = 0) -> list[Session]:
    """A session of it on the Tuesday of each of these weeks of the plan, from 1."""
    minutes, hangs = BOOK[recipe].minutes, 6 if BOOK[recipe].hang_seconds else 0
    return [
        session(
            f"{recipe}-{block}-{week}", recipe, 7 * (week - 1) + 1, "18:00", minutes,
            week=week, block=block, light=week == light, hangs=hangs,
        )
        for week in weeks
    ]  # fmt: skip


def steps(sessions: list[Session], year: Year = KNOWN, **more: object) -> list[Step]:
    found = steps_of(revision(sessions, **more), BOOK, year)
    return [found[one.id] for one in sessions]


def told(sessions: list[Session], year: Year = KNOWN) -> list[str]:
    pairs = zip(sessions, steps(sessions, year), strict=True)
    return [text_of(one, BOOK[one.recipe], step=step).this_week for one, step in pairs]


@pytest.mark.parametrize("recipe", [SHORT, LONG, KEPT, LINKS, LIMIT, PULLS])
def test_the_first_after_weeks_of_none_is_the_first_step_and_says_so(recipe: str) -> None:
    """Weeks 6 to 8 held none: who comes back adds nothing, whatever week of the block it is."""
    sessions = on(recipe, 1, 2, 3, 4, 5, 9, 10)
    assert [step.number for step in steps(sessions)] == [1, 2, 3, 4, 5, 1, 2]
    again, after = told(sessions)[5:]
    assert again.startswith("Step 1, again after 28 days: ")
    assert after.startswith("Step 2 since the break of 28 days: ")
    assert not any(word in again.lower() for word in ADDING)


def test_hangs_that_begin_late_in_a_block_begin_with_their_first_step() -> None:
    first, second = told(on(LONG, 5, 6))
    assert first.startswith("Step 1: 6 hangs at 85 % of your maximum. Untested: three seconds left")
    assert second.startswith("Step 2: ")


def test_a_work_of_every_second_week_goes_on() -> None:
    assert [step.number for step in steps(on(KEPT, 1, 3, 5))] == [1, 2, 3]
    days, sessions = composing().again.after_days, on(LONG, 1, 2)
    for between, number in ((days - 1, 2), (days, 1)):
        later = sessions[0].day.toordinal() + between + 1
        moved = sessions[1].model_copy(update={"day": type(day(0)).fromordinal(later), "week": 4})
        assert steps([sessions[0], moved])[1].number == number


def test_another_recipe_of_hard_hangs_has_its_own_steps_and_keeps_the_load() -> None:
    """The fifth week of hangs and the first of these: nothing is added, nothing lost."""
    weeks = [*on(KEPT, 1, 2, 3, 4), *on(LONG, 5), *on(LONG, 6, block="strength-1")]
    assert [step.number for step in steps(weeks)] == [1, 2, 3, 4, 1, 1]
    for text in told(weeks)[4:]:
        assert text.startswith("Step 1: 6 hangs at 85 %") and "Begin with the load you have" in text
    kept = [*on(LONG, 1, 2, 3), *on(KEPT, 4, 5, 6), *on(LONG, 7)]
    assert steps(kept)[-1].number == 4  # its step 3 stood in this run


def test_links_are_no_hangs_and_count_for_themselves() -> None:
    weeks = [*on(LINKS, 1, 2), *on(LIMIT, 3, 4, 5, 6), *on(LINKS, 7)]
    assert told(weeks)[-1].startswith("Step 1, again after 35 days: Links of 20 moves")


def test_a_light_week_is_no_step_and_its_hangs_never_begin_without_a_load() -> None:
    weeks = on(LONG, 1, 2, 3, 4, 5, light=4)
    texts = told(weeks)
    assert texts[3] == "A light week: 6 hangs at the load you have; nothing is added."
    assert texts[4].startswith("Step 4: 6 hangs at the load of step 3")
    first = told(on(LONG, 1, 2, light=1))
    assert first[0].startswith("Step 1: 6 hangs at 85 %") and first[1].startswith("Step 2")
    back = told(on(LONG, 1, 8, light=8))[1]
    assert back.startswith("Step 1, again after 49 days: 6 hangs at 85 %")


@pytest.mark.parametrize("recipe", [SHORT, LONG, KEPT, LINKS, LIMIT, PULLS])
def test_two_normal_weeks_of_a_block_are_never_alike_whatever_stands_in_them(recipe: str) -> None:
    """Also where a break cuts the block in two: what comes after it says so."""
    texts = told(on(recipe, 1, 2, 3, 5, 6, 9, 10, 11, light=6))
    assert len(set(texts)) == len(texts)
    assert texts[-1].startswith("Step 3 since the break of 21 days: ")


def test_easy_work_goes_on_after_a_break() -> None:
    for recipe in ("mobility", "aerobic", "long-easy-climbing"):
        assert told(on(recipe, 1, 9))[1].startswith("Step 2: ")


def test_weeks_that_were_missed_are_no_steps() -> None:
    """As the diary says; from half a week on they count."""
    weeks = on(LONG, 1, 2, 3, 4)
    missed = {day(7): 0.2, day(14): 0.5}
    assert [step.number for step in steps(weeks, done=missed)] == [1, 2, 2, 3]
    for_long = {day(7 * n): 0.0 for n in (1, 2)}
    assert [step.after for step in steps(weeks, done=for_long)] == [0, 0, 0, 21]


def hurt(part: str, *days: int) -> Year:
    lines = hurt_text("Hurt", part, *(str(day(n)) for n in days))
    year = read_year(YEAR + HUNG + lines, file="year.toml")
    return year.model_copy(update={"absences": ()})


def test_what_an_injury_or_days_off_took_is_no_step() -> None:
    """Sessions of a plan that was made before either was entered."""
    weeks = on(LIMIT, 1, 2, 3, 4)
    assert [step.number for step in steps(weeks, hurt("finger", 3, 9, 11, 14))] == [1, 2, 1, 1]
    away = [step.number for step in steps(on(LONG, 5, 6, 7, 8), AWAY)]
    assert away == [1, 2, 3, 3]


def test_steps_go_on_through_the_phases_of_one_injury_and_begin_again_after_it() -> None:
    """Holds that began again with nearly all weight on the feet whenever a phase ended."""
    of = {"injured-1": "hurt", "return-1": "hurt", "return-2": "hurt", "return-3": "knee"}
    weeks = {"injured-1": (1, 2), "return-1": (3,), "return-2": (4, 5), "return-3": (6,)}
    blocks = tuple(
        block(Kind.RETURN if "return" in name else Kind.INJURED, 7 * weeks[name][0] - 7,
              7 * len(weeks[name]), id=name, entry=entry)
        for name, entry in of.items()
    )  # fmt: skip
    sessions = [one for name, held in weeks.items() for one in on("return-arms", *held, block=name)]
    found = steps(sessions, blocks=blocks)
    assert [step.number for step in found] == [1, 2, 3, 4, 5, 1]


def test_what_an_injury_barred_for_long_begins_again_sooner_than_after_a_gap() -> None:
    """Ten days; of what it does not bar nothing is broken off."""
    year = hurt("knee", 2, 6, 10, 14)
    assert steps(on(LIMIT, 1, 3), year)[1].after == 14
    assert steps(on(LONG, 1, 3), year)[1].number == 2


def test_events_and_pages_tell_the_same_step() -> None:
    plan = revision(on(LONG, 1, 2, 3, 9), blocks=(block(Kind.BASE, 0, 70, id="base-1"),))
    said = "Step 1, again after 42 days: 6 hangs at 85 % of your maximum."
    last = plan.sessions[-1]
    assert Agenda(KNOWN, plan, book=BOOK).text(last).this_week.startswith(said)
    assert said in notes_by_session(plan, KNOWN, book=BOOK, health=True)[last.id]
    page = DayTeller(KNOWN, plan, layers=frozenset(Layer)).session(last)
    assert any(line.startswith(said) for line in page.brief)


def rock(recipe: str, *days: int, block: str = "trip-1", at: str = "isle") -> list[Session]:
    """A day on rock with it on each of these days of the plan."""
    role = BOOK[recipe].role
    return [
        session(f"{recipe}-{n}", recipe, n, "10:00", 180, block=block, rock=at, role=role)
        for n in days
    ]


def test_the_first_real_tries_come_on_a_trip_of_a_week() -> None:
    """Common practice, no source: tries go by days there. Three days with "links count more than
    the top" were all of one trip of two weeks."""
    texts = told(rock("redpoint-day", 36, 38, 41))
    assert [text[:7] for text in texts] == ["Step 1:", "Step 2:", "Step 3:"]
    assert texts[2] == "Step 3: The first real tries from the ground."
    assert "real tries" not in BOOK["redpoint-day"].do  # what steps 1 and 2 are not
    assert "from the start" not in BOOK["boulder-project-day"].do.lower()
    easy = steps(rock("easy-rock-day", 35, 37, 40))
    assert [step.number for step in easy] == [1, 1, 1]


def test_who_knows_the_rock_does_not_learn_it_again() -> None:
    """The same season in another block, after a rest, a return or weeks of rain."""
    for recipe, numbers in (("easy-boulder-day", [1, 2, 3, 3]), ("redpoint-day", [1, 2, 3, 4])):
        days = [*rock(recipe, 3, 10, block="performance-1"), *rock(recipe, 44, 45)]
        assert [step.number for step in steps(days)] == numbers
        assert not any(step.after or step.since for step in steps(days))
    elsewhere = [*rock("redpoint-day", 3, 10), *rock("redpoint-day", 45, at="karst")]
    assert steps(elsewhere)[-1].number == 1


def test_only_the_first_test_of_a_year_is_the_one_to_compare_with() -> None:
    blocks = zip((1, 5, 8), ("base-1", "base-1", "strength-1"), strict=True)
    tests = [one for week, name in blocks for one in on("test-day", week, block=name, light=1)]
    texts = told(tests)
    assert texts[0].startswith("Step 1: Nothing is proved by the first number")
    assert texts[1].startswith("Step 2: ") and texts[2].startswith("Step 3: ")


def test_light_holds_of_many_weeks_are_not_learnt_anew_in_another_block() -> None:
    """But after an injury: then with what the feet must take; an illness is none."""
    light = "fingerboard-often"
    weeks = [*on(light, 1, 2), *on(light, 3, block="return-1"), *on(light, 4, 5, block="base-2")]
    for part, numbers in (("shoulder", [1, 2, 1, 2, 3]), ("other", [1, 2, 3, 4, 5])):
        back = block(Kind.RETURN, 14, 7, id="return-1", entry="hurt")
        blocks = (back, block(Kind.BASE, 21, 14, id="base-2"))
        found = steps(weeks, hurt(part, 10, 14, 21, 40), blocks=blocks)
        assert [step.number for step in found] == numbers
