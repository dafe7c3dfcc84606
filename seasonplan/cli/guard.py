"""One place where errors become lines on stderr and an exit code."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

from seasonplan.cli import where
from seasonplan.cli.exits import Exit
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, Misuse, StaleProposal


class Guarded(TyperGroup):
    """A group of commands whose errors are told in words, never as a traceback."""

    def invoke(self, ctx: Any) -> Any:
        where.forget()
        try:
            return super().invoke(ctx)
        except BadInput as error:
            _end("\n".join(str(fault) for fault in error.faults), Exit.BAD_INPUT)
        except (ChangedOnDisk, StaleProposal) as error:
            _end(str(error), Exit.CHANGED_ON_DISK)
        except CannotWrite as error:
            _end(str(error), Exit.CANNOT_WRITE)
        except Misuse as error:
            _end(f"A mistake of ours, please report it: {error}", Exit.OUR_MISTAKE)
        except (KeyboardInterrupt, typer.Abort):
            _end("\nStopped; nothing was changed.", Exit.STOPPED)


def _end(text: str, code: Exit) -> None:
    typer.echo(where.here(text), err=True)
    raise typer.Exit(code)
