"""How text reaches the terminal: width, colour, ASCII, commands with their folder.

Knows nothing of years or plans.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import sys
import textwrap
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, Any

import typer

from seasonplan.cli.where import here

if TYPE_CHECKING:
    from seasonplan.workspace.desk import Desk

WIDEST, NARROWEST = 100, 30
DEEPEST = 10  # the farthest that lines are moved to the right
NO_BREAK = "\u00a0"
_COMMAND = re.compile(r"`[^`]+`")
_SHARE = re.compile(r"(?<=\d) (?=%)")  # between a number and its sign no line ends
_ASCII = str.maketrans(
    {
        "\u201c": '"', "\u201d": '"', "\u2018": "'", "\u2019": "'",  # quotation marks
        "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u2026": "...",  # dashes, ellipsis
        "\u00b1": "+/-", "\u2264": "<=", "\u2265": ">=", "\u00d7": "x", "\u00b7": ".",
        "\u2192": "->", "\u2190": "<-", "\u2191": "^", "\u2193": "v",  # arrows
        "\u00df": "ss", "\u00f8": "o", "\u00d8": "O", "\u0142": "l", "\u0141": "L",
        "\u00e6": "ae", "\u00c6": "AE",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Screen:
    """What the terminal can show. `plain` is asked for by people and by screen readers."""

    plain: bool
    colour: bool
    unicode: bool
    width: int

    @classmethod
    def here(cls, *, plain: bool) -> Screen:
        """As stdout is now. NO_COLOR counts when it is not empty (no-color.org)."""
        colour = sys.stdout.isatty() and not os.environ.get("NO_COLOR") and not plain
        dumb = os.environ.get("TERM") == "dumb"
        columns = shutil.get_terminal_size((80, 24)).columns
        return cls(
            plain=plain,
            colour=colour and not dumb,
            unicode=not plain and _can_draw(sys.stdout),
            width=max(NARROWEST, min(columns, WIDEST)),
        )

    def paint(self, text: str, colour: str | None = None, *, bold: bool = False) -> str:
        """Text in a colour, where there is colour. Control characters are taken out."""
        text = self.clean(text)
        if not self.colour or not (colour or bold):
            return text
        return typer.style(text, fg=colour, bold=bold or None)

    def clean(self, text: str) -> str:
        """Text that cannot steer the terminal, in ASCII where that is wanted."""
        text = "".join(" " if unicodedata.category(sign) == "Cc" else sign for sign in text)
        return text if self.unicode else ascii_text(text)

    def draw(self, line: str = "") -> None:
        """A line as it is, already painted."""
        typer.echo(line.rstrip(), color=self.colour)

    def say(
        self,
        text: str,
        *,
        hang: int = 0,
        indent: int = 0,
        colour: str | None = None,
        bold: bool = False,
    ) -> None:
        """A sentence, broken at the edge of the screen (never in plain mode).

        `indent` moves it all to the right, `hang` what follows its first line.
        """
        for line in self._broken(self.clean(here(text)), indent + hang, indent):
            self.draw(self.paint(line, colour, bold=bold))

    def head(self, text: str) -> None:
        """A heading, with an empty line before it."""
        self.draw()
        self.say(text, bold=True)

    def tell(self, texts: Iterable[str], *, head: str = "", hang: int = 2) -> None:
        """Sentences one below the other; where there are any, under a heading."""
        told = list(texts)
        if told and head:
            self.head(head)
        for text in told:
            self.say(text, hang=hang)

    def narrate(self, text: str, *, hang: int = 0, indent: int = 0) -> None:
        """A sentence for the person who waits, on stderr; `indent` and `hang` as in `say`."""
        for line in self._broken(self.clean(here(text)), indent + hang, indent):
            typer.echo(line, err=True)

    def link(self, link: str, *, aside: bool = False) -> None:
        """A link alone on its line from the first column on, never broken, so that it can be taken
        as a whole; `aside` on stderr."""
        typer.echo(self.clean(link), err=aside)

    def _broken(self, text: str, hang: int, indent: int = 0) -> list[str]:
        if self.plain:
            return [text]
        whole = _SHARE.sub(NO_BREAK, _COMMAND.sub(self._kept_whole, text))
        lines = textwrap.wrap(
            whole, self.width, initial_indent=" " * indent,
            subsequent_indent=" " * hang, break_on_hyphens=False,
        )  # fmt: skip
        return [line.replace(NO_BREAK, " ") for line in lines] or [""]

    def _kept_whole(self, command: re.Match[str]) -> str:
        """A command on one line if it fits on one, so that it can be copied."""
        fits = len(command[0]) <= self.width - DEEPEST
        return command[0].replace(" ", NO_BREAK) if fits else command[0]


def ascii_text(text: str) -> str:
    """Our typography in ASCII; accents are dropped, letters that have no ASCII form become "?"."""
    bare = unicodedata.normalize("NFKD", text.translate(_ASCII))
    return "".join(
        sign if sign.isascii() else "?" for sign in bare if not unicodedata.combining(sign)
    )


def complain(text: str, *, indent: int = 0) -> None:
    """Lines on stderr: broken between words where a person reads it, whole for a program."""
    columns = shutil.get_terminal_size((80, 24)).columns
    for line in here(text).split("\n"):
        told = [" " * indent + line]
        if sys.stderr.isatty() and line:
            told = textwrap.wrap(
                line, max(NARROWEST, min(columns, WIDEST)), initial_indent=" " * indent,
                subsequent_indent=" " * (indent + 2), break_on_hyphens=False,
                break_long_words=False,
            )  # fmt: skip
        for part in told:
            typer.echo(part, err=True)


def tell_old(screen: Screen, desk: Desk) -> None:
    """Say that there is no plan, or that it is older than what it is of, with what of that cannot
    even be read, or than this program; nothing where it stands."""
    if desk.plan is None:
        screen.narrate("There is no plan yet: run `seasonplan plan`.")
        return
    if not desk.lags:
        if desk.older:
            from seasonplan.explain.older import OLDER

            screen.narrate(OLDER)
        return
    for fault in desk.busy_trouble.faults if desk.busy_trouble else ():
        screen.narrate(str(fault))
    screen.narrate(
        "The year, a busy calendar or what tests say was changed after this plan was made: run "
        "`seasonplan replan`."
    )


def write_json(value: Any) -> None:
    """A value as JSON on stdout, in ASCII so that every pipe carries it."""
    typer.echo(json.dumps(value, indent=1, default=str))


def _can_draw(stream: IO[str]) -> bool:
    try:
        "─█“".encode(getattr(stream, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
