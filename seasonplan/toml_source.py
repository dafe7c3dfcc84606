"""TOML text, read once: its values by tomllib, where they stand by tree-sitter, values as text.

The one reader of what a climber writes: `year` asks it on which line a fault is, `edits` where to
change the text. Knows no key of a year, and changes nothing.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, time
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tree_sitter import Node

Loc = tuple[str | int, ...]
BOM = "\ufeff"  # some editors put it before the text; TOML has no place for it
KEPT = 8  # texts: the one on the disk, the one it becomes, the one that was planned, and some more
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WHERE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_ESCAPED = re.compile(r'["\\\x00-\x1f\x7f]')
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


class NotToml(Exception):
    """A text that is no TOML: why, and the line where that is known."""

    def __init__(self, why: str, line: int | None) -> None:
        self.why = why
        self.line = line
        super().__init__(why)


@lru_cache(KEPT)
def source_of(text: str) -> Source:
    """A text as read. Whoever asks for it again gets the same reading."""
    return Source(text)


@dataclass(frozen=True, slots=True)
class Pair:
    """`key = value`: from the key to the end of its comment, and the value alone, in bytes."""

    loc: Loc
    first: int
    after: int
    value: tuple[int, int]
    inside: bool  # of an inline table


@dataclass(slots=True)
class Table:
    """A `[table]` or one `[[entry]]`: from the header to the end of its last pair or header."""

    loc: Loc
    first: int
    after: int
    pairs: list[Pair] = field(default_factory=list)


class Source:
    """A text with its values and places. Make it with `source_of`."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.mark = BOM if text.startswith(BOM) else ""
        self.content = text.removeprefix(BOM).encode()  # places count from here

    @property
    def values(self) -> dict[str, Any]:
        """All values, for the caller to keep. Raises NotToml."""
        return deepcopy(self._values)

    def at(self, loc: Loc) -> Any:
        """The value at a place, for the caller to keep, or None. Raises NotToml."""
        return deepcopy(value_at(self._values, loc))

    def line(self, loc: Loc) -> int | None:
        """The line of a place, or of the nearest place above it that has one."""
        sizes = range(len(loc), 0, -1)
        return next((self._lines[loc[:n]] for n in sizes if loc[:n] in self._lines), None)

    @property
    def twice(self) -> tuple[Loc, int] | None:
        """The first key that stands a second time, and on which line."""
        return self._places.twice

    @property
    def tables(self) -> list[Table]:
        return self._places.tables

    def pair(self, loc: Loc) -> Pair | None:
        return self._places.pairs.get(loc)

    @property
    def plain(self) -> list[Pair]:
        """The pairs that have a line of their own, as they stand."""
        return [pair for pair in self._places.pairs.values() if not pair.inside]

    def table(self, loc: Loc) -> Table | None:
        return next((table for table in self.tables if table.loc == loc), None)

    def under(self, loc: Loc) -> list[Table]:
        """The tables at a place and below it, as they stand."""
        return [table for table in self.tables if table.loc[: len(loc)] == loc]

    @cached_property
    def _values(self) -> dict[str, Any]:
        try:
            return tomllib.loads(self.text.removeprefix(BOM))
        except ValueError as error:  # most know their place; a number of 5000 digits does not
            where = _WHERE.search(str(error))
            last = len(self.content.splitlines())
            line = int(where[1] or last) if where else None
            raise NotToml(str(error)[: where.start()] if where else str(error), line) from None

    @cached_property
    def _places(self) -> _Places:
        return _Places(self.content)

    @cached_property
    def _lines(self) -> dict[Loc, int]:
        lines = dict(self._places.lines)
        for (name, *rest), line in self._places.lines.items():
            if rest:  # a whole section is where its first entry is
                lines.setdefault((name,), line)
        return lines


