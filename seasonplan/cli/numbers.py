"""`seasonplan rules --numbers`: every number of the project's shared data and what it rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault, did_you_mean

if TYPE_CHECKING:
    from seasonplan.explain.numbers import Number


def tell_numbers(screen: Screen, prefix: str, *, as_json: bool) -> None:
    """Tell the numbers of a file or table, or all. Raises BadInput where it has none."""
    from seasonplan.explain.numbers import all_numbers, numbers_under

    found = numbers_under(prefix) if prefix else all_numbers()
    if not found:
        raise _unknown(prefix)
    if as_json:
        write_json({"numbers": [_facts(one) for one in found]})
    elif screen.plain:
        for one in found:
            screen.say(f"{one.name}: {one.told}. {_capital(one.label)}. {_backing(one)}")
    else:
        _tell_groups(screen, found)


def _tell_groups(screen: Screen, found: tuple[Number, ...]) -> None:
    from seasonplan.explain.numbers import grouped

    table = ""
    for first, group in grouped(found):
        if first.table != table:
            table = first.table
            screen.draw(screen.paint(table, bold=True))
        values = ", ".join(f"{one.key} {one.told}" for one in group)
        screen.say(f"{values}: {first.label}. {_backing(first)}", indent=2, hang=2)


def _backing(one: Number) -> str:
    """What it is, and the source where there is one."""
    what = f"{_capital(one.what)}."
    if one.unsourced:
        return what
    return f"{what} {'; '.join(source.label for source in one.cited())}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _facts(one: Number) -> dict[str, object]:
    return {
        "name": one.name,
        "value": one.value,
        "label": one.label.value,
        "what": one.what,
        "sources": [
            {"cite": source.cite, "says": source.says, "verified": source.verified.value}
            for source in one.cited()
        ],
    }


def _unknown(prefix: str) -> BadInput:
    from seasonplan.explain.numbers import all_numbers

    names = sorted({one.table for one in all_numbers()} | {one.name for one in all_numbers()})
    do = did_you_mean(prefix, names, otherwise="See `seasonplan rules --numbers`.")
    return BadInput([Fault("numbers", "", None, f"no numbers {prefix!r}", "a file or table", do)])
