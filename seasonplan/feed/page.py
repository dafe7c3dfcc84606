"""The plain page: links, codes for the camera, the year as a picture and as a table. No script.

Every text of the climber goes through one escape.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator
from html import escape

from seasonplan.explain.words import block_name, span_text
from seasonplan.feed.address import part_secret
from seasonplan.feed.answer import BARE_POLICY
from seasonplan.feed.contents import Body, Contents, body
from seasonplan.feed.drawing import shown_blocks
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.feed.qr import qr_svg
from seasonplan.ical.text import one_line
from seasonplan.reference import caution

STYLE = """
:root{color-scheme:light}
body{margin:2rem auto;max-width:60rem;padding:0 1rem;background:#fbf8ef;color:#33302a;
font:1rem/1.5 Georgia,serif}
h1{font-size:1.6rem;font-weight:normal}h2{font-size:1.2rem;margin-top:2rem}
svg{max-width:100%;height:auto}figure{margin:0;overflow-x:auto}
table{border-collapse:collapse}th,td{text-align:left;padding:.2rem 1.2rem .2rem 0;
border-bottom:1px solid #d8d1c0}
li{margin:.8rem 0}a{color:#1f4e79}code{overflow-wrap:anywhere}
"""
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
PAGE_POLICY = f"{BARE_POLICY}; style-src 'sha256-{_HASH}'"
HTML = "text/html; charset=utf-8"
SLOW = (
    "A calendar asks again when it likes: most within hours, some once a day. Reminders are often "
    "left out of subscribed calendars: set them in the phone."
)
ENCRYPTED = (
    "Copy the https link, or let a camera read its code, and paste it where the calendar app says "
    "“add calendar by URL”, “from URL” or “subscribe”: apps of desktops, phones with a reader of "
    "calendar links, and web calendars take it."
)
WEBCAL = (
    "Only where an app takes nothing but webcal: links, as some do that subscribe at a tap. Some "
    "of them ask without encryption first, and whoever listens then has the secret:"
)
SECRET = (
    "These links are secret: who has one can read that calendar. If one gets out, make new ones "
    "with seasonplan serve --new-address."
)


def page_body(contents: Contents, *, page_secret: str, base: str) -> Body:
    """The page of a plan as it is served under a secret."""
    links = [(part, link(base, page_secret, part)) for part in Part]
    html = page(contents, links=links, own=f"{base}/{page_secret}/")
    newest = max(one.since for one in contents.parts.values())
    return body(html.encode(), before=None, now=newest, media_type=HTML)


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


def page(contents: Contents, *, links: list[tuple[Part, str]], own: str = "") -> str:
    """The page. A link without a scheme is beside the page, and gets no code for the camera."""
    return "".join(
        [
            '<!doctype html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="robots" content="noindex, nofollow">',
            '<meta name="referrer" content="no-referrer">',
            f"<title>{_heading(contents)}</title><style>{STYLE}</style></head><body><main>",
            f"<h1>{_heading(contents)}</h1>",
            f"<figure>{contents.picture}</figure>",
            "<h2>Subscribe</h2><ul>",
            *(_item(part, to) for part, to in links),
            "</ul>",
            f"<p>{escape(ENCRYPTED)}</p>" if any(encrypted(to) for _, to in links) else "",
            f"<p>{escape(SLOW)}</p><p>{escape(SECRET)}</p>",
            *_on_the_phone(own),
            "<h2>The blocks in words</h2><table><thead><tr><th scope=col>Block</th>"
            "<th scope=col>Days</th></tr></thead><tbody>",
            *_rows(contents),
            "</tbody></table>",
            f"<p>{escape(caution('general'))}</p></main></body></html>",
        ]
    )


def _heading(contents: Contents) -> str:
    name = one_line(contents.year.climber.name)
    return escape(f"Climbing year of {name}" if name else "Climbing year")


def _item(part: Part, to: str) -> str:
    look = LOOKS[part]
    name, shows = escape(look.name), escape(look.shows)
    if "://" not in to:
        return f'<li><a rel="noreferrer" href="{escape(to, quote=True)}">{name}</a>: {shows}.</li>'
    first = offered(to)
    more = f"<details><summary>Link and code</summary><p><code>{escape(to)}</code></p>"
    more += qr_svg(first, label=f"Code: subscribe to {name}")
    if encrypted(to):
        more += f"<p>{escape(WEBCAL)} <code>{escape(webcal(to))}</code></p>"
    href = escape(first, quote=True)
    return f'<li><a rel="noreferrer" href="{href}">{name}</a>: {shows}.{more}</details></li>'


def _on_the_phone(own: str) -> Iterator[str]:
    if own:
        yield "<h2>On another phone</h2><p>Point its camera here to open this page there.</p>"
        yield qr_svg(own, label="Code: the address of this page")


def _rows(contents: Contents) -> Iterator[str]:
    for block in shown_blocks(contents.plan.current.blocks, contents.layers):
        name = escape(one_line(block_name(block, contents.year)))
        yield f"<tr><td>{name}</td><td>{escape(span_text(block.span))}</td></tr>"
