"""What is written out of an open year into its folder: the calendar, the poster, pictures."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.screen import Screen

from seasonplan.edits import EditRefused
from seasonplan.errors import BadInput, CannotWrite
from seasonplan.workspace.desk import Desk
from tui.bench import Bench
from tui.host import Host


class WritesOut(Screen[None]):
    """A screen whose year can be written out."""

    app: Host
    bench: Bench
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "calendar", "Calendar"),
        Binding("P", "poster", "Poster"),
    ]

    def action_calendar(self) -> None:
        """Write the plan as a calendar file for the phone."""
        from tui import calendar_out

        self._write_out(calendar_out.written)

    def action_poster(self) -> None:
        """Write the year as a poster."""
        from tui import poster_out

        self._write_out(poster_out.written)

    def action_picture(self, what: str) -> None:
        """Write the year, its form or its load as a picture for a screen."""
        from tui import picture_out

        self._write_out(partial(picture_out.written, what=what))

    def _write_out(self, written: Callable[[Desk], str]) -> None:
        """Write a file and say where it is, or why there is none."""
        try:
            self.app.say(written(self.bench.desk))
        except (EditRefused, CannotWrite, BadInput) as error:
            first = error.faults[0] if isinstance(error, BadInput) else error
            self.app.say(str(first), grave=True)
