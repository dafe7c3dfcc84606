"""A filled form: what stands in the file on each line, the edits it means, whose fault is whose."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

import pytest
from draft_maker import YEAR, draft, lines_changed
from plan_maker import day
from test_edits_paper import comments

from seasonplan.edits import (
    AddEntry,
    AnEdit,
    ChangeEntry,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
    Draft,
    EditRefused,
    PinBlock,
    RemoveEntry,
    apply,
    draft_of,
    filled,
    together,
)
from seasonplan.edits.filled import (
    adding,
    by_line,
    changing,
    counted,
    leads_inside,
    lists_at,
    nested,
    said_at,
    setting,
)
from seasonplan.edits.forms import Line, Takes, entry_lines, recipe_lines, rule_lines, setting_lines
from seasonplan.errors import BadInput, Fault
from seasonplan.rules.statements import standard_book

WEIR = """\

[[place]]
name = "Weir"
latitude = 47
longitude = 12
[[place.good]]
rain_below = 1 # mm
highest_wind = 9
[[place.good]] # boulders dry sooner
rain_below = 2
discipline = "boulder"
[place.records]
file = "x.csv"
columns = { day = "d", rain = "r", wind = "w" } # of that file
"""
COLUMNS = ("day", "rain", "wind")
PLACE, LINES = ("place", 0), entry_lines("place", lists={"good": 2})
OTHER = '[[goal]]\nname = "B"\nplace = "Karst"\ndiscipline = "sport"\ngrade = "7a"\n'


def weir(text: str = WEIR) -> Draft:
    return draft(YEAR + text)


def said(there: Draft, place: tuple[str | int, ...], lines: tuple[Line, ...]) -> dict[str, Any]:
    """What stands on the lines on which something does."""
    return {key: one for key, one in said_at(there, place, lines).items() if one is not None}


def after(*edits: AnEdit, before: Draft | None = None) -> dict[str, Any]:
    return tomllib.loads(together(before or draft(), edits).text)


# --- what stands there --------------------------------------------------------------------------


def test_every_line_says_what_the_file_says_there() -> None:
    found = said_at(weir(), PLACE, LINES)
    assert found.keys() == {line.key for line in LINES}
    assert said(weir(), PLACE, LINES) == {
        "name": "Weir", "latitude": 47, "longitude": 12, "good.0.rain_below": 1,
        "good.0.highest_wind": 9, "good.1.rain_below": 2, "good.1.discipline": "boulder",
        "records.file": "x.csv", "records.columns.day": "d", "records.columns.rain": "r",
        "records.columns.wind": "w",
    }  # fmt: skip
    minutes = said(draft(), ("climber", "minutes"), setting_lines("climber.minutes"))
    assert minutes == {"tuesday": 90, "wednesday": 60, "saturday": 180}
    assert said(draft(), ("trip", 7), entry_lines("trip")) == {}


def test_lists_of_tables_are_counted_and_other_lists_are_not() -> None:
    assert lists_at(weir(), PLACE) == {"good": 2}
    assert lists_at(draft(), ("goal", 0)) == {}
    assert lists_at(draft(), ("goal", 7)) == {}


# --- tables from keys ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("values", "tables"),
    [
        ({}, {}),
        ({"a": None, "b.c": None}, {}),
        ({"a": 1, "b": ""}, {"a": 1, "b": ""}),
        ({"b.c": 1, "b.d": 2, "a": 3}, {"b": {"c": 1, "d": 2}, "a": 3}),
        ({"g.0.x": 1, "g.1.x": 2, "g.1.y": 3}, {"g": [{"x": 1}, {"x": 2, "y": 3}]}),
        ({"g.0.x": None, "g.2.x": 2}, {"g": [{"x": 2}]}),
        ({"r.c.day": "d", "r.file": "f"}, {"r": {"c": {"day": "d"}, "file": "f"}}),
        ({"r.0.c.1.x": 5}, {"r": [{"c": [{"x": 5}]}]}),
    ],
)
def test_keys_become_tables_inside_tables_and_numbers_become_lists(
    values: Mapping[str, Any], tables: dict[str, Any]
) -> None:
    assert nested(values) == tables


# --- the edits it means -------------------------------------------------------------------------


def test_a_new_entry_says_what_the_form_says() -> None:
    assert adding("goal", {"name": None, "demands.power": None}) == []
    values = {"name": "Roof", "note": None, "demands.power": 3, "demands.movement": 2}
    assert adding("goal", values) == [
        AddEntry(section="goal", values={"name": "Roof", "demands": {"power": 3, "movement": 2}})
    ]


@pytest.mark.parametrize(
    ("other", "values"),
    [
        ({}, None),
        ({"latitude": 48}, {"latitude": 48}),
        ({"note": "x", "longitude": None}, {"note": "x", "longitude": None}),
        ({"good.0.rain_below": 3}, {"good.0.rain_below": 3}),
        ({"good.0.rain_below": None}, {"good.0.rain_below": None}),  # wind is left of it
        ({"records.columns.rain": None}, {"records.columns.rain": None}),
        (  # the second goes: the list is another
            {"good.1.rain_below": None, "good.1.discipline": None},
            {"good": [{"highest_wind": 9, "rain_below": 1}]},
        ),
        (  # the whole table goes
            dict.fromkeys(("records.file", *(f"records.columns.{one}" for one in COLUMNS))),
            {"records": None},
        ),
    ],
)  # fmt: skip
def test_only_lines_that_say_something_else_are_an_edit(
    other: dict[str, Any], values: dict[str, Any] | None
) -> None:
    before = said_at(weir(), PLACE, LINES)
    edits = changing("place-weir", before, before | other)
    assert edits == ([] if values is None else [ChangeEntry(id="place-weir", values=values)])


def test_a_table_that_is_new_goes_whole() -> None:
    before = said_at(draft(), ("goal", 0), entry_lines("goal"))
    (edit,) = changing("long-crack", before, before | {"demands.power": 3, "note": "x"})
    assert edit == ChangeEntry(id="long-crack", values={"demands": {"power": 3}, "note": "x"})
    goal = after(edit)["goal"][0]
    assert (goal["demands"], goal["note"]) == ({"power": 3}, "x")


def test_each_setting_is_an_edit_of_its_own() -> None:
    before = said_at(draft(), ("climber", "minutes"), setting_lines("climber.minutes"))
    assert setting("climber.minutes", before, dict(before)) == []
    edits = setting("climber.minutes", before, before | {"friday": 45, "tuesday": None})
    assert {(one.path, one.value) for one in edits if isinstance(one, ChangeSetting)} == {
        ("climber.minutes.friday", 45), ("climber.minutes.tuesday", None),
    }  # fmt: skip
    assert after(*edits)["climber"]["minutes"] == {"wednesday": 60, "saturday": 180, "friday": 45}


def test_what_is_no_longer_said_of_a_rule_has_its_default() -> None:
    there = draft(YEAR + "[rules.base-length]\nlimit = [3, 4]\nweight = 2\n")
    before = said_at(there, ("rules", "base-length"), rule_lines())
    assert {key: one for key, one in before.items() if one} == {"limit": [3, 4], "weight": 2}
    usual = standard_book()["base-length"].limit
    (edit,) = filled.rule(there, "base-length", before, before | {"limit": None})
    assert edit == ChangeRule(code="base-length", limit=usual)
    assert filled.rule(there, "base-length", before, dict(before)) == []
    (edit,) = filled.rule(there, "base-length", before, before | {"limit": [2, 5]})
    assert after(edit, before=there)["rules"]["base-length"] == {"limit": [2, 5], "weight": 2}


def test_a_rule_that_cannot_be_so_is_told_as_in_the_file_and_changes_nothing() -> None:
    before: dict[str, Any] = dict.fromkeys(line.key for line in rule_lines())
    for key, value in (("limit", [5, 4]), ("limit", 5), ("weight", "x"), ("on", "perhaps")):
        with pytest.raises(BadInput) as bad:
            filled.rule(draft(), "base-length", before, before | {key: value})
        assert [fault.key for fault in bad.value.faults] == [f"rules.base-length.{key}"]


def test_the_tables_of_a_recipe_go_whole() -> None:
    there = draft(YEAR + "[recipes.mobility]\nminutes = 20\nqualities = { movement = 1 }\n")
    before = said_at(there, ("recipes", "mobility"), recipe_lines())
    assert filled.recipe("mobility", before, dict(before)) == []
    now = before | {"minutes": None, "qualities.movement": 0.5, "qualities.fitness": 0.5}
    (edit,) = filled.recipe("mobility", before, now)
    assert edit == ChangeRecipe(
        id="mobility", values={"minutes": None, "qualities": {"fitness": 0.5, "movement": 0.5}}
    )
    assert after(edit, before=there)["recipes"]["mobility"] == {
        "qualities": {"fitness": 0.5, "movement": 0.5}
    }


# --- several as one -----------------------------------------------------------------------------


def test_a_key_inside_a_table_changes_its_line_alone() -> None:
    edit = ChangeEntry(id="place-weir", values={"good.0.rain_below": 3, "note": "wet"})
    assert leads_inside(edit) and not leads_inside(ChangeEntry(id="x", values={"note": "wet"}))
    now = together(weir(), [edit]).text
    assert lines_changed(YEAR + WEIR, now) == (
        ["rain_below = 1 # mm"], ['note = "wet"', "rain_below = 3 # mm"],
    )  # fmt: skip
    assert comments(now) == comments(YEAR + WEIR)


def test_a_key_inside_a_table_in_one_line_changes_within_that_line() -> None:
    edit = ChangeEntry(id="place-weir", values={"records.columns.wind": None})
    change = ChangeEntry(id="place-weir", values={"good.0.highest_wind": None})
    gone, come = lines_changed(YEAR + WEIR, together(weir(), [edit, change]).text)
    assert gone == ["highest_wind = 9", WEIR.splitlines()[-1]]
    assert come == ['columns = { day = "d", rain = "r" } # of that file']


def test_a_table_of_an_entry_that_is_not_the_last_is_written_whole() -> None:
    """A header behind the last entry would be that one's."""
    edits = [ChangeEntry(id="long-crack", values={"demands.power": 3, "demands.movement": 2})]
    goals = after(*edits, before=draft_of(YEAR + OTHER))["goal"]
    assert goals[0]["demands"] == {"power": 3, "movement": 2}
    assert "demands" not in goals[1]


