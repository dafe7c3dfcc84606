"""The form for a result of a test, with the protocol beside it. Decides nothing, draws nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from seasonplan.days import Span
from seasonplan.diary import DiaryEntry, Did, parse
from seasonplan.edits import AnEdit, Draft, EditRefused
from seasonplan.edits.filled import counted
from seasonplan.edits.forms import Line, Takes
from seasonplan.edits.kinds import WriteRow
from seasonplan.errors import BadInput, Fault
from seasonplan.explain.care import caution_on
from seasonplan.injury.young import is_young
from seasonplan.rules.tables import caution
from seasonplan.testing import Test, climbers_tests, last_text, series_of, usual_tests
from seasonplan.testing.series import Series
from seasonplan.year import Year
from tui.forms.about import NOTHING, About

Values = Mapping[str, Any]
RESULT = "result"  # how the key of such a form begins
KNOWN = (
    Line(key="tries", label="Every full try", help="such as 42, 43.5, 42", takes=Takes.RESULTS,
         required=True),
    Line(key="happened", label="Day", help="today, yesterday, 3 feb", takes=Takes.DAY,
         required=True),
    Line(key="side", label="Hand or leg", help="left, right or both, where it matters",
         takes=Takes.CHOICE, choices=("left", "right", "both")),
    Line(key="weight", label="Body weight", help="kg on that day", takes=Takes.NUMBER),
    Line(key="grip", label="Edge or grip", help="only if it was not the usual one",
         takes=Takes.TEXT),
    Line(key="note", label="Note", help="sleep, skin, weather", takes=Takes.TEXT),
)  # fmt: skip


def new_result(draft: Draft, test_id: str) -> About:
    """A form for the tries of one day. Raises EditRefused where there is no such test."""
    test, series = _known(draft, test_id)
    lines = tuple(line for line in KNOWN if line.key != "weight" or test.adds_body)
    unit = f" ({test.unit})" if test.unit else ""
    return About(
        title=f"A result of {test.name}{unit}",
        section="test",
        place=(),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=lambda values: _edits(test, values, draft.today),
        aside=lambda _: list(_beside(test, series, draft.year, draft.today)),
    )


def _known(draft: Draft, test_id: str) -> tuple[Test, tuple[Series, ...]]:
    """The test of that id, of the year, of the diary alone or a usual one, and its series."""
    entries = parse(draft.diary, file="diary.csv")
    last = max((row.date for row in entries), default=draft.year.span.first)
    series = series_of(draft.year, entries, day=last)
    mine = tuple(one for one in series if one.test.id == test_id)
    tests = [*climbers_tests(draft.year), *(one.test for one in mine), *usual_tests().values()]
    test = next((one for one in tests if one.id == test_id), None)
    if test is None:
        raise EditRefused(f"There is no test {test_id!r} any more.", "Press a to add one.")
    return test, mine


def _edits(test: Test, values: Values, today: date | None) -> list[AnEdit]:
    """A row for each try, after one for the weight. Raises BadInput with every fault."""
    faults = list(_faults(values, today))
    if faults:
        raise BadInput(faults)
    name = f"{test.name} ({values['grip']})" if values.get("grip") else test.name
    day, weight = values["happened"], values.get("weight")
    weighed = [DiaryEntry(date=day, kind=Did.WEIGHT, value=weight, unit="kg")] if weight else []
    tries = [
        DiaryEntry(
            date=day, kind=Did.TEST, what=name, value=value, unit=test.unit,
            side=values.get("side") or "none", note=values.get("note") or "",
        )
        for value in values["tries"]
    ]  # fmt: skip
    return [WriteRow(row=row) for row in (*weighed, *tries)]


def _faults(values: Values, today: date | None) -> Iterator[Fault]:
    tries, day = values.get("tries"), values.get("happened")
    if not tries:
        yield _fault("tries", NOTHING, "the result of each try", "Fill it in.")
    elif not all(map(_is_number, tries)):
        odd = next(one for one in tries if not _is_number(one))
        yield _fault("tries", repr(odd), "numbers", "Such as 42, 43.5, 42.")
    if type(day) is not date:
        found = NOTHING if day is None else repr(day)
        yield _fault("happened", found, "a day", "Such as yesterday.")
    elif today is not None and day > today:
        yield _fault("happened", day.isoformat(), "today or before", "Log it when it is done.")
    if values.get("side") not in (None, "left", "right", "both"):
        yield _fault("side", repr(values["side"]), "left, right or both", "Choose one, or none.")
    weight = values.get("weight")
    if weight is not None and not (_is_number(weight) and 0 < weight <= 400):
        yield _fault("weight", repr(weight), "kilograms", "Such as 68.5.")


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _fault(key: str, found: str, wanted: str, do: str) -> Fault:
    return Fault("test", counted((), key), None, found, wanted, do)


def _beside(
    test: Test, series: tuple[Series, ...], year: Year, today: date | None
) -> Iterator[str]:
    """How it is done, what came of it so far, and what to mind."""
    yield test.protocol or "Do it the same way each time, and say how as its protocol."
    yield from map(last_text, series)
    if test.timer is not None:
        yield "On the page of tests t starts a timer for it."
    if is_young(year, today or year.span.first):
        yield caution("young")
    if today is not None and any(today in s for hurt in year.injuries for _, s in hurt.phases):
        yield caution_on(year, [Span.through(today, today)])
    if test.fingers:
        yield caution("fingers")
