"""Performance blocks and the rock: what the judges must report and let be.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

import pytest
from plan_maker import a_year, block, given, season, span, trip
from verdicts import codes, hard, only

from seasonplan.plan import Block
from seasonplan.vocabulary import Kind

BASE, PERFORMANCE, REST = Kind.BASE, Kind.PERFORMANCE, Kind.REST


def test_performing_after_the_last_rock_is_reported_on_just_those_days() -> None:
    year = a_year(8, seasons=[season(0, 21)])
    blocks = [block(PERFORMANCE, 0, 23, shares=(0.85, 0.85, 0.85, 0.5)), block(BASE, 23, 33)]
    finding = only(year, *blocks)
    assert (finding.code, finding.span) == ("rock-only", span(21, 2))


def test_performing_without_any_rock_is_reported() -> None:
    blocks = [block(PERFORMANCE, 0, 14, shares=(0.5,)), block(BASE, 14, 42)]
    assert codes(a_year(8), *blocks) == {"rock-only"}


def test_a_performance_block_may_lead_to_the_trip_directly_after_it() -> None:
    lead = block(PERFORMANCE, 0, 14, shares=(0.5,))
    away, rest = given(Kind.TRIP, 14, 7, entry="trip"), block(BASE, 21, 35)
    assert codes(a_year(8, trips=[trip(14, 7)]), lead, away, rest) == set()
    later = [lead, block(REST, 14, 7), given(Kind.TRIP, 21, 7, entry="trip"), block(BASE, 28, 28)]
    assert codes(a_year(8, trips=[trip(21, 7)]), *later) == {"rock-only"}


def test_rock_with_no_chance_is_no_rock() -> None:
    year = a_year(8, seasons=[season(0, 21, chance=[0.5, 0.5, 0])])
    blocks = [block(PERFORMANCE, 0, 21, shares=(0.85, 0.85, 0.5)), block(BASE, 21, 35)]
    assert codes(year, *blocks) == {"rock-only"}


@pytest.mark.parametrize(("days_ahead", "broken"), [(14, False), (15, True)])
def test_two_weeks_of_lead_in_are_the_most(days_ahead: int, broken: bool) -> None:
    year = a_year(8, seasons=[season(21, 21)])
    begins = 21 - days_ahead
    lead = block(PERFORMANCE, begins, days_ahead, shares=(0.5,))
    performing = block(PERFORMANCE, 21, 6)
    whole = Block(
        id="p", kind=PERFORMANCE, span=span(begins, days_ahead + 6),
        weeks=lead.weeks + performing.weeks,
    )  # fmt: skip
    blocks = (block(REST, 0, begins), whole, block(BASE, 27, 29))
    found = hard(year, *blocks)
    assert [(f.code, f.found) for f in found] == ([("lead-in-length", 15)] if broken else [])


def test_a_gap_in_the_rock_may_not_be_longer_than_a_lead_in() -> None:
    year = a_year(9, seasons=[season(0, 7), season(22, 14, name="Later")])
    performing = block(PERFORMANCE, 0, 27, shares=(0.85, 0.5, 0.5, 0.5))
    finding = only(year, performing, block(BASE, 27, 36))
    assert (finding.code, finding.found, finding.span) == ("lead-in-length", 15, span(7, 1))
