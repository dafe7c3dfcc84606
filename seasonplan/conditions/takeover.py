"""Chances on their way into the year: where they come from, and the edits that write them.

Makes edits and does none; touches no text and no disk.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from enum import StrEnum
from typing import Any

from seasonplan.conditions.records import Record
from seasonplan.edits import AddEntry, AnEdit, ChangeEntry
from seasonplan.vocabulary import Discipline
from seasonplan.year import Season, Year
from seasonplan.year.forecast import Forecast

MARK = "records"  # a chance_from that begins so was written here
DIGEST_LETTERS = 12
NOTE = "It takes the place of the season's chance on these days."


class Origin(StrEnum):
    """Where a season's chances come from, looked at from a record."""

    OWN = "own"  # the climber's own word
    TAKEN = "taken"  # this record
    OUTDATED = "outdated"  # another record, or another meaning of good
    TOUCHED = "touched"  # this record, and changed by hand since


def provenance(record: Record, *, known: int, good: int, meaning: str) -> str:
    """Where a chance comes from, in a line: file and its digest, days, meaning of good."""
    return (
        f"{MARK} {record.file} sha256 {record.digest[:DIGEST_LETTERS]}, {record.first} to "
        f"{record.last}, {good} of {known} days good ({meaning})"
    )


def is_from_records(chance_from: str) -> bool:
    return chance_from.startswith(f"{MARK} ")


def is_outdated(chance_from: str, record: Record, *, meaning: str) -> bool:
    """Whether a season's chance was taken from other records, or with another meaning of good."""
    ours = f" sha256 {record.digest[:DIGEST_LETTERS]}, " in chance_from
    return is_from_records(chance_from) and not (ours and chance_from.endswith(f"({meaning})"))


def season_edit(season: Season, *, chances: Sequence[float], chance_from: str) -> ChangeEntry:
    """Gives a season weekly chances, and says where they come from."""
    values = {"chance": [round(chance, 2) for chance in chances], "chance_from": chance_from}
    return ChangeEntry(id=season.id, values=values)


def forecast_edit(
    year: Year,
    *,
    place: str,
    discipline: Discipline,
    first: date,
    chances: Sequence[float],
    chance_from: str,
) -> AnEdit:
    """Enters a forecast for a place and discipline, in place of an older one."""
    values: dict[str, Any] = {
        "first": first,
        "chances": [round(chance, 2) for chance in chances],
        "chance_from": chance_from,
    }
    old = _forecast_of(year, place, discipline)
    if old is not None:
        return ChangeEntry(id=old.id, values=values)
    named = {
        "name": f"Forecast for {place}, {discipline.value}", "place": place,
        "discipline": discipline.value,
    }  # fmt: skip
    return AddEntry(section="forecast", values=named | values | {"note": NOTE})


def _forecast_of(year: Year, place: str, discipline: Discipline) -> Forecast | None:
    own = (place, discipline)
    return next((one for one in year.forecasts if (one.place, one.discipline) == own), None)
