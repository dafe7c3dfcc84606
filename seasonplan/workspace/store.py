"""The climber's folder on disk: what its files are called and hold, read and written whole.

`disk` writes the bytes. Where year and plan are written together the year comes first: killed in
between, the plan is of an older year until the folder is opened next, which finishes the save.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from seasonplan import diary
from seasonplan.busy.calendar import read_capped
from seasonplan.edits.draft import YEAR_FILE, read
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, Fault
from seasonplan.files.disk import (
    NotAFile,
    Save,
    digest_of,
    finish,
    read_whole,
    write,
    write_all,
    write_output,
)  # fmt: skip
from seasonplan.plan import SCHEMA as PLAN_SCHEMA
from seasonplan.plan import Plan
from seasonplan.recipes import present_id
from seasonplan.year import CalendarWishes, Trouble, Year
from seasonplan.year.nesting import DEEPEST, too_deep
from seasonplan.year.told import told
from seasonplan.year.toml import faults
from seasonplan.year.zones import known_zones

PLAN_FILE = "plan.json"
DIARY_FILE = diary.FILE
CALENDAR_FILE = "seasonplan.ics"
UNDONE_FILE = "year-undone.toml"  # what was entered since a plan and taken back
UNDONE_HEAD = "# Taken back since plan {number}; `seasonplan redo` brings it back.\n"
CALENDAR = b"BEGIN:VCALENDAR"  # how one begins
MOST_TRIES = 20  # to write beside another program
Saved = TypeVar("Saved")

__all__ = [
    "DIARY_FILE", "PLAN_FILE", "YEAR_FILE", "BusyOnDisk", "DiaryOnDisk", "PlanOnDisk",
    "YearOnDisk", "beside_others", "diary_rows", "digest_of", "load_busy", "load_diary",
    "load_plan", "load_year", "plan_text", "save_both", "save_diary", "save_plan",
    "save_with_diary", "save_year", "write", "write_output",
]  # fmt: skip


def _to_2(raw: dict[str, Any]) -> dict[str, Any]:
    """Schema 2: weeks are sums of sessions, goals have days on rock and form, plans are exact.

    Blocks of schema 1 have no emphasis; what its predicted state and full minutes said is gone.
    Its plans were the best under another model, so they are not told as the best of this one.
    """
    for revision in raw.get("revisions", ()):
        for block in revision.get("blocks", ()):
            for week in block.get("weeks", ()):
                week.pop("full_minutes", None)
        for occasion in revision.get("score", {}).get("occasions", ()):
            occasion.pop("state", None)
        for session in revision.get("sessions", ()):
            session["recipe"] = present_id(session["recipe"])
        revision["proof"] = {**revision.get("proof", {}), "optimal": False}
    return {**raw, "schema_version": 2}


# From each older schema of plan.json to the next: a function of the raw content.
PLAN_STEPS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {1: _to_2}


@dataclass(frozen=True, slots=True)
class YearOnDisk:
    """A year as read: the model, the text, and the digest of the text it was based on."""

    year: Year
    text: str
    digest: str

    @property
    def meaning(self) -> str:
        """Digest of what the text says to the planner: comments and order of lines do not change
        it, nor do reminders, tests or how calendars show it."""
        sessions = self.year.sessions.model_copy(update={"alarm_minutes": None})
        shown = {"sessions": sessions, "tests": (), "calendar": CalendarWishes()}
        planned = self.year.model_copy(update=shown)
        return digest_of(planned.model_dump_json(exclude_defaults=True).encode())


@dataclass(frozen=True, slots=True)
class PlanOnDisk:
    plan: Plan
    digest: str


@dataclass(frozen=True, slots=True)
class DiaryOnDisk:
    """The text of a diary as read, and its digest; None where there is no file yet."""

    text: str
    digest: str | None


@dataclass(frozen=True, slots=True)
class BusyOnDisk:
    """A busy calendar that the year names: its path as a person may open it, and its bytes."""

    file: str
    content: bytes


def load_year(folder: Path) -> YearOnDisk:
    """The year of a folder. Raises BadInput with every fault in it.

    What a killed program began to write there is finished first, where we may.
    """
    with suppress(CannotWrite):
        finish(folder)
    path = folder / YEAR_FILE
    text = _text(path, do="Run `seasonplan new` to make one.")
    year = read(text, file=str(path))
    return YearOnDisk(year, text, digest_of(text.encode()))


def load_busy(folder: Path, year: YearOnDisk) -> tuple[BusyOnDisk, ...]:
    """The busy calendars that a year names, unread. Raises BadInput with every fault of them."""
    found: list[BusyOnDisk] = []
    missing: list[Trouble] = []
    refused: list[Fault] = []
    for number, name in enumerate(year.year.sessions.busy):
        path = folder / name
        try:
            if not path.is_file():  # a pipe or a device might never end
                raise FileNotFoundError
            with path.open("rb") as stream:
                found.append(BusyOnDisk(str(path), read_capped(stream, file=str(path))))
        except (OSError, ValueError) as error:
            missing.append(_no_calendar(number, name, error))
        except BadInput as error:
            refused += error.faults
    if missing or refused:
        where = str(folder / YEAR_FILE)
        raise BadInput([*faults(missing, year.text, file=where), *refused])
    return tuple(found)


def _no_calendar(number: int, name: str, error: Exception) -> Trouble:
    if "://" in name:  # a link to a calendar is a secret: it is not told back
        return Trouble(
            ("sessions", "busy", number),
            "a link",
            "an .ics file in the folder of the year",
            "Use `seasonplan busy add`: it keeps the link out of this file and fetches it.",
        )
    reason = "no such file" if isinstance(error, FileNotFoundError) else str(error)
    return Trouble(
        ("sessions", "busy", number),
        f"{name!r}, which cannot be read ({reason})",
        "an .ics file in the folder of the year, or a path to one",
        "Export the calendar there, or take its name out of busy.",
    )


def may_be_calendar(path: Path) -> bool:
    """Whether a calendar may be written there: no file yet, an empty one, or a calendar."""
    return not path.is_file() or path.read_bytes()[: len(CALENDAR)] in (b"", CALENDAR)


def load_plan(folder: Path) -> PlanOnDisk | None:
    """The plan of a folder, or None where there is none yet. Raises BadInput."""
    path = folder / PLAN_FILE
    if not path.exists():
        return None
    text = _text(path, do="")
    do = "Restore it from a backup, or move it away and run `seasonplan plan`."
    try:
        plan = Plan.model_validate(_stepped_up(_raw(text, path, do=do), path))
    except ValidationError as error:
        raise BadInput(
            Fault(str(path), ".".join(map(str, one["loc"])), None, *told(one)[:2], do)
            for one in error.errors()
        ) from None
    _known_zones(plan, path, do=do)
    return PlanOnDisk(plan, digest_of(text.encode()))


def _raw(text: str, path: Path, *, do: str) -> Any:
    """The values of a JSON text. Raises BadInput."""
    line = too_deep(text)
    found = f"values more than {DEEPEST} deep"
    try:
        if line is None and isinstance(raw := json.loads(text), dict):
            return raw
        if line is None:
            line, found = 1, "JSON that is no plan"
    except json.JSONDecodeError as error:
        line, found = error.lineno, f"text that is no JSON from column {error.colno} on"
        if not text[error.pos :].strip():
            found = "a file that ends too early" if text.strip() else "an empty file"
    raise BadInput([Fault(str(path), "", line, found, "a plan as this program writes it", do)])


def _known_zones(plan: Plan, path: Path, *, do: str) -> None:
    """Sessions name zones that there are, whoever edited the file."""
    named = {session.zone for session in plan.current.sessions if session.zone}
    unknown = sorted(named - known_zones()) if named else []
    zone_wanted = "a time zone by its name"
    if unknown:
        raise BadInput(
            Fault(str(path), "sessions.zone", None, repr(zone), zone_wanted, do) for zone in unknown
        )


def save_plan(folder: Path, plan: Plan, *, based_on: str | None) -> str:
    """Write plan.json if it still is what `based_on` says (None: no file). The new digest."""
    content = plan_text(plan).encode()
    write(folder / PLAN_FILE, content, based_on=based_on)
    return digest_of(content)


def save_year(folder: Path, text: str, *, based_on: str) -> str:
    """Write year.toml if it still is what `based_on` says. The new digest."""
    content = text.encode()
    write(folder / YEAR_FILE, content, based_on=based_on)
    return digest_of(content)


def save_both(
    folder: Path, text: str, plan: Plan, *, based_on: tuple[str, str | None]
) -> tuple[str, str]:
    """Write year.toml, then plan.json, if both still are what `based_on` says. New digests."""
    year, made = text.encode(), plan_text(plan).encode()
    write_all(
        [Save(folder / YEAR_FILE, year, based_on[0]), Save(folder / PLAN_FILE, made, based_on[1])]
    )
    return digest_of(year), digest_of(made)


def save_taken_back(folder: Path, text: str, undone: str, number: int, *, based_on: str) -> str:
    """Write year.toml as it was when plan `number` was made, and beside it what it said since. The
    new digest."""
    path, content, before = folder / UNDONE_FILE, text.encode(), None
    with suppress(OSError):  # none yet; what else is wrong there is told by who writes
        before = digest_of(read_whole(path))
    kept = (UNDONE_HEAD.format(number=number) + undone).encode()
    write_all([Save(path, kept, before), Save(folder / YEAR_FILE, content, based_on)])
    return digest_of(content)


def load_undone(folder: Path, number: int) -> str | None:
    """What was taken back since plan `number`; None where nothing was, or since another plan."""
    try:
        text = read_whole(folder / UNDONE_FILE).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    head = UNDONE_HEAD.format(number=number)
    return text.removeprefix(head) if text.startswith(head) else None


def load_diary(folder: Path) -> DiaryOnDisk:
    """The text of diary.csv; empty, without a digest, where there is none yet."""
    path = folder / DIARY_FILE
    if not path.exists():
        return DiaryOnDisk("", None)
    text = _text(path, do="")
    return DiaryOnDisk(text, digest_of(text.encode()))


def diary_rows(folder: Path) -> tuple[diary.DiaryEntry, ...]:
    """The rows of diary.csv for who only shows them; none where it cannot be read, which is told
    to whoever writes in it."""
    try:
        return diary.parse(load_diary(folder).text, file=DIARY_FILE)
    except BadInput:
        return ()


def save_diary(folder: Path, text: str, *, based_on: str | None) -> None:
    """Write diary.csv if it still is what `based_on` says (None: no file)."""
    write(folder / DIARY_FILE, text.encode(), based_on=based_on)


def save_with_diary(
    folder: Path, text: str, diary: str, *, based_on: tuple[str, str | None]
) -> None:
    """Write diary.csv and year.toml, both or none, if both still are what `based_on` says."""
    year_was, diary_was = based_on
    write_all(
        [
            Save(folder / DIARY_FILE, diary.encode(), diary_was),
            Save(folder / YEAR_FILE, text.encode(), year_was),
        ]
    )


def beside_others(save: Callable[[], Saved], path: Path) -> Saved:
    """What a save gives, done again from the reading on where another program was faster.

    Only for a file that one adds to: rows of the diary do not contradict each other. Raises
    ChangedOnDisk where it was another file, or the other program never rests.
    """
    for _ in range(MOST_TRIES):
        try:
            return save()
        except ChangedOnDisk as error:
            if error.file != str(path):
                raise
    raise ChangedOnDisk(str(path))


def plan_text(plan: Plan) -> str:
    """plan.json: what is not as usual, one revision on a line."""
    revisions = ",\n".join(
        revision.model_dump_json(exclude_defaults=True) for revision in plan.revisions
    )
    head = f'"schema_version":{plan.schema_version},"calendar_key":"{plan.calendar_key}"'
    return f'{{{head},"revisions":[\n{revisions}\n]}}\n'


def _text(path: Path, *, do: str) -> str:
    content = b""
    try:
        content = read_whole(path)
        return content.decode("utf-8")
    except FileNotFoundError:
        raise BadInput([Fault(str(path), "", None, "no file", "a file", do)]) from None
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise BadInput(
            [
                Fault(
                    str(path),
                    "",
                    line,
                    "bytes that are not UTF-8",
                    "UTF-8 text",
                    "Save it as UTF-8.",
                )
            ]
        ) from None
    except OSError as error:
        do = "Move it away, and put the file there." if isinstance(error, NotAFile) else "Check it."
        raise BadInput(
            [Fault(str(path), "", None, error.strerror or "?", "a file we may read", do)]
        ) from None


def _stepped_up(raw: Any, path: Path) -> Any:
    version = raw.get("schema_version", PLAN_SCHEMA) if isinstance(raw, dict) else PLAN_SCHEMA
    if isinstance(version, int) and version > PLAN_SCHEMA:
        raise BadInput(
            [
                Fault(
                    str(path), "schema_version", None, f"schema {version}",
                    f"schema {PLAN_SCHEMA} or older",
                    "This plan was written by a newer seasonplan: update the program.",
                )
            ]
        )  # fmt: skip
    while isinstance(version, int) and version < PLAN_SCHEMA and version in PLAN_STEPS:
        try:
            raw = PLAN_STEPS[version](raw)
        except (AttributeError, KeyError, TypeError, ValueError):
            return raw  # not as we write it: the model says what is wrong
        version = raw["schema_version"]
    return raw
