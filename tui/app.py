"""The terminal face: one app over one folder. Chooses the screen it needs, its colours, its day."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any, ClassVar

from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.command import CommandPalette

from seasonplan.errors import BadInput
from seasonplan.workspace import clock
from seasonplan.workspace.store import YEAR_FILE
from tui.bench import Bench
from tui.commands import Finder, OurCommands
from tui.faults import FaultsScreen
from tui.help import ON_KEYBOARDS, HelpScreen
from tui.host import Host
from tui.main_screen import MainScreen
from tui.start import StartScreen
from tui.themes import INK, NAMES, PAPER, SIXTEEN, SLATE, USUAL, themes_for

NARROW, SMALL, LOW = 60, 110, 30
HOW_TO_LEAVE = "q leaves; Esc stops what is at work, or goes back. All that you did is on disk."


class SeasonApp(Host):
    """Opens a folder: its year, or the way to a first one."""

    TITLE = "seasonplan"
    CSS_PATH = ["look.tcss", "forms.tcss"]  # noqa: RUF012  (Textual declares it so)
    COMMANDS: ClassVar[set[Any]] = {OurCommands}
    COMMAND_PALETTE_DISPLAY = "^p"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("q", "quit", "Leave"),
        Binding("question_mark", "help", "Help", key_display="?"),
        Binding("f1", "help", "Help", show=False, priority=True),  # also where ? is typed
    ]
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012  (Textual declares it so)
        (0, "-narrow"), (NARROW, "-small"), (SMALL, "-wide"),
    ]  # fmt: skip
    VERTICAL_BREAKPOINTS = [(0, "-low"), (LOW, "-high")]  # noqa: RUF012  (as above)

    def __init__(
        self,
        folder: Path,
        *,
        today: date | None = None,
        stamp: Callable[[], datetime] = clock.stamp,
    ) -> None:
        super().__init__(folder, today=today, stamp=stamp)
        depth = self.console.color_system
        for theme in themes_for(depth):
            self.register_theme(theme)
        self.set_class(depth == SIXTEEN, "-sixteen", update=False)
        self.theme = _first_theme()
        # Textual made its colours before our papers were known; asked for by name in the
        # environment, a paper is "no change" to it, and they would stay.
        self.stylesheet.set_variables(self.get_css_variables())

    def get_key_display(self, binding: Binding) -> str:
        """The key as it is written on keyboards."""
        return ON_KEYBOARDS.get(binding.key_display or binding.key) or super().get_key_display(
            binding
        )

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return USUAL

    def on_mount(self) -> None:
        self.open(self.folder)

    def open(self, folder: Path, *, plan: bool = False) -> None:
        """Show the year of a folder, the way to a first one, or what is wrong with its files.

        `plan` makes a plan at once.
        """
        self.folder = folder
        if not (folder / YEAR_FILE).exists():
            self._show(StartScreen(folder))
            return
        try:
            bench = Bench(folder)
        except BadInput as error:
            self._show(FaultsScreen(error))
            return
        bench.now = today = self.today(bench.desk.year.climber.time_zone)
        self._show(MainScreen(bench, today=today, plan=plan))

    def _show(self, screen: Any) -> None:
        if len(self.screen_stack) > 1:
            self.switch_screen(screen)
        else:
            self.push_screen(screen)

    def action_command_palette(self) -> None:
        """Find everything by its name."""
        if not isinstance(self.screen, CommandPalette):
            self.push_screen(Finder())

    def action_help(self) -> None:
        """Tell which keys do what here."""
        self.push_screen(HelpScreen.of(self.screen))

    def action_paper(self, name: str) -> None:
        """Take other colours."""
        self.theme = name

    def action_help_quit(self) -> None:
        """Ctrl+C stops a program elsewhere; here a slip of it shall not."""
        self.say(HOW_TO_LEAVE)

    async def action_quit(self) -> None:
        self.leaving = True
        self.exit(0)

    # --- the end ------------------------------------------------------------------------------

    @property
    def fault(self) -> Exception | None:
        """The mistake of ours that ended it, if one did."""
        return self._exception

    async def run_action(self, *args: Any, **kwargs: Any) -> bool:
        """Do what a key or a link asks for; once the climber leaves, nothing."""
        return True if self.leaving else await super().run_action(*args, **kwargs)

    def push_screen(self, *args: Any, **kwargs: Any) -> Any:
        """Show a screen over this one; once the climber leaves, none: it would have no place."""
        return AwaitComplete() if self.leaving else super().push_screen(*args, **kwargs)

    def _fatal_error(self) -> None:
        """Textual's picture of a fault would show what was typed; `report` tells it instead."""
        self._close_messages_no_wait()


def _first_theme() -> str:
    """Whatever was asked for, slate where the terminal says that it is dark, else paper.

    The console of Linux shows eight grounds only, so kinds stand there on black, by their inks.
    """
    asked = os.environ.get("TEXTUAL_THEME", "")
    if asked in NAMES:
        return asked
    if os.environ.get("TERM") == "linux":
        return INK
    ground = os.environ.get("COLORFGBG", "").rpartition(";")[2]
    return SLATE if ground.isdigit() and int(ground) in (0, 1, 2, 3, 4, 5, 6, 8) else PAPER