class _Places:
    """Where everything stands, by one walk over the tree."""

    def __init__(self, content: bytes) -> None:
        self.tables: list[Table] = []
        self.pairs: dict[Loc, Pair] = {}
        self.lines: dict[Loc, int] = {}
        self.twice: tuple[Loc, int] | None = None
        self._counts: dict[Loc, int] = {}
        for node in _parsed(content).children:
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def _table(self, node: Node) -> None:
        loc = self._resolved(_key(node.children[1]), new=node.type != "table")
        self._seen(loc, node)
        table = Table(loc, node.start_byte, node.children[2].end_byte)
        for child in node.children[3:]:
            if child.type == "comment" and child.start_point[0] == node.start_point[0]:
                table.after = _end(child)
            elif child.type == "pair":
                table.pairs.append(self._pair(child, loc))
                table.after = _end(child)
        self.tables.append(table)

    def _resolved(self, keys: Loc, *, new: bool) -> Loc:
        """A header's keys with the index of each array of tables put in."""
        loc: Loc = ()
        for position, key in enumerate(keys):
            loc = (*loc, key)
            if new and position == len(keys) - 1:
                self._counts[loc] = self._counts.get(loc, -1) + 1
            if loc in self._counts:
                loc = (*loc, self._counts[loc])
        return loc

    def _pair(self, node: Node, base: Loc, *, inside: bool = False) -> Pair:
        """Keep a pair, and what lies in its value."""
        equals = next(n for n, child in enumerate(node.children) if child.type == "=")
        loc, value = (*base, *_key(node.children[0])), node.children[equals + 1]
        pair = Pair(loc, node.start_byte, _end(node), (value.start_byte, value.end_byte), inside)
        self._seen(loc, node)
        self.pairs.setdefault(loc, pair)
        self._inner(value, loc)
        return pair

    def _inner(self, value: Node, loc: Loc) -> None:
        if value.type == "inline_table":
            for child in value.named_children:
                if child.type == "pair":
                    self._pair(child, loc, inside=True)
        elif value.type == "array":
            items = [child for child in value.named_children if child.type != "comment"]
            for index, child in enumerate(items):
                self._seen((*loc, index), child)
                self._inner(child, (*loc, index))

    def _seen(self, loc: Loc, node: Node) -> None:
        line = node.start_point[0] + 1
        if self.twice is None and loc in self.lines:
            self.twice = loc, line
        self.lines.setdefault(loc, line)


def _parsed(content: bytes) -> Node:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language())).parse(content).root_node


def _end(node: Node) -> int:
    """Where a node ends; the grammar counts the first half of a Windows line end to it."""
    return node.start_byte + len((node.text or b"").rstrip())


def _key(node: Node) -> Loc:
    if node.type == "dotted_key":
        return tuple(part for child in node.named_children for part in _key(child))
    written = (node.text or b"").decode()
    return (str(value_of(written)) if written[:1] in ("'", '"') else written,)


# --- single values ------------------------------------------------------------------------------


def value_at(values: Any, loc: Loc) -> Any:
    """What lies at a place of plain values, or None."""
    for part in loc:
        try:
            values = values[part]
        except (KeyError, IndexError, TypeError):
            return None
    return values


def value_of(words: str) -> Any:
    """The value that stands behind `=` in a file as these words; None where they are none."""
    try:
        read = tomllib.loads(f"value = {words}")
    except (ValueError, RecursionError):
        return None
    return read["value"] if len(read) == 1 else None


def key_text(name: str | int) -> str:
    """A key as TOML writes it."""
    return str(name) if _BARE.fullmatch(str(name)) else literal(str(name))


def literal(value: Any) -> str:
    """A value as TOML writes it, in one line. Raises ValueError for what TOML cannot hold."""
    match value:
        case str():
            return f'"{_ESCAPED.sub(_escape, value)}"'
        case bool():
            return str(value).lower()
        case int() | float():
            return str(value)
        case date() | time():  # a datetime is a date
            return value.isoformat()
        case Mapping():
            pairs = ", ".join(f"{key_text(key)} = {literal(one)}" for key, one in value.items())
            return f"{{ {pairs} }}" if pairs else "{}"
        case list() | tuple():
            return f"[{', '.join(map(literal, value))}]"
    raise ValueError(f"{value!r} cannot be written down.")


def _escape(sign: re.Match[str]) -> str:
    return _SHORT.get(sign[0]) or f"\\u{ord(sign[0]):04x}"
