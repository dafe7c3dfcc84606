"""Puts the terminal face on a stage: a copy of a demo year, a day that is today, its text."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Static

from seasonplan.plan import Block
from seasonplan.year import Pin
from tui.app import SeasonApp
from tui.bench import Bench
from tui.main_screen import MainScreen
from tui.plans.before_after import BeforeAfter
from tui.week.page import WeekPage
from tui.year.lanes import Mark
from tui.year.sheet import YearSheet

DEMO = Path(__file__).parent.parent / "calendars_demo"
TODAY = date(2027, 2, 17)
STAMP = datetime(2027, 2, 17, 8, tzinfo=UTC)
PATIENCE_SECONDS = 120.0  # a guard against waiting for ever, no claim about speed


def demo(into: Path, name: str = "autumn-project") -> Path:
    """A copy of a demo year that a test may change."""
    folder = into / name
    shutil.copytree(DEMO / name, folder)
    return folder


@asynccontextmanager
async def opened(
    folder: Path, *, size: tuple[int, int] = (100, 40), today: date = TODAY
) -> AsyncIterator[Pilot[int]]:
    """The app over a folder, settled."""
    app = SeasonApp(folder, today=today, stamp=lambda: STAMP)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield pilot


async def until(pilot: Pilot[int], holds: Callable[[], Any]) -> None:
    """Wait until something holds."""
    async with asyncio.timeout(PATIENCE_SECONDS):
        while not holds():
            await pilot.pause(0.05)
    await pilot.pause()


async def press(pilot: Pilot[int], *keys: str) -> None:
    await pilot.press(*keys)
    await pilot.pause()


def screen_text(pilot: Pilot[int]) -> str:
    """What can be read on the screen, line by line."""
    strips = pilot.app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def words(pilot: Pilot[int]) -> str:
    """The same with every run of spaces and line ends as one space."""
    return " ".join(screen_text(pilot).split())


def main(pilot: Pilot[int]) -> MainScreen:
    return next(one for one in pilot.app.screen_stack if isinstance(one, MainScreen))


def bench(pilot: Pilot[int]) -> Bench:
    return main(pilot).bench


def sheet(pilot: Pilot[int]) -> YearSheet:
    return main(pilot).query_one("#sheet", YearSheet)


def week(pilot: Pilot[int]) -> WeekPage:
    return main(pilot).query_one(WeekPage)


def pointed(pilot: Pilot[int]) -> Mark:
    mark = sheet(pilot).selected
    assert mark is not None
    return mark


def point(pilot: Pilot[int], key: str) -> Mark:
    """Point at the first mark of that id."""
    shown = sheet(pilot).sheet
    rows = shown.rows if shown else ()
    mark = next(mark for row in rows for mark in row.marks if mark.key == key)
    sheet(pilot).select(mark)
    return mark


def told(pilot: Pilot[int]) -> str:
    """The short words at the edge of the screen, all of them."""
    return " ".join(str(one.message) for one in pilot.app._notifications)


def slip(pilot: Pilot[int]) -> str:
    """What the slip of the page in front says, as one line."""
    shown = next(page for page in main(pilot).query("YearPage, WeekPage") if page.display)
    parts = (shown.query_one("#slip-what", Static), shown.query_one("#slip-why", Static))
    return " ".join(" ".join(str(part.content).split()) for part in parts)


async def asked(pilot: Pilot[int]) -> BeforeAfter:
    """Plan anew and wait for the answer."""
    await press(pilot, "r", "enter")
    await until(pilot, lambda: isinstance(pilot.app.screen, BeforeAfter))
    screen = pilot.app.screen
    assert isinstance(screen, BeforeAfter)
    return screen


async def moved(pilot: Pilot[int]) -> None:
    """Fix rest-2 a week later, which the plan has to answer."""
    point(pilot, "rest-2")
    await press(pilot, "greater_than_sign")


def block(pilot: Pilot[int], key: str) -> Block:
    return next(one for one in bench(pilot).blocks if one.id == key)


def pin(pilot: Pilot[int], key: str) -> Pin:
    entry = bench(pilot).desk.year.entry(f"pin-{key}")
    assert isinstance(entry, Pin)
    return entry


def on_disk(pilot: Pilot[int]) -> str:
    return (bench(pilot).folder / "year.toml").read_text()
