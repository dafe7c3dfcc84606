"""What is kept of a mistake of ours: where it happened and with which programs, nothing typed."""

from __future__ import annotations

import platform
import tempfile
import traceback
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

from seasonplan import __version__
from seasonplan.errors import CannotWrite
from seasonplan.files.disk import write_output

FILE = "seasonplan-fault.txt"


def kept(error: BaseException, folder: Path, *, stamp: datetime) -> Path | None:
    """Where the report stands: in the folder, else where the system keeps passing things."""
    content = text(error, stamp=stamp).encode("utf-8", "backslashreplace")
    for place in (folder, Path(tempfile.gettempdir())):
        try:
            write_output(place / FILE, content)
        except (CannotWrite, OSError):
            continue
        return place / FILE
    return None


def text(error: BaseException, *, stamp: datetime) -> str:
    """The report: versions, then the way to the fault, without the values on that way."""
    versions = f"seasonplan {__version__}, Textual {version('textual')}"
    system = f"Python {platform.python_version()}, {platform.system()}"
    return f"{stamp.isoformat()}\n{versions}, {system}\n\n{''.join(_trace(error))}"


def told(error: BaseException, place: Path | None) -> str:
    """What is said of it once the terminal is itself again."""
    where = f"What happened is kept in {place}" if place else "".join(_trace(error))
    return (
        f"A mistake of ours: {type(error).__name__}. Whatever you changed is on the disk. {where}; "
        "please report it with that."
    )


def _trace(error: BaseException) -> list[str]:
    return traceback.format_exception(type(error), error, error.__traceback__)
