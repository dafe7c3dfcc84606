"""What a person can ask for in words: a verb for each edit, with its fields, help and example.

Made from the union of edits, so that no face can forget one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from enum import StrEnum
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, ValidationError
from pydantic.fields import FieldInfo

from seasonplan.edits.asks import Asks, BlockId
from seasonplan.edits.blocks import resized_by
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import place_of
from seasonplan.edits.fields import is_setting, typed
from seasonplan.edits.filled import nested
from seasonplan.edits.forms import Line, Takes, entry_lines, setting_lines
from seasonplan.edits.kinds import AnEdit, Edit
from seasonplan.edits.said import AMOUNTS, ENDS, ZONE, Now, meant, share_said
from seasonplan.errors import BadInput, Fault
from seasonplan.rules.statements import standard_book
from seasonplan.vocabulary import CHOSEN, FrozenModel, Kind
from seasonplan.year.model import ENTRY_FIELDS
from seasonplan.year.told import told

# What is understood in words on the command line as in a form.
IN_WORDS = (
    Takes.DAY, Takes.DAY_OR_YEARLY, Takes.SHARE, Takes.SHARES, Takes.CHANCE, Takes.YES_NO,
    Takes.CHOICES, *AMOUNTS,
)  # fmt: skip
UNION: tuple[type[AnEdit], ...] = get_args(get_args(Edit)[0])


class FieldForm(FrozenModel):
    """One thing a form asks for. `choices` is empty where anything may be said."""

    name: str
    label: str
    help: str
    asks: Asks
    required: bool
    choices: tuple[str, ...] = ()


class EditForm(FrozenModel):
    """A verb with its fields. `help` is one line; `example` is what one would type."""

    verb: str
    title: str
    help: str
    example: str
    fields: tuple[FieldForm, ...]


class End(StrEnum):
    START = "start"
    END = "end"


class _Longer(AnEdit):
    """Make a block longer at its end or start; it then stays so."""

    title = "Lengthen a block"
    example = "lengthen strength-2 --days 7"
    do: Literal["lengthen"] = "lengthen"
    block: BlockId
    days: Annotated[int, Asks.WHOLE, Field(title="Days", description="how many", ge=1, le=800)]
    at: Annotated[End, Asks.TEXT, Field(title="At", description="start or end")] = End.END


class _Shorter(_Longer):
    """Make a block shorter at its end or start; it then stays so."""

    title = "Shorten a block"
    example = "shorten strength-2 --days 7 --at start"
    do: Literal["shorten"] = "shorten"  # type: ignore[assignment]  # another verb


def _made_longer(draft: Draft, said: Any) -> AnEdit:
    sign = -1 if isinstance(said, _Shorter) else 1
    return resized_by(draft, said.block, sign * said.days, at_start=said.at is End.START)


# Verbs that are told in the words of the block as it stands, and become a plain edit.
_IN_WORDS: dict[type[AnEdit], Callable[[Draft, Any], AnEdit]] = {
    _Longer: _made_longer,
    _Shorter: _made_longer,
}


def _verb(model: type[AnEdit]) -> str:
    return str(model.model_fields["do"].default)


_MODELS = {_verb(model): model for model in (*UNION, *_IN_WORDS)}


def edit_of(draft: Draft, verb: str, values: Mapping[str, Any]) -> AnEdit:
    """The edit that a filled form means. Raises BadInput, or EditRefused."""
    model = _MODELS[verb]
    try:
        said = model(**{key: value for key, value in values.items() if value is not None})
    except ValidationError as error:
        raise BadInput(
            Fault(f"edit {verb}", str(one["loc"][0]), None, *told(one)) for one in error.errors()
        ) from None
    return _IN_WORDS[model](draft, said) if model in _IN_WORDS else said


def edit_from_words(draft: Draft, verb: str, said: Mapping[str, Any]) -> AnEdit:
    """As `edit_of`, from what a person typed: values as "key=value", settings and limits as text.

    An empty value takes the key away.
    """
    values = dict(said)
    for name, field in _MODELS[verb].model_fields.items():
        words = values.get(name)
        if words is None:
            continue
        if Asks.VALUES in field.metadata:
            place = _place(draft, verb, values)
            pairs = _pairs(words, place, draft)
            values[name] = nested(pairs) if verb == "add" else pairs
        elif Asks.VALUE in field.metadata:
            values[name] = _setting(draft, str(words), str(values["path"]))
        elif Asks.SHARE in field.metadata:
            values[name] = share_said(str(words))
        elif Asks.LIMIT in field.metadata:
            values[name] = _limit(words, str(values["code"]))
    return edit_of(draft, verb, values)


def _limit(words: str, code: str) -> Any:
    """The limit of a rule as a form would take it, with its unit or without."""
    book = standard_book()
    unit = book[code].unit if code in book else ""
    line = Line(key="limit", label="", help="", takes=Takes.LIMIT, unit=unit)
    value = meant(words, line, now=Now(date.min))
    ends = value if isinstance(value, list) else [value]
    told = all(isinstance(end, (int, float)) for end in ends)
    return value if told else typed(words, "rules", code, "limit")


def _place(draft: Draft, verb: str, values: Mapping[str, Any]) -> str | tuple[str, str]:
    """Where the values of an edit stand: a section, or one recipe."""
    if verb == "recipe":
        return "recipes", str(values["id"])
    return str(values["section"]) if verb == "add" else place_of(draft.year, values["id"])[0]


def _pairs(words: Sequence[str], place: str | tuple[str, str], draft: Draft) -> dict[str, Any]:
    """What was typed as first=2026-05-04; a last day is looked for from its first on."""
    now = Now(draft.today or date.min, draft.year.climber.week_begins)
    pairs = dict(_pair(word, place, now) for word in words)
    if isinstance(begins := pairs.get("first"), date):
        ends = [word for word in words if word.partition("=")[0].strip() in ENDS]
        pairs.update(_pair(word, place, replace(now, begins=begins)) for word in ends)
    return pairs


def _pair(word: str, place: str | tuple[str, str], now: Now) -> tuple[str, Any]:
    key, equals, text = word.partition("=")
    if not equals or not key:
        raise EditRefused(f"{word!r} does not say what it is for.", "Write it as first=2026-05-04.")
    above = (place,) if isinstance(place, str) else place
    if not text:
        return key.strip(), None
    value = typed(text, *above, *key.strip().split("."))
    return key.strip(), _in_words(text, value, _line(above, key.strip()), now)


def _setting(draft: Draft, words: str, path: str) -> Any:
    """What was typed for a setting, with its unit or without."""
    place = tuple(path.split("."))
    now = Now(draft.today or date.min, draft.year.climber.week_begins)
    lines = setting_lines(place[0]) if is_setting(place) else ()
    line = next((line for line in lines if line.key == ".".join(place[1:])), None)
    return _in_words(words, typed(words, *place), line, now)


def _in_words(text: str, value: Any, line: Line | None, now: Now) -> Any:
    """What a form would take the words for, where they are no `value` of the file by themselves."""
    if isinstance(value, date) or line is None:
        return value
    if line.takes not in IN_WORDS and line.key.rpartition(".")[2] != ZONE:
        return value
    meant_by = meant(text, line, now=now)
    return value if meant_by == text else meant_by


def _line(above: tuple[str, ...], key: str) -> Line | None:
    """The line of a form that asks for the same key of an entry."""
    if len(above) > 1 or above[0] not in ENTRY_FIELDS:
        return None
    return next((line for line in entry_lines(above[0]) if line.key == key), None)


def _form(model: type[AnEdit]) -> EditForm:
    assert model.__doc__ is not None
    fields = [_field(name, field) for name, field in model.model_fields.items() if name != "do"]
    own = model.__annotations__
    return EditForm(
        verb=_verb(model),
        title=model.title,
        help=model.__doc__,
        example=model.example,
        fields=tuple(sorted(fields, key=lambda one: (not one.required, one.name not in own))),
    )


def _field(name: str, field: FieldInfo) -> FieldForm:
    return FieldForm(
        name=name,
        label=field.title or name.capitalize(),
        help=field.description or "",
        asks=next(one for one in field.metadata if isinstance(one, Asks)),
        required=field.is_required(),
        choices=_choices(field),
    )


def _choices(field: FieldInfo) -> tuple[str, ...]:
    if Asks.SECTION in field.metadata:
        return tuple(ENTRY_FIELDS)
    if field.annotation is Kind:
        return tuple(CHOSEN)
    for kind in get_args(field.annotation) or (field.annotation,):
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            return tuple(kind)
    return ()


REGISTRY: tuple[EditForm, ...] = tuple(_form(model) for model in _MODELS.values())
