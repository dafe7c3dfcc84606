"""How the pages are laid out: a few pictures, in `tests/tui/__snapshots__`. Words are tested apart.

Made anew with `pytest tests/tui/test_tui_looks.py --snapshot-update`; look at each before you
keep it.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from open_records import seattle_bytes
from places import TESTS
from stage import press, sheet, until

from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Plan, Proof, Revision, Score, Session, Week
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from tui.app import SeasonApp
from tui.bench import Bench

YEARS = TESTS / "years"
YEAR = YEARS / "kitchen-wall.toml"
TODAY = date(2027, 2, 3)


FIRST = date(2027, 1, 4)
FREE = 570.0  # minutes a week
SHARES = (0.7, 0.75, 0.8, 0.45)  # of the free minutes, in turn; the last week is a light one


def block(kind: Kind, first: int, days: int, *, name: str, **fields: Any) -> Block:
    """A block of whole weeks from a day of the year on, 0 the first."""
    chosen = kind.chosen and kind is not Kind.REST
    weeks = tuple(
        Week(
            span=Span(FIRST + timedelta(days=day), FIRST + timedelta(days=day + 7)),
            free_minutes=FREE if kind.chosen else 0.0,
            minutes=FREE * (SHARES[n % 4] if chosen else 0.2) if kind is not Kind.ABSENCE else 0.0,
            training_days=4,
            rpe=5.5,
            loads=Loads(endurance=5.5 * FREE * SHARES[n % 4]),
            deload=chosen and n % 4 == 3,
        )
        for n, day in enumerate(range(first, first + days, 7))
    )
    span = Span(FIRST + timedelta(days=first), FIRST + timedelta(days=first + days))
    return Block(id=name, kind=kind, span=span, weeks=weeks, **fields)


def blocks() -> tuple[Block, ...]:
    fingers, endurance = Emphasis.FINGERS, Emphasis.ENDURANCE
    return (
        block(Kind.BASE, 0, 28, name="base-1", emphasis=endurance),
        block(Kind.STRENGTH, 28, 42, name="strength-1", emphasis=fingers),
        block(Kind.REST, 70, 7, name="rest-1"),
        block(Kind.PERFORMANCE, 77, 35, name="performance-1", emphasis=fingers),
        block(Kind.REST, 112, 7, name="rest-2"),
        block(Kind.REST, 119, 7, name="rest-3", pinned=True, entry="lake"),
        block(Kind.TRIP, 126, 14, name="trip-1", entry="isle-of-orrin"),
        block(Kind.BASE, 140, 21, name="base-2", emphasis=endurance),
        block(Kind.ABSENCE, 161, 7, name="absence-1", entry="family-week"),
        block(Kind.BASE, 168, 14, name="base-3", emphasis=fingers),
    )


def sessions() -> tuple[Session, ...]:
    def one(day: int, hour: int, recipe: str, minutes: int, rpe: float) -> Session:
        return Session(
            id=f"strength-1/2027-02-01/{recipe}", block="strength-1", recipe=recipe,
            day=date(2027, 2, day), start=time(hour), minutes=minutes, rpe=rpe,
        )  # fmt: skip

    return (
        one(2, 18, "limit-bouldering", 90, 8.0),
        one(4, 18, "antagonists", 45, 5.0),
        one(6, 10, "boulder-mileage", 120, 6.0),
        one(7, 11, "mobility", 60, 2.0),
        *(on_rock(day) for day in (27, 28, 34, 41, 48, 55)),
    )


def on_rock(day: int) -> Session:
    """A day at the Cleft, so many days after the first of March."""
    return Session(
        id=f"performance-1/{day}/redpoint-day", block="performance-1", recipe="redpoint-day",
        day=date(2027, 3, 1) + timedelta(days=day - 1), start=time(10), minutes=240, rpe=7.0,
        rock="spring-in-the-cleft", active_share=0.5,
    )  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The year with its plan, in a folder; no judge, so that no rule book changes a picture."""
    monkeypatch.setattr(Bench, "findings", ())
    (tmp_path / "year.toml").write_text(YEAR.read_text())
    desk = Desk(tmp_path)
    revision = Revision(
        number=1,
        stamp=datetime(2027, 1, 1, tzinfo=UTC),
        cause="by hand",
        year_digest=desk._meaning,
        year_text=YEAR.read_text(),
        blocks=blocks(),
        sessions=sessions(),
        score=Score(occasions=(), costs=(), points=0.0),
        proof=Proof(optimal=False, gap=0.0, bound=0.0),
    )
    plan = Plan(calendar_key=UUID(int=1), revisions=(revision,))
    store.save_plan(tmp_path, plan, based_on=None)
    return tmp_path


async def at_rock(pilot: Any) -> None:
    """Point at the season, whose slip no rule book changes."""
    await press(pilot, "up", "up", "up", "home", "right")
    await pilot.pause()


async def at_tests(pilot: Any) -> None:
    """The page of tests, a test of the fingers chosen."""
    await press(pilot, "5", "down")
    await pilot.pause()


async def at_week(pilot: Any) -> None:
    await press(pilot, "2", "down")
    await pilot.pause()


def app_of(folder: Path) -> SeasonApp:
    return SeasonApp(folder, today=TODAY)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 24)], ids=lambda s: f"{s[0]}x{s[1]}")
def test_the_year(snap_compare: Any, folder: Path, size: tuple[int, int]) -> None:
    assert snap_compare(app_of(folder), terminal_size=size, run_before=at_rock)


def test_the_year_without_colour(
    snap_compare: Any, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert snap_compare(app_of(folder), terminal_size=(80, 24), run_before=at_rock)


@pytest.mark.parametrize("theme", ["slate", "ink"])
def test_the_year_on_other_papers(
    snap_compare: Any, folder: Path, monkeypatch: pytest.MonkeyPatch, theme: str
) -> None:
    monkeypatch.setenv("TEXTUAL_THEME", theme)
    assert snap_compare(app_of(folder), terminal_size=(120, 40), run_before=at_rock)


async def at_weather(pilot: Any) -> None:
    """Point at the season on the lane of its weather, once the record is read."""
    await until(pilot, lambda: any(one.study for one in sheet(pilot).sheet.weather))
    await press(pilot, "down", "home")
    await pilot.pause()


def test_the_year_with_weather(snap_compare: Any, tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text((YEARS / "cleft-in-winter.toml").read_text())
    (tmp_path / "cleft.csv").write_bytes(seattle_bytes())
    app = SeasonApp(tmp_path, today=date(2016, 1, 12))
    assert snap_compare(app, terminal_size=(120, 40), run_before=at_weather)


DIARY = """\
date,kind,what,value,unit
2027-01-05,test,Finger pull,38,kg
2027-01-05,test,Finger pull,39.5,kg
2027-01-12,test,Finger pull,39,kg
2027-02-02,test,Finger pull,41,kg
2027-02-02,test,Finger pull,42.5,kg
"""


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
def test_the_tests(snap_compare: Any, folder: Path, size: tuple[int, int]) -> None:
    (folder / "diary.csv").write_text(DIARY, encoding="utf-8")
    assert snap_compare(app_of(folder), terminal_size=size, run_before=at_tests)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
def test_the_week(snap_compare: Any, folder: Path, size: tuple[int, int]) -> None:
    assert snap_compare(app_of(folder), terminal_size=size, run_before=at_week)
