"""A preference is told as not kept only where a plan, or a week, could have kept it.

A small part of `tests/benchmarks/random_years.py`, which asks it of a hundred years.
"""

from __future__ import annotations

from collections import Counter

from could_keep import could_keep, findings_of
from planned import planned
from random_years import random_year

SHORT = (15, 40, 58, 79, 92, 133, 154)  # of 26 to 39 weeks, where something is told


def test_what_is_told_as_not_kept_could_have_been_kept() -> None:
    seen: Counter[str] = Counter()
    for number in SHORT:
        drawn = random_year(number)
        made = planned(drawn.year, taken=drawn.taken)
        assert made is not None
        for told in findings_of(drawn, made, made.sessions):
            if told.strength == "soft":
                seen[told.code] += 1
                assert could_keep(drawn, made, told), (number, told)
    assert seen.total() >= 5
    assert len(seen) >= 5