@pytest.mark.parametrize(
    ("key", "why"),
    [
        ("grade.x", "grade has no x to change."), ("served_by.3", "served_by has no 3 to change."),
        ("demands.0.x", "demands has no 0 to change."),
        ("served_by.x", "served_by has no x to change."),
    ],
)  # fmt: skip
def test_a_key_that_leads_nowhere_is_refused_in_words(key: str, why: str) -> None:
    for text in (YEAR, YEAR + OTHER):
        with pytest.raises(EditRefused) as refused:
            together(draft(text), [ChangeEntry(id="long-crack", values={key: 3})])
        assert refused.value.why.endswith(why)
        assert refused.value.would_work == "Say it as a whole."
    with pytest.raises(EditRefused, match="name has no first to change"):
        nested({"name": "x", "name.first": "y"})


def test_a_key_of_a_recipe_may_lead_inside_a_table() -> None:
    there = draft(YEAR + "[recipes.mobility]\nstresses = { back = 1, hips = 2 } # mine\n")
    edit = ChangeRecipe(id="mobility", values={"stresses.back": 2, "stresses.hips": None})
    assert together(there, [edit]).text.endswith("stresses = { back = 2 } # mine\n")


def test_only_what_edits_make_together_must_make_sense() -> None:
    later = ChangeEntry(id="isle", values={"first": day(28)})
    longer = ChangeEntry(id="isle", values={"last": day(30)})
    with pytest.raises(BadInput):
        apply(draft(), later)
    both = together(draft(), [later, longer])
    assert both.year.trips[0].first == day(28) and both.year.trips[0].last == day(30)
    before = draft()
    with pytest.raises(BadInput):
        together(before, [longer, later, ChangeEntry(id="isle", values={"last": day(1)})])
    with pytest.raises(EditRefused):
        together(before, [longer, later, RemoveEntry(id="nobody")])
    assert before.text == YEAR


