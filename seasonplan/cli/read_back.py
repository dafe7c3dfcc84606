"""`seasonplan publish --read-back`: what was moved in a calendar, asked one by one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from seasonplan.cli.accepted import accepted
from seasonplan.cli.asking import ask
from seasonplan.cli.collection import files_for, keeper
from seasonplan.cli.screen import Screen
from seasonplan.days import count_text

if TYPE_CHECKING:
    from seasonplan.feed.caldav.remote import Remote
    from seasonplan.feed.private import Collection
    from seasonplan.feed.publish.back import Wished


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person says to each move: take it over, put it back, or leave it."""

    screen: Screen
    yes: bool
    over: bool
    ask: bool

    def to(self, *, can_follow: bool) -> str:
        """Y, B or N; with --yes and --over nobody is asked."""
        if self.yes and can_follow:
            return "y"
        if self.over and (self.yes or not can_follow):
            return "b"
        if self.yes or not self.ask:
            return "n"
        said = "y takes it over into your year, " if can_follow else ""
        self.screen.narrate(f"{said}b puts this one back as planned, n leaves it.")
        return ask(
            "Your answer", partial(_letter, among="ybn" if can_follow else "bn"), default="n"
        )


def _letter(text: str, *, among: str) -> str:
    if text[:1].lower() not in among:
        raise typer.BadParameter(f"found {text!r}; wanted {', '.join(among)}. Choose one.")
    return text[:1].lower()


def read_back(
    folder: Path, remote: Remote, known: Collection, screen: Screen, answers: Answers
) -> list[dict[str, Any]]:
    """Offers each move as an edit, or to be put back."""
    from seasonplan.feed.publish.back import wishes
    from seasonplan.feed.publish.collection import put_back

    year, plan = accepted(folder)
    found = wishes(remote, year, plan, known)
    facts: list[dict[str, Any]] = []
    try:
        for wish in found:
            facts.append(_answered(folder, wish, screen, answers))
    except typer.Abort:  # what was taken over before is in the year by now: the rest follows it
        if not facts:
            raise
        screen.narrate("Stopped. What you answered before holds.")
    back = {wish.moved.uid for wish, fact in zip(found, facts, strict=False) if fact["put_back"]}
    if back:
        files = files_for(folder, remote.url, year, plan, known.wish)
        keep, home = keeper(folder, remote.url), year.climber.time_zone
        report = put_back(remote, files, known, back, home=home, keep=keep)
        screen.narrate(f"{count_text(report.written, 'event')} put back as planned.")
    if not facts:
        screen.narrate("Nothing was moved in the calendar.")
    elif any(fact["taken"] for fact in facts):
        screen.narrate(_next(folder))
    return facts


def _next(folder: Path) -> str:
    """What brings the calendar up to what was taken over: moved sessions need no new plan."""
    from seasonplan.workspace.desk import Desk

    first = "`seasonplan replan`, then " if Desk(folder).lags else ""
    return f"Run {first}`seasonplan publish`."


def _answered(folder: Path, wish: Wished, screen: Screen, answers: Answers) -> dict[str, Any]:
    """What became of one move; what the year refuses can still be put back."""
    from seasonplan.edits import EditRefused
    from seasonplan.errors import BadInput
    from seasonplan.explain.moved import moved_text
    from seasonplan.workspace.desk import Desk

    screen.narrate(moved_text(wish.title, wish.moved))
    answer, why = answers.to(can_follow=bool(wish.edits)), ""
    if answer == "y":
        try:
            Desk(folder).change(*wish.edits)
        except (EditRefused, BadInput) as no:
            why = f"{no.why} {no.would_work}" if isinstance(no, EditRefused) else str(no)
            screen.narrate(why)
            answer = answers.to(can_follow=False)
    return {
        "id": wish.id, "title": wish.title, "taken": answer == "y", "put_back": answer == "b",
        "why": why, "edits": [edit.model_dump(mode="json") for edit in wish.edits],
    }  # fmt: skip
