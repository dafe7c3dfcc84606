"""Time zones as a calendar carries them: every onset of an offset, by yearly rules if there are.

Onsets are worked out from the IANA database (zoneinfo) for the years that are asked for. Where
those years and a few after them follow one yearly rule, the onset is written as that rule; where
they do not (a zone that changes its mind, or follows the moon), each onset is written alone.
Never RDATE: some readers take only its first date. Knows no calendar library and no event.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import groupby
from zoneinfo import ZoneInfo

LOOK_AHEAD = 3  # years after the first that a rule must hold too
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
NOTHING = timedelta(0)

Rule = tuple[tuple[str, str | int | tuple[int, ...]], ...]  # the parts of an RRULE


@dataclass(frozen=True, slots=True)
class Onset:
    """From `local` (a wall clock that still shows `before`) on, the offset from UTC is `after`.

    `rule` repeats it every year; without one it happens once.
    """

    local: datetime
    before: timedelta
    after: timedelta
    name: str
    summer: bool
    rule: Rule = ()


@cache
def onsets(zone: str, *, first_year: int, last_year: int) -> tuple[Onset, ...]:
    """What a reader needs to know every local time of these years, in order."""
    begin = first_year - 1  # so that the first day of the years has an onset behind it
    found = list(_changes(zone, begin, max(last_year, first_year + LOOK_AHEAD)))
    out: list[Onset] = []
    for _, group in groupby(sorted(found, key=_kind), key=_kind):
        out += _told(list(group), begin, last_year)
    if not out or not all(onset.rule for onset in out):
        out.append(_at_first(zone, begin))
    return tuple(sorted(out, key=lambda onset: (onset.local, onset.name)))


def _kind(onset: Onset) -> tuple[object, ...]:
    return onset.before, onset.after, onset.name, onset.summer


def _told(group: Sequence[Onset], begin: int, last_year: int) -> Iterator[Onset]:
    """Onsets of one kind as a single one with a rule, or those of the years asked for."""
    rule = _rule([onset.local for onset in group], begin)
    if rule:
        first = group[0]
        yield Onset(first.local, first.before, first.after, first.name, first.summer, rule)
        return
    yield from (onset for onset in group if onset.local.year <= last_year)


# --- from the database ----------------------------------------------------------------------


def _changes(zone: str, first_year: int, last_year: int) -> Iterator[Onset]:
    """Every change of offset or name, found by looking at each day and halving."""
    place = ZoneInfo(zone)
    day, end = datetime(first_year, 1, 1, tzinfo=UTC), datetime(last_year + 1, 1, 1, tzinfo=UTC)
    state = _state(day, place)
    while day < end:
        day, before = day + DAY, state
        state = _state(day, place)
        if state != before:
            yield _onset(_halved(day - DAY, day, place), place)


def _state(moment: datetime, place: ZoneInfo) -> tuple[timedelta, str]:
    local = moment.astimezone(place)
    return local.utcoffset() or NOTHING, local.tzname() or ""


def _halved(before: datetime, after: datetime, place: ZoneInfo) -> datetime:
    """The first minute of the new state."""
    old = _state(before, place)
    while after - before > MINUTE:
        middle = before + (after - before) // (2 * MINUTE) * MINUTE
        before, after = (middle, after) if _state(middle, place) == old else (before, middle)
    return after


def _onset(moment: datetime, place: ZoneInfo) -> Onset:
    before, _ = _state(moment - MINUTE, place)
    after, name = _state(moment, place)
    return Onset(
        local=moment.replace(tzinfo=None) + before,
        before=before,
        after=after,
        name=name,
        summer=_summer(moment, place),
    )


def _summer(moment: datetime, place: ZoneInfo) -> bool:
    """Whether daylight saving begins; some zones save backwards, with less in winter."""
    now = moment.astimezone(place).dst() or NOTHING
    then = (moment - MINUTE).astimezone(place).dst() or NOTHING
    return now > NOTHING or (now == NOTHING and then < NOTHING)


def _at_first(zone: str, year: int) -> Onset:
    """What holds before any change: an onset that changes nothing, on the first of January."""
    offset, name = _state(datetime(year, 1, 1, tzinfo=UTC), ZoneInfo(zone))
    return Onset(datetime(year, 1, 1), offset, offset, name, summer=False)  # noqa: DTZ001  # local by RFC 5545 3.6.5


# --- yearly rules ---------------------------------------------------------------------------


def _rule(times: Sequence[datetime], begin: int) -> Rule:
    """The rule that gives one of these times in each year and no other, or nothing."""
    if [time.year for time in times] != list(range(begin, begin + len(times))):
        return ()
    if len(times) <= LOOK_AHEAD or len({(t.month, t.weekday(), t.time()) for t in times}) > 1:
        return ()
    yearly: Rule = (("freq", "YEARLY"), ("bymonth", times[0].month))
    weekday = WEEKDAYS[times[0].weekday()]
    if all(time.day + 7 > monthrange(time.year, time.month)[1] for time in times):
        return (*yearly, ("byday", f"-1{weekday}"))
    weeks = {(time.day + 6) // 7 for time in times}
    if len(weeks) == 1:
        return (*yearly, ("byday", f"{weeks.pop()}{weekday}"))
    low, high = min(time.day for time in times), max(time.day for time in times)
    if high - low > 6:
        return ()
    # seven days in a row hold the weekday once; which seven is known only if all were seen
    first = min(low, monthrange(2023, times[0].month)[1] - 6)
    return (*yearly, ("bymonthday", tuple(range(first, first + 7))), ("byday", weekday))
