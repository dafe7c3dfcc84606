"""What the diary says of sessions that were missed lately, and what that makes of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from seasonplan.days import ONE_DAY, Span, count_text, day_month_text
from seasonplan.diary import DiaryEntry, Followed, as_days_off, counted, missed_ids, outcomes
from seasonplan.explain.words import join
from seasonplan.plan import Block, Revision, Session, Week
from seasonplan.rules.tables import days_off_table
from seasonplan.vocabulary import Kind

LATELY_DAYS = 14
WORTH_TELLING = 2  # sessions missed
FEWEST_DAYS_OFF = days_off_table()[0].days
SOON_WEEKS = 5  # in which what a week turns into is told (preference)
WEEK = timedelta(days=7)
STANDS = "so the plan stands as it is"
ENTER = (
    "If you were ill or away, enter those days (`seasonplan ill`, `seasonplan edit add absence`): "
    "training then comes back by steps."
)


@dataclass(frozen=True, slots=True)
class Missed:
    """What is looked at: the plan, the diary, and how far weeks were done by it.

    `counts` are the weeks missed in part that change the load, by first day.
    """

    revision: Revision
    entries: Sequence[DiaryEntry]
    weeks: Sequence[Followed]
    counts: Mapping[date, float]
    today: date

    @property
    def lately(self) -> Span:
        """The last two weeks, today with them."""
        return Span(self.today - timedelta(days=LATELY_DAYS - 1), self.today + ONE_DAY)

    @property
    def new(self) -> dict[date, float]:
        """The weeks that count and that the plan does not know yet."""
        known = self.revision.done
        return {day: share for day, share in self.counts.items() if known.get(day) != share}


def told_on(
    today: date, revision: Revision, entries: Sequence[DiaryEntry], weeks: Sequence[Followed]
) -> list[str]:
    """What to say on a day of sessions missed lately, by the diary and how far weeks were done."""
    counts = counted(weeks, known=revision.done, today=today)
    return missed_lines(Missed(revision, entries, weeks, counts, today))


def missed_lines(told: Missed) -> list[str]:
    """How many sessions were missed lately, what that changes, what to do; nothing to tell: none.

    A single one is not told, unless it changes the load.
    """
    over = [one for one in told.revision.sessions if one.day in told.lately and one.minutes]
    ids = missed_ids(told.entries)
    missed = [one for one in over if one.id in ids]
    if len(missed) < WORTH_TELLING and not told.new:
        return []
    return list(_lines(told, over, missed))


def _lines(told: Missed, over: Sequence[Session], missed: Sequence[Session]) -> Iterator[str]:
    marked = {entry.session for entry in outcomes(told.entries)}
    silent = sum(one.id not in marked and one.day < told.today for one in over)
    if missed:
        asked = sum(one.day < told.today or one.id in marked for one in over)
        text = f"You missed {len(missed)} of {count_text(asked, 'session')} in the last two weeks"
        yield f"{text}{_silent_text(silent)}: {_what_follows(told)}."
    else:
        told_first = _what_follows(told)
        yield f"{told_first[0].upper()}{told_first[1:]}."
    yield from _this_week(told, missed)
    if _days_off(told, over, missed) >= FEWEST_DAYS_OFF:
        yield ENTER


def _silent_text(silent: int) -> str:
    if not silent:
        return ""
    return f" ({silent} without a word in the diary {'counts' if silent == 1 else 'count'} as done)"


def _what_follows(told: Missed) -> str:
    if told.new:
        return f"{_shares_text(told.new)}. `seasonplan replan` goes on from what you did"
    recent = {day: share for day, share in told.counts.items() if _ended_lately(day, told)}
    if recent:
        return f"{_shares_text(recent)}. The plan goes on from what you did"
    short = [w for w in told.weeks if w.span.meet(told.lately) and not w.enough]
    begun = [week for week in short if told.today in week.span and week.builds]
    if begun:
        return f"it counts for the load once this week is over, on {_day(begun[0].span.after)}"
    if not short:
        return f"no training week that is over lost more than a quarter of its load, {STANDS}"
    if not any(week.builds for week in short):
        return f"in a season rock and weather say what is done, {STANDS}"
    return f"the week after that went about as planned, {STANDS}"


def _this_week(told: Missed, missed: Sequence[Session]) -> Iterator[str]:
    """That what was missed of the week of today is still taken as done, where that of weeks before
    it counts."""
    week = next((one.span for one in told.weeks if told.today in one.span), None)
    earlier = told.new or any(_ended_lately(day, told) for day in told.counts)
    if week and earlier and any(one.day in week for one in missed):
        yield (
            f"What you missed of this week counts once it is over, on {_day(week.after)}; until "
            "then its other days hold no more for it: nothing is made up for."
        )


def _ended_lately(day: date, told: Missed) -> bool:
    return day + WEEK > told.lately.first


def _shares_text(shares: Mapping[date, float]) -> str:
    """Such as "you did 45 % of the load of the week from 1 Mar"."""
    parts = [
        f"{100 * share:.0f} % of {'that' if n else 'the load of the week'} from {_day(day)}"
        for n, (day, share) in enumerate(shares.items())
    ]
    return f"you did {join(parts)}"


def _day(day: date) -> str:
    return day_month_text(day)


def _days_off(told: Missed, over: Sequence[Session], missed: Sequence[Session]) -> int:
    """The longest row of days, from one missed session to another, with none that was not."""
    days = sorted({one.day for one in missed})
    kept = {one.day for one in over if one not in missed}
    kept |= {entry.date for entry in outcomes(told.entries) if entry.kind == "done"}
    longest, first = 0, None
    for day in days:
        if first is None or any(first < other <= day for other in kept):
            first = day
        longest = max(longest, (day - first).days + 1)
    return longest


def load_text(before: Revision, after: Revision, *, today: date) -> str:
    """What the first whole training week to come holds, before and after; no other load: empty.

    Sessions are whole, so a week that is to hold less may come to more: then both are told.
    """
    was, now = (_weeks_to_come(one.blocks, today) for one in (before, after))
    both = [day for day in now if day in was]
    if before.done == after.done or not both:
        return ""
    first = min(both)
    old, new = was[first], now[first]
    if new.aim < old.aim and new.load >= old.load:
        more = round(new.load) != round(old.load)
        comes_to = f"{new.load:.0f}, {old.load:.0f} before" if more else "as much as before"
        return (
            f"The week from {_day(first)} is to hold a load of {new.aim:.0f}, {old.aim:.0f} "
            f"before; its sessions, which are whole, come to {comes_to}."
        )
    told = f"The week from {_day(first)} holds a load of {new.load:.0f}"
    same = round(old.load) == round(new.load)
    return f"{told}, as before." if same else f"{told}, {old.load:.0f} before."


def light_lines(before: Revision, after: Revision, *, today: date) -> Iterator[str]:
    """Of the next weeks each that was a light one and is none any more, or the other way round."""
    was, now = (_whole_weeks(one.blocks, today) for one in (before, after))
    for day in sorted({*was} & {*now})[:SOON_WEEKS]:
        if was[day].deload != now[day].deload:
            turns = "is a light week now" if now[day].deload else "is no light week any more"
            loads = f"its load is {now[day].load:.0f}, {was[day].load:.0f} before"
            yield f"The week from {_day(day)} {turns}: {loads}."


def _weeks_to_come(blocks: Sequence[Block], today: date) -> dict[date, Week]:
    """Whole weeks of base and strength to come, none of them light, by first day."""
    return {day: week for day, week in _whole_weeks(blocks, today).items() if not week.deload}


def _whole_weeks(blocks: Sequence[Block], today: date) -> dict[date, Week]:
    """Whole weeks of base and strength to come, by first day."""
    return {
        week.span.first: week
        for block in blocks if block.kind in (Kind.BASE, Kind.STRENGTH)
        for week in block.weeks
        if week.span.first >= today and week.span.length == 7
    }  # fmt: skip


def by_diary(before: Revision, after: Revision, *, today: date) -> list[str]:
    """What a new plan knows of missed weeks that the one before did not, and the load then."""
    new = {day: share for day, share in after.done.items() if before.done.get(day) != share}
    gone = [day for day in before.done if day not in after.done]
    told = []
    if new:
        told.append(f"By your diary {_shares_text(new)}; the load goes on from there.")
        off = as_days_off(after.done).get(max(new) + WEEK, 0)
        if off >= FEWEST_DAYS_OFF:
            told.append(f"That is as much as {off} days off: training comes back by steps.")
    if gone:
        days = join([_day(day) for day in gone])
        told.append(f"By your diary the week from {days} counts as done.")
    if not told:
        return []
    load = load_text(before, after, today=today)
    return [*told, *light_lines(before, after, today=today), *([load] if load else [])]
