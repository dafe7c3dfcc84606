"""Dates and half-open spans of days, also in words. Never reads the clock, knows no time zone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

ONE_DAY = timedelta(days=1)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """Days from `first` up to but not including `after`; never empty."""

    first: date
    after: date

    def __post_init__(self) -> None:
        if self.after <= self.first:
            raise ValueError(f"a span ends after it begins; found {self.first} to {self.after}")

    @classmethod
    def through(cls, first: date, last: date) -> Span:
        """The span whose last day is `last`, as people write it."""
        return cls(first, last + ONE_DAY)

    @property
    def last(self) -> date:
        return self.after - ONE_DAY

    @property
    def length(self) -> int:
        """Number of days."""
        return (self.after - self.first).days

    def __contains__(self, day: date) -> bool:
        return self.first <= day < self.after

    def days(self) -> Iterator[date]:
        return map(date.fromordinal, range(self.first.toordinal(), self.after.toordinal()))

    def meet(self, other: Span) -> Span | None:
        """The days both have, or None."""
        if other.after <= self.first or self.after <= other.first:
            return None
        return Span(max(self.first, other.first), min(self.after, other.after))

    def covers(self, other: Span) -> bool:
        return self.first <= other.first and other.after <= self.after

    def shifted(self, days: int) -> Span:
        move = timedelta(days=days)
        return Span(self.first + move, self.after + move)


def week_start(day: date, first_weekday: int) -> date:
    """The first day of the calendar week of `day`; weekdays count from Monday = 0."""
    return day - timedelta(days=(day.weekday() - first_weekday) % 7)


def pieces(span: Span, cuts: Iterable[date]) -> list[Span]:
    """`span` cut at every date of `cuts` that lies inside it."""
    inside = sorted({cut for cut in cuts if span.first < cut < span.after})
    edges = [span.first, *inside, span.after]
    return [Span(first, after) for first, after in pairwise(edges)]


def runs(days: Iterable[date], *, apart: int = 1) -> list[Span]:
    """Days in order as spans: from one day of a span to the next are at most so many."""
    found: list[Span] = []
    for day in days:
        if found and (day - found[-1].last).days <= apart:
            found[-1] = Span.through(found[-1].first, day)
        else:
            found.append(Span.through(day, day))
    return found


def calendar_weeks(span: Span, first_weekday: int) -> list[Span]:
    """`span` cut at the starts of its calendar weeks."""
    start = week_start(span.first, first_weekday)
    cuts = (start + timedelta(days=7 * n) for n in range(1, span.length // 7 + 2))
    return pieces(span, cuts)


# --- as people say them ---------------------------------------------------------------------


def day_text(day: date) -> str:
    """Such as "Mon 5 Jan 2026"; English whatever the locale."""
    return f"{weekday_text(day)} {day_month_text(day)} {day.year}"


def weekday_text(day: date) -> str:
    """Such as "Mon"."""
    return WEEKDAYS[day.weekday()][:3].capitalize()


def month_text(day: date) -> str:
    """Such as "Jan"."""
    return MONTHS[day.month - 1][:3].capitalize()


def day_month_text(day: date) -> str:
    """Such as "5 Jan"."""
    return f"{day.day} {month_text(day)}"


def span_text(span: Span) -> str:
    return (
        f"{day_text(span.first)} to {day_text(span.last)}"
        if span.length > 1
        else day_text(span.first)
    )


def dates_text(span: Span) -> str:
    """Such as "4 to 10 Jan 2027", "29 Mar to 4 Apr 2027", "28 Dec 2026 to 3 Jan 2027"."""
    last = f"{day_month_text(span.last)} {span.last.year}"
    if span.length == 1:
        return last
    first = f"{span.first.day}"
    if (span.first.month, span.first.year) != (span.last.month, span.last.year):
        first = day_month_text(span.first)
    if span.first.year != span.last.year:
        first += f" {span.first.year}"
    return f"{first} to {last}"


def length_text(days: int) -> str:
    """Such as "3 weeks", "10 days", "3 weeks 2 days"."""
    weeks, rest = divmod(days, 7)
    if days < 14 and rest:
        return count_text(days, "day")
    return " ".join(
        part
        for part in (
            count_text(weeks, "week") if weeks else "",
            count_text(rest, "day") if rest else "",
        )
        if part
    )


def count_text(number: int, thing: str) -> str:
    """Such as "1 day", "3 days"."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
