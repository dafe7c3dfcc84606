"""What a week is for, in a line: only what it really holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from places import ROOT

from seasonplan.explain.agenda import Agenda
from seasonplan.explain.week import aim_text
from seasonplan.plan import Block, Week
from seasonplan.planner.menus import making
from seasonplan.recipes import recipes
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.workspace.opened import Opened


@pytest.mark.parametrize("name", ["autumn-project", "half-an-hour", "trips-and-boulders"])
def test_a_week_of_a_block_named_for_fingers_trains_them_only_with_hard_hangs(name: str) -> None:
    """The week after days off holds light ones: it said "trains fingers most" all the same."""
    opened = Opened(ROOT / "calendars_demo" / name)
    assert opened.plan is not None
    agenda = Agenda(opened.year, opened.plan.current, book=recipes())
    some: list[tuple[Block, Week]] = [
        (block, week)
        for block in agenda.revision.blocks
        if (block.kind, block.emphasis) == (Kind.BASE, Emphasis.FINGERS)
        for week in block.weeks
    ]
    told = set()
    for block, week in some:
        held = {one.recipe for one in agenda.revision.sessions if one.day in week.span}
        text = aim_text(agenda, agenda.on(week.span.first))
        trains = not making(block.kind, block.emphasis).isdisjoint(held)
        assert text.endswith("trains fingers most." if trains else "leads up to training fingers.")
        told.add(trains)
    assert True in told and (name != "autumn-project" or told == {True, False})


def test_days_off_for_an_injury_spare_it_however_many_sessions_are_left() -> None:
    opened = Opened(ROOT / "calendars_demo" / "autumn-project")
    assert opened.plan is not None
    agenda = Agenda(opened.year, opened.plan.current, book=recipes())
    first = agenda.revision.sessions[0]
    day = agenda.on(first.day)
    assert day.block is not None
    hurt = day.block.model_copy(update={"kind": Kind.INJURED, "emphasis": Emphasis.NONE})
    told = aim_text(agenda, replace(day, block=hurt), out={first.id})
    assert told.startswith("This week spares the hurt part; ")
