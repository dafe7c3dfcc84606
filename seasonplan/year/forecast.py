"""What a forecast makes of the next days at a place: a chance for each day. Knows no weather."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated

from pydantic import Field

from seasonplan.days import Span
from seasonplan.year.entries import Day, Entry, Rock, Share


class Forecast(Rock, Entry):
    """Chances of a good day from `first` on, a number for each day; they replace the season's."""

    first: Day
    chances: Annotated[tuple[Share, ...], Field(min_length=1, max_length=31)]
    chance_from: str = Field("", max_length=1000)

    @property
    def span(self) -> Span:
        return Span(self.first, self.first + timedelta(days=len(self.chances)))

    def chance_on(self, day: date) -> float | None:
        """The chance on that day, or None where the forecast says nothing."""
        return self.chances[(day - self.first).days] if day in self.span else None
