"""One place where errors become lines on stderr and an exit code."""

from __future__ import annotations

import re
from typing import Any

import typer

from seasonplan.cli import where
from seasonplan.cli.exits import Exit
from seasonplan.cli.screen import complain
from seasonplan.cli.whole_help import WholeHelp
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, Misuse, StaleProposal

_NO_CHOICE = re.compile(r"('[^']*') is not one of (.+?)\.?$")


class Guarded(WholeHelp):
    """A group of commands whose errors are told in words, never as a traceback."""

    def invoke(self, ctx: Any) -> Any:
        where.forget()
        try:
            return super().invoke(ctx)
        except typer.BadParameter as error:
            error.message = _in_our_words(error)
            raise
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


def _in_our_words(error: typer.BadParameter) -> str:
    """What is wrong with an argument, which typer tells in the words of pydantic."""
    from seasonplan.year.told import told

    choices = _NO_CHOICE.search(error.message)
    if choices:
        return f"found {choices[1]}; wanted {choices[2].replace(chr(39), '')}. Choose one."
    errors = getattr(error.__cause__, "errors", None)
    if errors is None:
        return error.message
    faults = (told(one) for one in errors())
    return " ".join(f"found {one.found}; wanted {one.wanted}. {one.do}" for one in faults)


def _end(text: str, code: Exit) -> None:
    complain(text)
    raise typer.Exit(code)
