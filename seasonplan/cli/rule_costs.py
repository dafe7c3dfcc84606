"""What each rule costs this year, for `seasonplan rules --cost`."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.planner.values import Amount
    from seasonplan.workspace.desk import Desk

HEAD = "What each rule costs this year: so much more the best year without it would have."
NO_PLAN = "No plan is possible as the year stands, so no rule can be priced: see `seasonplan plan`."
UNPRICED = "Not priced, since they shape the weeks themselves or keep you from harm"


def rule_costs(folder: Path, screen: Screen, *, today: date | None, as_json: bool) -> None:
    """Price every rule on blocks, and tell it."""
    from seasonplan.cli.search import searched
    from seasonplan.explain.words import join
    from seasonplan.workspace.desk import Desk

    desk = Desk(folder)
    now = now_of(desk.year, today)
    found, stopped = searched(
        screen,
        lambda stop: _priced(desk, now, stop),
        lambda: "Looking at the year without each rule",
    )
    if found is None:
        screen.narrate(NO_PLAN)
        raise typer.Exit(Exit.NO_PLAN)
    others = [rule.code for rule in desk.book if rule.on and rule.code not in found]
    if as_json:
        write_json({"rule_costs": [_facts(*one) for one in found.items()], "not_priced": others})
    else:
        _tell(found, desk, screen)
        if others:
            screen.say(f"{UNPRICED}: {join(others)}.", hang=2)
    if stopped:
        raise typer.Exit(Exit.STOPPED)


def _priced(desk: Desk, today: date, stop: threading.Event) -> dict[str, Amount] | None:
    """The price of each rule; None where no plan is possible."""
    from seasonplan.planner.accepted import Accepted
    from seasonplan.planner.prices import rule_prices
    from seasonplan.planner.run import Found, best_plan

    accepted, last = None, desk.plan.current if desk.plan else None
    if last is not None:
        accepted = Accepted.of(last, today)
    found = best_plan(
        desk.year_as_tested, book=desk.book, accepted=accepted, taken=desk.taken, confirm=False
    )
    if not isinstance(found, Found):
        return None
    return dict(rule_prices(found.search, book=desk.book, stop=stop))


def _tell(found: Mapping[str, Amount], desk: Desk, screen: Screen) -> None:
    """What each costs, most first, then those that cost nothing."""
    from seasonplan.explain.why_told import is_small
    from seasonplan.explain.words import join
    from seasonplan.explain.worth_told import amount_told

    screen.say(HEAD)
    free = [code for code, one in found.items() if is_small(one.good_days, one.points)]
    for code, one in sorted(found.items(), key=lambda priced: -priced[1].points):
        if code not in free:
            price = amount_told(one.good_days, one.points)
            screen.say(f"{code}: {price}. {desk.book[code].title}.", hang=2)
    if free:
        screen.say(f"Cost nothing this year: {join(free)}.", hang=2)


def _facts(code: str, one: Amount) -> dict[str, object]:
    return {
        "rule": code,
        "points": round(one.points, 3),
        "good_days": round(one.good_days, 2),
        "rock_days": one.rock_days,
    }
