"""The page: today and tomorrow, this week, how to subscribe, the year as a picture. No script.

Every text of the climber goes through one escape; what the sentences say is `explain`'s.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from html import escape

from seasonplan.days import ONE_DAY, dates_text, day_month_text, day_text, weekday_text
from seasonplan.diary import DiaryEntry
from seasonplan.explain.day_told import LEAVE_OUT, DayTold, SessionTold, heading_text
from seasonplan.explain.sessions import effort_text
from seasonplan.explain.words import block_name
from seasonplan.feed.address import part_secret
from seasonplan.feed.contents import Body, Contents, Seen, body
from seasonplan.feed.drawing import shown_blocks
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.feed.qr import qr_svg
from seasonplan.feed.style import HTML, document, paragraph, set_apart
from seasonplan.ical.text import one_line
from seasonplan.plan import Session
from seasonplan.reference import caution

SLOW = (
    "A calendar asks again when it likes: most within hours, some once a day. Reminders are often "
    "left out of subscribed calendars: set them in the phone."
)
ENCRYPTED = (
    "Copy the https link, or let a camera read its code, and paste it where the calendar app says "
    "“add calendar by URL”, “from URL” or “subscribe”: apps of desktops, phones with a reader of "
    "calendar links, and web calendars take it."
)
PLAIN = (
    "Copy the link, or let a camera read its code, and paste it where the calendar app says "
    "“add calendar by URL”, “from URL” or “subscribe”. Some phones can only do that with an app "
    "that reads calendar links."
)
WEBCAL = (
    "Only where an app takes nothing but webcal: links, as some do that subscribe at a tap. Some "
    "of them ask without encryption first, and whoever listens then has the secret:"
)
ON_THE_WEB = (
    "A calendar on the web fetches from its own servers, which cannot reach your home network: "
    "publish to a place that they reach, with `seasonplan publish`."
)
SECRET = (
    "These links are secret: who has one can read that calendar. If one gets out, make new ones: "
    "`seasonplan serve --new-address`."
)
ANSWERS = "Answers are let in: who has a link can also write into your diary."
DAYS_AHEAD = 14  # of a page that does not know what day it is when somebody looks
AHEAD = (
    "This page was written on {day} and knows no other day. Publish again to bring it up to date."
)


def page_body(
    contents: Contents, present: Present, *, page_secret: str, base: str, answers: bool = False,
    before: Seen | None = None,
) -> Body:  # fmt: skip
    """The page of a plan as it is served under a secret, another one each day; `before` is what
    it was."""
    links = [(part, link(base, page_secret, part)) for part in Part]
    entries, today = Entries(contents, present), present.today(contents.year)
    html = page(
        contents, entries, today=today, links=links, own=f"{base}/{page_secret}/",
        present=present, answers=answers, to=entries.uid_of,
    )  # fmt: skip
    return body(html.encode(), before=before, now=present.now, media_type=HTML)


def link(base: str, page_secret: str, part: Part) -> str:
    """Where a calendar is to be had."""
    return f"{base}/{part_secret(page_secret, part)}/{part.file}"


def webcal(link: str) -> str:
    """The same link in the form that makes a phone subscribe instead of download."""
    return "webcal:" + link.partition(":")[2]


def encrypted(link: str) -> bool:
    return link.startswith("https:")


def offered(link: str) -> str:
    """The form of a link that is given first: what some apps make of webcal: is plain http, and
    then a secret that was to be encrypted is not."""
    return link if encrypted(link) else webcal(link)


def page(
    contents: Contents,
    entries: Entries,
    *,
    today: date,
    links: list[tuple[Part, str]],
    own: str = "",
    present: Present | None = None,
    answers: bool = False,
    to: Callable[[Session], str] | None = None,
) -> str:
    """The page. A link without a scheme is beside the page, and gets no code for the camera.

    Without `present` it is written once and read on any day: it then names days, not today. `to`
    leads to a session, where that has a page.
    """
    days = _Days(entries, present, today, answers=answers, to=to)
    return document(
        _heading(contents),
        f"<h1>{escape(_heading(contents))}</h1>",
        '<p class="jump"><a href="#subscribe">Subscribe</a> · <a href="#year">The year</a></p>',
        *(days.now_and_week() if present else days.ahead()),
        *_subscribe(links),
        paragraph(ANSWERS) if answers else "",
        *_on_another(own),
        f"<h2 id=year>The year</h2><figure>{contents.picture}{contents.narrow_picture}</figure>",
        "<h2>The blocks in words</h2><table class=blocks><thead><tr><th scope=col>Block</th>"
        "<th scope=col>Days</th></tr></thead><tbody>",
        *_rows(contents),
        "</tbody></table>",
        paragraph(caution("general"), kind="soft"),
    )


def _heading(contents: Contents) -> str:
    name = one_line(contents.year.climber.name)
    return f"Climbing year of {name}" if name else "Climbing year"


# --- days -------------------------------------------------------------------------------------


class _Days:
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
        self._teller = entries.teller

    def now_and_week(self) -> Iterator[str]:
        told = [self._teller.day(day) for day in (self._today, self._today + ONE_DAY)]
        yield '<div class="days">'
        for one in told:
            yield from self._card(one)
        yield "</div>"
        coming = self._teller.next_after(told[-1].day)
        if coming and not any(one.sessions for one in told):
            when = f"{day_text(coming.session.day)}, {coming.when}"
            yield paragraph(f"Next: {when}, {coming.title}. {coming.refusal}".rstrip())
        week = self._teller.week(self._today)
        if week:
            yield "<h2>This week</h2>"
            yield paragraph(self._teller.aim(self._today))
            yield from self._table(week)

    def ahead(self) -> Iterator[str]:
        days = [self._today + timedelta(days=n) for n in range(DAYS_AHEAD)]
        told = [self._teller.day(day) for day in days if day in self._teller.year.span]
        yield f"<h2>From {escape(day_text(self._today))}</h2>"
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
        yield paragraph(one.refusal, kind="warn")
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

    def _table(self, days: list[DayTold] | tuple[DayTold, ...]) -> Iterator[str]:
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
        warn = f'<br><span class="warn">{escape(LEAVE_OUT)}</span>' if one.refusal else ""
        did = self._entry(one)
        done = f" <b>{escape(did.kind.value)}</b>" if did else ""
        when = escape(one.when)
        return f"<p>{when} {self._titled(one)}, {effort}.{done}{warn}</p>"

    def _titled(self, one: SessionTold) -> str:
        title = escape(one_line(one.title))
        if self._to is None:
            return title
        return f'<a href="{escape(self._to(one.session), quote=True)}">{title}</a>'

    def _entry(self, one: SessionTold) -> DiaryEntry | None:
        return self._present.diary.get(one.session.id) if self._present else None

    def _done(self, one: SessionTold) -> str:
        did = self._entry(one)
        return f"In your diary: {self._teller.diary_text(did)}" if did else ""


# --- subscribing ------------------------------------------------------------------------------


def _subscribe(links: list[tuple[Part, str]]) -> Iterator[str]:
    """By kind of phone: one that takes a tap, one that takes a link, a calendar on the web."""
    yield '<h2 id="subscribe">Subscribe</h2>'
    if not any("://" in to for _, to in links):
        yield from (_button(part, to) for part, to in links)
    elif any(encrypted(to) for _, to in links):
        yield "<h3>A phone that takes a link</h3>" + paragraph(ENCRYPTED)
        yield from (_copied(part, to, go=True) for part, to in links)
    else:
        yield "<h3>A phone that subscribes at a tap</h3>"
        yield from (_button(part, webcal(to)) for part, to in links)
        yield "<h3>A phone that takes a link</h3>" + paragraph(PLAIN)
        yield from (_copied(part, to, go=False) for part, to in links)
        yield "<h3>A calendar on the web</h3>" + paragraph(ON_THE_WEB)
    yield f"{paragraph(SLOW)}{paragraph(SECRET)}"


def _button(part: Part, to: str) -> str:
    look = LOOKS[part]
    href = escape(to, quote=True)
    return (
        f'<a class="go" rel="noreferrer" href="{href}">{escape(look.name)}</a>'
        f"{paragraph(f'{look.shows[0].upper()}{look.shows[1:]}.', kind='soft')}"
    )


def _copied(part: Part, to: str, *, go: bool) -> str:
    """A link to copy and its code; with `go` it is a button, too, and the other form is told."""
    name, first = escape(LOOKS[part].name), offered(to)
    told = f"{_button(part, first)}" if go else ""
    told += f"<details><summary>{name}: link and code</summary><p><code>{escape(to)}</code></p>"
    told += qr_svg(first, label=f"Code: subscribe to {name}")
    if go:
        told += f"<p>{escape(WEBCAL)} <code>{escape(webcal(to))}</code></p>"
    return f"{told}</details>"


def _on_another(own: str) -> Iterator[str]:
    if own:
        yield "<h3>Another phone</h3><p>Point its camera here to open this page there.</p>"
        yield f'<p class="code">{qr_svg(own, label="Code: the address of this page")}</p>'


def _rows(contents: Contents) -> Iterator[str]:
    for block in shown_blocks(contents.plan.current.blocks, contents.layers):
        name = escape(one_line(block_name(block, contents.year)))
        yield f"<tr><td>{name}</td><td>{escape(dates_text(block.span))}</td></tr>"
