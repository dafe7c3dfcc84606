"""`seasonplan log`: what was done, missed, tested, weighed and felt, into `diary.csv`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli import log_import, log_show
from seasonplan.cli.grouped import grouped
from seasonplan.cli.options import Folder, Json, Plain, Today, a_day
from seasonplan.cli.screen import Screen
from seasonplan.cli.whole_help import WholeHelp

if TYPE_CHECKING:
    from seasonplan.cli.log_book import Book
    from seasonplan.diary import DiaryEntry
    from seasonplan.plan import Session

EXAMPLES = """Examples:

\b
  seasonplan log my-year done today's              all that was planned today
  seasonplan log my-year done today --effort 6     the one session of today
  seasonplan log my-year done --what "Bouldering" --minutes 90 --effort 7
  seasonplan log my-year missed yesterday
  seasonplan log my-year pain elbow 3 --side left
  seasonplan log my-year test "20 mm hang" 32.5 kg
  seasonplan log my-year weight 68.4
  seasonplan log my-year note "Slept badly"
  seasonplan log my-year import old.csv --set kind=done \\
      --map date=Day --map what=Session
  seasonplan log my-year show --weeks

Leave the folder out for the year in this folder. The diary is diary.csv there: a
spreadsheet opens it, columns of your own are kept."""


class FolderFirst(WholeHelp):
    """A group whose folder may be left out: `log done` is `log . done`."""

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        if args and (args[0] in self.commands):
            args = [".", *args]
        return super().parse_args(ctx, args)


app = typer.Typer(cls=FolderFirst, no_args_is_help=True, rich_markup_mode=None)

TO_COME = {
    "done": "If it was done already, say when: --on today.",
    "missed": "If it will not take place: `seasonplan edit skip`.",
}
Which = Annotated[
    str,
    typer.Argument(
        metavar="SESSION", help="Its id, or a day: all of today, yesterday; else --what."
    ),
]
What = Annotated[str, typer.Option(metavar="TEXT", help="Something the plan does not have.")]
RecipeId = Annotated[str, typer.Option("--recipe", metavar="ID", help="The recipe it followed.")]
Minutes = Annotated[str, typer.Option(metavar="90|1h30", help="How long; as planned if left out.")]
Rpe = Annotated[
    str, typer.Option("--effort", "--rpe", metavar="0-10", help="How hard the whole of it felt.")
]
Note = Annotated[str, typer.Option(metavar="TEXT", help="Anything else.")]
SideOf = Annotated[str, typer.Option("--side", metavar="SIDE", help="left, right or both.")]
On = Annotated[date | None, typer.Option(help="The day it was; today.", **a_day(past=True))]
At = Annotated[str, typer.Option(metavar="HH:MM", help="The time of day.")]
Amount = Annotated[str, typer.Argument(metavar="VALUE", help="A number.")]


@dataclass(frozen=True, slots=True)
class How:
    """What every row can be said with: its day, and how what was written is told."""

    on: On = None
    today: Today = None
    plain: Plain = False
    as_json: Json = False


@app.callback()
def log(ctx: typer.Context, folder: Folder = Path()) -> None:
    """Keep a diary: sessions done and missed, tests, weight, pain, notes."""
    ctx.obj = folder


@app.command()
@grouped(how=How)
def done(
    ctx: typer.Context,
    which: Which = "",
    *,
    what: What = "",
    recipe: RecipeId = "",
    minutes: Minutes = "",
    rpe: Rpe = "",
    note: Note = "",
    at: At = "",
    how: How,
) -> None:
    """Log a session as done. Minutes that you leave out are those planned."""
    cells = {"what": what, "recipe": recipe, "minutes": minutes, "rpe": rpe, "note": note}
    _log_sessions(ctx.obj, "done", which, {**cells, "time": at}, how=how)


@app.command()
@grouped(how=How)
def missed(
    ctx: typer.Context,
    which: Which = "",
    *,
    what: What = "",
    note: Note = "",
    how: How,
) -> None:
    """Log a session as missed. It happens; nothing is held against you."""
    _log_sessions(ctx.obj, "missed", which, {"what": what, "note": note}, how=how)


@app.command()
@grouped(how=How)
def pain(
    ctx: typer.Context,
    part: Annotated[str, typer.Argument(metavar="PART", help="finger, elbow, shoulder, ...")],
    amount: Annotated[str, typer.Argument(metavar="0-10", help="0 none, 10 the worst.")],
    *,
    side: SideOf = "none",
    note: Note = "",
    at: At = "",
    how: How,
) -> None:
    """Log pain in a part of the body."""
    cells = {"part": part, "pain": amount, "side": side, "note": note, "time": at}
    _log_one(ctx.obj, "pain", cells, how=how)


@app.command()
@grouped(how=How)
def test(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="What you tested.")],
    value: Amount,
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="kg, s, reps, ...")] = "",
    *,
    side: SideOf = "none",
    note: Note = "",
    at: At = "",
    how: How,
) -> None:
    """Log the result of a test. Use the same name each time."""
    cells = {"what": name, "value": value, "unit": unit, "side": side, "note": note, "time": at}
    _log_one(ctx.obj, "test", cells, how=how)


@app.command()
@grouped(how=How)
def weight(
    ctx: typer.Context,
    value: Amount,
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="kg or lb.")] = "kg",
    *,
    note: Note = "",
    at: At = "",
    how: How,
) -> None:
    """Log your body weight."""
    cells = {"value": value, "unit": unit, "note": note, "time": at}
    _log_one(ctx.obj, "weight", cells, how=how)


@app.command()
@grouped(how=How)
def note(
    ctx: typer.Context,
    text: Annotated[str, typer.Argument(metavar="TEXT", help="What you want to remember.")],
    *,
    at: At = "",
    how: How,
) -> None:
    """Log a note."""
    cells = {"note": text, "time": at}
    _log_one(ctx.obj, "note", cells, how=how)


app.command("import")(log_import.take_in)
app.command("show")(log_show.show)


# --- one row, or one for each session -------------------------------------------------------


def _log_one(folder: Path, kind: str, cells: dict[str, str], *, how: How) -> None:
    from seasonplan.cli.log_book import day_of, entry_from, keep, opened, tell

    book = opened(folder, how.today)
    entry = entry_from(date=day_of(how.on, book.today), kind=kind, **cells)
    tell(keep(book, [entry]), Screen.here(plain=how.plain), [entry], as_json=how.as_json)


def _log_sessions(folder: Path, kind: str, which: str, cells: dict[str, str], *, how: How) -> None:
    from seasonplan.cli.log_book import day_of, entry_from, keep, opened, tell

    screen = Screen.here(plain=how.plain)
    book = opened(folder, how.today)
    chosen = _chosen(book, which, cells=cells)
    if chosen:
        added = [_row(book, session, kind, cells, on=how.on) for session in chosen]
    else:
        added = [entry_from(date=day_of(how.on, book.today), kind=kind, **cells)]
    before = {entry.session for entry in book.entries if entry.session}
    for entry in added:
        if entry.session in before:
            screen.narrate(f"{entry.session} was in the diary already; what you say now counts.")
    tell(keep(book, added), screen, added, as_json=how.as_json)


def _row(
    book: Book, session: Session, kind: str, cells: dict[str, str], *, on: date | None
) -> DiaryEntry:
    """A row for a planned session, on its own day; refused where that is still to come."""
    from seasonplan.cli.log_book import day_of, entry_from, refused
    from seasonplan.days import day_text
    from seasonplan.diary import Did, cells_of_session

    if on is None and session.day > book.today:
        raise refused(
            "SESSION", f"a session planned for {day_text(session.day)}, which is still to come",
            "one that is over, or the day on which it was done", TO_COME[kind],
        )  # fmt: skip
    day = day_of(on, book.today) if on else session.day
    said = {name: cell for name, cell in cells.items() if cell}
    return entry_from(**{**cells_of_session(session, Did(kind), day=day), **said})


def _chosen(book: Book, which: str, *, cells: dict[str, str]) -> tuple[Session, ...]:
    """The planned sessions that are meant; none where the climber names something else."""
    from seasonplan.cli.log_book import day_named, refused

    if not which:
        return ()
    found = book.all_sessions.get(which)
    named = None if found else day_named(book, which)
    if named is not None:
        return _of_day(book, named, cells)
    if found is None:
        from seasonplan.errors import did_you_mean

        do = did_you_mean(
            which, book.all_sessions,
            otherwise="`seasonplan week --plain` names those of a week; "
            "for anything else use --what.",
        )  # fmt: skip
        raise refused(
            "SESSION", f"no session {which!r}", "the id of a planned session, or a day", do
        )
    return (found,)


def _of_day(book: Book, day: date, cells: dict[str, str]) -> tuple[Session, ...]:
    from seasonplan.cli.log_book import refused
    from seasonplan.days import day_text
    from seasonplan.diary import unlogged

    left = unlogged(book.sessions, book.entries, day=day)
    names = ", ".join(session.id for session in left)
    if not left:
        there = ", ".join(one.id for one in book.sessions if one.day == day and one.minutes)
        raise refused(
            "SESSION", f"nothing on {day_text(day)} that is planned and not logged",
            "such a session",
            f"What is logged there is changed by its id ({there}); say what is not planned with "
            "--what." if there else "Name a session by its id, or say what you did with --what.",
        )  # fmt: skip
    told = {"minutes": "minutes", "rpe": "effort", "time": "time"}
    one_only = [word for name, word in told.items() if cells.get(name)]
    if len(left) > 1 and one_only:
        raise refused(
            "SESSION", f"{len(left)} sessions on {day_text(day)} with one {' and '.join(one_only)}",
            f"one of {names}", "Log them one by one.",
        )  # fmt: skip
    return left
