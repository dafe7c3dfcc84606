"""The page: today and tomorrow, this week, how to subscribe, the year as a picture. No script.

Every text of the climber goes through one escape; what the sentences say is `explain`'s.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from html import escape

from seasonplan.days import dates_text
from seasonplan.explain.words import block_name
from seasonplan.feed.address import part_secret
from seasonplan.feed.contents import Body, Contents, Seen, body
from seasonplan.feed.drawing import shown_blocks
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.pages.day_cards import Days
from seasonplan.feed.pages.style import HTML, document, paragraph
from seasonplan.feed.pages.subscribe import on_another, subscribe
from seasonplan.feed.parts import Part
from seasonplan.ical.text import one_line
from seasonplan.plan import Session
from seasonplan.rules.tables import caution

ANSWERS = "Answers are let in: whoever has a link can also write into your diary."


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
    missed: Sequence[str] = (),
) -> str:
    """The page. A link without a scheme is beside the page, and gets no code for the camera.

    Without `present` it is written once and read on any day: it then names days, not today, and
    tells what was `missed` by the day it was written. `to` leads to a session, where that has a
    page.
    """
    days = Days(entries, present, today, answers=answers, to=to)
    return document(
        _heading(contents),
        f"<h1>{escape(_heading(contents))}</h1>",
        '<p class="jump"><a href="#subscribe">Subscribe</a> · <a href="#year">The year</a></p>',
        *(days.now_and_week() if present else days.ahead(missed)),
        *subscribe(links, served=present is not None),
        paragraph(ANSWERS) if answers else "",
        *on_another(own),
        f"<h2 id=year>The year</h2><figure>{contents.drawn.year}</figure>",
        "<h2>The blocks in words</h2><table class=blocks><thead><tr><th scope=col>Block</th>"
        "<th scope=col>Days</th></tr></thead><tbody>",
        *_rows(contents),
        "</tbody></table>",
        *_curves(contents),
        paragraph(caution("general"), kind="soft"),
    )


def _curves(contents: Contents) -> Iterator[str]:
    """Form and load, where they may be seen."""
    drawn = contents.drawn
    if drawn.form or drawn.load:
        yield "<h2>Form and load</h2>"
    yield from (f"<figure>{one}</figure>" for one in (drawn.form, drawn.load) if one)


def _heading(contents: Contents) -> str:
    name = one_line(contents.year.climber.name)
    return f"Climbing year of {name}" if name else "Climbing year"


def _rows(contents: Contents) -> Iterator[str]:
    for block in shown_blocks(contents.plan.current.blocks, contents.layers):
        name = escape(one_line(block_name(block, contents.year)))
        yield f"<tr><td>{name}</td><td>{escape(dates_text(block.span))}</td></tr>"
