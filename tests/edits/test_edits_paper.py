"""Edits to the text: what a change is not about stays, byte for byte. tomllib is the judge."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from draft_maker import YEAR, lines_changed
from places import ROOT

from seasonplan.edits import EditRefused, paper
from seasonplan.year.toml import read_year

DEMO = ROOT / "calendars_demo"
CRLF = YEAR.replace("\n", "\r\n")


def comments(text: str) -> list[str]:
    """Every remark, in order; no value in these files holds a #."""
    return [line.partition("#")[2].strip() for line in text.splitlines() if "#" in line]


def test_a_changed_value_changes_one_line_and_keeps_its_remark() -> None:
    new = paper.put(YEAR, ("trip", 0, "first"), date(2027, 1, 24))
    assert lines_changed(YEAR, new) == (
        ["first = 2027-01-25       # the ferry is on Mondays"],
        ["first = 2027-01-24       # the ferry is on Mondays"],
    )


def test_a_new_key_stands_before_the_remark_that_heads_the_next_entry() -> None:
    new = paper.put(YEAR, ("trip", 0, "note"), "two ropes")
    assert 'discipline = "sport"\nnote = "two ropes"\n\n# with the children\n[[trip]]' in new


def test_a_new_entry_stands_after_the_last_of_its_sort() -> None:
    new = paper.add(YEAR, "trip", {"name": "Coast", "climbing": False})
    entry = '[[trip]]\nname = "Coast"\nclimbing = false\n'
    assert f"climbing = false\n\n{entry}\n[[injury]]" in new
    assert lines_changed(YEAR, new)[0] == []


def test_the_first_entry_of_its_sort_stands_at_the_end() -> None:
    new = paper.add(YEAR, "pin", {"name": "x"})
    assert new.startswith(YEAR.rstrip("\n"))
    assert new.endswith('# the end\n\n[[pin]]\nname = "x"\n')


def test_remarks_right_below_an_entry_stay_with_it() -> None:
    text = '[[trip]]\nname = "A"\n# more of A\n\n# B\n[[window]]\nname = "B"\n'
    new = paper.add(text, "trip", {"name": "C"})
    assert new.startswith('[[trip]]\nname = "A"\n# more of A\n\n[[trip]]\nname = "C"\n\n# B\n')


def test_a_removed_entry_leaves_all_remarks_around_it() -> None:
    new = paper.drop(YEAR, ("trip", 0))
    gone, come = lines_changed(YEAR, new)
    assert come == []
    assert [line for line in gone if line] == YEAR[YEAR.index("[[trip]]") :].split("\n")[:6]
    assert "# --- away ---\n\n# with the children\n[[trip]]" in new


def test_windows_line_ends_and_a_byte_order_mark_stay() -> None:
    text = paper.BOM + CRLF
    for new in (
        paper.put(text, ("trip", 0, "note"), "x"),
        paper.add(text, "pin", {"name": "x"}),
        paper.drop(text, ("trip", 1)),
        paper.put(text, ("rules", "order", "on"), False),
    ):
        assert new.startswith(paper.BOM)
        assert "\n" not in new.replace("\r\n", "")
        assert comments(new) == comments(text)


def test_a_name_of_other_letters_and_quotes_comes_back_as_it_was() -> None:
    name = 'Gr\u00fcner "Turm"\n\t\u5c71 \\ #1'
    new = paper.put(YEAR, ("trip", 0, "name"), name)
    assert tomllib.loads(new)["trip"][0]["name"] == name


def test_the_last_key_of_a_rule_takes_its_table_away() -> None:
    text = YEAR + "\n[rules.order]\non = false\n"
    assert "rules" not in paper.drop(text, ("rules", "order"))


FORMS = {
    "inline table": 'climber = { minutes = { tuesday = 90 }, time_zone = "UTC" }\n',
    "dotted keys": 'climber.minutes.tuesday = 90\nclimber.time_zone = "UTC"\n',
    "tables": '[climber]\ntime_zone = "UTC"\n[climber.minutes]\ntuesday = 90\n',
    "sub-table first": '[climber.minutes]\ntuesday = 90\n[climber]\ntime_zone = "UTC"\n',
    "quoted keys": '["climber"]\n"time_zone" = "UTC"\n[climber."minutes"]\n"tuesday" = 90\n',
    "apart": '[climber]\ntime_zone = "UTC"\n[year]\nweeks = 4\n[climber.minutes]\ntuesday = 90\n',
    "indented": '[climber]\n  time_zone = "UTC"\n  [climber.minutes]\n    tuesday = 90\n',
    "a dotted key in a table": '[climber]\ntime_zone = "UTC"\nminutes.tuesday = 90\n',
}


