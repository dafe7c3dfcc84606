"""What an app on the stage does in another way than on a terminal, sooner, to the same effect."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any
from unittest.mock import patch

from once import once
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.pilot import Pilot
from textual.screen import Screen

from seasonplan import checker
from seasonplan.workspace import desk
from tui.app import SeasonApp

PATIENCE_SECONDS = 120.0  # a guard against waiting for ever, no claim about speed
NOTIFY = SeasonApp.notify


def _stays(app: SeasonApp, *said: Any, **how: Any) -> None:
    """A short word that stays: on a busy machine it would go before it is read."""
    NOTIFY(app, *said, **{**how, "timeout": 60 * PATIENCE_SECONDS})


RuleSet.__hash__ = object.__hash__  # type: ignore[method-assign]  # as it was, but not in Python

PARSE = Stylesheet._parse_rules
PARSED: dict[tuple[Any, ...], list[RuleSet]] = {}


def _parsed_once(sheet: Stylesheet, css: str, *how: Any, **named: Any) -> list[RuleSet]:
    """Each app reads the same style sheets: once is enough for all tests of a process."""
    key = (css, how, *named.values(), *sheet._variables.items())
    if key not in PARSED:
        PARSED[key] = PARSE(sheet, css, *how, **named)
    return PARSED[key]


PAINT = Screen._compositor_refresh
PAUSE = Pilot.pause


def _painted_later(screen: Screen[Any]) -> None:
    """What changed on the screen in front waits for the next stop: nobody looks before."""
    if screen is not screen.app.screen:
        PAINT(screen)
        return
    screen._dirty_widgets.clear()  # the compositor keeps where
    screen.app._update_mouse_over(screen)


async def _painted(pilot: Pilot[int], delay: float | None = None) -> None:
    """A stop, at which all that changed since the last one is painted."""
    await PAUSE(pilot, delay)
    PAINT(pilot.app.screen)


JUDGED = {name: once(getattr(checker, name)) for name in ("check", "check_sessions")}
PROPOSED = once(desk.propose)


@contextmanager
def staged() -> Iterator[None]:
    """While it lasts, apps are staged so."""
    with ExitStack() as changed:
        for owner, name, instead in (
            (Stylesheet, "_parse_rules", _parsed_once),
            (Screen, "_compositor_refresh", _painted_later),
            (Pilot, "pause", _painted),
            (SeasonApp, "notify", _stays),
            (desk, "propose", PROPOSED),
            *((checker, name, judge) for name, judge in JUDGED.items()),
        ):
            changed.enter_context(patch.object(owner, name, instead))
        yield
