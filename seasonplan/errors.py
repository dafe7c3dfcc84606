"""What can be wrong with what a person gave us. Knows nothing of years or plans."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Fault:
    """One mistake in what the user entered: where it is, what was found, what is wanted."""

    file: str
    key: str
    line: int | None
    found: str
    wanted: str
    do: str

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}, line {self.line}"
        key = f", {self.key}" if self.key else ""
        return f"{place}{key}: found {self.found}; wanted {self.wanted}. {self.do}"


class BadInput(Exception):
    """All faults of one reading, raised once. `faults` holds them in file order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(
            sorted(faults, key=lambda fault: (fault.file, fault.line or 0, fault.key))
        )
        super().__init__("\n".join(str(fault) for fault in self.faults))


class ChangedOnDisk(Exception):
    """A file changed after we read it; nothing was written."""

    def __init__(self, file: str) -> None:
        self.file = file
        super().__init__(
            f"{file}: found other content than was read; wanted the file we read. "
            "Nothing was written: run the command again."
        )


class StaleProposal(Exception):
    """The year or the plan changed after the proposal was made; nothing was accepted."""

    def __init__(self) -> None:
        super().__init__(
            "The year or the plan changed after this proposal was made. Nothing was accepted: "
            "ask for a new proposal."
        )


class CannotWrite(Exception):
    """A file could not be written; the old one stands whole."""

    def __init__(self, file: str, why: str) -> None:
        self.file = file
        self.why = why
        gone = why == os.strerror(errno.ENOENT)
        do = "Make its folder" if gone else "Make room or give write permission"
        super().__init__(
            f"{file}: could not be written ({why}). The old file is untouched. "
            f"{do}, then run the command again."
        )


class Misuse(Exception):
    """A programming mistake by a caller of the library, never a mistake of the user's."""


def did_you_mean(name: str, names: Iterable[str], *, otherwise: str, quoted: bool = False) -> str:
    """What to do about a name that is not there: the nearest there is, else something else.

    `quoted` as where a file writes it so.
    """
    near = get_close_matches(name, list(names), 1)
    return f"Did you mean {repr(near[0]) if quoted else near[0]}?" if near else otherwise
