"""Many small edits by lot: each changes what it names and nothing else, and can be taken back.

tomllib is the judge of what a text says; remarks are read by their sign alone.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable, Iterator
from datetime import date, time
from typing import Any

import pytest
from draft_maker import SESSION, YEAR, draft
from places import ROOT
from plan_maker import day
from test_edits_paper import comments

from seasonplan.edits import (
    AddEntry,
    AddSession,
    AnEdit,
    ChangeEntry,
    ChangeKind,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
    Draft,
    EditRefused,
    FreeSession,
    MoveBlock,
    MoveSession,
    PinBlock,
    RemoveEntry,
    ResizeBlock,
    SkipSession,
    SplitBlock,
    UnpinBlock,
    apply,
    draft_of,
    together,
)
from seasonplan.errors import BadInput
from seasonplan.vocabulary import Kind

DEMO = ROOT / "calendars_demo"
NAMES = ("autumn-project", "half-an-hour", "mountain-summer", "trips-and-boulders")
TEXTS = {name: (DEMO / name / "year.toml").read_text(encoding="utf-8") for name in NAMES}
TEXTS |= {"draft": YEAR, "windows": YEAR.replace("\n", "\r\n"), "no last line": YEAR.rstrip("\n")}
Raw = dict[str, Any]
ByLot = Callable[[random.Random, Draft], AnEdit]


def raw(text: str) -> Raw:
    return tomllib.loads(text)


def entries(text: str) -> dict[str, tuple[str, Raw]]:
    """Section and values of each entry by the id it has or gets, as the model reads it."""
    year, said = draft_of(text).year, raw(text)
    return {
        entry.id: (section, said[section][index])
        for section, found in year.entries_by_section().items()
        for index, entry in found
    }


def differing(was: Any, now: Any, at: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every place at which two readings differ; lists of tables are looked into."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key in was.keys() | now.keys():
            yield from differing(was.get(key, {}), now.get(key, {}), (*at, key))
    elif isinstance(was, list) and isinstance(now, list) and len(was) == len(now):
        for index, (one, other) in enumerate(zip(was, now, strict=True)):
            yield from differing(one, other, (*at, str(index)))
    elif was != now:
        yield at


# --- edits by lot ---------------------------------------------------------------------------------


def an_entry(rng: random.Random, before: Draft) -> AnEdit:
    span = before.year.span
    first = rng.choice(list(span.days()))
    last = min(span.last, rng.choice(list(span.days())))
    name = rng.choice(["Night shifts", 'A "quoted" week', "Grün = 1", "Lake"])
    return AddEntry(section="absence", values={"name": name, "first": first, "last": last})


def other_note(rng: random.Random, before: Draft) -> AnEdit:
    note = rng.choice(["short", "with 'quotes' and \\", "two\nlines", None])
    return ChangeEntry(id=rng.choice(list(entries(before.text))), values={"note": note})


def other_name(rng: random.Random, before: Draft) -> AnEdit:
    found = rng.choice([one for one in entries(before.text).items() if "name" in one[1][1]])
    return ChangeEntry(id=found[0], values={"name": rng.choice(["New name", "=[x]"])})


def without(rng: random.Random, before: Draft) -> AnEdit:
    there = list(entries(before.text))
    return RemoveEntry(id=rng.choice(there)) if len(there) > 3 else an_entry(rng, before)


def a_setting(rng: random.Random, before: Draft) -> AnEdit:
    path, value = rng.choice(
        [
            ("climber.minutes.tuesday", "1h30"), ("climber.minutes.friday", 45),
            ("climber.name", "Robin"), ("climber.level.power", 4),
            ("before.weekly_load", [900, 800.5]), ("sessions.alarm_minutes", 30),
            ("calendar.way", True), ("sessions.spread", "few and long"), ("year.weeks", 60),
        ]
    )  # fmt: skip
    return ChangeSetting(path=path, value=value)


def a_rule(rng: random.Random, before: Draft) -> AnEdit:
    code = rng.choice(["order", "load-step", "base-length", "rest-every"])
    return ChangeRule(code=code, on=rng.random() < 0.5)


def a_recipe(rng: random.Random, before: Draft) -> AnEdit:
    values = rng.choice([{"minutes": 25}, {"do": "As I like it."}, {"on": False}])
    return ChangeRecipe(id=rng.choice(["mobility", "aerobic", "legs-and-trunk"]), values=values)


EDITS: tuple[ByLot, ...] = (
    an_entry, an_entry, other_note, other_name, without, a_setting, a_rule, a_recipe,
)  # fmt: skip


def places(edit: AnEdit, text: str) -> set[tuple[str, ...]]:
    """Where an edit may change something: beginnings of places; a removed entry moves others up."""
    if isinstance(edit, AddEntry):
        return {(edit.section,)}
    if isinstance(edit, ChangeEntry):
        section, values = entries(text)[edit.id]
        here = (section, str(raw(text)[section].index(values)))
        return {(*here, key) for key in (*edit.values, "id")}
    if isinstance(edit, RemoveEntry):
        goals = raw(text).get("goal", ())
        named = {("goal", str(at), "served_by") for at in range(len(goals))}
        return {(entries(text)[edit.id][0],), *named}
    if isinstance(edit, ChangeSetting):
        ends = {("year", "last"), ("year", "weeks")}
        return ends if edit.path.startswith("year.") else {tuple(edit.path.split("."))}
    if isinstance(edit, ChangeRule):
        return {("rules", edit.code)}
    assert isinstance(edit, ChangeRecipe)
    return {("recipes", edit.id, key) for key in edit.values}


@pytest.mark.parametrize("name", TEXTS)
def test_an_edit_changes_only_what_it_names_and_keeps_every_remark(name: str) -> None:
    rng, now = random.Random(name), draft_of(TEXTS[name])
    kept = 0
    for _ in range(60):
        edit = rng.choice(EDITS)(rng, now)
        before = now.text
        try:
            now = apply(now, edit)
        except (BadInput, EditRefused):
            assert now.text == before
            continue
        kept += 1
        allowed = places(edit, before)
        for place in differing(raw(before), raw(now.text)):
            assert any(place[: len(one)] == one for one in allowed), (edit, place)
        if name != "windows":
            assert "\r" not in now.text
        if isinstance(edit, RemoveEntry | ChangeEntry):  # a line that goes takes its remark along
            left = iter(comments(before))
            assert all(one in left for one in comments(now.text)), edit
        else:
            assert comments(now.text) == comments(before), edit
    assert kept >= 20


# --- taken back -----------------------------------------------------------------------------------


def back(edit: AnEdit, before: Draft, after: Draft) -> AnEdit | None:
    """The edit that takes another back, made of what the file said before."""
    if isinstance(edit, AddEntry):
        return RemoveEntry(id=(entries(after.text).keys() - entries(before.text).keys()).pop())
    if isinstance(edit, ChangeEntry):
        was = entries(before.text)[edit.id][1]
        values = {key: was.get(key) for key in edit.values}
        if "name" in edit.values and "id" not in was:
            values["id"] = None
        return ChangeEntry(id=edit.id, values=values)
    said: Any = raw(before.text)
    if isinstance(edit, ChangeSetting):
        for part in edit.path.split("."):
            said = said.get(part, {}) if isinstance(said, dict) else {}
        return ChangeSetting(path=edit.path, value=said) if said != {} else None
    if isinstance(edit, ChangeRule):
        known = edit.code in said.get("rules", {})
        return None if known else ChangeRule(code=edit.code, reset=True)
    if isinstance(edit, ChangeRecipe):
        known = edit.id in said.get("recipes", {})
        return None if known else ChangeRecipe(id=edit.id, reset=True)
    return None


@pytest.mark.parametrize("name", [*NAMES, "draft", "windows"])
def test_an_edit_and_its_taking_back_leave_the_same_bytes(name: str) -> None:
    rng, start = random.Random(f"{name} back"), draft_of(TEXTS[name])
    checked = 0
    for _ in range(90):
        edit = rng.choice([make for make in EDITS if make is not without])(rng, start)
        try:
            after = apply(start, edit)
        except (BadInput, EditRefused):
            continue
        undo = back(edit, start, after)
        if undo is None or after.text == start.text:
            continue
        assert apply(after, undo).text == start.text, edit
        checked += 1
    assert checked >= 30


def test_what_was_done_to_blocks_and_sessions_goes_without_a_trace() -> None:
    before, own = draft(), f"mobility-{day(4)}"
    ways: list[tuple[AnEdit, AnEdit]] = [
        (PinBlock(block="base-1"), UnpinBlock(block="base-1")),
        (MoveBlock(block="strength-1", days=7), UnpinBlock(block="strength-1")),
        (ResizeBlock(block="rest-1", last=day(32)), UnpinBlock(block="rest-1")),
        (ChangeKind(block="rest-1", kind=Kind.BASE), UnpinBlock(block="rest-1")),
        (MoveBlock(block="trip-1", days=3), MoveBlock(block="trip-1", days=-3)),
        (SkipSession(session=SESSION), FreeSession(session=SESSION)),
        (MoveSession(session=SESSION, day=day(3)), FreeSession(session=SESSION)),
        (AddSession(recipe="mobility", day=day(4), start=time(18)), FreeSession(session=own)),
        (AddSession(recipe="mobility", day=day(4), start=time(18)), RemoveEntry(id=own)),
    ]
    for edit, undo in ways:
        assert apply(apply(before, edit), undo).text == YEAR, edit


@pytest.mark.parametrize(
    ("edit", "others"),
    [
        (PinBlock(block="base-1"), []),
        (SplitBlock(block="base-1", day=day(14), kind=Kind.REST), []),
        (SkipSession(session=SESSION), []),
        (AddSession(recipe="mobility", day=day(4), start=time(18)), []),
        (MoveBlock(block="trip-1", days=3), [("trip", "0", "first"), ("trip", "0", "last")]),
        (ResizeBlock(block="trip-1", last=day(29)), [("trip", "0", "last")]),
    ],
    ids=lambda one: getattr(one, "do", ""),
)
def test_an_edit_of_the_plan_adds_its_wish_and_touches_no_other_entry(
    edit: AnEdit, others: list[tuple[str, ...]]
) -> None:
    after = raw(apply(draft(), edit).text)
    for section in ("pin", "session"):
        after.pop(section, None)
    assert sorted(differing(raw(YEAR), after)) == others


def test_edits_in_either_order_say_the_same_where_they_are_of_different_things() -> None:
    rng, start = random.Random("order"), draft()
    checked = 0
    for _ in range(40):
        one, other = (rng.choice((a_setting, a_rule, a_recipe))(rng, start) for _ in range(2))
        if places(one, YEAR) & places(other, YEAR):
            continue
        there, back_again = together(start, [one, other]), together(start, [other, one])
        assert there.year == back_again.year
        assert comments(there.text) == comments(back_again.text) == comments(YEAR)
        checked += 1
    assert checked >= 20


def test_an_edit_done_twice_says_it_once() -> None:
    for edit in (
        ChangeSetting(path="climber.minutes.friday", value=45),
        ChangeRule(code="order", on=False),
        ChangeRecipe(id="mobility", values={"minutes": 25}),
        ChangeEntry(id="isle", values={"note": "by boat", "last": date(2027, 1, 30)}),
    ):
        once = apply(draft(), edit)
        assert apply(once, edit).text == once.text != YEAR
