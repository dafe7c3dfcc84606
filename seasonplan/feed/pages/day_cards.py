"""The days of the page: a card for today and for tomorrow, the week as a table. HTML, no script.

What the sentences say is `explain`'s; every text goes through one escape.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from html import escape

from seasonplan.days import ONE_DAY, day_month_text, day_text, weekday_text
from seasonplan.diary import DiaryEntry
from seasonplan.explain.day_told import DayTold, SessionTold, heading_text
from seasonplan.explain.left_out import LEAVE_OUT
from seasonplan.explain.sessions import ANEW, effort_text
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.pages.style import paragraph, set_apart
from seasonplan.ical.labels import did_line
from seasonplan.ical.text import one_line
from seasonplan.plan import Session

DAYS_AHEAD = 14  # of a page that does not know what day it is when somebody looks
AHEAD = (
    "This page was written on {day} and knows no other day. Publish again to bring it up to date."
)


class Days:
    """The days of the page; `present` of None knows no diary."""

    def __init__(
        self,
        entries: Entries,
        present: Present | None,
        today: date,
        *,
        answers: bool,
        to: Callable[[Session], str] | None,
    ) -> None:
        self._present, self._today = present, today
        self._answers, self._to = answers, to
        self._entries, self._teller = entries, entries.teller

    def now_and_week(self) -> Iterator[str]:
        days = [self._today, self._today + ONE_DAY]
        if not any(day in self._teller.year.span for day in days):
            days = days[:1]  # the same of both: the year has not begun, or is over
        told = [self._teller.day(day) for day in days]
        yield '<div class="days">'
        for one in told:
            yield from self._card(one)
        yield "</div>"
        coming = self._teller.next_after(told[-1].day)
        if coming and not any(one.sessions for one in told):
            when = f"{day_text(coming.session.day)}, {coming.when}"
            yield paragraph(f"Next: {when}, {coming.title}.")
        yield from map(paragraph, self._entries.missed(self._present) if self._present else ())
        week = self._teller.week(self._today)
        if week:
            yield "<h2>This week</h2>"
            out = {one.session.id for day in week for one in day.sessions if self._is_out(one)}
            yield paragraph(self._teller.aim(self._today, out=out))
            yield from self._table(week)

    def ahead(self, missed: Sequence[str]) -> Iterator[str]:
        first = max(self._today, self._teller.year.span.first)
        days = [first + timedelta(days=n) for n in range(DAYS_AHEAD)]
        told = [self._teller.day(day) for day in days if day in self._teller.year.span]
        yield f"<h2>From {escape(day_text(first))}</h2>"
        yield from map(paragraph, missed)
        yield from self._table(told)
        yield set_apart("Take care", [text for one in told for text in (*one.not_yet, *one.mind)])
        yield paragraph(AHEAD.format(day=day_text(self._today)), kind="soft")

    def _card(self, told: DayTold) -> Iterator[str]:
        now = " now" if told.day == self._today else ""
        yield f'<section class="day{now}"><h2>{escape(heading_text(told.day, self._today))}</h2>'
        for text in (told.standing, told.remarks):
            yield paragraph(text, kind="soft")
        yield set_apart("Not yet", told.not_yet)
        yield paragraph(told.free)
        for one in told.sessions:
            yield from self._session(one)
        yield "".join(paragraph(text, kind="warn") for text in told.left_out)
        yield set_apart("Take care", told.mind)
        yield "</section>"

    def _session(self, one: SessionTold) -> Iterator[str]:
        yield f"<h3>{escape(one.when)} {self._titled(one)}</h3>"
        did = self._did(one)
        if one.refusal and not did:
            yield paragraph(one.refusal, kind="warn")
            yield paragraph(ANEW)
        yield paragraph(self._entries.going(one.session))
        yield paragraph(one.facts)
        yield from map(paragraph, one.brief)
        yield paragraph(self._done(one))
        if self._to:
            href = escape(self._to(one.session), quote=True)
            yield f'<a class="go" href="{href}">{escape(self._asking(one))}</a>'

    def _asking(self, one: SessionTold) -> str:
        present = self._present if self._answers else None
        asked = present is not None and present.has_come(one.session, self._teller.year)
        return ("Step by step" if one.steps else "More") + (", and answer" if asked else "")

    def _table(self, days: Sequence[DayTold]) -> Iterator[str]:
        yield '<table class="week"><tbody>'
        for told in days:
            now = ' class="now"' if told.day == self._today and self._present else ""
            name = f"{weekday_text(told.day)} {day_month_text(told.day)}"
            yield f'<tr{now}><th scope="row">{escape(name)}</th><td>'
            yield from (self._line(one) for one in told.sessions)
            yield paragraph(told.free, kind="soft")
            yield "".join(paragraph(text, kind="warn") for text in told.left_out)
            yield "</td></tr>"
        yield "</tbody></table>"

    def _line(self, one: SessionTold) -> str:
        effort = escape(effort_text(one.session.rpe, short=True))
        did = self._did(one)
        warn = f'<br><span class="warn">{escape(LEAVE_OUT)}</span>' if self._is_out(one) else ""
        done = f" <b>{escape(did.kind.value)}</b>" if did else ""
        when = escape(one.when)
        return f"<p>{when} {self._titled(one)}, {effort}.{done}{warn}</p>"

    def _is_out(self, one: SessionTold) -> bool:
        """Whether a session is to be left out that is neither over nor in the diary."""
        return bool(one.refusal) and not self._did(one) and one.session.day >= self._today

    def _titled(self, one: SessionTold) -> str:
        title = escape(one_line(one.title))
        if self._to is None:
            return title
        return f'<a href="{escape(self._to(one.session), quote=True)}">{title}</a>'

    def _did(self, one: SessionTold) -> DiaryEntry | None:
        return self._entry(one) or self._entries.did(one.session)

    def _entry(self, one: SessionTold) -> DiaryEntry | None:
        if self._present is None or not self._entries.tells_diary:
            return None
        return self._present.diary.get(one.session.id)

    def _done(self, one: SessionTold) -> str:
        did = self._entry(one)
        if did is None:
            return did_line(self._entries.did(one.session))
        return f"In your diary: {self._teller.diary_text(did)}"
