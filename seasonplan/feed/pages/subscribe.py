"""How to subscribe, by kind of phone: one that takes a tap, one that takes a link, the web.

Owns the forms of a link and what is said of each. HTML, no script.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from seasonplan.feed.pages.qr import qr_svg
from seasonplan.feed.pages.style import paragraph
from seasonplan.feed.parts import LOOKS, Part

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
)
SERVED = "`seasonplan serve --new-address`."
PUBLISHED = (
    "take all down with `seasonplan publish --folder DIR --take-down`, then publish again and "
    "subscribe anew."
)


def webcal(link: str) -> str:
    """The same link in the form that makes a phone subscribe instead of download."""
    return "webcal:" + link.partition(":")[2]


def encrypted(link: str) -> bool:
    return link.startswith("https:")


def offered(link: str) -> str:
    """The form of a link that is given first: what some apps make of webcal: is plain http, and
    then a secret that was to be encrypted is not."""
    return link if encrypted(link) else webcal(link)


def subscribe(links: list[tuple[Part, str]], *, served: bool) -> Iterator[str]:
    """By kind of phone: one that takes a tap, one that takes a link, a calendar on the web.

    `served` or published: links of either are made new in another way."""
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
    yield f"{paragraph(SLOW)}{paragraph(SECRET + (SERVED if served else PUBLISHED))}"


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


def on_another(own: str) -> Iterator[str]:
    if own:
        yield "<h3>Another phone</h3><p>Point its camera here to open this page there.</p>"
        yield f'<p class="code">{qr_svg(own, label="Code: the address of this page")}</p>'
