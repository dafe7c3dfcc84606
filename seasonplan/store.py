"""The climber's folder on disk: whole files, written safely, never over somebody else's change.

Write: lock, compare the digest with what was read, write a file beside it, flush it to disk,
rename, flush the folder. A crash at any byte leaves the old file or the new one, whole.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zoneinfo import available_timezones

from filelock import FileLock, Timeout
from pydantic import ValidationError

from seasonplan import recipes, rules
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, Fault
from seasonplan.ical.busy import read_capped
from seasonplan.plan import SCHEMA as PLAN_SCHEMA
from seasonplan.plan import Plan
from seasonplan.year import Trouble, Year
from seasonplan.year.toml import faults, read_year

YEAR_FILE = "year.toml"
PLAN_FILE = "plan.json"
LOCK_SECONDS = 10

# From each older schema of plan.json to the next: a function of the raw content.
PLAN_STEPS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


@dataclass(frozen=True, slots=True)
class YearOnDisk:
    """A year as read: the model, the text, and the digest of the text it was based on."""

    year: Year
    text: str
    digest: str

    @property
    def meaning(self) -> str:
        """Digest of what the text says: comments and order of lines do not change it."""
        return digest_of(self.year.model_dump_json().encode())


@dataclass(frozen=True, slots=True)
class PlanOnDisk:
    plan: Plan
    digest: str


@dataclass(frozen=True, slots=True)
class BusyOnDisk:
    """A busy calendar that the year names: its path as a person may open it, and its bytes."""

    file: str
    content: bytes


def digest_of(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def load_year(folder: Path) -> YearOnDisk:
    """The year of a folder. Raises BadInput with every fault in it."""
    path = folder / YEAR_FILE
    text = _text(path, do="Run `seasonplan new` to make one.")
    year = read_year(text, file=str(path))
    found = [*rules.troubles(year), *recipes.troubles(year.recipes)]
    if found:
        raise BadInput(faults(found, text, file=str(path)))
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
    reason = "no such file" if isinstance(error, FileNotFoundError) else str(error)
    return Trouble(
        ("sessions", "busy", number),
        f"{name!r}, which cannot be read ({reason})",
        "an .ics file in the folder of the year, or a path to one",
        "Export the calendar there, or take its name out of busy.",
    )


def load_plan(folder: Path) -> PlanOnDisk | None:
    """The plan of a folder, or None where there is none yet. Raises BadInput."""
    path = folder / PLAN_FILE
    if not path.exists():
        return None
    text = _text(path, do="")
    do = "Restore it from a backup, or move it away and run `seasonplan plan`."
    try:
        raw = json.loads(text)
    except ValueError as error:
        line = getattr(error, "lineno", None)
        raise BadInput(
            [Fault(str(path), "", line, f"text that is not JSON ({error})", "a plan we wrote", do)]
        ) from None
    try:
        plan = Plan.model_validate(_stepped_up(raw, path))
    except ValidationError as error:
        raise BadInput(
            Fault(
                str(path), ".".join(str(part) for part in one["loc"]), None,
                str(one.get("input"))[:60], one["msg"].lower(), do,
            )
            for one in error.errors()
        ) from None  # fmt: skip
    _known_zones(plan, path, do=do)
    return PlanOnDisk(plan, digest_of(text.encode()))


def _known_zones(plan: Plan, path: Path, *, do: str) -> None:
    """Sessions name zones that there are, whoever edited the file."""
    named = {session.zone for session in plan.current.sessions if session.zone}
    unknown = sorted(named - available_timezones()) if named else []
    wanted = "a time zone of the IANA database"
    if unknown:
        raise BadInput(
            Fault(str(path), "sessions.zone", None, repr(zone), wanted, do) for zone in unknown
        )


def save_plan(folder: Path, plan: Plan, *, based_on: str | None) -> str:
    """Write plan.json if it still is what `based_on` says (None: no file). The new digest."""
    content = (plan.model_dump_json(indent=1, exclude_defaults=False) + "\n").encode()
    write(folder / PLAN_FILE, content, based_on=based_on)
    return digest_of(content)


def write(path: Path, content: bytes, *, based_on: str | None) -> None:
    """Replace a file, whole, if its content still has the digest `based_on` (None: no file).

    Raises ChangedOnDisk or CannotWrite; in both cases the old file stands untouched.
    """
    try:
        with FileLock(path.with_name(f".{path.name}.lock"), timeout=LOCK_SECONDS):
            found = digest_of(path.read_bytes()) if path.exists() else None
            if found != based_on:
                raise ChangedOnDisk(str(path))
            _replace(path, content)
    except Timeout:
        raise CannotWrite(str(path), "another program holds its lock") from None
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None


def write_output(path: Path, content: bytes) -> None:
    """Write a file that we may always make anew (an export), whole or not at all."""
    try:
        _replace(path, content)
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None


def _replace(path: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    _flush_folder(path.parent)


def _flush_folder(folder: Path) -> None:
    if os.name != "posix":
        return  # only POSIX lets a folder be opened and flushed
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _text(path: Path, *, do: str) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        raise BadInput([Fault(str(path), "", None, "no file", "a file", do)]) from None
    except UnicodeDecodeError as error:
        line = path.read_bytes()[: error.start].count(b"\n") + 1
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
        raise BadInput(
            [Fault(str(path), "", None, error.strerror or "?", "a file we may read", "Check it.")]
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
    while isinstance(version, int) and version in PLAN_STEPS:
        raw = PLAN_STEPS[version](raw)
        version = raw["schema_version"]
    return raw
