"""The help of a group of commands, each told in a whole sentence."""

from __future__ import annotations

from typing import Any

from typer.core import TyperGroup

WHOLE = 1000  # letters: no first sentence of ours is cut


class WholeHelp(TyperGroup):
    """A group whose help breaks what a command does into lines, where click would cut it."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Writes name and first sentence of every command."""
        found = ((name, self.get_command(ctx, name)) for name in self.list_commands(ctx))
        rows = [(name, one.get_short_help_str(WHOLE)) for name, one in found if one is not None]
        with formatter.section("Commands"):
            formatter.write_dl(rows)
