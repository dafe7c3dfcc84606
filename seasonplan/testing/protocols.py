"""The usual tests of `shared/tests.toml`, the climber's own, and how results are judged.

Knows no diary: what a test is, not what came of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Literal

from pydantic import Field

from seasonplan.errors import BadInput, Fault, did_you_mean
from seasonplan.rules.tables import table
from seasonplan.vocabulary import FrozenModel, Quality
from seasonplan.year import Better, OwnTest, Year

Scale = Literal["percent", "plain"]
JUDGING, STUDIES = "judging", "with-grade"


class Judging(FrozenModel):
    """The constants of judging; days, shares, and errors by scale."""

    plain_units: tuple[str, ...]
    unknown_error: dict[Scale, float]
    prior_worth: float
    pair_days: int
    side_days: int
    side_tests: int
    apart_days: int
    change_days: int
    prior_change: dict[Scale, float]
    month_change: dict[Scale, float]
    tell_apart: dict[Scale, float]
    worth_having: dict[Scale, float]
    real: float
    probable: float
    refit_tests: int
    plateau_days: int
    plateau_tests: int
    body_error: float
    weight_days: int
    every_days: int
    again_days: int
    rating_sd: float
    unrated_sd: float
    draws: int
    sources: tuple[str, ...]


@cache
def judging() -> Judging:
    return Judging(**table("tests")[JUDGING])


class Rhythm(FrozenModel):
    """Hangs and rests by the second. No hang seconds: until it ends; no rounds: until one fails."""

    hang_seconds: int
    rest_seconds: int
    rounds: int


class Test(FrozenModel):
    """One test, whole: the climber's words first, then those of the usual test, then what is usual.

    `error`, `worth_having` are in per cent, or in the unit where `scale` is plain. `quality` is
    None for results in the diary that no test is written down for.
    """

    __test__ = False  # no test of pytest's

    id: str
    name: str
    protocol: str = ""
    unit: str
    grip: str = ""
    quality: Quality | None = None
    minutes: int = 30
    adds_body: bool = False
    better: Better = Better.MORE
    scale: Scale
    error: float
    error_from: tuple[str, ...] = ("preference",)
    fingers: bool = False
    timer: Rhythm | None = None
    anchors: dict[int, float] = Field(default_factory=dict)
    worth_having: float
    ten_percent: tuple[float, ...] = ()
    own: OwnTest | None = None
    usual: str = ""

    @property
    def sign(self) -> int:
        """1 where more is better, -1 where less is."""
        return 1 if self.better is Better.MORE else -1


@cache
def usual_tests() -> Mapping[str, Test]:
    """The tests of `shared/tests.toml`, by id."""
    rows = {key: row for key, row in table("tests").items() if key not in (JUDGING, STUDIES)}
    return {
        key: Test(id=key, usual=key, worth_having=judging().worth_having[row["scale"]], **row)
        for key, row in rows.items()
    }


def climbers_tests(year: Year) -> tuple[Test, ...]:
    """The climber's tests, in the order of the year. Raises BadInput with every fault in them."""
    faults = [
        fault for place, own in enumerate(year.tests, start=1) for fault in _faults(place, own)
    ]
    if faults:
        raise BadInput(faults)
    return tuple(_whole(own) for own in year.tests)


def _faults(place: int, own: OwnTest) -> Iterator[Fault]:
    """An unknown usual test, or anchors that do not go with the usual one."""
    if own.like and own.like not in usual_tests():
        yield Fault(
            "year.toml", f"test.{place}.like", None, repr(own.like),
            f"a usual test ({', '.join(usual_tests())})",
            did_you_mean(own.like, usual_tests(), otherwise="Correct or remove it.", quoted=True),
        )  # fmt: skip
        return
    test, results = _whole(own), list(own.anchors.values())
    key, told = f"test.{place}.anchors", ", ".join(f"{n} = {r:g}" for n, r in own.anchors.items())
    if results and (results[-1] > results[0]) is (test.better is Better.LESS):
        yield Fault(
            "year.toml", key, None, told, f"better results for higher ratings, and {test.better} "
            "is better here", "Exchange them, or say what is `better`.",
        )  # fmt: skip
    if test.scale == "percent" and not test.adds_body and any(r <= 0 for r in results):
        yield Fault(
            "year.toml", key, None, told, "results above zero",
            'Correct them; where the body is lifted along, say `like = "edge-hang"`.',
        )  # fmt: skip


def _whole(own: OwnTest) -> Test:
    usual = usual_tests().get(own.like)
    unit = own.unit or (usual.unit if usual else "")
    same_unit = usual is not None and usual.unit == unit
    scale = usual.scale if usual and same_unit else scale_of(unit)
    known: dict[str, object] = usual.model_dump() if usual else {}
    if not same_unit:
        known |= {"error": judging().unknown_error[scale], "error_from": ("preference",)}
    said = {
        key: value
        for key in ("quality", "protocol", "better", "minutes", "error", "grip")
        if (value := getattr(own, key)) not in (None, "")
    }
    if own.error is not None:
        said["error_from"] = ("your-own",)
    worth = own.worth_having or judging().worth_having[scale]
    return Test(**{
        **known, **said, "id": own.id, "name": own.name, "unit": unit, "scale": scale,
        "worth_having": worth, "anchors": own.anchors, "ten_percent": own.ten_percent,
        "better": own.better or _better(own, usual), "own": own, "usual": own.like,
    })  # fmt: skip


def _better(own: OwnTest, usual: Test | None) -> Better:
    """What is better where it is not said: as usual, else as the anchors rise or fall."""
    if usual is not None:
        return usual.better
    results = list(own.anchors.values())
    return Better.LESS if results and results[-1] < results[0] else Better.MORE


def unwritten(name: str, unit: str) -> Test:
    """A test of which the diary has results and the year has nothing: named as a usual one, or
    with a usual error of what is unknown.
    """
    folded = name.casefold()
    for usual in usual_tests().values():
        if folded in (usual.id, usual.name.casefold()) and unit in ("", usual.unit):
            return usual
    scale = scale_of(unit)
    return Test(
        id=folded, name=name, unit=unit, scale=scale, error=judging().unknown_error[scale],
        worth_having=judging().worth_having[scale],
    )  # fmt: skip


def in_unit(test: Test, unit: str) -> Test:
    """A test whose results came in another unit: its error is known there only in per cent."""
    if unit == test.unit or (test.scale == "percent" and scale_of(unit) == "percent"):
        return test
    scale = scale_of(unit)
    other = {
        "scale": scale,
        "error": judging().unknown_error[scale],
        "error_from": ("preference",),
        "worth_having": judging().worth_having[scale],
    }
    return Test(**{**dict(test), **other})


def scale_of(unit: str) -> Scale:
    """Lengths differ in themselves, all else in per cent."""
    return "plain" if unit.casefold() in judging().plain_units else "percent"
