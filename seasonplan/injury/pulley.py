"""The one table with dates: finger pulleys by grade, as a beginning until a clinician says more.

The numbers, their source and how far it was checked stand in `shared/injuries.toml`.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from functools import cache
from math import ceil

from pydantic import model_validator

from seasonplan.rules.tables import Source, sources, table
from seasonplan.vocabulary import BodyPart, Evidence, FrozenModel, PulleyGrade

Grade = PulleyGrade


def cited(keys: Iterable[str]) -> tuple[Source, ...]:
    """The sources behind a part of `shared/injuries.toml`."""
    known = {**sources(), **{k: Source(**raw) for k, raw in table("injuries")["sources"].items()}}
    return tuple(known[key] for key in keys)


class After(FrozenModel):
    """How long after the injury: earliest and cautious end, in weeks of 7 days or in months."""

    weeks: tuple[int, int] | None = None
    months: tuple[int, int] | None = None

    @model_validator(mode="after")
    def _one_unit(self) -> After:
        if (self.weeks is None) is (self.months is None):
            raise ValueError("found both or neither of weeks and months; wanted one of them")
        return self

    def days(self, happened: date) -> tuple[date, date]:
        if self.weeks is not None:
            earliest, latest = self.weeks
            return happened + timedelta(weeks=earliest), happened + timedelta(weeks=latest)
        assert self.months is not None
        earliest, latest = self.months
        return _months_after(happened, earliest), _months_after(happened, latest)


def _months_after(day: date, months: int) -> date:
    """The same day `months` later; where that month is too short, the first of the next."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    try:
        return date(year, month + 1, day.day)
    except ValueError:
        return date(year, month + 2, 1)  # only short months get here, never December


class Pulley(FrozenModel):
    """One row of the table: what the grade is, and what its authors do about it."""

    says: str
    therapy: str
    immobilise_days: tuple[int, int]
    functional_therapy_weeks: tuple[int, int]
    protection: str
    easy_after: After
    full_after: After
    tape_months: int
    tape_longer: bool = False

    @property
    def tape(self) -> str:
        """How long to tape while climbing, such as "more than 12 months"."""
        return f"{'more than ' if self.tape_longer else ''}{self.tape_months} months"

    def taped_until(self, happened: date) -> date:
        """The day on which taping ends, at the earliest where the table says "more than"."""
        return _months_after(happened, self.tape_months)

    @property
    def surgical(self) -> bool:
        return self.therapy == "surgical"


class Suggestion(FrozenModel):
    """Dates to begin with until the clinician names better ones. `*_latest` is the cautious end."""

    grade: Grade
    happened: date
    easy_earliest: date
    easy_latest: date
    full_earliest: date
    full_latest: date
    evidence: Evidence
    sources: tuple[Source, ...]

    @property
    def building(self) -> date:
        """Between the cautious ends of easy and full; the table names no such day."""
        return between(self.easy_latest, self.full_latest)


@cache
def pulley(grade: Grade) -> Pulley:
    """The row of a grade. Source: see `shared/injuries.toml`, read second hand."""
    return Pulley(**table("injuries")["pulley"]["grades"][grade.value])


def suggestion(
    part: BodyPart, grade: Grade | None, *, happened: date, young: bool = False
) -> Suggestion | None:
    """Dates of the table for a finger pulley of that grade, or None where only a clinician can say.

    None for every other part, without a grade, for grade IV (surgical) and for the young.
    """
    if part is not BodyPart.FINGER or grade is None or young or pulley(grade).surgical:
        return None
    row, raw = pulley(grade), table("injuries")["pulley"]
    easy, full = row.easy_after.days(happened), row.full_after.days(happened)
    return Suggestion(
        grade=grade,
        happened=happened,
        easy_earliest=easy[0],
        easy_latest=easy[1],
        full_earliest=full[0],
        full_latest=full[1],
        evidence=raw["evidence"],
        sources=cited(raw["sources"]),
    )


def between(easy: date, full: date) -> date:
    """Where building begins if nobody says: a share of the way from easy to full, rounded up."""
    share = float(table("injuries")["pulley"]["building_share"])
    return easy + timedelta(days=ceil(share * (full - easy).days))
