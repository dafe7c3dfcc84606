"""The folder a command is about: every command that its words name is named with that folder.

Kept for one command at a time; knows nothing of what is in the folder.
"""

from __future__ import annotations

import re
import shlex
from contextvars import ContextVar
from pathlib import Path

from seasonplan.errors import BadInput, Fault

_FOLDER = ContextVar("folder", default=Path())
_COMMAND = re.compile(
    r"`seasonplan (plan|replan|check|why|show|today|week|log|injury|ill|conditions|edit|undo|redo"
    r"|others|history|compare|export|serve|publish|open|new)(?=[` ])"
)


def remember(folder: Path) -> Path:
    """Take note of the folder as it was given. Raises BadInput for a file in its place."""
    if folder.is_file():
        wanted = "the folder of a year"
        raise BadInput([Fault(str(folder), "", None, "a file", wanted, f"Say {folder.parent}.")])
    _FOLDER.set(folder)
    return folder


def forget() -> None:
    """Begin a command: none was given so far."""
    _FOLDER.set(Path())


def here(text: str) -> str:
    """The text with the folder after each command it names."""
    folder = _FOLDER.get()
    if folder == Path():
        return text
    named = shlex.quote(str(folder))
    return _COMMAND.sub(lambda found: f"`seasonplan {found[1]} {named}", text)


def anew(*, planned: bool) -> str:
    """The command that lets the plan follow the year: near the plan there is, or the first one."""
    return "`seasonplan replan`" if planned else "`seasonplan plan`"
