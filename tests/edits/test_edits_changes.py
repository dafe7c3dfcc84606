"""What differs between two texts of a year: entries by their id, everything else by its key."""

from __future__ import annotations

from datetime import date

import pytest
from draft_maker import SESSION, YEAR, draft
from plan_maker import day

from seasonplan.edits import (
    AddEntry,
    ChangeEntry,
    ChangeSetting,
    How,
    PinBlock,
    RemoveEntry,
    SkipSession,
    TextChange,
    apply,
    changes,
)
from seasonplan.edits.changes import entry_id

HEAD = "schema = 1\n[climber]\ntime_zone = 'UTC'\n"
ISLE = '[[trip]]\nname = "Isle"\nfirst = 2027-01-25\nlast = 2027-01-31\n'
LAKE = '[[trip]]\nname = "Lake"\nfirst = 2027-03-08\nlast = 2027-03-14\n'


def told(old: str, new: str) -> list[tuple[str, str, str, str]]:
    return [(one.how.value, one.section, one.about, one.key) for one in changes(old, new)]


def test_another_order_other_remarks_and_another_way_of_writing_are_no_change() -> None:
    old = HEAD + ISLE + LAKE
    for new in (
        HEAD + LAKE + ISLE,
        HEAD + "# a remark\n" + ISLE + "\n\n" + LAKE,
        "[climber]\ntime_zone = 'UTC'\n" + ISLE + "# x\n" + LAKE.replace('"Lake"', "'Lake'"),
        HEAD.replace("\n", "\r\n") + ISLE + LAKE,
        "schema = 1\nclimber.time_zone = 'UTC'\n" + ISLE + LAKE,
    ):
        found = [one for one in changes(old, new) if one.about != "schema"]
        assert found == [], new


def test_an_entry_that_comes_or_goes_is_told_with_all_it_says() -> None:
    lake = {"name": "Lake", "first": date(2027, 3, 8), "last": date(2027, 3, 14)}
    assert changes(HEAD + ISLE, HEAD + ISLE + LAKE) == (
        TextChange(How.ADDED, "trip", "lake", now=lake, name="Lake"),
    )
    assert changes(HEAD + ISLE + LAKE, HEAD + ISLE) == (
        TextChange(How.REMOVED, "trip", "lake", was=lake, name="Lake"),
    )


def test_a_line_of_an_entry_is_told_with_what_it_said_and_says() -> None:
    later = ISLE.replace("2027-01-31", "2027-01-30").replace('"Isle"\n', '"Isle"\nnote = "boat"\n')
    assert set(changes(HEAD + ISLE, HEAD + later)) == {
        TextChange(
            How.CHANGED, "trip", "isle", "last", date(2027, 1, 31), date(2027, 1, 30), "Isle"
        ),
        TextChange(How.CHANGED, "trip", "isle", "note", None, "boat", "Isle"),
    }


def test_an_entry_is_the_same_under_another_name_if_its_id_is() -> None:
    named = ISLE.replace('"Isle"\n', '"Far isle"\nid = "isle"\n')
    assert told(HEAD + ISLE, HEAD + named) == [("changed", "trip", "isle", "name")]
    other = ISLE.replace('"Isle"\n', '"Far isle"\n')
    assert told(HEAD + ISLE, HEAD + other) == [
        ("removed", "trip", "isle", ""), ("added", "trip", "far-isle", ""),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("entry", "own"),
    [
        ({"name": "Winter Sun!"}, "winter-sun"), ({"name": "X", "id": "mine"}, "mine"),
        ({"session": SESSION, "skip": True}, SESSION),
        ({"recipe": "mobility", "day": day(7)}, "mobility-2027-01-11"),
        ({"name": "", "recipe": "mobility", "day": day(7)}, "mobility-2027-01-11"),
    ],
)  # fmt: skip
def test_an_entry_without_an_id_is_known_by_what_makes_one(
    entry: dict[str, object], own: str
) -> None:
    assert entry_id(entry, "session") == own


def test_ids_are_those_that_the_year_gives() -> None:
    after = apply(draft(), SkipSession(session=SESSION))
    (found,) = changes(YEAR, after.text)
    assert (found.section, found.about) == ("session", after.year.fixed_sessions[0].id)
    after = apply(draft(), PinBlock(block="base-1"))
    (found,) = changes(YEAR, after.text)
    assert (found.section, found.about) == ("pin", after.year.pins[0].id)
    after = apply(draft(), AddEntry(section="place", values={"name": "Cleft"}))
    (found,) = changes(YEAR, after.text)
    assert (found.section, found.about) == ("place", after.year.places[0].id)


def test_settings_are_told_by_their_whole_key_also_as_tables_inside_tables() -> None:
    old = HEAD + "[climber.minutes]\ntuesday = 90\nfriday = 30\n"
    new = HEAD + "level = { power = 3 }\n[climber.minutes]\ntuesday = 60\n"
    assert set(changes(old, new)) == {
        TextChange(How.CHANGED, "", "climber.minutes.tuesday", was=90, now=60),
        TextChange(How.REMOVED, "", "climber.minutes.friday", was=30),
        TextChange(How.ADDED, "", "climber.level.power", now=3),
    }


def test_rules_and_recipes_are_settings_by_their_code() -> None:
    old, new = HEAD + "[rules.order]\non = false\n", HEAD + "[recipes.mobility]\nminutes = 20\n"
    assert told(old, new) == [
        ("removed", "", "rules.order.on", ""), ("added", "", "recipes.mobility.minutes", ""),
    ]  # fmt: skip


def test_a_key_inside_a_table_may_be_called_as_a_section_is() -> None:
    old, new = HEAD + "[sessions]\ntest = 1\n", HEAD + "[sessions]\ntest = 2\n"
    assert told(old, new) == [("changed", "", "sessions.test", "")]


@pytest.mark.parametrize("broken", ["[climber", "a = 1\na = 2\n", "= 1"])
def test_a_text_that_is_no_toml_says_nothing(broken: str) -> None:
    assert told(broken, HEAD + ISLE) == [
        ("added", "trip", "isle", ""), ("added", "", "schema", ""),
        ("added", "", "climber.time_zone", ""),
    ]  # fmt: skip
    assert changes(broken, broken) == ()


def test_a_section_that_is_no_list_of_tables_is_passed_over() -> None:
    for odd in ("trip = 3\n", "trip = [1, 2]\n", "[trip]\nname = 'x'\n"):
        assert told(odd + HEAD[11:], ISLE + HEAD[11:])[0] == ("added", "trip", "isle", "")


def test_what_an_edit_changes_is_what_it_names() -> None:
    for edit, found in (
        (
            ChangeSetting(path="climber.minutes.tuesday", value=60),
            [("changed", "", "climber.minutes.tuesday", "")],
        ),
        (ChangeEntry(id="isle", values={"note": "x"}), [("changed", "trip", "isle", "note")]),
        (
            ChangeEntry(id="winter-sun", values={"id": "sun"}),
            [("changed", "goal", "long-crack", "served_by"),
             ("removed", "season", "winter-sun", ""), ("added", "season", "sun", "")],
        ),
        (RemoveEntry(id="lake"), [("removed", "trip", "lake", "")]),
        (
            AddEntry(section="absence", values={"name": "x", "first": day(1), "last": day(2)}),
            [("added", "absence", "x", "")],
        ),
    ):  # fmt: skip
        assert told(YEAR, apply(draft(), edit).text) == found
