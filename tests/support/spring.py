"""Sixteen weeks with a season in late spring: the twelve weeks of the tests, and four before it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from places import TESTS

from seasonplan.plan import Plan, Session
from seasonplan.workspace.desk import Desk

STAMP = datetime(2026, 2, 20, 12, tzinfo=UTC)
SPRING = (
    (TESTS / "years" / "twelve-weeks.toml")
    .read_text(encoding="utf-8")
    .replace("weeks = 12", "weeks = 16")
    .replace("first = 2026-04-20", "first = 2026-05-18")
    .replace("last = 2026-05-17", "last = 2026-06-14")
)
HEAD = "date,kind,session,recipe,what,minutes,rpe\n"


@dataclass(frozen=True)
class Spring:
    """A planned folder, to be copied, and its plan."""

    folder: Path
    plan: Plan

    @property
    def sessions(self) -> tuple[Session, ...]:
        return self.plan.current.sessions

    def week(self, first: date) -> list[Session]:
        """The sessions of the week that begins then, in order."""
        return [one for one in self.sessions if 0 <= (one.day - first).days < 7]

    def desk(self, into: Path, *rows: str) -> Desk:
        """A copy of the folder with rows in its diary."""
        shutil.copytree(self.folder, into)
        if rows:
            (into / "diary.csv").write_text(HEAD + "".join(rows), encoding="utf-8")
        return Desk(into)


def row(session: Session, kind: str, *, minutes: object = "") -> str:
    return f"{session.day},{kind},{session.id},{session.recipe},,{minutes},\n"
