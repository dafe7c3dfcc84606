"""What each part of a year asks for, line by line: made from the models, so that none is forgotten.

Says what a line takes, not what it means; judges nothing. Words stand in `form_words`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, time
from enum import StrEnum
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from seasonplan.edits.form_words import CHOICES, GROUPS, label_of
from seasonplan.vocabulary import FrozenModel
from seasonplan.year import RecipeChange, RuleChange, Year
from seasonplan.year.entries import OPEN_END
from seasonplan.year.model import ENTRY_FIELDS
from seasonplan.year.routine import FreeTime

NESTED = "climber.minutes"  # a form of its own
UNSAID: tuple[Any, ...] = ("", (), {}, OPEN_END)  # nothing counts where nothing is said


class Takes(StrEnum):
    """What a line of a form takes."""

    TEXT = "text"
    DAY = "a day"
    DAY_OR_YEARLY = "a day, or one of every year"
    TIME = "a time of day"
    FREE = "minutes or hours"
    YES_NO = "yes or no"
    CHOICE = "one of a few"
    CHOICES = "some of a few"
    NAMES = "names"
    WHOLE = "a whole number"
    NUMBER = "a number"
    NUMBERS = "numbers"
    RESULTS = "results, each a number"
    LIMIT = "a number, or lowest and highest"
    SHARE = "a share"
    SHARES = "shares"
    CHANCE = "a chance, one for each week, or one for each month"
    TABLE = "names, each with a value"


class Line(FrozenModel):
    """One line: its place inside what the form is about ("first", "demands.power"), and words.

    `choices` is empty where anything may be said; `usual` is what counts where nothing is said.
    """

    key: str
    label: str
    help: str
    takes: Takes
    required: bool = False
    choices: tuple[str, ...] = ()
    usual: Any = None
    group: str = ""
    unit: str = ""  # of its numbers, where its key does not say it
    past: bool = False  # a day that is over, where its key does not say so


def entry_lines(section: str, *, lists: Mapping[str, int] | None = None) -> tuple[Line, ...]:
    """The lines of an entry. `lists` says how many of a list of tables there are; one at least."""
    field = Year.model_fields[ENTRY_FIELDS[section]]
    model = get_args(field.annotation)[0]
    return _in_order(_lines(model, section, lists=lists or {}))


def setting_lines(part: str) -> tuple[Line, ...]:
    """The lines of a part of the settings, such as "climber" or "climber.minutes"."""
    model: Any = Year
    for name in part.split("."):
        model = next(
            field.annotation for own, field in model.model_fields.items()
            if (field.alias or own) == name
        )  # fmt: skip
    found = _lines(model, part)
    return tuple(line for line in found if part == NESTED or not line.key.startswith("minutes."))


def rule_lines() -> tuple[Line, ...]:
    """What can be changed of a rule."""
    return tuple(_lines(RuleChange, "rule"))


def recipe_lines() -> tuple[Line, ...]:
    """What can be said of a recipe."""
    return _in_order(_lines(RecipeChange, "recipe"))


def lines_of(model: type[BaseModel], about: str) -> tuple[Line, ...]:
    """The lines of any other model, such as what is told of an injury."""
    return _in_order(_lines(model, about))


def _in_order(lines: Iterator[Line]) -> tuple[Line, ...]:
    """What stands in no group first; note and id last of it, for few need them."""
    found = list(lines)
    groups = list(dict.fromkeys(("", *(line.group for line in found))))
    last = ("note", "id")
    return tuple(
        sorted(
            found,
            key=lambda line: (
                groups.index(line.group), last.index(line.key) + 1 if line.key in last else 0,
            ),
        )
    )  # fmt: skip


def _lines(
    model: type[BaseModel],
    about: str,
    *,
    above: str = "",
    lists: Mapping[str, int] | None = None,
) -> Iterator[Line]:
    for own, field in model.model_fields.items():
        key = above + (field.alias or own)
        parts = _parts(field.annotation)
        for inner, at in _inside(parts, key, lists or {}):
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                yield from _lines(inner, about, above=f"{at}.", lists=lists)
            else:
                yield from _of_dict(inner, at, about)
        if not any(True for _ in _inside(parts, key, {})):
            yield _line(field, key, about, required=field.is_required() and not above)


def _inside(parts: list[Any], key: str, lists: Mapping[str, int]) -> Iterator[tuple[Any, str]]:
    """Tables inside a field, with their place: a model, several of them, or one value a word."""
    for part in parts:
        args = get_args(part)
        if _is_model(part) and part is not FreeTime:
            yield part, key
        elif get_origin(part) is tuple and _is_model(args[0]):
            for index in range(max(1, lists.get(key, 1))):
                yield args[0], f"{key}.{index}"
        elif get_origin(part) is dict and _is_enum(args[0]):
            yield part, key


def _of_dict(part: Any, key: str, about: str) -> Iterator[Line]:
    """A line for each word that a table has a value for."""
    names, value = get_args(part)
    takes, _ = _takes(_parts(value), _metadata(value))
    for name in names:
        label, told = label_of(about, f"{key}.{name.value}")
        yield Line(key=f"{key}.{name.value}", label=label, help=told, takes=takes,
                   group=GROUPS.get(key, ""))  # fmt: skip


def _line(field: FieldInfo, key: str, about: str, *, required: bool) -> Line:
    takes, choices = _takes(_parts(field.annotation), list(field.metadata))
    label, told = label_of(about, key)
    open_words = CHOICES.get(key.rpartition(".")[2], ())
    if open_words and takes in (Takes.TEXT, Takes.NAMES):
        takes = Takes.CHOICE if takes is Takes.TEXT else Takes.CHOICES
    usual = None if field.is_required() else field.get_default(call_default_factory=True)
    return Line(
        key=key, label=label, help=told, takes=takes, required=required,
        choices=choices or open_words, usual=None if usual in UNSAID else usual,
        group=next((told for at, told in GROUPS.items() if _below(key, at)), ""),
    )  # fmt: skip


def _below(key: str, table: str) -> bool:
    """Whether a line stands in a table itself, not in one inside it."""
    above = ".".join(part for part in key.split(".")[:-1] if not part.isdigit())
    return above == table


# --- types ------------------------------------------------------------------------------------


def _parts(annotation: Any) -> list[Any]:
    """The kinds of a field, one by one, without None and what judges them."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _parts(get_args(annotation)[0])
    if origin in (Union, UnionType):
        return [part for one in get_args(annotation) for part in _parts(one)]
    return [] if annotation is NoneType else [annotation]


