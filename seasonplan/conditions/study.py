"""One place and discipline studied: its record, what was good, the chances. Touches no disk."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from seasonplan.conditions.climate import Climate, fit, weekly
from seasonplan.conditions.doubts import Doubtful, doubts
from seasonplan.conditions.good import lacking, verdicts, wall_of
from seasonplan.conditions.meaning import meaning
from seasonplan.conditions.near import Near, joined, marked_days, narrowed
from seasonplan.conditions.records import Record, read_record
from seasonplan.conditions.score import OutOfSample, out_of_sample
from seasonplan.conditions.takeover import (
    Origin,
    is_from_records,
    is_outdated,
    provenance,
    season_edit,
)
from seasonplan.conditions.windows import stretch_spread
from seasonplan.days import Span
from seasonplan.edits import ChangeEntry
from seasonplan.errors import BadInput, Fault
from seasonplan.vocabulary import Discipline
from seasonplan.year import Season
from seasonplan.year.place import Good, Place, Records


@dataclass(frozen=True)
class PlaceStudy:
    """What the records of a place say of a discipline there."""

    place: Place
    discipline: Discipline | None
    good: Good
    record: Record
    verdicts: Mapping[date, bool | None]
    climate: Climate

    @property
    def name(self) -> str:
        return self.place.name + (f", {self.discipline.value}" if self.discipline else "")

    @cached_property
    def meaning(self) -> str:
        """What is good, in a line."""
        return meaning(self.good, hourly=self.place.hourly)

    @cached_property
    def doubts(self) -> tuple[Doubtful, ...]:
        """What in the record is hard to believe of this place."""
        return doubts(self.record, latitude=wall_of(self.place).latitude)

    @cached_property
    def proof(self) -> OutOfSample | None:
        return out_of_sample(self.verdicts)

    @cached_property
    def spread(self) -> tuple[tuple[float, float], ...]:
        """Around each day of the year, the range of the share of good days."""
        return stretch_spread(self.climate)

    @property
    def source(self) -> str:
        """Where a chance taken from here comes from."""
        known = self.climate.good
        return provenance(
            self.record, known=len(known), good=sum(known.values()), meaning=self.meaning
        )

    def is_of(self, season: Season) -> bool:
        """Whether a season is of this place and discipline."""
        return self.place.has(season, discipline=self.discipline)

    def origin(self, season: Season, horizon: Span) -> Origin:
        """Where the chances of a season come from; `horizon` are the days of the year."""
        if is_outdated(season.chance_from, self.record, meaning=self.meaning):
            return Origin.OUTDATED
        if not is_from_records(season.chance_from):
            return Origin.OWN
        ours = season.chance == self._weekly(season, horizon)
        return Origin.TAKEN if ours else Origin.TOUCHED

    def taking(self, season: Season, horizon: Span) -> ChangeEntry | None:
        """The edit that gives a season this record's chances, a number for each week.

        None where the season does not come in the year.
        """
        chances = self._weekly(season, horizon)
        return season_edit(season, chances=chances, chance_from=self.source) if chances else None

    def _weekly(self, season: Season, horizon: Span) -> tuple[float, ...]:
        spell = next(season.spells(horizon), None)
        return weekly(self.climate, spell) if spell else ()

    def near(self, forecast: Record, *, today: date) -> Near | None:
        """The next days by a forecast in the form of the record."""
        both = joined(self.record, forecast)
        marks = verdicts(both, self.good, place=self.place)
        told = {day: mark for day, mark in marks.items() if day in forecast.days}
        unknown = [day for day, mark in told.items() if mark is None]
        why = {day: lacking(day, both, self.good) for day in unknown}
        return narrowed(self.climate, told, today=today, lacking=why)

    def near_marked(self, spans: list[Span], *, today: date) -> Near | None:
        """The next days by a calendar whose events are good days."""
        if not spans:
            return None
        last = max(span.last for span in spans)
        marks = marked_days(spans, last=last, today=today)
        return narrowed(self.climate, marks, today=today)


def place_records(place: Place, *, file: str) -> Records:
    """How the place's records are read. Raises BadInput where the place names none."""
    if place.records is None:
        raise BadInput(
            [Fault(file, f"place {place.name!r}", None, "no records", "a file of past weather",
                   "Add [place.records] with file and columns below the place.")]
        )  # fmt: skip
    return place.records


def study(
    content: bytes, place: Place, *, discipline: Discipline | None, file: str, time_zone: str
) -> PlaceStudy:
    """The study of the bytes of a place's record file.

    `file` is the year file, for what is missing there; `time_zone` that of a place without one.
    Raises BadInput.
    """
    how = place_records(place, file=file)
    good = place.good_for(discipline)
    if good is None:
        kind = f" for {discipline}" if discipline else ""
        raise BadInput(
            [Fault(file, f"place {place.name!r}", None, f"no meaning of good{kind}",
                   "what makes a day good for you",
                   "Add [[place.good]], for example with temperature = [2, 15].")]
        )  # fmt: skip
    record = read_record(content, how, file=how.file, time_zone=place.time_zone or time_zone)
    marks = verdicts(record, good, place=place)
    if all(mark is None for mark in marks.values()):
        raise BadInput(
            [Fault(how.file, "", None, "no day on which all that good asks for is known",
                   "days with every value that good asks for",
                   "Check the columns, or ask less of a good day.")]
        )  # fmt: skip
    return PlaceStudy(place, discipline, good, record, marks, fit(marks))
