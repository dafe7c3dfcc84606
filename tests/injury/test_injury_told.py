"""The last steps after full, the cautions that are in force on a day, and who counts as young."""

from __future__ import annotations

import re
import tomllib
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from places import TESTS

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.edits.form_words import label_of
from seasonplan.explain import notes
from seasonplan.explain.care import caution_on, table_note
from seasonplan.explain.words import block_name
from seasonplan.injury import (
    Caution,
    Dates,
    Grade,
    Hurt,
    before_table_text,
    full_texts,
    healed,
    in_force_within,
    injury_of,
    is_young,
    named_by_text,
    ramp,
    ramp_steps,
    words,
    young_years,
)
from seasonplan.plan import Block, Week
from seasonplan.rules.tables import caution, shared_file, sources, table
from seasonplan.vocabulary import BodyPart, Kind, NamedBy, Tissue
from seasonplan.year import Injury, Year
from seasonplan.year.toml import read_year

TEXT = (TESTS / "years" / "twelve-weeks.toml").read_text()
YEAR = read_year(TEXT, file="year.toml")  # Mon 2 Mar to Sun 24 May 2026
HAPPENED = date(2026, 1, 10)
ARMS = (BodyPart.FINGER, BodyPart.WRIST, BodyPart.ELBOW, BodyPart.SHOULDER)


def hurt(part: str = "finger", **said: Any) -> Injury:
    return injury_of(Hurt(part=part, happened=HAPPENED, **said), YEAR, young=False)


def days(easy: str, full: str, **said: Any) -> Dates:
    return Dates(easy_from=easy, full_from=full, **said)


def with_injuries(*injuries: Injury, year: Year = YEAR) -> Year:
    return year.with_fields(injuries=injuries)


def in_force(year: Year, day: date) -> tuple[Caution, ...]:
    return in_force_within(year, Span.through(day, day))


def texts(year: Year, day: date) -> list[str]:
    return [one.text for one in in_force(year, day)]


# --- the last steps -------------------------------------------------------------------------
# Common practice, no source (shared/injuries.toml). Full from 10 April 2026 by the table: three
# months after 10 January.


def test_hard_use_comes_back_after_two_weeks_in_full_and_maximal_use_last() -> None:
    steps = ramp_steps(hurt(grade="III", side="left"))
    assert [(one.from_day, one.until_day) for one in steps] == [
        (date(2026, 4, 10), date(2026, 4, 23)),
        (date(2026, 4, 24), date(2026, 5, 7)),
        (date(2026, 5, 8), date(2026, 5, 21)),
    ]
    assert [one.most_stress for one in steps] == [1, 2, 3]
    assert [one.hard_a_week for one in steps] == [0, 2, 2]
    assert [one.max_fingers for one in steps] == [False, False, True]
    assert [one.words for one in steps] == [
        "no hard use of the fingers yet",
        "hard use of the fingers at most twice a week; no limit bouldering and no maximal hangs "
        "yet",
        "limit bouldering and maximal hangs again, these lighter at first, half as many hangs as "
        "before at most and more from week to week; hard use of the fingers still at most twice a "
        "week",
    ]


def test_each_day_after_full_lies_in_one_step_until_there_are_none() -> None:
    entry = hurt(grade="III")
    first, after = date(2026, 4, 10), date(2026, 5, 22)
    assert ramp(entry, first - timedelta(1)) is None and ramp(entry, after) is None
    found = [ramp(entry, day) for day in Span(first, after).days()]
    assert all(found) and len(dict.fromkeys(found)) == 3
    for one, other in pairwise(ramp_steps(entry)):
        assert one.until_day + timedelta(1) == other.from_day


@pytest.mark.parametrize("part", BodyPart)
def test_arms_back_and_legs_have_steps_and_skin_and_the_whole_have_none(part: BodyPart) -> None:
    steps = ramp_steps(hurt(part.value, dates=days("2026-02-01", "2026-03-01")))
    assert bool(steps) is (part not in (BodyPart.SKIN, BodyPart.OTHER))
    own = {Tissue(name) for name in table("injuries")["tissues"][part]}
    for step in steps if part not in ARMS else ():
        assert step.max_fingers and {*step.tissues} == own
        assert f"hard use of the {part.value} " in step.words
    for step in steps if part in ARMS else ():
        assert Tissue.FINGERS in step.tissues and Tissue(f"{part.value}s") in step.tissues
        what = "the fingers" if part is BodyPart.FINGER else f"{part.value} and fingers"
        assert f"hard use of {what} " in step.words


