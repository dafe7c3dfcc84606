"""An edit as one would type it, so that what is told can be done. Does nothing itself."""

from __future__ import annotations

import shlex
from typing import Any

from seasonplan.edits import AnEdit, ChangeEntry, ChangeRule, RemoveEntry
from seasonplan.edits.said import words_of


def command_of(edit: AnEdit) -> str:
    """The command of an edit that a way out of a conflict means; nothing for any other."""
    if isinstance(edit, ChangeRule):
        how = "--off" if edit.limit is None else f"--limit {_limit(edit.limit)}"
        return f"seasonplan edit rule {edit.code} {how}"
    if isinstance(edit, ChangeEntry):
        values = (shlex.quote(f"{key}={words_of(value)}") for key, value in edit.values.items())
        return f"seasonplan edit change {edit.id} {' '.join(values)}"
    return f"seasonplan edit remove {edit.id}" if isinstance(edit, RemoveEntry) else ""


def _limit(limit: Any) -> str:
    ends = limit if isinstance(limit, (list, tuple)) else (limit,)
    return ",".join(f"{end:g}" for end in ends)
