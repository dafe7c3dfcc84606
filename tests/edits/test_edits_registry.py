"""The registry of forms, and the words typed into them."""

from __future__ import annotations

from typing import Any

import pytest
from draft_maker import draft

from seasonplan.edits import REGISTRY, EditForm, EditRefused, edit_from_words, edit_of, typed
from seasonplan.edits.registry import UNION
from seasonplan.errors import BadInput

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


@pytest.mark.parametrize(
    ("words", "place", "value"),
    [
        ("2027", ("trip", "name"), "2027"),
        ("true", ("trip", "climbing"), True),
        ("2", ("goal", "priority"), 2),
        ("7", ("goal", "grade"), "7"),
        ("a, b", ("goal", "served_by"), ["a", "b"]),
        ("{ power = 3 }", ("goal", "demands"), {"power": 3}),
        ("09-20", ("season", "first"), "09-20"),
        ("0.2, 0.4", ("season", "chance"), [0.2, 0.4]),
        ("18:00-19:30", ("climber", "minutes", "tuesday"), "18:00-19:30"),
        ("4", ("climber", "level", "power"), 4),
        ("3,6", ("rules", "base-length", "limit"), [3, 6]),
        ("few and long", ("sessions", "spread_for", "base"), "few and long"),
        ("nonsense", ("goal", "priority"), "nonsense"),
        ("x y", ("goal", "unknown"), "x y"),
    ],
)
def test_words_become_what_their_place_takes(
    words: str, place: tuple[str, ...], value: Any
) -> None:
    assert typed(words, *place) == value
    assert type(typed(words, *place)) is type(value)


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