def test_legs_and_back_bear_nothing_hard_for_two_weeks_and_little_for_two_more() -> None:
    steps = ramp_steps(hurt("knee", dates=days("2026-03-07", "2026-04-10")))
    assert [(one.from_day, one.until_day, one.most_stress, one.hard_a_week) for one in steps] == [
        (date(2026, 4, 10), date(2026, 4, 23), 1, 0),
        (date(2026, 4, 24), date(2026, 5, 7), 2, 2),
    ]


def test_a_part_without_days_has_no_steps_yet() -> None:
    assert ramp_steps(hurt()) == () and ramp(hurt(), date(2026, 5, 1)) is None


def test_the_steps_say_that_no_source_stands_behind_them() -> None:
    raw = table("injuries")["ramp"]
    assert (raw["evidence"], raw["label"]) == ("common practice", "common practice, no source")


# --- in force -------------------------------------------------------------------------------


def test_a_phase_tells_what_is_not_yet_and_the_day_of_the_first_hard_finger_work() -> None:
    year = with_injuries(hurt(grade="III", side="left"))
    easy = in_force(year, date(2026, 3, 10))[0]
    assert easy.part == "left finger" and easy.entry == "left-finger"
    assert (easy.from_day, easy.until) == (date(2026, 3, 7), date(2026, 3, 23))
    assert easy.text == (
        "Left finger, easy from Sat 7 Mar 2026 until Mon 23 Mar 2026. Not yet: hard climbing, "
        "boulders outside, power and maximal finger work. First hard finger work from Fri 24 Apr "
        "2026, first limit bouldering and maximal hangs from Fri 8 May 2026 (common practice, no "
        "source)."
    )


def test_taping_is_told_as_long_as_the_table_says_from_the_first_climbing_on() -> None:
    # Schöffl & Schöffl 2006: grade III, tape while climbing for 6 months.
    year = with_injuries(hurt(grade="III"))
    taped = [day for day in Span(date(2026, 3, 1), date(2026, 8, 1)).days()
             if any("tape while climbing" in text for text in texts(year, day))]  # fmt: skip
    assert (taped[0], taped[-1]) == (date(2026, 3, 7), date(2026, 7, 9))
    assert len(taped) == (taped[-1] - taped[0]).days + 1
    told = next(text for text in texts(year, taped[0]) if "tape" in text)
    assert "6 months from the injury" in told and "Schöffl & Schöffl 2006" in told


@pytest.mark.parametrize(
    ("grade", "last"),
    [("I", date(2026, 4, 9)), ("II", date(2026, 4, 9)), ("III", date(2026, 7, 9))],
)
def test_each_grade_is_taped_by_its_own_row(grade: str, last: date) -> None:
    year = with_injuries(hurt(grade=grade))
    assert any("tape" in text for text in texts(year, last))
    assert not any("tape" in text for text in texts(year, last + timedelta(1)))


def test_after_surgery_taping_lasts_at_least_a_year() -> None:
    entry = hurt(grade="IV", dates=days("2026-05-10", "2026-07-10", cleared=True))
    told = next(text for text in texts(with_injuries(entry), date(2026, 6, 1)) if "tape" in text)
    assert "at least until Sat 9 Jan 2027" in told and "more than 12 months" in told


def test_nothing_of_the_adults_table_is_told_to_the_young() -> None:
    young = read_year(
        TEXT.replace('name = "Mira"', 'name = "Mira"\nbirth_year = 2011'), file="year.toml"
    )
    entry = hurt(grade="III", dates=days("2026-03-07", "2026-04-10", cleared=True))
    day = date(2026, 3, 8)
    assert not any("tape" in text for text in texts(with_injuries(entry, year=young), day))
    assert any("tape" in text for text in texts(with_injuries(entry), day))


def test_days_of_one_s_own_are_called_so_until_all_is_back() -> None:
    own = hurt("knee", dates=days("2026-03-07", "2026-04-10"))
    told = "Knee: your own days; no clinician named them."
    assert told in texts(with_injuries(own), date(2026, 4, 9))
    assert told not in texts(with_injuries(own), date(2026, 4, 10))
    cleared = hurt("knee", dates=days("2026-03-07", "2026-04-10", cleared=True))
    assert told not in texts(with_injuries(cleared), date(2026, 4, 9))


