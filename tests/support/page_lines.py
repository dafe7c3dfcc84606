"""A page as somebody reads it, line by line, and the form on it, as a browser fills it in."""

from __future__ import annotations

from html.parser import HTMLParser
from urllib.parse import urlencode

BREAKS = frozenset(
    {
        "p", "h1", "h2", "h3", "li", "tr", "br", "summary", "legend", "button", "option", "label",
        "fieldset", "section", "div", "form",
    }
)  # fmt: skip
UNSEEN = frozenset({"style", "svg", "title", "select"})


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = [""]
        self.fields: dict[str, str] = {}
        self._unseen = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._unseen += tag in UNSEEN
        given = {name: value or "" for name, value in attrs}
        if tag == "input" and (given.get("type") == "hidden" or "checked" in given):
            self.fields[given["name"]] = given["value"]
        if tag == "select":
            self.fields[given["name"]] = ""
        if tag in BREAKS:
            self.lines.append("")

    def handle_endtag(self, tag: str) -> None:
        self._unseen -= tag in UNSEEN
        if tag in BREAKS:
            self.lines.append("")
        elif tag in ("th", "td"):
            self.lines[-1] += " "

    def handle_data(self, data: str) -> None:
        if not self._unseen:
            self.lines[-1] += data


def read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    return reader


def lines(html: str) -> list[str]:
    """The lines that somebody sees, in order; pictures and choices of a list left out."""
    return [line for one in read(html).lines if (line := " ".join(one.split()))]


def between(found: list[str], first: str, after: str) -> list[str]:
    """The lines from one up to another."""
    begun = found.index(first)
    return found[begun : found.index(after, begun)]


def filled(html: str, **said: str) -> str:
    """The form of a page as a browser sends it, with what somebody chose."""
    return urlencode(read(html).fields | said)


def unbroken(text: str) -> str:
    """Text without the breaks at the edge of the screen."""
    return " ".join(text.split())
