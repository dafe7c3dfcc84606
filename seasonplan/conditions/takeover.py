"""Chances written into the text of a year file: a season's weeks, a forecast's days.

Text in, text out; comments, order and everything else stay. Touches no disk.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from seasonplan.conditions.records import Record
from seasonplan.conditions.splice import with_entry, with_value, without_entry
from seasonplan.errors import BadInput, Fault, Misuse
from seasonplan.vocabulary import Discipline
from seasonplan.year.entries import slug

MARK = "records"  # a chance_from that begins so was written here
DIGEST_LETTERS = 12
REMARK = "takes the place of the season's chance on these days"


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


def with_season_chance(
    text: str, season: str, *, chances: Sequence[float], chance_from: str, file: str
) -> str:
    """The year file with the weekly chances of the season of that id, and where they come from.

    Raises BadInput where no season has that id.
    """
    text = text.removeprefix("\ufeff")  # some editors put it there
    ids = [_id_of(entry) for entry in tomllib.loads(text).get("season", [])]
    if season not in ids:
        known = ", ".join(ids) or "none yet"
        raise BadInput(
            [Fault(file, "season", None, f"no season {season!r}", f"the id of a season ({known})",
                   "Correct the id, or enter the season first.")]
        )  # fmt: skip
    index = ids.index(season)
    numbers = [round(chance, 2) for chance in chances]
    new = with_value(text, "season", index, key="chance", value=numbers)
    new = with_value(new, "season", index, key="chance_from", value=chance_from, after="chance")
    return _checked(text, new, "season", index, {"chance": numbers, "chance_from": chance_from})


def with_forecast(
    text: str,
    *,
    place: str,
    discipline: Discipline,
    first: date,
    chances: Sequence[float],
    chance_from: str,
) -> str:
    """The year file with a forecast for a place and discipline, in place of an older one."""
    text = text.removeprefix("\ufeff")
    values: dict[str, Any] = {
        "name": f"Forecast for {place}, {discipline.value}", "place": place,
        "discipline": discipline.value, "first": first,
        "chances": [round(chance, 2) for chance in chances], "chance_from": chance_from,
    }  # fmt: skip
    index = _forecast_index(text, place, discipline)
    if index is None:
        new = with_entry(text, "forecast", values, remark=REMARK)
        return _checked(text, new, "forecast", -1, values)
    new = text
    for key in values:
        new = with_value(new, "forecast", index, key=key, value=values[key])
    return _checked(
        text, new, "forecast", index, {key: values[key] for key in ("first", "chances")}
    )


def without_forecast(text: str, *, place: str, discipline: Discipline) -> str:
    """The year file without the forecast for a place and discipline."""
    text = text.removeprefix("\ufeff")
    index = _forecast_index(text, place, discipline)
    return text if index is None else without_entry(text, "forecast", index)


def _forecast_index(text: str, place: str, discipline: Discipline) -> int | None:
    entries = tomllib.loads(text).get("forecast", [])
    owners = [(entry.get("place"), entry.get("discipline")) for entry in entries]
    own = (place, discipline.value)
    return owners.index(own) if own in owners else None


def _id_of(entry: Mapping[str, Any]) -> str:
    return str(entry.get("id") or slug(str(entry.get("name", ""))))


def _checked(before: str, text: str, section: str, index: int, values: dict[str, Any]) -> str:
    """The text, if it reads back as meant and nothing else was changed."""
    old, new = tomllib.loads(before), tomllib.loads(text)
    entry = new[section][index]
    kept = {key: value for key, value in new.items() if key != section}
    if kept != {key: value for key, value in old.items() if key != section}:
        raise Misuse(f"writing {section} would have changed something else")
    if any(entry.get(key) != value for key, value in values.items()):
        raise Misuse(f"{section} was not written as meant")
    return text
