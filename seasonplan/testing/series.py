"""Rows of the diary to series of tests: a day and its mean result, with all tries beside it.

Another edge, grip, unit, side or way of doing it is another series. Judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, log
from statistics import fmean

from seasonplan.days import Span
from seasonplan.diary.entry import KILOGRAMS_A_POUND, DiaryEntry, Did
from seasonplan.testing.protocols import Test, climbers_tests, in_unit, judging, unwritten
from seasonplan.vocabulary import Side
from seasonplan.year import Year

PER_CENT = 100.0
_GRIPPED = re.compile(r"(?P<name>.*\S)\s*\((?P<grip>[^()]+)\)")


@dataclass(frozen=True, slots=True)
class Result:
    """One day of a test: the tries as written, their mean, and body weight where it is added.

    `hurt` days lie in an injury and are not judged.
    """

    day: date
    tries: tuple[float, ...]
    body: float | None = None
    hurt: bool = False

    @property
    def mean(self) -> float:
        return fmean(self.tries)

    @property
    def whole(self) -> float:
        """The mean with the body that is lifted along, where there is one."""
        return self.mean + (self.body or 0.0)


@dataclass(frozen=True, slots=True)
class Series:
    """The results of one test done in one way, by day.

    `earlier`: from before the day on which the way of doing it changed.
    """

    test: Test
    unit: str
    grip: str
    side: Side
    earlier: bool
    results: tuple[Result, ...]

    @property
    def name(self) -> str:
        """Such as "Finger pull, left (18 mm)"."""
        side = "" if self.side in (Side.NONE, Side.BOTH) else f", {self.side.value}"
        said = self.grip if self.test.own is None or self.grip != self.test.own.grip else ""
        odd = self.unit if self.unit != self.test.unit else ""
        told = ", ".join(filter(None, (said, odd, "as done before" if self.earlier else "")))
        return f"{self.test.name}{side}" + (f" ({told})" if told else "")

    @property
    def as_agreed(self) -> bool:
        """Whether it is done as the test is written down now, so that its anchors fit."""
        same_grip = self.grip.casefold() == self.test.grip.casefold()
        return not self.earlier and same_grip and self.unit == self.test.unit

    @property
    def judged(self) -> tuple[Result, ...]:
        """The days that count: healthy, with body weight where it is needed, on the scale."""
        return tuple(r for r in self.results if not r.hurt and self.counts(r))

    def counts(self, result: Result) -> bool:
        """Whether a result can stand on the scale of its test."""
        if self.test.adds_body and result.body is None:
            return False
        return self.test.scale == "plain" or result.whole > 0

    def at(self, result: Result) -> float:
        """A result on the scale of its test: 100 x logarithm, or as it is; more is better."""
        plain = self.test.scale == "plain"
        return self.test.sign * (result.whole if plain else PER_CENT * log(result.whole))

    def told(self, level: float) -> float:
        """A place on the scale as a result in the unit, body included."""
        level *= self.test.sign
        return level if self.test.scale == "plain" else exp(level / PER_CENT)

    def gain_told(self, gain: float) -> float:
        """A difference on the scale in per cent, or in the unit; above 0 is better."""
        if self.test.scale == "plain":
            return gain
        return self.test.sign * PER_CENT * (exp(self.test.sign * gain / PER_CENT) - 1)


def series_of(year: Year, diary: Sequence[DiaryEntry], *, day: date) -> tuple[Series, ...]:
    """Every series up to a day: tests of the year in their order, then what is only in the diary.

    Raises BadInput where a test is like a usual one that is none.
    """
    tests = climbers_tests(year)
    weights = [
        (row.date, row.kilograms)
        for row in diary
        if row.kind is Did.WEIGHT and row.kilograms and row.kilograms > 0
    ]
    hurt = [span for injury in year.injuries for _, span in injury.phases]
    groups: dict[tuple[object, ...], tuple[Test, DiaryEntry, list[DiaryEntry]]] = {}
    for row in diary:
        if row.kind is Did.TEST and row.date <= day:
            test, grip = _test_and_grip(row, tests)
            key = (test.id, _unit(row, test), grip.casefold(), _side(row), _is_earlier(row, test))
            groups.setdefault(key, (test, row, []))[2].append(row)
    order = {test.id: place for place, test in enumerate(tests)}
    found = [
        Series(
            test=in_unit(test, _unit(first, test)), unit=_unit(first, test),
            grip=_test_and_grip(first, tests)[1], side=_side(first),
            earlier=_is_earlier(first, test),
            results=tuple(_results(rows, test, weights, hurt)),
        )
        for test, first, rows in groups.values()
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (order.get(one.test.id, len(order)), one.name)))


def _test_and_grip(row: DiaryEntry, tests: Sequence[Test]) -> tuple[Test, str]:
    """The test that a row is of, and its grip: as named in brackets, else that of the test."""
    match = _GRIPPED.fullmatch(row.what)
    for name, grip in ((row.what, ""), (match["name"], match["grip"]) if match else ("", "")):
        for test in tests:
            if name and name.casefold() in (test.id, test.name.casefold()):
                return test, grip.strip() or test.grip
    name, grip = (match["name"], match["grip"].strip()) if match else (row.what, "")
    test = unwritten(name, row.unit)
    return test, grip or test.grip


def _unit(row: DiaryEntry, test: Test) -> str:
    return row.unit or test.unit


def _side(row: DiaryEntry) -> Side:
    """Both and none are one: nobody tells them apart who tests with both hands."""
    return Side.NONE if row.side is Side.BOTH else row.side


def _is_earlier(row: DiaryEntry, test: Test) -> bool:
    since = test.own.since if test.own else None
    return since is not None and row.date < since


def _results(
    rows: Iterable[DiaryEntry], test: Test, weights: Sequence[tuple[date, float]],
    hurt: Sequence[Span],
) -> Iterator[Result]:  # fmt: skip
    by_day: dict[date, list[DiaryEntry]] = {}
    for row in rows:
        by_day.setdefault(row.date, []).append(row)
    for day, tries in sorted(by_day.items()):
        pounds = _unit(tries[0], test) == "lb"
        body = _body_on(day, weights) if test.adds_body else None
        yield Result(
            day=day,
            tries=tuple(row.value for row in tries if row.value is not None),
            body=body / KILOGRAMS_A_POUND if body is not None and pounds else body,
            hurt=any(day in span for span in hurt),
        )


def _body_on(day: date, weights: Sequence[tuple[date, float]]) -> float | None:
    """Body weight (kg) nearest to a day, if it is near enough."""
    near = [
        (abs((when - day).days), kilograms)
        for when, kilograms in weights
        if abs((when - day).days) <= judging().weight_days
    ]
    return min(near)[1] if near else None
