"""Fills in forms on the stage: goes to a line, types over what stands there, waits for words."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from stage import main, press, typed, until
from textual.pilot import Pilot

from tui.forms.fields import Field
from tui.forms.screen import FormScreen
from tui.lists.entries import EntriesPage

NOTHING: Mapping[str, str] = MappingProxyType({})


def page(pilot: Pilot[int]) -> EntriesPage:
    return main(pilot).query_one(EntriesPage)


def text(folder: Path) -> str:
    return (folder / "year.toml").read_text(encoding="utf-8")


def form(pilot: Pilot[int]) -> FormScreen:
    screen = pilot.app.screen
    assert isinstance(screen, FormScreen), screen
    return screen


def field(pilot: Pilot[int], key: str) -> Field:
    return next(one for one in form(pilot).fields if one.line.key == key)


async def choose(pilot: Pilot[int], key: str) -> None:
    """Turn to the third page and choose a line of it."""
    await press(pilot, "3")
    page(pilot).point(key)
    await pilot.pause()


async def open_form(pilot: Pilot[int], key: str, said: Mapping[str, str] = NOTHING) -> FormScreen:
    """Open the form of a line of the third page and type into its lines."""
    await choose(pilot, key)
    await press(pilot, "enter")
    for line, words in said.items():
        await fill(pilot, line, words)
    return form(pilot)


async def fill(pilot: Pilot[int], key: str, said: str) -> None:
    """Go to a line and type over what stands there."""
    field(pilot, key).input.focus()
    await pilot.pause()
    field(pilot, key).input.select_all()
    await typed(pilot, said, "delete")


async def judged(pilot: Pilot[int], key: str, holds: str) -> None:
    """Wait until the fault of a line says something."""
    await until(pilot, lambda: holds in getattr(form(pilot).wrong.get(key), "text", ""))
