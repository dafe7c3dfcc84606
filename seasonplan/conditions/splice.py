"""Values spliced into the text of a TOML file: every other byte stays as it was.

By positions from tree-sitter, since tomlkit moves the entries of arrays of tables together when
it writes them. Knows no section by name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import tomlkit

if TYPE_CHECKING:
    from tree_sitter import Node


def written(value: Any) -> str:
    """A value as TOML."""
    return str(tomlkit.item(value).as_string())


def with_value(
    text: str, section: str, index: int, *, key: str, value: Any, after: str | None = None
) -> str:
    """The text with one key of one entry set; a new key stands right below `after`."""
    raw = text.encode()
    entry = _entry(raw, section, index)
    pairs = _pairs(entry)
    if key in pairs:
        node = _value(pairs[key])
        return _replaced(raw, node.start_byte, node.end_byte, written(value))
    raw = _without_table(raw, section, index, key)
    entry = _entry(raw, section, index)
    pairs = _pairs(entry)
    place = pairs.get(after or "") or next(reversed(pairs.values()))
    line = f"{key} = {written(value)}"
    if entry.type == "inline_table":
        end = _value(place).end_byte
        return _replaced(raw, end, end, f", {line}")
    end = _line_end(raw, place.end_byte)
    margin = raw[raw.rfind(b"\n", 0, place.start_byte) + 1 : place.start_byte].decode()
    return _replaced(raw, end, end, f"\n{margin}{line}")


def with_entry(text: str, section: str, values: Mapping[str, Any], *, remark: str) -> str:
    """The text with a new entry at its end."""
    lines = [f"[[{section}]]  # {remark}", *(f"{k} = {written(v)}" for k, v in values.items())]
    return text.rstrip("\n") + "\n\n" + "\n".join(lines) + "\n"


def without_entry(text: str, section: str, index: int) -> str:
    """The text without one entry that has a header of its own, and the empty line before it."""
    raw = text.encode()
    entry = _entry(raw, section, index)
    begin = entry.start_byte
    end = _line_end(raw, next(reversed(_pairs(entry).values()), entry.children[2]).end_byte)
    if raw[:begin].endswith(b"\n\n"):
        begin -= 1
    return _replaced(raw, begin, min(end + 1, len(raw)), "")


def _replaced(raw: bytes, begin: int, end: int, text: str) -> str:
    return (raw[:begin] + text.encode() + raw[end:]).decode()


def _line_end(raw: bytes, position: int) -> int:
    """Where the line ends, after any comment on it; before its line break."""
    found = raw.find(b"\n", position)
    end = len(raw) if found < 0 else found
    return end - 1 if raw[:end].endswith(b"\r") else end


def _entries(raw: bytes, section: str) -> Iterator[Node]:
    """The nodes of a section's entries, whether under headers or in one list."""
    for node in _root(raw).children:
        if node.type == "table_array_element" and _name(node.children[1]) == section:
            yield node
        elif node.type == "pair" and _name(node.children[0]) == section:
            items = _value(node).named_children
            yield from (item for item in items if item.type == "inline_table")


def _entry(raw: bytes, section: str, index: int) -> Node:
    return list(_entries(raw, section))[index]


def _pairs(entry: Node) -> dict[str, Node]:
    return {_name(node.children[0]): node for node in entry.children if node.type == "pair"}


def _value(pair: Node) -> Node:
    """The value of a pair, behind which its node may hold a comment."""
    signs = [child.type for child in pair.children]
    return pair.children[signs.index("=") + 1]


def _name(key: Node) -> str:
    return (key.text or b"").decode().strip("\"'")


def _without_table(raw: bytes, section: str, index: int, key: str) -> bytes:
    """The text without `[section.key]` below an entry, if there is such a table."""
    number = -1
    for node in _root(raw).children:
        name = _name(node.children[1]) if node.type in ("table", "table_array_element") else ""
        number += node.type == "table_array_element" and name == section
        if node.type == "table" and number == index and _dotted(name) == f"{section}.{key}":
            last = next(reversed(_pairs(node).values()), node.children[2])
            end = min(_line_end(raw, last.end_byte) + 1, len(raw))
            return raw[: node.start_byte] + raw[end:]
    return raw


def _dotted(name: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in name.split("."))


def _root(raw: bytes) -> Node:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language())).parse(raw).root_node
