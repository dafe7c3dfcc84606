"""A test that the climber does again and again: what, in which unit, how, and what it means.

Names of usual tests (`like`) are not looked up here; who reads the year with its tests does that.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from itertools import pairwise
from math import isfinite
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, model_validator

from seasonplan.vocabulary import Quality
from seasonplan.year.entries import Day, Entry
from seasonplan.year.refusal import refuse, shown

RATINGS = ("1", "2", "3", "4", "5")


class Better(StrEnum):
    """Which results are the better ones."""

    MORE = "more"
    LESS = "less"


def _anchors(value: Any) -> dict[int, float]:
    """Results by the rating they stand for; told as one fault where they are something else."""
    if not isinstance(value, Mapping):
        raise _no_anchors(shown(value))
    found = {}
    for rating, result in value.items():
        number = isinstance(result, (int, float)) and not isinstance(result, bool)
        if str(rating) not in RATINGS or not number or not isfinite(result):
            raise _no_anchors(f"{rating} = {shown(result)}")
        found[int(rating)] = float(result)
    if len(found) == 1:
        raise _no_anchors("one rating alone")
    return dict(sorted(found.items()))


def _no_anchors(found: str) -> Exception:
    return refuse(
        found=found, wanted="results by the ratings 1 to 5, two of them at least",
        do="Write `{ 1 = 20, 5 = 60 }`.",
    )  # fmt: skip


def _steps(value: Any) -> tuple[float, ...]:
    """Least, likely and most grade steps, in this order."""
    steps = tuple(value) if isinstance(value, (list, tuple)) else ()
    numbers = [s for s in steps if isinstance(s, (int, float)) and not isinstance(s, bool)]
    if len(steps) != 3 or len(numbers) != 3 or list(steps) != sorted(steps):
        raise refuse(
            found=shown(value), wanted="least, likely and most grade steps, in this order",
            do="Write `[0, 1, 2]`.",
        )  # fmt: skip
    return tuple(float(step) for step in steps)


Above0 = Annotated[float, Field(gt=0, allow_inf_nan=False)]


class OwnTest(Entry):
    """A test of the climber's. What it leaves out is as in the usual test that it is `like`.

    `error` is how far two days differ by chance (one standard deviation), in per cent, or in the
    unit itself where that is a length. `anchors` say which result stands for which rating.
    `since`: from this day on it is done like this; earlier results are a series of their own.
    `worth_having` is the least gain in four weeks worth having, as `error` is told. `ten_percent`
    is what ten per cent more would be worth: least, likely and most grade steps.
    """

    like: str = Field("", max_length=100)
    quality: Quality | None = None
    unit: str = Field("", max_length=20)
    protocol: str = Field("", max_length=1000)
    grip: str = Field("", max_length=100)
    since: Day | None = None
    better: Better | None = None
    error: Above0 | None = None
    anchors: Annotated[dict[int, float], BeforeValidator(_anchors)] = Field(default_factory=dict)
    worth_having: Above0 | None = None
    minutes: Annotated[int, Field(ge=1, le=600, strict=True)] | None = None
    ten_percent: Annotated[tuple[float, ...], BeforeValidator(_steps)] = ()

    @model_validator(mode="after")
    def _says_what(self) -> Self:
        unsaid = [key for key in ("quality", "unit") if not getattr(self, key)]
        if unsaid and not self.like:
            raise refuse(
                found="no " + " and no ".join(f"`{key}`" for key in unsaid),
                wanted="the quality it tests and its unit, or the usual test it is `like`",
                do="Say both; `seasonplan tests --usual` lists the usual tests.",
            )
        return self

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        """Anchors rise, or fall, without a turn; the way of `better` where that is said."""
        ways = {after > before for before, after in pairwise(self.anchors.values())}
        stands = any(after == before for before, after in pairwise(self.anchors.values()))
        wrong = self.better is not None and ways == {self.better is Better.LESS}
        if stands or len(ways) > 1 or wrong:
            raise refuse(
                found=", ".join(f"{rating} = {result:g}" for rating, result in self.anchors.items())
                + (f' with `better = "{self.better.value}"`' if wrong and self.better else ""),
                wanted="results that get better from rating to rating",
                do="Correct `anchors`, or say what is better.",
            )
        return self