def test_while_a_leg_is_off_hard_hangs_are_told_from_the_day_on_which_they_go_on() -> None:
    """Not from full, as of a back: they go on as soon as it bears something."""
    dates = days("2026-03-07", "2026-04-10")
    hangs = "Hard hangs again from Sat 7 Mar 2026, fewer than before. "
    most = "First maximal finger work from Fri 10 Apr 2026. "
    use = "First hard use of the {} from Fri 24 Apr 2026 (common practice, no source)."
    for part, off, later, full in (
        ("knee", hangs, "", "landings with care"), ("back", most, most, "nothing heavy"),
    ):  # fmt: skip
        entry = hurt(part, dates=dates)
        told = [texts(with_injuries(entry), date(2026, *day))[0] for day in ((3, 6), (4, 9))]
        assert all(text.endswith(use.format(part)) for text in told)
        assert [off in told[0], later in told[1], full in full_texts(entry)[0]] == [True] * 3
        assert ("finger work from" in told[1]) is bool(later) and hangs not in told[1]


def test_no_day_is_told_to_the_young_on_which_they_might_hang_to_the_most() -> None:
    young = read_year(
        TEXT.replace('name = "Mira"', 'name = "Mira"\nbirth_year = 2011'), file="year.toml"
    )
    dates = days("2026-02-01", "2026-03-02", cleared=True)
    for part in ("elbow", "knee", "back"):
        entry = hurt(part, dates=dates)
        for day in (date(2026, 1, 20), date(2026, 2, 10), date(2026, 3, 20), date(2026, 4, 5)):
            told = " ".join(texts(with_injuries(entry, year=young), day))
            assert not re.search("maximal (hangs|finger work) (from|again)", told), told
            assert "Hard hangs again" not in told
        assert "maximal finger work among" not in full_texts(entry, young=True)[0]
    elbow = texts(with_injuries(hurt("elbow", dates=dates), year=young), date(2026, 4, 5))
    assert "no maximal hangs under 18" in elbow[0]
    assert "no maximal hangs under 18" in full_texts(hurt("elbow", dates=dates), young=True)[0]


def test_each_step_after_full_is_told_while_it_lasts() -> None:
    year = with_injuries(hurt("elbow", dates=days("2026-02-01", "2026-03-02", cleared=True)))
    assert texts(year, date(2026, 3, 2)) == [
        "Elbow, back by steps, until Sun 15 Mar 2026: no hard use of elbow and fingers yet. First "
        "hard finger work from Mon 16 Mar 2026, first limit bouldering and maximal hangs from "
        "Mon 30 Mar 2026 (common practice, no source)."
    ]
    assert (
        "First limit bouldering and maximal hangs from Mon 30" in texts(year, date(2026, 3, 16))[0]
    )
    last = texts(year, date(2026, 4, 12))
    assert len(last) == 1 and last[0].endswith("twice a week (common practice, no source).")
    assert texts(year, date(2026, 4, 13)) == []


def test_without_days_a_part_is_off_until_the_climber_says_otherwise() -> None:
    year = with_injuries(hurt("elbow", side="right"))
    (told,) = in_force(year, date(2026, 4, 1))
    assert told.until is None and told.part == "right elbow"
    assert "no days named yet" in told.text and "until you say otherwise" in told.text
    assert "at most to the end of your year, Sun 24 May 2026" in told.text
    assert "2199" not in told.text and not in_force(year, HAPPENED - timedelta(1))


def test_an_illness_is_told_by_its_name() -> None:
    ill = hurt("other", name="Flu", dates=days("2026-03-07", "2026-04-10", cleared=True))
    assert in_force(with_injuries(ill), HAPPENED)[0].part == "“Flu”"


def test_an_illness_has_a_caution_of_its_own_and_an_injury_beside_it_has_its_own_too() -> None:
    ill = hurt("other", name="Flu", dates=days("2026-03-07", "2026-04-10", cleared=True))
    knee = hurt("knee", dates=days("2026-03-20", "2026-04-10"))
    day = [Span.through(HAPPENED, HAPPENED)]
    assert caution_on(with_injuries(ill), day) == caution("unwell")
    assert "injury" not in caution("unwell") and "fever" in caution("unwell")
    assert caution_on(with_injuries(ill, knee), day) == caution("injury")
    off = Block(id="injured-1", kind=Kind.INJURED, span=day[0], weeks=(Week(span=day[0]),),
                entry=ill.id)  # fmt: skip
    assert block_name(off, with_injuries(ill)) == "Time off “Flu”"


