"""The forms of the diary: pain, a test, weight, a note, and what was done outside the plan.

Lines are made from the model of a row; a row is judged as reading the diary would.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from seasonplan.diary import Did
from seasonplan.diary.entry import DiaryEntry
from seasonplan.diary.read import entry_of
from seasonplan.edits import Draft, EditRefused
from seasonplan.edits.filled import counted
from seasonplan.edits.forms import Line, Takes, lines_of
from seasonplan.edits.kinds import WriteRow
from seasonplan.errors import BadInput, Fault
from tui.forms.about import NOTHING, About

LOG = "log"  # how the keys of these forms begin
WHAT: Mapping[Did, str] = {
    Did.PAIN: "pain", Did.TEST: "the result of a test", Did.WEIGHT: "your weight",
    Did.NOTE: "a note", Did.DONE: "a session that was not planned",
}  # fmt: skip
_LINES: Mapping[Did, tuple[str, ...]] = {
    Did.PAIN: ("part", "pain", "side", "date", "note"),
    Did.TEST: ("what", "value", "unit", "side", "date", "note"),
    Did.WEIGHT: ("value", "unit", "date", "note"),
    Did.NOTE: ("note", "date"),
    Did.DONE: ("what", "minutes", "rpe", "date", "note"),
}
_NEEDED: Mapping[Did, tuple[str, ...]] = {
    Did.PAIN: ("part", "pain"), Did.TEST: ("what", "value"), Did.WEIGHT: ("value",),
    Did.NOTE: ("note",), Did.DONE: ("what",),
}  # fmt: skip
_USUAL: Mapping[str, Any] = {"date": "today"}


def log_form(draft: Draft, kind: str) -> About:
    """The form of one row. Raises EditRefused where no such thing is logged."""
    if kind not in [did.value for did in WHAT]:
        raise EditRefused(f"Nothing of the sort {kind!r} is logged.", "")
    did, today = Did(kind), draft.today
    lines = tuple(_lines(did))
    return About(
        title=f"Log {WHAT[did]}",
        section="diary",
        place=(),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=lambda values: [WriteRow(row=_row(did, values, today))],
        key=f"{LOG} {kind}",
    )


def _lines(did: Did) -> Iterator[Line]:
    known = {line.key: line for line in lines_of(DiaryEntry, "diary")}
    for key in _LINES[did]:
        more: dict[str, Any] = {"required": key in _NEEDED[did], "usual": _USUAL.get(key)}
        if key == "unit" and did is Did.WEIGHT:
            more |= {
                "usual": "kg",
                "help": "kg or lb",
                "takes": Takes.CHOICE,
                "choices": ("kg", "lb"),
            }
        yield Line(**{**dict(known[key]), **more})


def _row(did: Did, values: Mapping[str, Any], today: date | None) -> DiaryEntry:
    """The row that is meant. Raises BadInput with every fault by its line."""
    said = {key: value for key, value in values.items() if value is not None}
    missing = [key for key in _NEEDED[did] if key not in said]
    faults = [Fault(LOG, counted((), key), None, NOTHING, "a value", "") for key in missing]
    day = said.setdefault("date", today)
    if today is not None and isinstance(day, date) and day > today:
        faults.append(Fault(LOG, "date", None, day.isoformat(), "today or before", "Correct it."))
    if faults:
        raise BadInput(faults)
    if did is Did.WEIGHT:
        said.setdefault("unit", "kg")
    entry, found = entry_of({**said, "kind": did}, line=0, file=LOG)
    if entry is None:
        raise BadInput(found)
    return entry
