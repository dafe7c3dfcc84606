"""The weather records that a year names, studied: for each place, what is climbed there.

Reads the record files and forecasts that a person points at; writes nothing. A study is kept by
the content it was made of, so that asking twice costs a look at the file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from seasonplan.days import Span
from seasonplan.edits import AnEdit, EditRefused
from seasonplan.errors import BadInput, Fault
from seasonplan.files.disk import read_whole
from seasonplan.vocabulary import Discipline
from seasonplan.workspace.store import YEAR_FILE, digest_of
from seasonplan.year import Season, Year
from seasonplan.year.place import Place

if TYPE_CHECKING:
    from seasonplan.conditions import Near, PlaceStudy

MOST_KEPT = 16
FORECAST_DAYS = 31
HOW = (
    "Say where they stand and what the columns hold, in the form of the place or in the file: "
    "see “How likely is a good day?”: `seasonplan guide weather`."
)
_kept: dict[tuple[str, ...], PlaceStudy] = {}


@dataclass(frozen=True, slots=True)
class Subject:
    """What a study is of: a place, and a discipline where the year knows one."""

    place: Place
    discipline: Discipline | None

    def is_of(self, season: Season) -> bool:
        """Whether a season is of this place and discipline."""
        return self.place.has(season, discipline=self.discipline)


def subjects_of(year: Year) -> tuple[Subject, ...]:
    """Every place with records, with each discipline climbed there."""
    places = [place for place in year.places if place.records is not None]
    return tuple(Subject(place, kind) for place in places for kind in _disciplines(year, place))


def study_of(folder: Path, year: Year, subject: Subject) -> PlaceStudy:
    """The study of one place and discipline. Raises BadInput with every fault of its record."""
    from seasonplan.conditions import place_records, study

    file, zone = str(folder / YEAR_FILE), year.climber.time_zone
    content = file_bytes(folder / place_records(subject.place, file=file).file)
    kind = subject.discipline or ""
    key = (digest_of(content), subject.place.model_dump_json(), kind, zone, file)
    if key not in _kept:
        found = study(
            content, subject.place, discipline=subject.discipline, file=file, time_zone=zone
        )
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)), None)
        _kept[key] = found
    return _kept[key]


def every_study(
    folder: Path, year: Year, *, place: str | None = None, discipline: Discipline | None = None
) -> tuple[PlaceStudy, ...]:
    """Every study, or those of one place or discipline. Raises BadInput with every fault."""
    found: list[PlaceStudy] = []
    faults: list[Fault] = []
    for subject in _asked(year, place, discipline, file=str(folder / YEAR_FILE)):
        try:
            found.append(study_of(folder, year, subject))
        except BadInput as error:
            faults += [fault for fault in error.faults if fault not in faults]
    if faults:
        raise BadInput(faults)
    return tuple(found)


def stamps_of(folder: Path, year: Year) -> tuple[tuple[int, int] | None, ...]:
    """How the record files stand on the disk: another value, and one was changed."""
    names = dict.fromkeys(place.records.file for place in year.places if place.records)
    return tuple(_stamp(folder / name) for name in names)


def near_by(path: Path, study: PlaceStudy, year: Year, *, today: date) -> Near | None:
    """What a forecast makes of the next days. Raises BadInput.

    It is a CSV file in the form of the records, or a calendar whose events are good days.
    """
    from seasonplan.conditions import place_records, read_record

    content = file_bytes(path)
    zone = study.place.time_zone or year.climber.time_zone
    if path.suffix.lower() == ".ics":
        return study.near_marked(_good_spans(content, path, zone, today), today=today)
    how = place_records(study.place, file=str(path))
    return study.near(read_record(content, how, file=str(path), time_zone=zone), today=today)


def taking(season_id: str, found: Sequence[PlaceStudy], year: Year) -> AnEdit:
    """The edit that gives a season the chances of its record. Raises EditRefused."""
    season = next((one for one in year.seasons if one.id == season_id), None)
    if season is None:
        known = ", ".join(one.id for one in year.seasons)
        do = f"There are: {known}." if known else "Enter the season first."
        raise EditRefused(f"There is no season {season_id!r}.", do)
    own = next((one for one in found if one.is_of(season)), None)
    edit = own.taking(season, year.span) if own else None
    if edit is None:
        raise EditRefused(
            f"No record here is of the season “{season.name}”.",
            "It works for a season, in this year, of a place with weather records.",
        )
    return edit


def accepting(near: Near, study: PlaceStudy, year: Year, *, source: str) -> AnEdit:
    """The edit that enters a forecast, in place of an older one. Raises EditRefused."""
    from seasonplan.conditions import forecast_edit

    if study.discipline is None:
        raise EditRefused(
            f"Nothing says what is climbed at {study.place.name}.", "Say for which discipline."
        )
    return forecast_edit(
        year, place=study.place.name, discipline=study.discipline, first=near.days[0].day,
        chances=near.chances, chance_from=source,
    )  # fmt: skip


def file_bytes(path: Path) -> bytes:
    """A whole file. Raises BadInput where there is none that may be read."""
    try:
        return read_whole(path)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        found = "no file" if isinstance(error, FileNotFoundError) else reason or "no file"
        do = "Put it there, or correct the name."
        raise BadInput([Fault(str(path), "", None, found, "a file we may read", do)]) from None


def _asked(
    year: Year, name: str | None, kind: Discipline | None, *, file: str
) -> Iterator[Subject]:
    places = [
        place for place in year.places
        if (place.records is not None if name is None else name in (place.name, place.id))
    ]  # fmt: skip
    if not places:
        known = ", ".join(place.name for place in year.places)
        found = "no place with records" if name is None else f"no place {name!r}"
        wanted = f"one of {known}" if known and name else "a place with a file of past weather"
        do = "Correct the name." if known and name else HOW
        raise BadInput([Fault(file, "place", None, found, wanted, do)])
    for place in places:
        yield from (Subject(place, one) for one in ([kind] if kind else _disciplines(year, place)))


def _disciplines(year: Year, place: Place) -> list[Discipline | None]:
    """What is climbed there by seasons, goals and what is called good."""
    entries = (*year.seasons, *year.goals)
    used = [entry.discipline for entry in entries if entry.place == place.name]
    meant = [good.discipline for good in place.good if good.discipline is not None]
    return list(dict.fromkeys([*used, *meant])) or [None]


def _good_spans(content: bytes, path: Path, zone: str, today: date) -> list[Span]:
    from seasonplan.busy.calendar import read_busy

    near = Span(today, today + timedelta(days=FORECAST_DAYS))
    report = read_busy(content, file=str(path), span=near, time_zone=zone)
    ends = [(span.start.date(), (span.end - timedelta(seconds=1)).date()) for span in report.spans]
    return [Span.through(first, last) for first, last in ends]


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size
