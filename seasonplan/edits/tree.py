"""Where keys and tables of a TOML text stand, in bytes, by tree-sitter's TOML grammar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

Loc = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Pair:
    """`key = value`: from the key to the end of its comment, and the value alone."""

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


class Tree:
    """The tables and pairs of a text."""

    def __init__(self, content: bytes) -> None:
        self.tables: list[Table] = []
        self.pairs: list[Pair] = []
        self._counts: dict[Loc, int] = {}
        for node in _parsed(content).children:
            if node.type == "pair":
                self.pairs += _pairs(node, (), inside=False)
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def pair(self, loc: Loc) -> Pair | None:
        return next((pair for pair in self.pairs if pair.loc == loc), None)

    def table(self, loc: Loc) -> Table | None:
        return next((table for table in self.tables if table.loc == loc), None)

    def under(self, loc: Loc) -> list[Table]:
        """The tables at a place and below it, as they stand."""
        return [table for table in self.tables if table.loc[: len(loc)] == loc]

    def _table(self, node: Node) -> None:
        loc = self._resolved(_key(node.children[1]), new=node.type != "table")
        table = Table(loc, node.start_byte, node.children[2].end_byte)
        line = node.start_point[0]
        for child in node.children[3:]:
            if child.type == "comment" and child.start_point[0] == line:
                table.after = _end(child)
            elif child.type == "pair":
                found = list(_pairs(child, loc, inside=False))
                table.pairs.append(found[0])
                table.after = _end(child)
                self.pairs += found
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
    return ((node.text or b"").decode().strip("\"'"),)


def _pairs(node: Node, base: Loc, *, inside: bool) -> Iterator[Pair]:
    """The pair of a node, then those of the inline table that is its value."""
    loc, value = (*base, *_key(node.children[0])), node.children[2]
    span = value.start_byte, value.end_byte
    yield Pair(loc, node.start_byte, _end(node), span, inside)
    if value.type == "inline_table":
        for child in value.named_children:
            if child.type == "pair":
                yield from _pairs(child, loc, inside=True)
