"""Days as people say them, "next friday" or "20 sep", turned into dates. Pure: today is given.

English only. What could be two days, such as 03/04/2027, is no day here; nor does this judge
whether a day fits anything.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Callable
from datetime import date, timedelta

from seasonplan.days import MONTHS, WEEKDAYS, week_start

HALF_A_YEAR = timedelta(days=183)
NUMBERS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip
BY_NAME = {
    "today": 0, "now": 0, "tomorrow": 1, "yesterday": -1,
    "day after tomorrow": 2, "day before yesterday": -2,
}  # fmt: skip
_MONTH = r"(?P<month>[a-z]{3,9})\.?"
_DAY = r"(?P<day>\d{1,2})(?:st|nd|rd|th|\.)?"
_YEAR = r"(?:,?\s*(?P<year>\d{4}))?"
_CALENDAR = (
    re.compile(rf"(?:the )?{_DAY}\s*(?:of )?{_MONTH}{_YEAR}"),
    re.compile(rf"{_MONTH}\s*(?:the )?{_DAY}{_YEAR}"),
    re.compile(r"(?P<day>\d{1,2})\.\s*(?P<month>\d{1,2})\.\s*(?P<year>\d{4})?"),
    re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})"),
)
_AWAY = re.compile(
    r"(?:in )?(?P<count>\d{1,4}|[a-z]+) (?P<unit>day|week|month|year)s?"
    r"(?:(?P<ago> ago)|(?P<on> from (?:now|today)))?"
)
_WEEKDAY = re.compile(r"(?:(?P<which>this|next|last|on|coming) )?(?P<name>[a-z]{3,9})")
_WHOLE_MONTH = re.compile(rf"(?:(?P<part>start|beginning|mid|middle|end)(?: of)? )?{_MONTH}{_YEAR}")
_EVERY_YEAR = re.compile(r"(?:every year|yearly|each year)")
A_YEAR = "A year has 12 months."


def day_said(
    words: str,
    *,
    today: date,
    week_begins: int = 0,
    past: bool = False,
    last: bool = False,
    since: date | None = None,
) -> date | None:
    """The day that is meant, or None where the words mean no day or could mean two.

    A month is its first day, or with `last`, for the end of something, its last.
    A day of the month without a year is the next one from `since` on, which is today where it is
    left out; with `past`, for what has happened, the last one up to today. "friday" is the next
    after today, with `past` the last one; "next friday" that of the next calendar week, which
    begins on `week_begins` (Monday = 0). A weekday before a date has to be that of the date.
    """
    text = _plain(words)
    try:
        return date.fromisoformat(text)
    except ValueError:
        pass
    weekday, bare = _led(text)
    since = since or today
    readers: tuple[Callable[[], date | None], ...] = (
        lambda: _named(text, today),
        lambda: _away(text, today),
        lambda: _weekday(text, today, week_begins, past=past),
        lambda: _period(text, today, week_begins),
        lambda: _of_weekday(_calendar(bare, since, past=past), weekday),
        lambda: _whole_month(text, since, past=past, last=last),
    )
    try:
        return next((day for read in readers if (day := read()) is not None), None)
    except (ValueError, OverflowError):  # such as 31 february, or a day after the year 9999
        return None


def end_said(words: str, *, first: date, today: date, week_begins: int = 0) -> date | None:
    """The last day that is meant of something that begins on `first`.

    A day or month without a year is the next one from `first` on, be that over or to come, if it is
    not more than half a year away: else it is more likely a slip, and lies before `first`.
    """
    found, before = (
        day_said(words, today=today, week_begins=week_begins, last=True, since=since)
        for since in (first, first - HALF_A_YEAR)
    )
    near = found is not None and first <= found <= first + HALF_A_YEAR
    return found if near else before


def yearly_said(words: str, *, last: bool = False) -> str | None:
    """The month and day of every year that is meant, as "09-12", or None.

    "12 sep every year", "every 12 sep", "september every year"; a month as for `day_said`.
    """
    text = _plain(words)
    bare = _EVERY_YEAR.sub(" ", text).strip(" ,")
    if bare == text:
        bare = text.removeprefix("every ")
    if bare == text:
        return None
    for form in _CALENDAR:
        match = form.fullmatch(bare)
        if match is not None and match["year"] is None and (month := _month(match["month"])):
            try:
                found = date(2024, month, int(match["day"]))  # a year with a 29 February
            except ValueError:
                return None
            return f"{found:%m-%d}"
    match = _WHOLE_MONTH.fullmatch(bare)
    month = _month(match["month"]) if match and match["year"] is None else None
    if match is None or month is None:
        return None
    return f"{month:02}-{_part_of(match['part'], month, 2024, last=last):02}"


def no_such_day(words: str) -> str:
    """Why the words name a day that no calendar has, such as "February has 28 days."; else ""."""
    weekday, text = _led(_EVERY_YEAR.sub(" ", _plain(words)).strip(" ,"))
    why = ""
    for form in _CALENDAR:
        match = form.fullmatch(text)
        month = _month(match["month"]) if match else None
        if match is None or month is None:
            why = A_YEAR if match and match["month"].isdigit() else why
            continue
        year = int(match["year"]) if match["year"] else None
        length = _length(month, year or 2024)
        if 1 <= int(match["day"]) <= length:
            return _other_weekday(weekday, year, month, int(match["day"]))
        name = MONTHS[month - 1].capitalize()
        if month == 2 and year is None:
            return f"{name} has 28 days, in a leap year 29."
        return f"{name} has {length} days{f' in {year}' if month == 2 else ''}."
    return why


def _other_weekday(weekday: int | None, year: int | None, month: int, day: int) -> str:
    """That a date is of another weekday than the one said before it; else ""."""
    if weekday is None or year is None or date(year, month, day).weekday() == weekday:
        return ""
    right = WEEKDAYS[date(year, month, day).weekday()].capitalize()
    return f"{day} {MONTHS[month - 1].capitalize()} {year} is a {right}."


def _length(month: int, year: int) -> int:
    """How many days a month has."""
    return monthrange(min(max(year, 1), 9999), month)[1]


def _plain(words: str) -> str:
    text = " ".join(words.lower().replace(",", ", ").split())
    return text.replace(" ,", ",").removeprefix("the ").rstrip("!")


def _named(text: str, today: date) -> date | None:
    days = BY_NAME.get(text)
    return None if days is None else today + timedelta(days=days)


def _away(text: str, today: date) -> date | None:
    """In 3 weeks, a month ago, 10 days. Two weeks without "in" are no day but a length."""
    match = _AWAY.fullmatch(text)
    if match is None or not (text.startswith("in ") or match["ago"] or match["on"]):
        return None
    count = int(match["count"]) if match["count"].isdigit() else NUMBERS.get(match["count"])
    if count is None:
        return None
    count = -count if match["ago"] else count
    if match["unit"] in ("day", "week"):
        return today + timedelta(days=count * (7 if match["unit"] == "week" else 1))
    return _months_on(today, count * (12 if match["unit"] == "year" else 1))


def _months_on(day: date, months: int) -> date:
    """The same day some months on, or the last of a month that is too short."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    after = date(year + (month == 11), (month + 1) % 12 + 1, 1)
    return min(date(year, month + 1, 1) + timedelta(days=day.day - 1), after - timedelta(days=1))