@pytest.mark.parametrize("form", FORMS)
def test_settings_change_in_every_form_that_toml_has(form: str) -> None:
    text = FORMS[form]
    assert value(paper.put(text, ("climber", "minutes", "tuesday"), 60), "tuesday") == 60
    assert value(paper.put(text, ("climber", "minutes", "friday"), "1h"), "friday") == "1h"
    levels = paper.put(text, ("climber", "level", "power"), 3)
    assert tomllib.loads(levels)["climber"]["level"] == {"power": 3}
    more = paper.put(text, ("climber", "minutes", "friday"), 5)
    assert tomllib.loads(paper.drop(more, ("climber", "minutes", "friday"))) == tomllib.loads(text)


def value(text: str, weekday: str) -> Any:
    climber = tomllib.loads(text)["climber"]
    assert climber["time_zone"] == "UTC"
    return climber["minutes"][weekday]


def test_entries_written_as_a_list_in_one_line_can_be_changed() -> None:
    text = 'trip = [{ name = "A" }, { name = "B" }]  # both\n\n[year]\nweeks = 4\n'
    names = lambda new: [trip["name"] for trip in tomllib.loads(new)["trip"]]  # noqa: E731
    assert names(paper.put(text, ("trip", 1, "name"), "Z")) == ["A", "Z"]
    assert names(paper.drop(text, ("trip", 0))) == ["B"]
    assert names(paper.add(text, "trip", {"name": "C"})) == ["A", "B", "C"]
    assert "# both" in paper.drop(text, ("trip", 0))


def test_a_value_inside_a_list_changes_and_goes() -> None:
    text = "[season]\nchance = [0.2, 0.4]  # by month\n"
    assert paper.put(text, ("season", "chance", 1), 0.5) == text.replace("0.4", "0.5")
    assert paper.drop(text, ("season", "chance", 0)) == text.replace("0.2, ", "")


@pytest.mark.parametrize(
    ("text", "loc", "new"),
    [
        ("a = { x = 1 } # one\n", ("a", "y"), "a = { y = 5, x = 1 } # one\n"),
        ("a = {x = 1}\n", ("a", "y"), "a = { y = 5,x = 1}\n"),
        ("a = {} # none\n", ("a", "y"), "a = { y = 5 } # none\n"),
        ("a = { x = 1, y = 2 } # two\n", ("a", "x"), "a = { x = 5, y = 2 } # two\n"),
        ("[a]\nx = 1 # one\n\n# b\n[b]\n", ("a", "y"), "[a]\nx = 1 # one\ny = 5\n\n# b\n[b]\n"),
        ("[a] # none\n[b]\n", ("a", "y"), "[a] # none\ny = 5\n[b]\n"),
        ("[a]\n  x = 1\n", ("a", "y"), "[a]\n  x = 1\n  y = 5\n"),
        ("a.x = 1 # one\n", ("a", "y"), "a.x = 1 # one\na.y = 5\n"),
        ("[b]\nx = 1\n", ("a", "y"), "[b]\nx = 1\n\n[a]\ny = 5\n"),
        ("", ("a", "y"), "[a]\ny = 5\n"),
        ("[[a]]\nx = 1\n[[b]]\nx = 1\n", ("a", 0, "y"), "[[a]]\nx = 1\ny = 5\n[[b]]\nx = 1\n"),
    ],
)  # fmt: skip
def test_a_new_key_is_written_as_its_neighbours_are(
    text: str, loc: tuple[str | int, ...], new: str
) -> None:
    assert paper.put(text, loc, 5) == new
    tomllib.loads(new)


