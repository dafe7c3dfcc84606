"""The registry of forms, and the words typed into them."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from datetime import date, time
from typing import Any

import pytest
from draft_maker import SESSION, YEAR, draft
from plan_maker import day

from seasonplan import diary
from seasonplan.edits import (
    REGISTRY,
    AddSession,
    Asks,
    Draft,
    EditForm,
    EditRefused,
    MarkDone,
    ResizeBlock,
    SplitBlock,
    apply,
    edit_from_words,
    edit_of,
    read,
    together,
)
from seasonplan.edits.registry import UNION
from seasonplan.errors import BadInput
from seasonplan.vocabulary import CHOSEN, BodyPart, Kind, Side
from seasonplan.year.model import ENTRY_FIELDS

FORMS = {form.verb: form for form in REGISTRY}


def now() -> Draft:
    """The draft on Wednesday 20 January 2027."""
    return replace(draft(), today=day(16))


def values(verb: str, *words: str, **said: Any) -> Any:
    """What pairs typed for a verb say."""
    return edit_from_words(now(), verb, {**said, "values": words}).model_dump()["values"]


def faults(verb: str, **said: Any) -> list[str]:
    with pytest.raises(BadInput) as bad:
        edit_from_words(now(), verb, said)
    return [str(fault) for fault in bad.value.faults]


# --- forms ----------------------------------------------------------------------------------


def test_every_edit_has_a_form_and_every_verb_is_there_once() -> None:
    verbs = [form.verb for form in REGISTRY]
    assert len(set(verbs)) == len(verbs)
    assert {model.model_fields["do"].default for model in UNION} <= set(verbs)
    assert {"lengthen", "shorten"} <= set(verbs)


@pytest.mark.parametrize("form", REGISTRY, ids=lambda form: form.verb)
def test_a_form_says_what_a_person_needs_to_fill_it(form: EditForm) -> None:
    assert form.title and form.help.endswith(".") and "\n" not in form.help
    assert form.example.startswith(form.verb + " ")
    assert form.fields
    for field in form.fields:
        assert field.label and field.help
        assert field.asks != "kind" or field.choices == (
            "base",
            "strength",
            "performance",
            "rest",
        )


def test_values_typed_as_pairs_become_an_edit() -> None:
    edit = edit_from_words(
        draft(), "change", {"id": "isle", "values": ["note=", "name=Far = isle"]}
    )
    assert edit.model_dump() == {
        "do": "change", "id": "isle", "values": {"note": None, "name": "Far = isle"},
    }  # fmt: skip
    for word in ("note", "=x"):
        with pytest.raises(EditRefused, match="first=2026-05-04"):
            edit_from_words(draft(), "change", {"id": "isle", "values": [word]})


def test_a_form_filled_wrongly_tells_every_fault() -> None:
    with pytest.raises(BadInput) as bad:
        edit_of(draft(), "split", {"block": "base-1", "day": "soon", "kind": "hard"})
    assert [fault.key for fault in bad.value.faults] == ["day", "kind"]


def test_a_field_says_what_it_asks_for_and_whether_it_can_be_left_out() -> None:
    asked = {field.name: (field.asks, field.required) for field in FORMS["add-session"].fields}
    assert asked == {
        "recipe": (Asks.RECIPE, True), "day": (Asks.DAY, True), "start": (Asks.TIME, True),
        "minutes": (Asks.WHOLE, False),
    }  # fmt: skip
    assert [field.name for field in FORMS["move"].fields] == ["block", "days"]
    (block, *_) = FORMS["join"].fields
    assert (block.label, block.help) == ("Block", "id of a block")


def test_words_of_which_there_are_few_are_offered() -> None:
    offered = {
        (verb, field.name): field.choices
        for verb, form in FORMS.items()
        for field in form.fields
        if field.choices
    }
    assert offered.pop(("add", "section")) == tuple(ENTRY_FIELDS)
    for verb in ("split", "kind"):
        assert offered.pop((verb, "kind")) == tuple(CHOSEN)
    for verb in ("done", "missed"):
        assert offered.pop((verb, "part")) == tuple(BodyPart)
        assert offered.pop((verb, "side")) == tuple(Side)
    for verb in ("lengthen", "shorten"):
        assert offered.pop((verb, "at")) == ("start", "end")
    assert offered == {}


# --- words ----------------------------------------------------------------------------------


def test_days_shares_and_answers_of_an_entry_are_understood_as_in_a_form() -> None:
    trip = ("name=Sea", "first=tomorrow", "last=in 2 weeks", "climbing=no")
    assert values("add", *trip, section="trip") == {
        "name": "Sea", "first": date(2027, 1, 21), "last": date(2027, 2, 3), "climbing": False,
    }  # fmt: skip
    season = ("first=feb every year", "last=march every year", "chance=40 %", "priority=x")
    assert values("add", *season, section="season") == {
        "first": "02-01", "last": "03-31", "chance": 0.4, "priority": "x",
    }  # fmt: skip
    assert values("change", "last=end of february", "name=tomorrow", id="isle") == {
        "last": date(2027, 2, 28), "name": "tomorrow",
    }  # fmt: skip


def test_a_key_leads_inside_a_table_with_a_point_in_an_entry_that_is_new_or_changed() -> None:
    demands = ("demands.power=4", "demands.movement=2", "note=")
    assert values("add", *demands, section="goal") == {"demands": {"power": 4, "movement": 2}}
    assert values("change", *demands, id="long-crack") == {
        "demands.power": 4, "demands.movement": 2, "note": None,
    }  # fmt: skip
    said = {"name": "New", "place": "Karst", "discipline": "sport", "grade": "7a"}
    words = [f"{key}={one}" for key, one in said.items()]
    edit = edit_from_words(now(), "add", {"section": "goal", "values": [*words, demands[0]]})
    assert apply(now(), edit).year.goals[1].demands == {"power": 4}


def test_spaces_around_a_key_are_nobodys_name() -> None:
    assert values("change", " note =far", id="isle") == {"note": "far"}


def test_of_a_section_that_is_not_there_words_are_kept_as_they_are() -> None:
    assert values("add", "first=tomorrow", section="trips") == {"first": "tomorrow"}


def test_values_of_a_recipe_are_those_that_its_place_takes() -> None:
    assert values("recipe", "minutes=20", "kinds=base, rest", "do=", id="mobility") == {
        "minutes": 20, "kinds": ["base", "rest"], "do": None,
    }  # fmt: skip


def test_an_entry_that_is_not_there_is_told_before_its_values_are_read() -> None:
    with pytest.raises(EditRefused, match=r"no entry 'isel'. Did you mean isle\?"):
        values("change", "first=tomorrow", id="isel")


@pytest.mark.parametrize(
    ("words", "limit"),
    [("4", 4), ("4.5", 4.5), ("4,6", (4, 6)), ("4 to 6", (4, 6)), ("[4, 6]", (4, 6))],
)
def test_a_limit_is_one_number_or_two(words: str, limit: Any) -> None:
    edit = edit_from_words(now(), "rule", {"code": "base-length", "limit": words})
    assert edit.model_dump()["limit"] == limit


@pytest.mark.parametrize("words", ["few", "4 to six", "4,5,6", "true"])
def test_a_limit_that_is_none_is_one_fault_as_in_the_file(words: str) -> None:
    (fault,) = faults("rule", code="base-length", limit=words)
    assert fault.startswith("edit rule, limit: found ")
    assert fault.endswith("; wanted a number, or lowest and highest. Write `[3, 6]`.")


def test_a_setting_is_typed_as_its_place_takes_it_and_taken_back_without_a_value() -> None:
    for words, value in (("1h30", "1h30"), ("45", 45), (None, None)):
        said = {"path": "climber.minutes.friday", "value": words}
        assert edit_from_words(now(), "set", said).model_dump()["value"] == value


@pytest.mark.parametrize(
    ("words", "left"), [("30 %", 0.3), ("30", 0.3), ("0.3", 0.3), ("three in ten", 0.3)]
)
def test_time_that_is_left_is_said_as_any_share(words: str, left: float) -> None:
    said = {"name": "N", "first": "2027-03-01", "last": "2027-03-03", "weeks": 2, "left": words}
    entries = edit_from_words(now(), "repeat", said)
    assert entries.model_dump()["left"] == left


@pytest.mark.parametrize(
    ("path", "words", "value"),
    [
        ("climber.rock_minutes", "6h", 360),
        ("climber.rock_travel_minutes", "45 min", 45),
        ("sessions.alarm_minutes", "1h", 60),
        ("climber.time_zone", "Vienna", "Europe/Vienna"),
        ("climber.rock_minutes", "long", "long"),
    ],
)
def test_a_setting_is_understood_on_the_command_line_as_in_a_form(
    path: str, words: str, value: Any
) -> None:
    edit = edit_from_words(now(), "set", {"path": path, "value": words})
    assert edit.model_dump()["value"] == value


# --- edits ----------------------------------------------------------------------------------


def test_a_form_becomes_the_edit_that_it_is_named_for() -> None:
    split = {"block": "base-1", "day": "2027-01-18", "kind": "rest"}
    assert edit_of(now(), "split", split) == SplitBlock(block="base-1", day=day(14), kind=Kind.REST)
    added = {"recipe": "mobility", "day": day(4), "start": "18:30", "minutes": None}
    assert edit_of(now(), "add-session", added) == AddSession(
        recipe="mobility", day=day(4), start=time(18, 30)
    )
    hurt = {"session": SESSION, "part": "knee", "side": "left", "pain": 3, "rpe": None}
    assert edit_of(now(), "done", hurt) == MarkDone(
        session=SESSION, part=BodyPart.KNEE, side=Side.LEFT, pain=3
    )


@pytest.mark.parametrize(
    ("verb", "at", "first", "last"),
    [
        ("lengthen", "end", None, 44), ("lengthen", "start", 32, None),
        ("shorten", "end", None, 38), ("shorten", "start", 38, None), ("lengthen", None, None, 44),
    ],
)  # fmt: skip
def test_a_block_is_longer_or_shorter_from_where_it_stands(
    verb: str, at: str | None, first: int | None, last: int | None
) -> None:
    said = {"block": "strength-1", "days": 3, "at": at}
    assert edit_of(now(), verb, said) == ResizeBlock(
        block="strength-1",
        first=None if first is None else day(first),
        last=None if last is None else day(last),
    )


@pytest.mark.parametrize(
    ("verb", "said", "told"),
    [
        ("move", {"block": "base-1", "days": 801}, "days: found 801; wanted 800 or less."),
        ("move", {"block": "base-1", "days": -801}, "days: found -801; wanted -800 or more."),
        ("move", {"block": "base-1"}, "days: found nothing; wanted a value. Fill it in."),
        ("lengthen", {"block": "base-1", "days": 0}, "days: found 0; wanted 1 or more."),
        ("lengthen", {"block": "base-1", "days": 801}, "days: found 801; wanted 800 or less."),
        ("lengthen", {"block": "base-1", "days": 3, "at": "middle"}, "at: found 'middle'; wanted "),
        ("done", {"session": SESSION, "rpe": 11}, "rpe: found 11; wanted 10 or less."),
        ("done", {"session": SESSION, "rpe": -1}, "rpe: found -1; wanted 0 or more."),
        ("done", {"session": SESSION, "minutes": 1441}, "minutes: found 1441; wanted 1440 or less"),
        ("missed", {"session": SESSION, "pain": 11}, "pain: found 11; wanted 10 or less."),
        ("missed", {"session": SESSION, "on": "soon"}, "on: found 'soon'; wanted a day."),
        ("move-session", {"session": SESSION, "minutes": 0}, "minutes: found 0; wanted 1 or more."),
        ("add-session", {"recipe": "mobility", "day": "2027-01-08", "start": "x"}, "start: found"),
        ("kind", {"block": "base-1", "kind": "easy"}, "kind: found 'easy'; wanted base, strength"),
    ],
)
def test_what_is_out_of_bounds_is_told_by_verb_and_field(
    verb: str, said: dict[str, Any], told: str
) -> None:
    (fault,) = faults(verb, **said)
    assert fault.startswith(f"edit {verb}, {told}")


# --- anything -------------------------------------------------------------------------------

WORDS = (
    "", "1", "0", "-1", "1.5", "true", "x", "2027-01-20", "tomorrow", "31 feb", "18:30", "25:00",
    "[1,2]", "{ power = 3 }", "a, b", "1e400", "nan", "9" * 30, "é\n", "\x00", '"', "40 %", "[[",
    "=", "3 to 6", "isle", "9999-12-31", "0001-01-01", "feb every year",
)  # fmt: skip
KEYS = (
    "name", "first", "last", "id", "note", "grade", "served_by", "served_by.0", "demands",
    "demands.power", "demands.0", "good.0.rain_below", "good.x", "records.file", "happened",
    "full_from", "chance", "climbing", "kind", "minutes", "x.y.z", "", "..", "first.", "session",
)  # fmt: skip
SAID: dict[Asks, tuple[Any, ...]] = {
    Asks.BLOCK: ("base-1", "trip-1", "strength-1", "injured-1", "x"),
    Asks.SESSION: (SESSION, "x", "base-1/2027-01-04/mobility-2"),
    Asks.ENTRY: ("long-crack", "winter-sun", "isle", "knee", "x", ""),
    Asks.SECTION: (*ENTRY_FIELDS, "rules", "x"),
    Asks.SETTING: (
        "climber.minutes.tuesday", "climber.level.power", "climber.level", "year.last", "a.b", "",
        ".", "climber", "climber.minutes.tuesday.minutes", "sessions.spread_for.base",
    ),
    Asks.RULE: ("order", "base-length", "x", ""), Asks.RECIPE: ("mobility", "x", "", "a.b"),
    Asks.DAY: (day(3), day(20), day(200), "2027-02-02", "x", date.max, date.min),
    Asks.TIME: ("18:30", "x"), Asks.WHOLE: (0, 1, -3, 7, 400, 10**9), Asks.YES_NO: (True, False),
    Asks.NUMBER: (0, 1, -3, 0.5, 10**9), Asks.KIND: ("base", "rest", "trip", "x"),
}  # fmt: skip


def test_whatever_is_typed_is_done_or_refused_in_words_and_what_is_done_can_be_read() -> None:
    """By lot, over every verb: no other error comes out, and the draft stays as it was."""
    rng, before = random.Random("anything"), now()
    outcomes: Counter[str] = Counter()
    for _ in range(1200):
        form = rng.choice(REGISTRY)
        said = {
            field.name: [f"{rng.choice(KEYS)}={rng.choice(WORDS)}" for _ in range(2)]
            if field.asks is Asks.VALUES else rng.choice(SAID.get(field.asks, WORDS))
            for field in form.fields if field.required or rng.random() < 0.6
        }  # fmt: skip
        try:
            after = together(before, [edit_from_words(before, form.verb, said)])
        except (BadInput, EditRefused) as no:
            assert str(no).strip()
            outcomes["refused"] += 1
            continue
        outcomes["done"] += 1
        assert read(after.text) == after.year
        diary.parse(after.diary, file="diary.csv")
    assert before.text == YEAR and outcomes["done"] > 60 and outcomes["refused"] > 600
