"""What another choice would cost, asked beside the year: only where the plan has a choice."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import pytest
from stage import bench, demo, opened, point, press, slip
from test_no_longer_free import busy

from seasonplan.explain import why
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from tui.bench import Bench
from tui.year.costs import _reasons

HEAD = "What another choice would cost"


def of_kind(bench_: Bench, kind: Kind) -> Block:
    return next(one for one in bench_.blocks if one.kind is kind)


async def test_of_what_the_year_gives_no_other_choice_is_asked(tmp_path: Path) -> None:
    """Seen: the head with "only its days from today on are asked about", and no price after it."""
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, of_kind(bench(pilot), Kind.BASE).id)
        await pilot.pause()
        assert HEAD in slip(pilot)
        point(pilot, of_kind(bench(pilot), Kind.ABSENCE).id)
        await press(pilot, "w")
        assert HEAD not in slip(pilot) and "are asked about" not in slip(pilot)


def test_busy_time_counts_in_what_another_choice_would_cost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = Bench(busy(tmp_path, "1649"))
    asked: list[object] = []
    monkeypatch.setattr(
        why, "why", lambda *_, taken, **more: asked.append(taken) or why.Reason(here.blocks[0])
    )
    _reasons(here, here.blocks[0], date(2027, 1, 4), threading.Event())
    assert asked == [here.taken] and date(2027, 6, 17) in here.taken