def _metadata(annotation: Any) -> list[Any]:
    """What judges a type, also inside a list."""
    if get_origin(annotation) is Annotated:
        return [
            inner for one in get_args(annotation)[1:]
            for inner in (one.metadata if isinstance(one, FieldInfo) else [one])
        ]  # fmt: skip
    return []


def _takes(parts: list[Any], metadata: list[Any]) -> tuple[Takes, tuple[str, ...]]:
    lists = [part for part in parts if get_origin(part) is tuple]
    tables = [part for part in parts if get_origin(part) is dict]
    if tables:
        return (Takes.CHANCE if float in parts else Takes.TABLE), ()
    if lists:
        return (Takes.LIMIT, ()) if float in parts else _takes_list(lists[0])
    words = [part for part in parts if _is_enum(part) or get_origin(part) is Literal]
    if words:
        return Takes.CHOICE, _choices(words[0])
    if date in parts:
        return (Takes.DAY_OR_YEARLY if str in parts else Takes.DAY), ()
    plain = {
        time: Takes.TIME, bool: Takes.YES_NO, FreeTime: Takes.FREE, str: Takes.TEXT,
        int: Takes.WHOLE, float: Takes.SHARE if _is_share(metadata) else Takes.NUMBER,
    }  # fmt: skip
    return next(takes for kind, takes in plain.items() if kind in parts), ()


def _takes_list(part: Any) -> tuple[Takes, tuple[str, ...]]:
    inner = get_args(part)[0]
    takes, choices = _takes(_parts(inner), _metadata(inner))
    several = {
        Takes.CHOICE: Takes.CHOICES, Takes.TEXT: Takes.NAMES, Takes.SHARE: Takes.SHARES,
        Takes.NUMBER: Takes.NUMBERS, Takes.WHOLE: Takes.NUMBERS,
    }  # fmt: skip
    return several[takes], choices


def _choices(words: Any) -> tuple[str, ...]:
    if get_origin(words) is Literal:
        return get_args(words)
    return tuple(one.value for one in words if one.value)  # nothing said is no choice


def _is_share(metadata: list[Any]) -> bool:
    return any(getattr(one, "le", None) == 1 for one in metadata)


def _is_model(part: Any) -> bool:
    return isinstance(part, type) and issubclass(part, BaseModel)


def _is_enum(part: Any) -> bool:
    return isinstance(part, type) and issubclass(part, StrEnum)