def test_a_span_tells_each_caution_of_its_days_once() -> None:
    year = with_injuries(hurt(grade="III"), hurt("knee", dates=days("2026-03-20", "2026-04-10")))
    week = Span.through(date(2026, 3, 16), date(2026, 3, 22))
    told = in_force_within(year, week)
    assert len(set(told)) == len(told)
    by_day: list[Caution] = [one for day in week.days() for one in in_force(year, day)]
    assert set(told) == set(by_day)
    assert sum("Knee, off" in one.text or "Knee, easy" in one.text for one in told) == 2


def test_whose_the_days_are_is_said_plainly() -> None:
    own = days("2026-03-07", "2026-04-10")
    cleared = days("2026-03-07", "2026-04-10", cleared=True)
    assert named_by_text(hurt("knee", dates=own)) == "Your own days; no clinician named them."
    assert named_by_text(hurt("knee", dates=cleared)) == "A clinician named these days."
    assert "published table" in named_by_text(hurt(grade=Grade.II))
    assert named_by_text(hurt("knee")) == "No days named yet."
    assert "no clinician" in named_by_text(healed(hurt("knee"), date(2026, 3, 1)))


# --- the young ------------------------------------------------------------------------------
# That the growth plates close at around 17 is published (BMC guide); under 18 is this project's
# cautious line.


def test_one_age_stands_in_forms_words_and_notes() -> None:
    assert young_years() == 18
    for born, young in [(2007, False), (2008, True)]:  # 18 for certain on 1 January 2026, or not
        year = YEAR.with_fields(climber=YEAR.climber.model_copy(update={"birth_year": born}))
        assert notes.is_young(year) is young
    assert "Under 18" in caution("young") and "under 18" in words("young")
    assert "under 18" in label_of("climber", "birth_year")[1]


def test_the_rule_on_young_fingers_names_the_same_age() -> None:
    rules = tomllib.loads(shared_file("rules.toml").read_text(encoding="utf-8"))
    assert rules["young-fingers"]["limit"] == young_years()


def test_the_words_say_what_is_published_and_what_is_ours() -> None:
    assert "around 17, published guidance says" in words("young")
    assert "this project's own cautious line" in words("young")
    assert "17" in sources()["bmc-growth-plates"].says
    raw = table("injuries")["young"]
    assert raw["evidence"] == "common practice"
    assert len(raw["sources"]) == 3 and set(raw["sources"]) <= set(sources())


def test_the_age_is_reached_in_the_year_after_the_birthday_that_may_be_meant() -> None:
    for born, young in ((2007, True), (2006, False), (None, False)):
        climber = {**dict(YEAR.climber), "birth_year": born}
        year = YEAR.with_fields(climber=type(YEAR.climber)(**climber))
        day = date(2025, 12, 31)
        assert is_young(year, day) is young is Almanac(year).under(18, day)


def test_days_called_the_table_s_that_come_before_them_are_doubted_and_taken() -> None:
    """Schöffl & Schöffl 2006, grade II: easy after four weeks, full after six to eight."""
    table_s = hurt(grade=Grade.II)
    assert table_s.named_by is NamedBy.TABLE and before_table_text(table_s) == ""
    early = Injury(**{**dict(table_s), "easy_from": date(2026, 1, 26)})
    (note,) = table_note(with_injuries(early))
    assert "for a pulley of grade II it names easy sport from Sat 7 Feb 2026" in note
    assert "full sport from Sat 21 Feb 2026 at the earliest" in note
    assert named_by_text(early).startswith("These days are called those of the table, but")
    told = [one.text for one in in_force(with_injuries(early), date(2026, 3, 2))]
    assert any("called those of the table, but" in text for text in told)
    for other in (NamedBy.CLINICIAN, NamedBy.OWN):
        named = Injury(**{**dict(early), "named_by": other})
        assert before_table_text(named) == "" and table_note(with_injuries(named)) == []
