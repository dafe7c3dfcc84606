"""What all `seasonplan log` commands share: the diary read, rows added to it, what is said after.

Owns the way from the disk and back; what a row means is the diary's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seasonplan.cli.options import now_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.days import day_text
from seasonplan.errors import BadInput, Fault

if TYPE_CHECKING:
    from seasonplan.diary import DiaryEntry
    from seasonplan.plan import Session
    from seasonplan.workspace.desk import Desk
    from seasonplan.workspace.opened import Opened


@dataclass(frozen=True, slots=True)
class Book:
    """A folder's diary as read, beside its year and plan, on one day."""

    desk: Desk
    text: str
    digest: str | None
    entries: tuple[DiaryEntry, ...]
    today: date

    @property
    def sessions(self) -> tuple[Session, ...]:
        """The sessions of the plan as it stands."""
        return self.desk.standing.sessions if self.desk.standing else ()

    @property
    def all_sessions(self) -> dict[str, Session]:
        """Every session any revision had, by id, as the newest has it."""
        plan = self.desk.plan
        revisions = plan.revisions if plan else ()
        every = [session for one in revisions for session in one.sessions]
        return {session.id: session for session in (*every, *self.sessions)}

    def notices(self) -> list[str]:
        """What the diary says about pain."""
        from seasonplan.cli.injury_book import is_young
        from seasonplan.explain import care

        return care.notice(
            self.entries,
            self.today,
            injuries=self.desk.year.injuries,
            young=is_young(self.desk.year, self.today),
        )


def opened(folder: Path, today: date | None) -> Book:
    """The diary of a folder; an empty one where there is none. Raises BadInput."""
    from seasonplan.diary import parse
    from seasonplan.workspace.desk import Desk
    from seasonplan.workspace.store import DIARY_FILE, load_diary

    desk, held = Desk(folder), load_diary(folder)
    return Book(
        desk=desk,
        text=held.text,
        digest=held.digest,
        entries=parse(held.text, file=str(folder / DIARY_FILE)),
        today=now_of(desk.year, today),
    )


def day_of(asked: date | None, today: date) -> date:
    """The day something happened: the one named, or today. Days to come are refused."""
    if asked is not None and asked > today:
        wanted = f"today ({day_text(today)}) or before"
        raise refused("--on", day_text(asked), wanted, "Log it when it is done.")
    return asked or today


def day_named(book: Book, words: str) -> date | None:
    """The day that is named in place of a session: "today", "today's", "yesterday"."""
    from seasonplan.year.spoken import day_said

    begins = book.desk.year.climber.week_begins
    bare = words.lower().removesuffix("'s").replace("todays", "today")
    return day_said(bare, today=book.today, week_begins=begins, past=True)


OPTIONS = {"rpe": "--effort", "date": "--on", "time": "--at"}  # columns typed under other names


def entry_from(**cells: Any) -> DiaryEntry:
    """A diary entry from what was typed. Raises BadInput with every fault, by option."""
    from seasonplan.diary.read import entry_of

    filled = {name: value for name, value in cells.items() if value not in (None, "")}
    entry, faults = entry_of(filled, line=0, file="log")
    if entry is None:
        raise BadInput(
            Fault("log", OPTIONS.get(f.key, f.key), None, f.found, f.wanted, f.do) for f in faults
        )
    return entry


def refused(key: str, found: str, wanted: str, do: str) -> BadInput:
    return BadInput([Fault("log", key, None, found, wanted, do)])


def keep(book: Book, added: Sequence[DiaryEntry]) -> Book:
    """Write more rows to the diary, after those that another program wrote meanwhile.

    Raises BadInput, ChangedOnDisk or CannotWrite.
    """
    from seasonplan.workspace.store import DIARY_FILE, beside_others, load_diary

    folder = book.desk.folder

    def saved() -> None:
        held = load_diary(folder)
        keep_as_read(replace(book, text=held.text, digest=held.digest), added)

    beside_others(saved, folder / DIARY_FILE)
    return replace(book, entries=(*book.entries, *added))


def keep_as_read(book: Book, added: Sequence[DiaryEntry]) -> None:
    """Write more rows to a diary that still is as it was read.

    Raises BadInput, ChangedOnDisk or CannotWrite.
    """
    from seasonplan.diary import append_all
    from seasonplan.workspace.store import save_diary

    if added:
        text = append_all(book.text, added)
        save_diary(book.desk.folder, text, based_on=book.digest)


def tell(book: Book, screen: Screen, added: Sequence[DiaryEntry], *, as_json: bool) -> None:
    """What was written, and what the diary says about pain."""
    from seasonplan.explain.diary import entry_text

    notices = book.notices() if any(entry.pain for entry in added) else []
    if as_json:
        write_json({"entries": [facts(entry) for entry in added], "notices": notices})
        return
    for entry in added:
        screen.say(entry_text(entry, book.desk.recipes), hang=2)
    if any(entry.kind == "test" for entry in added):
        _tell_news(book, screen)
    if any(entry.kind == "missed" for entry in added):
        screen.tell(_as_kept(book).missed_lines(book.today))
    screen.tell(notices, head="Take care")


def _tell_news(book: Book, screen: Screen) -> None:
    """What tests say differently than when the plan was made, and what to do about it."""
    from seasonplan.cli.where import anew
    from seasonplan.explain.tested import rating_changes

    now = _as_kept(book)
    ratings = now.plan.current.ratings if now.plan is not None else now.ratings
    told = rating_changes(ratings, now.ratings, now.year)
    screen.tell(told)
    if told:
        screen.narrate(f"Run {anew(planned=True)} to see what that changes.")


def _as_kept(book: Book) -> Opened:
    """The folder with the rows that were added."""
    from seasonplan.workspace.opened import Opened

    return Opened(book.desk.folder)


def facts(entry: DiaryEntry) -> dict[str, Any]:
    """An entry for another program: what it says and nothing else."""
    return entry.model_dump(mode="json", exclude_defaults=True)
