"""Publishes to a folder that any web server shows: plain files, each replaced whole.

The names of the folders inside are the secret: such a server knows no other. Files that we did
not write are never touched. Nothing can be asked there: events have a page for each month.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path, PurePosixPath

from seasonplan.days import MONTHS
from seasonplan.diary import DiaryEntry
from seasonplan.errors import BadInput, CannotWrite, Fault
from seasonplan.feed.address import new_secret, part_secret
from seasonplan.feed.contents import Contents, Wish
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.pages.entry_page import month_page
from seasonplan.feed.pages.page import link, page
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.feed.private import Hosted
from seasonplan.files.disk import write_output
from seasonplan.plan import Session

PAGE_FILE = "index.html"


def publish_folder(
    target: Path,
    contents: Contents,
    known: Hosted | None,
    *,
    wish: Wish,
    now: datetime,
    base: str = "",
    rows: tuple[DiaryEntry, ...] = (),
) -> tuple[Hosted, int]:
    """Bring a folder up to the plan; what is there of ours now, and how many files were written.

    `base` is where the folder is to be had; without it the page has links beside itself only.
    `rows` are those of the diary, of which the page tells what was missed.
    """
    if not target.is_dir():
        wanted, do = "a folder that is there", "Make it, or correct the path."
        raise BadInput([Fault("publish", "--folder", None, str(target), wanted, do)])
    inside = known.inside if known else new_secret()
    files = dict(_files(contents, Present(now, rows=rows), inside, base))
    written = sum(_written(target / name, content) for name, content in files.items())
    for name in known.files if known else ():
        if name not in files:
            take_away(target, name)
    return Hosted(inside=inside, url=base, wish=wish, files=tuple(files)), written


def take_down(target: Path, known: Hosted) -> None:
    """Take away every file of ours."""
    for name in known.files:
        take_away(target, name)


def take_away(target: Path, name: str) -> None:
    """A file of ours and its folder, if that is empty then."""
    path = PurePosixPath(name)
    if len(path.parts) != 2 or ".." in path.parts or path.is_absolute():
        return  # no name that we ever write
    try:
        (target / path).unlink(missing_ok=True)
        (target / path).parent.rmdir()
    except OSError:
        return  # not empty, or gone already


def _files(
    contents: Contents, present: Present, inside: str, base: str
) -> Iterator[tuple[str, bytes]]:
    for part in Part:
        secret = part_secret(inside, part)
        yield f"{secret}/{part.file}", contents.calendar(part, secret)
        if contents.pages:
            today = present.today(contents.year)
            for name, html in _months(Entries(contents, present, part), part, today):
                yield f"{secret}/{name}", html.encode()
    links = [(part, link(base or "..", inside, part)) for part in Part]
    own = f"{base}/{inside}/" if base else ""
    entries = Entries(contents, present)

    def to(session: Session) -> str:
        months = f"../{part_secret(inside, Part.ALL)}"
        return f"{months}/{session.day:%Y-%m}.html#{entries.uid_of(session)}"

    html = page(
        contents, entries, today=present.today(contents.year), links=links, own=own,
        to=to if contents.pages else None, missed=entries.missed(present),
    )  # fmt: skip
    yield f"{inside}/{PAGE_FILE}", html.encode()


def _months(entries: Entries, part: Part, today: date) -> Iterator[tuple[str, str]]:
    """The pages of a calendar, by file."""
    for name, found in entries.by_month().items():
        month = f"{LOOKS[part].name}, {MONTHS[int(name[5:7]) - 1].capitalize()} {name[:4]}"
        yield name, month_page(month, found, today=today)


def _written(path: Path, content: bytes) -> bool:
    """Whether the file had to be written: one that is so already keeps its date."""
    try:
        if path.is_file() and path.read_bytes() == content:
            return False
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None
    write_output(path, content)
    return True