def test_one_edit_together_is_that_edit_and_none_is_nothing() -> None:
    for edit in (PinBlock(block="base-1"), ChangeEntry(id="isle", values={"note": "x"})):
        assert together(draft(), [edit]) == apply(draft(), edit)
    assert together(draft(), []) == draft()


# --- whose fault --------------------------------------------------------------------------------


def fault(key: str) -> Fault:
    return Fault("year.toml", key, None, "x", "y", "z")


def lines(*keys: str) -> list[Line]:
    return [Line(key=key, label=key, help="", takes=Takes.TEXT) for key in keys]


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("place.1.name", "name"),
        ("place.1.good.2.rain", "good.1.rain"),
        ("place.1.good.2", "good.1.rain"),  # of the whole: the first line there
        ("place.1.good.2.rain.1", "good.1.rain"),  # of a part: the line
        ("place.1.records", "records.file"),
        ("place.1.unknown", ""), ("place.1", ""), ("place.2.name", ""), ("goal.1.name", ""),
        ("", ""), ("place.11.name", ""),
    ],
)  # fmt: skip
def test_a_fault_belongs_to_its_line_else_to_the_first_below_it(key: str, line: str) -> None:
    there = lines("name", "good.0.rain", "good.1.rain", "good.1.wind", "records.file")
    assert by_line(BadInput([fault(key)]), ("place", 0), there) == {line: fault(key)}


def test_of_several_faults_of_a_line_the_first_is_told() -> None:
    found = by_line(
        BadInput([fault("trip.1.b"), fault("trip.1.a.2"), fault("trip.1.a.1"), fault("x")]),
        ("trip", 0), lines("a", "b"),
    )  # fmt: skip
    assert found == {"a": fault("trip.1.a.1"), "b": fault("trip.1.b"), "": fault("x")}


def test_a_form_that_stands_nowhere_yet_has_all_faults_by_their_key() -> None:
    found = by_line(BadInput([fault("name"), fault("dates.first"), fault("q")]), (),
                    lines("name", "dates.first"))  # fmt: skip
    assert found == {"name": fault("name"), "dates.first": fault("dates.first"), "": fault("q")}


def test_places_are_counted_from_one_as_faults_count_them() -> None:
    assert counted(("trip", 0), "first") == "trip.1.first"
    assert counted(("place", 2), "good.0.rain") == "place.3.good.1.rain"
    assert counted((), "name") == "name" and counted(("year",)) == "year"


def test_what_a_form_says_wrongly_stands_beside_its_line() -> None:
    edit = ChangeEntry(id="place-weir", values={"good.1.rain_below": "x", "latitude": 100})
    with pytest.raises(BadInput) as bad:
        together(weir(), [edit])
    found = by_line(bad.value, PLACE, LINES)
    assert {key: one.found for key, one in found.items()} == {
        "good.1.rain_below": "'x'", "latitude": "100",
    }  # fmt: skip