def _led(text: str) -> tuple[int | None, str]:
    """The weekday that stands before a date, as in "sat 2 jan 2027", and the text without it."""
    name, _, rest = text.replace(",", " ").partition(" ")
    weekday = _one_of(name.rstrip("."), WEEKDAYS)
    return (weekday, " ".join(rest.split())) if weekday is not None and rest else (None, text)


def _of_weekday(day: date | None, weekday: int | None) -> date | None:
    return None if day is None or weekday not in (None, day.weekday()) else day


def _weekday(text: str, today: date, week_begins: int, *, past: bool) -> date | None:
    match = _WEEKDAY.fullmatch(text)
    weekday = _one_of(match["name"], WEEKDAYS) if match else None
    if match is None or weekday is None:
        return None
    if match["which"] == "next":
        return _of_week(today + timedelta(days=7), weekday, week_begins)
    if match["which"] == "last":
        return today - timedelta(days=(today.weekday() - weekday - 1) % 7 + 1)
    if past and match["which"] in (None, "on"):
        return today - timedelta(days=(today.weekday() - weekday) % 7)
    return today + timedelta(days=(weekday - today.weekday() - 1) % 7 + 1)


def _of_week(day: date, weekday: int, week_begins: int) -> date:
    """That weekday in the calendar week of a day."""
    first = week_start(day, week_begins)
    return first + timedelta(days=(weekday - first.weekday()) % 7)


