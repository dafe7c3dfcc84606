"""On which line of a TOML text each key stands, by tree-sitter's TOML grammar."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

Loc = tuple[str | int, ...]


class LineNumbers:
    """Line numbers by place: `line(("goal", 0, "grade"))`, or that of the nearest parent."""

    def __init__(self, text: str) -> None:
        self._at: dict[Loc, int] = {}
        self.twice: tuple[Loc, int] | None = None  # the first key that stands a second time
        for loc, line in _places(text):
            if loc in self._at and self.twice is None:
                self.twice = loc, line
            self._at.setdefault(loc, line)
        for (name, *rest), line in list(self._at.items()):
            if rest:  # a whole section is where its first entry is
                self._at.setdefault((name,), line)

    def line(self, loc: Loc) -> int | None:
        for size in range(len(loc), 0, -1):
            found = self._at.get(loc[:size])
            if found is not None:
                return found
        return None


def _places(text: str) -> Iterator[tuple[Loc, int]]:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    tree = Parser(Language(tree_sitter_toml.language())).parse(text.encode())
    counts: dict[Loc, int] = {}
    for node in tree.root_node.children:
        if node.type == "pair":
            yield from _pair(node, ())
        elif node.type in ("table", "table_array_element"):
            base = _resolve(_key(node.children[1]), counts, new=node.type != "table")
            yield base, node.start_point[0] + 1
            for child in node.children:
                if child.type == "pair":
                    yield from _pair(child, base)


def _resolve(keys: Loc, counts: dict[Loc, int], *, new: bool) -> Loc:
    """A header's keys with the index of each array of tables put in."""
    loc: Loc = ()
    for position, key in enumerate(keys):
        loc = (*loc, key)
        last = position == len(keys) - 1
        if last and new:
            counts[loc] = counts.get(loc, -1) + 1
        if loc in counts:
            loc = (*loc, counts[loc])
    return loc


def _key(node: Node) -> Loc:
    if node.type == "dotted_key":
        return tuple(part for child in node.named_children for part in _key(child))
    return ((node.text or b"").decode().strip("\"'"),)


def _pair(node: Node, base: Loc) -> Iterator[tuple[Loc, int]]:
    loc = (*base, *_key(node.children[0]))
    yield loc, node.start_point[0] + 1
    equals = next(n for n, child in enumerate(node.children) if child.type == "=")
    yield from _value(node.children[equals + 1], loc)


def _value(node: Node, loc: Loc) -> Iterator[tuple[Loc, int]]:
    if node.type == "inline_table":
        for child in node.named_children:
            if child.type == "pair":
                yield from _pair(child, loc)
    elif node.type == "array":
        items = [child for child in node.named_children if child.type != "comment"]
        for index, child in enumerate(items):
            yield (*loc, index), child.start_point[0] + 1
            yield from _value(child, (*loc, index))
