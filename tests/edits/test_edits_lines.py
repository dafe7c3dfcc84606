"""What each part of a year asks for, line by line: made from the models, and all with words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from enum import StrEnum
from typing import Annotated, Literal

import pytest
from draft_maker import SESSION, YEAR, draft
from pydantic import Field

from seasonplan.edits.form_words import (
    GROUPS,
    PARTS,
    QUALITIES,
    SECTIONS,
    SETTINGS,
    label_of,
)
from seasonplan.edits.forms import (
    Line,
    Takes,
    entry_lines,
    lines_of,
    recipe_lines,
    rule_lines,
    setting_lines,
)
from seasonplan.edits.in_form import in_form
from seasonplan.edits.offers import offers
from seasonplan.injury import Hurt
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import BodyPart, FrozenModel, Quality, Tissue
from seasonplan.year import Year
from seasonplan.year.model import ENTRY_FIELDS
from seasonplan.year.routine import FreeTime
from seasonplan.year.zones import known_zones

# --- the models -------------------------------------------------------------------------------


def every_line() -> list[Line]:
    found = [*rule_lines(), *recipe_lines(), *lines_of(Hurt, "injury")]
    for section in ENTRY_FIELDS:
        found += entry_lines(section)
    for part in SETTINGS:
        found += setting_lines(part)
    return found


def test_every_line_of_every_form_has_words() -> None:
    lines = every_line()
    assert len(lines) > 100
    assert not [line.key for line in lines if not line.help or not line.label]


def test_no_section_and_no_setting_is_forgotten() -> None:
    assert set(SECTIONS) == set(ENTRY_FIELDS)
    named = {field.alias or name for name, field in Year.model_fields.items()}
    parts = {part.partition(".")[0] for part in SETTINGS}
    assert named == {*SECTIONS, *parts, "rules", "recipes", "schema"}
    minutes = {f"minutes.{line.key}" for line in setting_lines("climber.minutes")}
    assert len(minutes) == 7


def keys(lines: tuple[Line, ...]) -> list[str]:
    return [line.key for line in lines]


def line(section: str, key: str) -> Line:
    return next(one for one in entry_lines(section) if one.key == key)


# --- made from any model ------------------------------------------------------------------------


class Colour(StrEnum):
    NONE = ""
    RED = "red"
    BLUE = "blue"


class Inner(FrozenModel):
    deep: int
    depth: Annotated[float, Field(ge=0, le=1)] = 0.5


class Model(FrozenModel):
    """One field of each type that a line can ask for."""

    text: str
    words: str | None = None
    day: date | None = None
    edge: date | str = "09-01"
    hour: time | None = None
    free: FreeTime = FreeTime()
    yes: bool = False
    colour: Colour = Colour.NONE
    size: Literal["s", "l"] = "s"
    colours: tuple[Colour, ...] = ()
    names: tuple[str, ...] = ()
    whole: int = 3
    number: float | None = None
    numbers: tuple[float, float] | None = None
    wholes: tuple[int, ...] = ()
    limit: float | tuple[float, float] | None = None
    share: Annotated[float, Field(ge=0, le=1)] = 1.0
    shares: tuple[Annotated[float, Field(le=1)], ...] = ()
    chance: float | tuple[float, ...] | dict[str, float] | None = None
    table: dict[str, str] = Field(default_factory=dict)
    first_weekday: str = "monday"
    rock_days: tuple[str, ...] = ()


TAKES = {
    "text": Takes.TEXT, "words": Takes.TEXT, "day": Takes.DAY, "edge": Takes.DAY_OR_YEARLY,
    "hour": Takes.TIME, "free": Takes.FREE, "yes": Takes.YES_NO, "colour": Takes.CHOICE,
    "size": Takes.CHOICE, "colours": Takes.CHOICES, "names": Takes.NAMES, "whole": Takes.WHOLE,
    "number": Takes.NUMBER, "numbers": Takes.NUMBERS, "wholes": Takes.NUMBERS,
    "limit": Takes.LIMIT, "share": Takes.SHARE, "shares": Takes.SHARES, "chance": Takes.CHANCE,
    "table": Takes.TABLE, "first_weekday": Takes.CHOICE, "rock_days": Takes.CHOICES,
}  # fmt: skip


def test_a_line_takes_what_its_field_takes() -> None:
    made = {one.key: one for one in lines_of(Model, "x")}
    assert {key: one.takes for key, one in made.items()} == TAKES
    assert [key for key, one in made.items() if one.required] == ["text"]
    assert made["colour"].choices == made["colours"].choices == ("red", "blue")
    assert made["size"].choices == ("s", "l")
    assert made["first_weekday"].choices == made["rock_days"].choices
    assert made["first_weekday"].choices[::6] == ("monday", "sunday")


def test_what_counts_where_nothing_is_said_is_told_unless_that_is_nothing() -> None:
    usual = {one.key: one.usual for one in lines_of(Model, "x") if one.usual is not None}
    assert usual == {
        "edge": "09-01", "free": FreeTime(), "yes": False, "size": "s", "whole": 3, "share": 1.0,
        "first_weekday": "monday",
    }  # fmt: skip


class Nested(FrozenModel):
    note: str = ""
    id: str = ""
    demands: dict[Quality, int] = Field(default_factory=dict)
    good: tuple[Inner, ...] = ()
    records: Inner | None = None
    last: date | None = None


def test_tables_inside_are_lines_of_their_own_behind_what_stands_in_none() -> None:
    found = lines_of(Nested, "x")
    assert keys(found) == [
        "last", "note", "id", *(f"demands.{one.value}" for one in Quality),
        "good.0.deep", "good.0.depth", "records.deep", "records.depth",
    ]  # fmt: skip
    assert not [one.key for one in found if one.required]  # a table may be left out whole
    assert [one.group for one in found[:4]] == ["", "", "", GROUPS["demands"]]
    assert {one.key: one.takes for one in found}["good.0.depth"] is Takes.SHARE


# --- of a year ----------------------------------------------------------------------------------


@pytest.mark.parametrize("section", ENTRY_FIELDS)
def test_a_form_asks_for_every_field_of_its_entry_once(section: str) -> None:
    found = keys(entry_lines(section))
    assert len(set(found)) == len(found)
    (model,) = Year.model_fields[ENTRY_FIELDS[section]].annotation.__args__[:1]  # type: ignore[union-attr]
    asked = {field.alias or name for name, field in model.model_fields.items()}
    assert {key.partition(".")[0] for key in found} == asked
    tops = [key for key in found if "." not in key]
    assert tops[-1] == "id" and tops[-2] == "note"


def test_a_list_of_tables_has_lines_for_each_that_there_is_and_one_at_least() -> None:
    def lists(many: int) -> set[str]:
        found = keys(entry_lines("place", lists={"good": many}))
        return {key.split(".")[1] for key in found if key.startswith("good.")}

    assert lists(0) == lists(1) == {"0"}
    assert lists(3) == {"0", "1", "2"}


def test_the_usual_week_is_a_form_of_its_own() -> None:
    assert not [one for one in setting_lines("climber") if one.key.startswith("minutes")]
    assert {one.takes for one in setting_lines("climber.minutes")} == {Takes.FREE}


def test_of_a_recipe_all_that_is_trained_and_loaded_has_a_line() -> None:
    found = keys(recipe_lines())
    assert {f"qualities.{one.value}" for one in Quality} <= set(found)
    assert {f"stresses.{one.value}" for one in Tissue} <= set(found)
    assert {line.takes for line in recipe_lines() if line.key.startswith("qua")} == {Takes.SHARE}


# --- words --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("about", "key", "words"),
    [
        ("trip", "note", ("Note", "anything else")),  # shared by all
        ("trip", "place", ("Place", "where you climb; needed if you climb")),  # its own
        ("climber.minutes", "friday", ("Friday", "90, 1h30, or hours as 18:00-19:30")),
        ("place", "good.3.rain_below", label_of("place", "good.rain_below")),
        ("goal", "demands.power", ("Power", "1 to 5")),
        ("climber", "level.power", ("Power", "1 to 5")),
        ("recipe", "qualities.power", ("Power", "0 to 1")),
        ("recipe", "stresses.whole_body", ("Whole body", "0 to 3")),
        ("trip", "never_heard_of", ("Never heard of", "")),
    ],
)
def test_a_line_is_called_by_its_own_words_else_by_those_of_all(
    about: str, key: str, words: tuple[str, str]
) -> None:
    assert label_of(about, key) == words


def test_everything_that_is_trained_or_loaded_has_a_name() -> None:
    assert {one.value for one in (*Quality, *Tissue)} <= set(QUALITIES)


# Faults of each sort that a form can meet, as the file writes them.
SAID = (
    ("Write `[3, 6]`.", "rule", "Write 3, 6."),
    ('Write `"18:30"`.', "session", "Write 18:30."),
    ("`true` or `false`", "trip", "yes or no"),
    ("`easy_from` and `full_from`", "injury", "“Light load from” and “Everything from”"),
    ("`rain_below = 1`", "place", "“Rain below: 1”"),
    ("`least_minutes`", "recipe", "“Shortest”"),
    ("See `seasonplan rules`.", "rule", "See `seasonplan rules`."),
)


def test_what_the_file_writes_is_told_by_labels_and_as_one_types_it() -> None:
    for text_of_file, about, told in SAID:
        assert in_form(text_of_file, about=about, lines=()) == told


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("`first`", "“First day”"), ("`trip.1.first`", "`trip.1.first`"),
        ("`good.rain_below`", "“Rain below”"), ("`climbing = false`", "“You climb there: no”"),
        ("`first = 2027-01-25` before `last = 2027-01-24`",
         "“First day: 2027-01-25” before “Last day: 2027-01-24”"),
        ("`[1, 2]`", "1, 2"), ("`1`", "1"), ("no quotes", "no quotes"), ("``", "``"),
        ("`two words`", "`two words`"),
    ],
)  # fmt: skip
def test_only_keys_and_values_of_the_file_are_told_otherwise(written: str, told: str) -> None:
    assert in_form(written, about="trip", lines=entry_lines("trip")) == told


def test_a_label_of_the_form_itself_comes_first() -> None:
    own = Line(key="dates.first", label="My day", help="", takes=Takes.DAY)
    assert in_form("Say `first`.", about="trip", lines=[own]) == "Say “My day”."


# --- what else is in the year -------------------------------------------------------------------


def test_a_line_offers_what_the_year_has_for_it() -> None:
    there = draft(YEAR + '[[place]]\nname = "Weir"\nlatitude = 47\nlongitude = 12\n')
    assert offers(line("goal", "place"), "goal", there) == ("Karst", "Isle", "Weir")
    assert offers(line("goal", "served_by"), "goal", there) == ("winter-sun", "isle")
    assert offers(line("session", "recipe"), "session", there) == tuple(standard_recipes())
    assert offers(line("session", "session"), "session", there) == (SESSION,)
    assert offers(line("goal", "name"), "goal", there) == ()


def test_a_line_with_choices_offers_them_alone() -> None:
    kind = line("pin", "kind")
    assert kind.choices and offers(kind, "pin", draft()) == kind.choices


def test_every_line_for_a_zone_offers_all_zones_in_order() -> None:
    zones = offers(line("place", "records.time_zone"), "place", draft())
    assert list(zones) == sorted(known_zones())
    (own,) = [one for one in setting_lines("climber") if one.key == "time_zone"]
    assert offers(own, "climber", draft()) == zones


def test_sessions_are_offered_where_there_is_a_plan_of_them() -> None:
    asks = line("session", "session")
    assert offers(asks, "session", replace(draft(), plan=None)) == ()
    assert offers(asks, "elsewhere", draft()) == ()


def test_the_help_of_a_part_of_the_body_names_all_of_them() -> None:
    assert PARTS.replace(" or ", ", ").split(", ") == list(BodyPart)