@pytest.mark.parametrize(
    ("text", "loc", "left"),
    [
        ("a = { x = 1, y = 2 } # two\n", ("a", "x"), "a = { y = 2 } # two\n"),
        ("a = { x = 1, y = 2 } # two\n", ("a", "y"), "a = { x = 1 } # two\n"),
        ("a = { x = 1 } # one\n", ("a", "x"), "a = { } # one\n"),
        ("a = [1, 2, 3]\n", ("a", 1), "a = [1, 3]\n"),
        ("x = 1\n\n[a]\ny = 2\n\n[b]\nz = 3\n", ("a",), "x = 1\n\n[b]\nz = 3\n"),
        ("[[a]]\nx = 1\n\n[[a]]\nx = 2\n", ("a", 1), "[[a]]\nx = 1\n"),
        ("[a]\nx = 1\n[c]\nz = 1\n[a.b]\ny = 2\n", ("a",), "[c]\nz = 1\n"),
    ],
)
def test_what_goes_leaves_what_stands_around_it_as_it_was(
    text: str, loc: tuple[str | int, ...], left: str
) -> None:
    assert paper.drop(text, loc) == left
    tomllib.loads(left)


def test_a_place_behind_the_end_of_a_list_is_refused() -> None:
    for index in (2, 3):
        with pytest.raises(EditRefused, match=f"a has no {index} to change"):
            paper.put("a = [1, 2]\n", ("a", index), 3)
    assert paper.put("a = [1, 2]\n", ("a", 1), 3) == "a = [1, 3]\n"


def test_a_key_of_the_whole_file_stands_above_all_tables() -> None:
    assert paper.put("[year]\nweeks = 4\n", ("schema",), 1) == "schema = 1\n[year]\nweeks = 4\n"
    text = "# mine\na = 1  # one\n\n[year]\nweeks = 4\n"
    assert paper.put(text, ("schema",), 1) == text.replace("# one\n", "# one\nschema = 1\n")


def test_a_table_under_an_entry_gives_way_to_the_value_that_replaces_it() -> None:
    text = '[[goal]]\nname = "A"\n[goal.demands]\npower = 3\n\n[[goal]]\nname = "B"\n'
    new = paper.put(text, ("goal", 0, "demands"), {"power": 5, "movement": 2})
    goals = tomllib.loads(new)["goal"]
    assert goals == [{"name": "A", "demands": {"power": 5, "movement": 2}}, {"name": "B"}]


def test_what_toml_cannot_hold_is_refused_in_words() -> None:
    with pytest.raises(EditRefused, match="cannot be written down"):
        paper.put(YEAR, ("trip", 0, "name"), object())


def _changed_raw(raw: dict[str, Any], loc: tuple[str | int, ...], new: Any) -> dict[str, Any]:
    here: Any = raw
    for part in loc[:-1]:
        here = here[part]
    if new is None:
        del here[loc[-1]]
    else:
        here[loc[-1]] = new
    return raw


def _leaves(raw: Any, loc: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The places of all values that hold no others."""
    found = []
    for key, one in raw.items() if isinstance(raw, dict) else enumerate(raw):
        if isinstance(one, dict) or (isinstance(one, list) and one and isinstance(one[0], dict)):
            found += _leaves(one, (*loc, key))
        elif loc:
            found.append((*loc, key))
    return found


VALUES: list[Callable[[random.Random], Any]] = [
    lambda rng: rng.randint(-9, 10**6), lambda rng: rng.random(), lambda rng: rng.random() < 0.5,
    lambda rng: "".join(rng.choices("a\u00e4\u5c71 #'\"\\\n[]={}", k=rng.randint(0, 8))),
    lambda rng: date(2027, 1, rng.randint(1, 31)), lambda rng: [1, 2, rng.randint(0, 9)],
    lambda rng: {"a b": 1, "c": ["x"]},
]  # fmt: skip


@pytest.mark.parametrize("name", ["autumn-project", "mountain-summer", "trips-and-boulders"])
def test_any_change_means_what_it_says_and_keeps_every_remark(name: str) -> None:
    text = (DEMO / name / "year.toml").read_text(encoding="utf-8")
    rng = random.Random(name)
    checked = 0
    for _ in range(60):
        loc = rng.choice(_leaves(tomllib.loads(text)))
        new = rng.choice(VALUES)(rng)
        changed = paper.put(text, loc, new)
        assert tomllib.loads(changed) == _changed_raw(tomllib.loads(text), loc, new)
        if not isinstance(new, str):  # a text may hold a # of its own
            assert set(comments(text)) <= set(comments(changed))
        dropped = tomllib.loads(paper.drop(text, loc))
        assert dropped == _changed_raw(tomllib.loads(text), loc, None)
        checked += 1
    assert checked == 60


def test_the_file_of_the_tests_is_a_year() -> None:
    assert read_year(YEAR, file="x").trips[1].id == "lake"
