"""Every number of the project's shared data: its value, what it rests on, its sources.

The labels stand in `shared/labels.toml`. Knows no year: what a climber changed is not here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from fnmatch import fnmatchcase
from functools import cache
from itertools import groupby
from typing import Any

from seasonplan.errors import Misuse
from seasonplan.rules.statements import standard_book
from seasonplan.rules.tables import Source, sources, table
from seasonplan.vocabulary import FrozenModel

TABLES = (
    "response", "blocks", "weeks", "effort", "menus", "injuries", "recipes", "rules",
    "conditions", "tests", "grades",
)  # fmt: skip
CITING = ("error_from", "sources", "rope_sources", "boulder_sources")


class Label(StrEnum):
    """What a number rests on."""

    TRIAL = "trial"
    REVIEW = "review"
    MEASURED = "measured"
    PUBLISHED = "published"
    FITTED = "fitted"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"
    PREFERENCE = "preference"


UNSOURCED = {Label.PREFERENCE: ("preference",), Label.COMMON_PRACTICE: ("common-practice",)}


class LabelLine(FrozenModel):
    """A line of `shared/labels.toml`: what the numbers rest on whose names fit one of `of`."""

    of: tuple[str, ...]
    label: Label
    what: str
    sources: tuple[str, ...] = ()

    def names(self, number: str) -> bool:
        return any(fnmatchcase(number, one) for one in self.of)


class Number(FrozenModel):
    """One number (or short list of numbers, or row of grades) by its file, table and key."""

    name: str
    value: Any
    label: Label
    what: str
    sources: tuple[str, ...]

    @property
    def table(self) -> str:
        return self.name.rpartition(".")[0]

    @property
    def key(self) -> str:
        return self.name.rpartition(".")[2]

    @property
    def told(self) -> str:
        """The value as one reads it."""
        if isinstance(self.value, Mapping):
            return " = ".join(f"{key} {one}" for key, one in self.value.items())
        if isinstance(self.value, list):
            return ", ".join(map(_told, self.value))
        return _told(self.value)

    @property
    def unsourced(self) -> bool:
        """Whether its label says all: custom of the trade, or a choice of this project."""
        return self.sources == UNSOURCED.get(self.label)

    def cited(self) -> tuple[Source, ...]:
        return tuple(sources()[key] for key in self.sources)


def _told(value: object) -> str:
    if isinstance(value, list):
        return " ".join(map(_told, value))
    return str(value)


@cache
def label_lines() -> tuple[LabelLine, ...]:
    return tuple(LabelLine(**raw) for raw in table("labels")["numbers"])


def line_of(number: str) -> LabelLine | None:
    """The line that says what a number rests on: the last one that names it."""
    return next((line for line in reversed(label_lines()) if line.names(number)), None)


@cache
def all_numbers() -> tuple[Number, ...]:
    """Every number of `shared/`, file by file, in the order of the files."""
    return tuple(one for name in TABLES for one in _walked(name, table(name), {}))


def numbers_under(prefix: str) -> tuple[Number, ...]:
    """Those of a file, a table or a key; none where there is no such thing."""
    return tuple(one for one in all_numbers() if f"{one.name}.".startswith(f"{prefix}."))


def grouped(numbers: Sequence[Number]) -> Iterator[tuple[Number, list[Number]]]:
    """Numbers that stand in one table and rest on the same, each group with its first."""
    alike = groupby(numbers, key=lambda one: (one.table, one.label, one.what, one.sources))
    for _, group in alike:
        held = list(group)
        yield held[0], held


# --- walking the tables -----------------------------------------------------------------------


def _walked(name: str, value: Any, backing: Mapping[str, Any]) -> Iterator[Number]:
    if isinstance(value, dict) and not _is_row(name, value):
        backing = {**backing, **{key: value[key] for key in (*CITING, "evidence") if key in value}}
        for key, one in value.items():
            yield from _walked(f"{name}.{key}", one, backing)
    elif isinstance(value, list) and any(isinstance(one, dict) for one in value):
        for at, one in enumerate(value, start=1):
            yield from _walked(f"{name}.{at}", one, backing)
    elif _counts(value) or isinstance(value, dict):
        yield _number(name, value, backing)


def _is_row(name: str, value: Mapping[str, Any]) -> bool:
    """Whether it is one row of grades, which only makes sense as a whole."""
    return name.startswith("grades.") and not any(isinstance(one, list) for one in value.values())


def _counts(value: Any) -> bool:
    if isinstance(value, list):
        return any(_counts(one) for one in value)
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _number(name: str, value: Any, backing: Mapping[str, Any]) -> Number:
    line = line_of(name)
    if line is None and "evidence" not in backing:
        raise Misuse(f"shared/labels.toml does not say what {name} rests on")
    label = line.label if line else Label(backing["evidence"])
    cited = line.sources if line and line.sources else UNSOURCED.get(label) or _cited(backing)
    what = f"{line.what if line else 'limit of the rule'}{_of_rule(name)}"
    return Number(name=name, value=value, label=label, what=what, sources=tuple(cited))


def _of_rule(name: str) -> str:
    """Of the number of a rule: its unit, and the rule in words."""
    file, code, *_ = name.split(".")
    if file != "rules":
        return ""
    rule = standard_book()[code]
    unit = f", in {rule.unit}" if name.endswith(".limit") and rule.unit else ""
    return f"{unit} (“{rule.title}”)"


def _cited(backing: Mapping[str, Any]) -> Sequence[str]:
    return next((backing[key] for key in CITING if key in backing), ())
