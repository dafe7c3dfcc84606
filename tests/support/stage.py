"""Puts the terminal face on a stage: a copy of a demo year, a day that is today, its text."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

from places import ROOT
from staged import PATIENCE_SECONDS, staged
from textual.events import Key
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.widgets import Static
from together import together

from seasonplan.days import Span
from seasonplan.plan import Block, Cause, Plan, Proof, Revision, Shortfall
from seasonplan.planning.arrange import arranged_plan
from seasonplan.planning.replan import Planned
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from seasonplan.year import Pin, Year
from tui.app import SeasonApp
from tui.bench import Bench
from tui.main_screen import MainScreen
from tui.plans.before_after import BeforeAfter
from tui.week.page import WeekPage
from tui.year.lanes import Mark
from tui.year.sheet import YearSheet

DEMO = ROOT / "calendars_demo"
TODAY = date(2027, 2, 17)
STAMP = datetime(2027, 2, 17, 8, tzinfo=UTC)
MADE = datetime(2026, 12, 28, 8, tzinfo=UTC)
KEY = UUID(int=7)


# The blocks of the autumn project: id, first day, what is trained most, the entry that gave it.
BLOCKS = (
    ("base-1", date(2027, 1, 4), Emphasis.FINGERS, None),
    ("strength-1", date(2027, 2, 1), Emphasis.FINGERS, None),
    ("rest-1", date(2027, 3, 15), Emphasis.NONE, None),
    ("performance-1", date(2027, 3, 22), Emphasis.FINGERS, None),
    ("rest-2", date(2027, 5, 10), Emphasis.NONE, None),
    ("base-2", date(2027, 5, 17), Emphasis.ENDURANCE, None),
    ("strength-2", date(2027, 6, 14), Emphasis.POWER, None),
    ("absence-1", date(2027, 7, 5), Emphasis.NONE, "family-sea"),
    ("base-3", date(2027, 7, 19), Emphasis.FINGERS, None),
    ("absence-2", date(2027, 8, 16), Emphasis.NONE, "trade-fair"),
    ("strength-3", date(2027, 8, 23), Emphasis.FINGERS, None),
    ("performance-2", date(2027, 9, 20), Emphasis.FINGERS, None),
    ("rest-3", date(2027, 11, 8), Emphasis.NONE, None),
    ("base-4", date(2027, 11, 15), Emphasis.FINGERS, None),
)


def demo(into: Path, name: str = "autumn-project") -> Path:
    """A copy of a demo year that a test may change, with a plan.

    The autumn project has the blocks above, so that tests can name them; the others are planned.
    """
    folder = _copied(into, name)
    store.save_plan(folder, _plan(name, by_hand=name == "autumn-project"), based_on=None)
    return folder


def short_of_time(into: Path) -> Path:
    """The autumn project with half an hour that does not fit into the week of 29 March."""
    folder = demo(into)
    last = _plan("autumn-project", by_hand=True).current
    missing = Shortfall(
        block="performance-1", span=Span(date(2027, 3, 29), date(2027, 4, 5)),
        asked_minutes=450, missing_minutes=30, cause=Cause.SPACING,
    )  # fmt: skip
    short = Revision(**{**dict(last), "shortfalls": (missing,)})
    plan = Plan(calendar_key=KEY, revisions=(short,))
    based_on = store.load_plan(folder)
    store.save_plan(folder, plan, based_on=based_on.digest if based_on else None)
    return folder


def planned(into: Path, name: str = "autumn-project") -> Path:
    """A copy of a demo year with the best plan there is."""
    folder = _copied(into, name)
    store.save_plan(folder, _plan(name, by_hand=False), based_on=None)
    return folder


def _copied(into: Path, name: str) -> Path:
    folder = into / name
    shutil.copytree(DEMO / name, folder, ignore=shutil.ignore_patterns("plan.json", "*.ics"))
    return folder


@together
def _plan(name: str, *, by_hand: bool) -> Plan:
    """Made once, in a folder of its own."""
    with TemporaryDirectory() as into:
        desk = Desk(_copied(Path(into), name))
        if not by_hand:
            made = desk.make_plan("the first plan", stamp=MADE, calendar_key=KEY)
            assert isinstance(made, Planned)
            return made.plan
        filled = arranged_plan(desk.year, _blocks(desk.year), book=desk.book)
        revision = Revision(
            number=1, stamp=MADE, cause="by hand", year_digest=desk._meaning,
            year_text=(desk.folder / store.YEAR_FILE).read_text(), blocks=filled.blocks,
            sessions=filled.sessions, shortfalls=filled.shortfalls, score=filled.score,
            proof=Proof(optimal=False, gap=0.0, bound=filled.score.points),
        )  # fmt: skip
        return Plan(calendar_key=KEY, revisions=(revision,))


def _blocks(year: Year) -> tuple[Block, ...]:
    firsts = [first for _, first, _, _ in BLOCKS] + [year.span.after]
    return tuple(
        Block(
            id=name, kind=Kind(name.rpartition("-")[0]), span=Span(first, after), weeks=(),
            emphasis=emphasis, entry=entry,
        )
        for (name, first, emphasis, entry), after in zip(BLOCKS, firsts[1:], strict=True)
    )  # fmt: skip


@asynccontextmanager
async def opened(
    folder: Path, *, size: tuple[int, int] = (100, 40), today: date = TODAY
) -> AsyncIterator[Pilot[int]]:
    """The app over a folder, settled."""
    app = SeasonApp(folder, today=today, stamp=lambda: STAMP)
    with staged():
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            yield pilot


async def until(pilot: Pilot[int], holds: Callable[[], Any]) -> None:
    """Wait until something holds."""
    async with asyncio.timeout(PATIENCE_SECONDS):
        while not holds() and pilot.app._exception is None:
            await asyncio.sleep(0.05)
    await pilot.pause()  # raises what the app ended with


async def _handed_on(pilot: Pilot[int]) -> None:
    """Wait until the app itself has done what came before: it may have ended by that."""
    done = asyncio.Event()
    if pilot.app.call_later(done.set):
        waits = [asyncio.ensure_future(one.wait()) for one in (done, pilot.app._exception_event)]
        _, left = await asyncio.wait(waits, timeout=30, return_when=asyncio.FIRST_COMPLETED)
        for one in left:
            one.cancel()


async def press(pilot: Pilot[int], *keys: str) -> None:
    """Each key is heard before the next is sent: on a busy machine Textual waits a second only."""
    for key in keys:
        await pilot.app._press_keys([key])
        await _handed_on(pilot)
        await pilot.pause()


async def typed(pilot: Pilot[int], words: str, *first: str) -> None:
    """Type words as one who types fast: the keys `first`, then a key for each sign, all at once."""
    keys = [*((key, None) for key in first), *((_character_to_key(sign), sign) for sign in words)]
    for key, sign in keys:
        pilot.app.post_message(Key(key, sign))
    await pilot.pause()  # the app has handed them on
    await pilot.pause()  # and whatever has the focus has heard them


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
    app = pilot.app
    assert isinstance(app, SeasonApp)
    return " ".join(app.said)


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
