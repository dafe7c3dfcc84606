"""Where the page of an event is to be had, and how that gets into a calendar.

A link goes under the secret of the calendar that it stands in: whoever has it reads nothing that
they could not read there. The server keeps digests of its secrets only, so calendars are made
with a place for the secret, and it is filled in when somebody asks with it.
"""

from __future__ import annotations

from typing import NamedTuple

from seasonplan.ical import first_day
from seasonplan.ical.appointments import Appointment
from seasonplan.ical.happenings import Happening
from seasonplan.ical.text import folded

UNKNOWN = "~" * 32  # as long as a secret of a part, with a sign that none has


class Pages(NamedTuple):
    """`base` is where the pages are to be had; `monthly` ones hold all events of a month."""

    base: str
    monthly: bool = False

    def link(self, event: Happening | Appointment) -> str:
        """The link of an event, with a place for the secret."""
        return f"{self.base}/{UNKNOWN}/{self.name(event)}"

    def name(self, event: Happening | Appointment) -> str:
        """The page of an event, as it is called under the secret."""
        return f"{month_file(event)}#{event.uid}" if self.monthly else str(event.uid)

    def filled(self, content: bytes, secret: str) -> bytes:
        """A calendar with the secret in its place."""
        made, wanted = (b"\r\n" + self._begun(one) for one in (UNKNOWN, secret))
        return content.replace(made, wanted)

    def _begun(self, secret: str) -> bytes:
        """How the line of a link begins, folded as a whole line is."""
        return folded(f"URL:{self.base}/{secret}/").removesuffix(b"\r\n")


def month_file(event: Happening | Appointment) -> str:
    day = first_day(event)
    return f"{day.year:04}-{day.month:02}.html"
