"""What a key of the year asks for: each text is read once, the diary once, one page is drawn."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from stage import demo, main, opened, point, press
from textual.pilot import Pilot

from seasonplan import toml_source
from seasonplan.workspace import store
from tui.lists.page import ListPage
from tui.week.page import WeekPage
from tui.year.page import YearPage

PAGES = (YearPage, WeekPage, ListPage)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often each was done since it was cleared."""
    done: Counter[str] = Counter()

    def count(owner: Any, name: str, what: str) -> None:
        real: Callable[..., Any] = getattr(owner, name)

        def counting(*args: Any, **named: Any) -> Any:
            done[what] += 1
            return real(*args, **named)

        monkeypatch.setattr(owner, name, counting)

    count(tomllib, "loads", "values read")
    count(toml_source, "_parsed", "places found")
    count(store, "load_diary", "diary looked for")
    for page in PAGES:
        count(page, "show", "pages drawn")
    return done


async def pressed(pilot: Pilot[int], counted: Counter[str], key: str) -> dict[str, int]:
    await pilot.pause()
    counted.clear()
    await press(pilot, key)
    return dict(counted)


async def test_a_key_reads_each_text_once_and_draws_the_page_in_front(
    tmp_path: Path, counted: Counter[str]
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        assert (await pressed(pilot, counted, "full_stop"))["pages drawn"] == 1  # fixes it, too
        point(pilot, "base-2")
        once = {"values read": 1, "places found": 1, "diary looked for": 1, "pages drawn": 1}
        assert await pressed(pilot, counted, "full_stop") == once
        back = await pressed(pilot, counted, "u")
        assert back == {"diary looked for": 1, "pages drawn": 1}  # to a text that was read before


async def test_a_page_is_drawn_once_it_is_turned_to(tmp_path: Path, counted: Counter[str]) -> None:
    async with opened(demo(tmp_path)) as pilot:
        week = main(pilot).query_one(WeekPage)
        assert await pressed(pilot, counted, "2") == {"pages drawn": 1}
        assert week.display and week.bench is not None
        assert await pressed(pilot, counted, "1") == {}  # it is as it was
        point(pilot, "base-2")
        await press(pilot, "p")
        assert await pressed(pilot, counted, "2") == {"pages drawn": 1}
