"""Faults of a file collected while it is read, and raised once; a flood is cut short."""

from __future__ import annotations

from seasonplan.conditions.settings import reading
from seasonplan.errors import BadInput, Fault


class Complaints:
    """The faults found so far in one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._told: list[Fault] = []
        self._more = 0

    def add(self, key: str, line: int | None, *, found: str, wanted: str, do: str) -> None:
        if len(self._told) < reading().most_faults:
            self._told.append(Fault(self.file, key, line, found, wanted, do))
        else:
            self._more += 1

    def settle(self) -> None:
        """Raises BadInput if anything was found."""
        if not self._told:
            return
        if self._more:
            self._told.append(
                Fault(
                    self.file, "", max(f.line or 0 for f in self._told) or None,
                    f"{self._more:,} more faults further on", "rows that can be read",
                    "Correct those above first; they may share one cause.",
                )
            )  # fmt: skip
        raise BadInput(self._told)
