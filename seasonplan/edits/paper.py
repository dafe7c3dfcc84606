"""Changes to the text of a `year.toml`: every byte that a change is not about stays.

Texts are spliced where their reading says a key stands. Each result is read again and compared
with what the change should mean; where it means something else, the value that holds the change
is written anew, in one line.
Knows TOML, not what a year is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from copy import deepcopy
from enum import Enum
from typing import Any

from seasonplan import toml_source
from seasonplan.edits.draft import EditRefused
from seasonplan.toml_source import BOM, Loc, NotToml, Pair, Source, Table, key_text, source_of

_REMARKS = re.compile(rb"(?:\r?\n[ \t]*#[^\n]*)+(?=\r?\n[ \t]*\r?\n|\s*\Z)")  # then empty or end


def value_at(text: str, loc: Loc) -> Any:
    """The plain value at a place of a text that was read before, or None."""
    return source_of(text).at(loc)


def put(text: str, loc: Loc, value: Any) -> str:
    """The text with a key set."""
    wanted, value = source_of(text).values, _plain(value)
    if toml_source.value_at(wanted, loc) == value:
        return text
    set_at(wanted, loc, value)
    return _sure(text, wanted, lambda body: _spliced_in(body, loc, value), loc)


def put_all(text: str, values: Mapping[Loc, Any]) -> str:
    """The text with keys set: those that stand there in one go, then the others."""
    source = source_of(text)
    there = {
        loc: _plain(one)
        for loc, one in values.items()
        if source.pair(loc) and source.at(loc) != _plain(one)
    }
    if len(there) > 1:
        wanted = source.values
        for loc, value in there.items():
            set_at(wanted, loc, value)
        text = _sure(text, wanted, lambda body: _written_over(body, there), next(iter(there)))
    for loc, value in values.items():
        text = put(text, loc, value)
    return text


def drop(text: str, loc: Loc) -> str:
    """The text without a key, a table or an entry."""
    wanted = source_of(text).values
    del_at(wanted, loc)
    return _sure(text, wanted, lambda body: _cut_out(body, loc), loc)


def add(text: str, section: str, values: Mapping[str, Any]) -> str:
    """The text with one more entry in a section, after the last one there."""
    wanted, values = source_of(text).values, _plain(values)
    wanted.setdefault(section, []).append(values)
    return _sure(text, wanted, lambda body: _added(body, section, values), (section,))


def literal(value: Any) -> str:
    """A value as TOML writes it, tables in one line. Raises EditRefused."""
    try:
        return toml_source.literal(value)
    except ValueError as error:
        raise EditRefused(str(error), "Give text, a number or a date.") from None


def _plain(value: Any) -> Any:
    """Lists for tuples and text for words, as they come back when the text is read."""
    if isinstance(value, Mapping):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value.value if isinstance(value, Enum) else value


# --- the change, and whether it is the one that was meant ---------------------------------------


def _sure(text: str, wanted: dict[str, Any], splice: Callable[[str], str], loc: Loc) -> str:
    mark = BOM if text.startswith(BOM) else ""
    body = text.removeprefix(BOM)
    for change in (splice, lambda text: _written_anew(text, wanted, loc)):
        changed = change(body)
        if _filled(_reads(changed)) == _filled(wanted):
            return mark + changed
    raise EditRefused(
        f"{'.'.join(map(str, loc))} stands in the file in a form we cannot change.",
        "Change it in year.toml by hand.",
    )


def _reads(text: str) -> Any:
    try:
        return source_of(text).values
    except NotToml:
        return None


def _filled(values: Any) -> Any:
    """The same without empty tables, which say nothing."""
    if not isinstance(values, dict):
        return values
    inner = {key: _filled(one) for key, one in values.items()}
    return {key: one for key, one in inner.items() if one != {}}


def set_at(values: Any, loc: Loc, value: Any) -> None:
    """Put a value at a place, with the tables on the way. Refused where no table can be there."""
    for at, part in enumerate(loc):
        size = len(values) if isinstance(values, list) else -1
        if not (part < size if isinstance(part, int) else isinstance(values, dict)):
            raise EditRefused(
                f"{'.'.join(map(str, loc[:at]))} has no {part} to change.", "Say it as a whole."
            )
        if at == len(loc) - 1:
            values[part] = deepcopy(value)
        else:
            values = values[part] if isinstance(part, int) else values.setdefault(part, {})


def del_at(values: Any, loc: Loc) -> None:
    """Take a place out, and the section with it when that was its last entry."""
    above = values
    for part in loc[:-1]:
        above, values = values, values[part]
    del values[loc[-1]]
    if isinstance(loc[-1], int) and not values:
        del above[loc[-2]]


# --- splicing -------------------------------------------------------------------------------------


def _spliced_in(text: str, loc: Loc, value: Any) -> str:
    source = source_of(text)
    content = source.content
    pair = source.pair(loc)
    if pair is not None:
        return _with(content, *pair.value, literal(value))
    if _spans(source, loc):  # tables or dotted keys stand where a value in one line comes
        return _spliced_in(_cut_out(text, loc), loc, value)
    line = f"{key_text(loc[-1])} = {literal(value)}"
    above = source.pair(loc[:-1])
    if above is not None:
        empty = not source.at(loc[:-1])
        start = above.value[0] + 1
        return _with(content, start, start, f" {line} " if empty else f" {line},")
    table = source.table(loc[:-1])
    if table is not None:
        return _line_after(content, table, line)
    dotted = [one for one in source.plain if _reaches(source, one, loc[:-1])]
    if dotted:
        return _below(source, dotted[-1], loc, value)
    if len(loc) == 1:
        return f"{line}{_newline(content)}{content.decode()}"
    header = ".".join(key_text(part) for part in loc[:-1] if isinstance(part, str))
    return _block_after(content, source, loc[0], f"[{header}]\n{line}")


def _reaches(source: Source, pair: Pair, loc: Loc) -> bool:
    """Whether a line says something of a table that has no header, such as `minutes.friday`."""
    return pair.loc[: len(loc)] == loc and len(_base(source, pair)) <= len(loc)


def _base(source: Source, pair: Pair) -> Loc:
    """The table below whose header a line stands."""
    return next((one.loc for one in source.tables if one.first < pair.first < one.after), ())


def _below(source: Source, other: Pair, loc: Loc, value: Any) -> str:
    """The text with a key on the line below another, written as that one is."""
    content = source.content
    key = ".".join(key_text(part) for part in loc[len(_base(source, other)) :])
    indent = content[content.rfind(b"\n", 0, other.first) + 1 : other.first].decode()
    line = f"{_newline(content)}{indent}{key} = {literal(value)}"
    return _with(content, other.after, other.after, line)


def _written_anew(text: str, wanted: dict[str, Any], loc: Loc) -> str:
    """The text with the smallest value that holds a place as it is wanted."""
    source = source_of(text)
    for size in range(len(loc), 0, -1):
        pair = source.pair(loc[:size])
        if pair is not None:
            value = toml_source.value_at(wanted, loc[:size])
            if value is None:
                return _cut_out(text, loc[:size])
            return _with(source.content, *pair.value, literal(value))
    return text


def _written_over(text: str, values: Mapping[Loc, Any]) -> str:
    """The text with other values of keys that stand there."""
    source = source_of(text)
    content = source.content
    places = {pair.value: one for loc, one in values.items() if (pair := source.pair(loc))}
    for place in sorted(places, reverse=True):
        content = _with(content, *place, literal(places[place])).encode()
    return content.decode()


def _line_after(content: bytes, table: Table, line: str) -> str:
    first = table.pairs[-1].first if table.pairs else table.first
    indent = content[content.rfind(b"\n", 0, first) + 1 : first].decode()
    return _with(content, table.after, table.after, _newline(content) + indent + line)


def _added(text: str, section: str, values: Mapping[str, Any]) -> str:
    source = source_of(text)
    lines = (f"{key_text(key)} = {literal(one)}" for key, one in values.items())
    return _block_after(source.content, source, section, "\n".join((f"[[{section}]]", *lines)))


def _block_after(content: bytes, source: Source, section: str | int, block: str) -> str:
    """A block of lines after the tables of a section, else at the end."""
    newline = _newline(content)
    block = block.replace("\n", newline)
    tables = source.under((section,))
    if not tables:
        text = content.decode()
        body = text.rstrip()
        return f"{body}{newline * 2 if body else ''}{block}{newline}"
    at = max(table.after for table in tables)
    remarks = _REMARKS.match(content, at)
    at = remarks.end() if remarks else at
    return _with(content, at, at, newline * 2 + block)


def _cut_out(text: str, loc: Loc) -> str:
    source = source_of(text)
    content = source.content
    pair = source.pair(loc)
    if pair is not None and pair.inside:
        return _out_of_line(content, pair.first, pair.after)
    for first, after in sorted(_spans(source, loc), reverse=True):
        content = _without_lines(content, first, after)
    return content.decode()


def _spans(source: Source, loc: Loc) -> list[tuple[int, int]]:
    """Where all of a place stands: its tables, and its lines elsewhere."""
    tables = [(table.first, table.after) for table in source.under(loc)]
    lines = [(one.first, one.after) for one in source.plain if one.loc[: len(loc)] == loc]
    return tables + [
        (first, after)
        for first, after in lines
        if not any(begin <= first < end for begin, end in tables)
    ]


def _without_lines(content: bytes, first: int, after: int) -> bytes:
    """The content without the whole lines of a span, nor a second empty line where they stood."""
    start = content.rfind(b"\n", 0, first) + 1
    end = content.find(b"\n", after) + 1 or len(content)
    before, rest = content[:start], content[end:]
    if not rest:
        return re.sub(rb"(?<=\n)\r?\n\Z", b"", before)
    if not before or before.endswith((b"\n\n", b"\n\r\n")):
        rest = re.sub(rb"\A\r?\n", b"", rest)
    return before + rest


def _out_of_line(content: bytes, first: int, after: int) -> str:
    """The content without one pair of an inline table, and its comma."""
    behind = re.compile(rb"\s*,\s*").match(content, after)
    if behind:
        return _with(content, first, behind.end(), "")
    before = re.search(rb",?\s*\Z", content[:first])
    assert before is not None
    return _with(content, before.start(), after, "")


def _with(content: bytes, first: int, after: int, text: str) -> str:
    return (content[:first] + text.encode() + content[after:]).decode()


def _newline(content: bytes) -> str:
    return "\r\n" if b"\r\n" in content else "\n"