def _period(text: str, today: date, week_begins: int) -> date | None:
    """The first day of the next week, month or year, or the last of this month or year."""
    if text == "next week":
        return week_start(today, week_begins) + timedelta(days=7)
    month = _months_on(today.replace(day=1), 1)
    if text == "next month":
        return month
    if text in ("end of month", "end of the month", "end of this month"):
        return month - timedelta(days=1)
    if text == "next year":
        return date(today.year + 1, 1, 1)
    if text in ("end of year", "end of the year", "end of this year"):
        return date(today.year, 12, 31)
    return None


def _calendar(text: str, today: date, *, past: bool) -> date | None:
    for form in _CALENDAR:
        match = form.fullmatch(text)
        if match is None or (month := _month(match["month"])) is None:
            continue
        if match["year"]:
            return date(int(match["year"]), month, int(match["day"]))
        return _nearest(month, int(match["day"]), today, past=past)
    return None


def _whole_month(text: str, today: date, *, past: bool, last: bool) -> date | None:
    """March, june 2026, end of may: the first day of the month, its middle, or its last.

    Without a year the month that is on, or the next; with `past` the last one that has begun. Of
    a month that is on, a part that is named is one to come, or with `past` one that has come.
    """
    match = _WHOLE_MONTH.fullmatch(text)
    month = _month(match["month"]) if match else None
    if match is None or month is None:
        return None
    part = match["part"]
    years = [int(match["year"])] if match["year"] else [today.year + step for step in (-1, 0, 1)]
    days = [date(year, month, _part_of(part, month, year, last=last)) for year in years]
    if match["year"]:
        return days[0]
    if part is None:  # the month itself counts, not its first or last day
        fits = [day for day in days if _months_between(today, day) * (-1 if past else 1) >= 0]
    else:
        fits = [day for day in days if (day <= today if past else day >= today)]
    return fits[-1 if past else 0]


def _months_between(first: date, last: date) -> int:
    return (last.year - first.year) * 12 + last.month - first.month


def _part_of(part: str | None, month: int, year: int, *, last: bool) -> int:
    """The day of the month that its start, middle or end is; without a part its first or last."""
    named = (part or ("end" if last else "start"))[:3]
    return {"end": _length(month, year), "mid": 15}.get(named, 1)


def _nearest(month: int, day: int, today: date, *, past: bool) -> date | None:
    """The next such day from today on, or the last up to it; 29 February waits for its year."""
    for step in range(9):
        try:
            found = date(today.year + (-step if past else step), month, day)
        except ValueError:
            continue
        if found == today or (found < today) is past:
            return found
    return None


def _month(name: str) -> int | None:
    if name.isdigit():
        return int(name) if 1 <= int(name) <= 12 else None
    found = _one_of("sep" if name == "sept" else name, MONTHS)
    return None if found is None else found + 1


def _one_of(name: str, names: tuple[str, ...]) -> int | None:
    """The place of the one name that begins so; three letters at least."""
    found = [at for at, one in enumerate(names) if len(name) >= 3 and one.startswith(name)]
    return found[0] if len(found) == 1 else None
