"""What stands before and after a block: what the judges must report and let be.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

import pytest
from plan_maker import a_year, absence, block, given, injury, season, trip
from verdicts import STRONG, codes, hard, only, row

from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Before

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
LONG_SEASON = season(0, 200)


def test_two_blocks_of_one_kind_side_by_side_are_reported() -> None:
    finding = only(a_year(8), *row((BASE, 28), (BASE, 28)))
    assert (finding.code, finding.blocks) == ("order", ("base-0", "base-28"))


def test_two_blocks_of_one_kind_with_days_off_between_are_fine() -> None:
    year = a_year(8, before=STRONG, absences=[absence(21, 7)])
    away = given(Kind.ABSENCE, 21, 7, entry="away")
    assert codes(year, block(BASE, 0, 21), away, block(BASE, 28, 28)) == set()


def test_the_first_block_may_go_on_with_the_kind_before_the_year() -> None:
    assert (
        codes(a_year(8, before=Before(last_kind=BASE)), *row((BASE, 28), (STRENGTH, 28))) == set()
    )


def test_strength_on_the_heels_of_performing_is_reported() -> None:
    year = a_year(8, seasons=[LONG_SEASON])
    finding = only(year, *row((PERFORMANCE, 21), (STRENGTH, 35)))
    assert finding.code == "rest-before-strength"
    assert finding.blocks == ("performance-0", "strength-21")
    assert codes(year, *row((PERFORMANCE, 21), (REST, 7), (STRENGTH, 28))) == set()
    assert codes(year, *row((PERFORMANCE, 21), (BASE, 28), (STRENGTH, 7))) == set()


def test_strength_right_after_a_trip_is_reported() -> None:
    year = a_year(8, trips=[trip(21, 7)])
    away = given(Kind.TRIP, 21, 7, entry="trip")
    assert codes(year, block(BASE, 0, 21), away, block(STRENGTH, 28, 28)) == {
        "rest-before-strength"
    }
    assert (
        codes(year, block(BASE, 0, 21), away, block(REST, 28, 7), block(STRENGTH, 35, 21)) == set()
    )


def test_days_off_between_performing_and_strength_are_rest() -> None:
    year = a_year(8, before=STRONG, seasons=[LONG_SEASON], absences=[absence(21, 7)])
    away = given(Kind.ABSENCE, 21, 7, entry="away")
    assert codes(year, block(PERFORMANCE, 0, 21), away, block(STRENGTH, 28, 28)) == set()


def test_a_trip_after_the_days_off_counts_again() -> None:
    year = a_year(8, before=STRONG, absences=[absence(14, 7)], trips=[trip(21, 7)])
    off, away = given(Kind.ABSENCE, 14, 7, entry="away"), given(Kind.TRIP, 21, 7, entry="trip")
    blocks = (block(BASE, 0, 14), off, away, block(STRENGTH, 28, 28))
    assert codes(year, *blocks) == {"rest-before-strength"}


def test_performing_before_the_year_counts_against_strength_at_its_start() -> None:
    blocks = row((STRENGTH, 28), (BASE, 28))
    assert codes(a_year(8, before=Before(last_kind=PERFORMANCE)), *blocks) == {
        "rest-before-strength"
    }
    assert codes(a_year(8, before=Before(last_kind=REST)), *blocks) == set()


def test_after_a_long_performance_block_comes_rest() -> None:
    year = a_year(10, seasons=[LONG_SEASON])
    finding = only(year, *row((PERFORMANCE, 28), (BASE, 42)))
    assert (finding.code, finding.found, finding.limit) == ("rest-after-performance", 4, 4)
    assert codes(year, *row((PERFORMANCE, 27), (BASE, 43))) == set()
    assert codes(year, *row((PERFORMANCE, 28), (REST, 14), (BASE, 28))) == set()


def test_rest_after_performing_may_wait_until_after_a_trip_but_no_longer() -> None:
    year = a_year(10, seasons=[LONG_SEASON], trips=[trip(28, 7)])
    performing, away = block(PERFORMANCE, 0, 28), given(Kind.TRIP, 28, 7, entry="trip")
    assert codes(year, performing, away, block(REST, 35, 7), block(BASE, 42, 28)) == set()
    assert codes(year, performing, away, block(BASE, 35, 35)) == {"rest-after-performance"}


def test_days_off_after_performing_are_rest() -> None:
    year = a_year(10, before=STRONG, seasons=[LONG_SEASON], absences=[absence(28, 7)])
    off = given(Kind.ABSENCE, 28, 7, entry="away")
    assert codes(year, block(PERFORMANCE, 0, 28), off, block(BASE, 35, 35)) == set()


@pytest.mark.parametrize(("gap", "broken"), [(7, False), (6, True), (0, True)])
def test_the_week_before_a_trip_holds_no_strength(gap: int, broken: bool) -> None:
    year = a_year(8, trips=[trip(35, 7)])
    blocks = [block(STRENGTH, 0, 35 - gap)]
    if gap:
        blocks.append(block(REST, 35 - gap, gap))
    blocks += [given(Kind.TRIP, 35, 7, entry="trip"), block(BASE, 42, 14)]
    found = hard(year, *blocks)
    assert [f.code for f in found] == (["strength-before-trip"] if broken else [])
    assert [f.found for f in found] == ([gap] if broken else [])


def test_a_trip_too_short_for_a_block_may_follow_strength() -> None:
    blocks = row((STRENGTH, 28), (BASE, 28))
    assert codes(a_year(8, trips=[trip(28, 3)]), *blocks) == set()


def test_fourteen_weeks_may_pass_without_rest_and_not_a_day_more() -> None:
    sixteen = ((BASE, 28), (STRENGTH, 28), (BASE, 42), (REST, 14))
    assert codes(a_year(16), *row(*sixteen)) == set()
    finding = only(a_year(16), *row((BASE, 28), (STRENGTH, 28), (BASE, 43), (REST, 13)))
    assert (finding.code, finding.limit) == ("rest-every", 14)
    assert finding.found == pytest.approx(99 / 7)
    before = Before(days_since_rest=1)
    assert codes(a_year(16, before=before), *row(*sixteen)) == {"rest-every"}


def test_days_before_the_year_do_not_count_when_it_begins_with_rest() -> None:
    year = a_year(16, before=Before(days_since_rest=90))
    assert codes(year, *row((REST, 14), (BASE, 28), (STRENGTH, 28), (BASE, 42))) == set()


@pytest.mark.parametrize(("left", "rests"), [(0.3, True), (0.6, False)])
def test_weeks_of_next_to_no_time_count_as_rest(left: float, rests: bool) -> None:
    """Three weeks with a third of the time miss as much as fourteen days off. Common practice, no
    source."""
    year = a_year(18, absences=[absence(49, 21, left=left)])
    found = codes(year, *row((BASE, 56), (STRENGTH, 42), (BASE, 28)))
    assert ("rest-every" in found) is not rests


def test_days_off_count_as_rest_and_trips_do_not() -> None:
    blocks = [block(BASE, 0, 49), block(BASE, 56, 56)]
    off = given(Kind.ABSENCE, 49, 7, entry="away")
    assert (
        codes(a_year(16, before=STRONG, absences=[absence(49, 7)]), blocks[0], off, blocks[1])
        == set()
    )
    away = given(Kind.TRIP, 49, 7, entry="trip")
    assert codes(a_year(16, trips=[trip(49, 7)]), blocks[0], away, blocks[1]) == {"rest-every"}


def test_a_return_to_load_counts_as_rest() -> None:
    year = a_year(16, injuries=[injury(49, easy=49, building=49, full=56)])
    back = given(Kind.RETURN, 49, 7, entry="finger", phase=Phase.BUILDING)
    assert codes(year, block(BASE, 0, 49), back, block(BASE, 56, 56)) == set()


def test_rest_may_wait_for_the_end_of_a_trip_and_not_a_day_longer() -> None:
    year = a_year(17, trips=[trip(91, 14)])
    away = given(Kind.TRIP, 91, 14, entry="trip")
    before = row((BASE, 56), (STRENGTH, 21), (BASE, 14))
    before[-1] = block(PERFORMANCE, 77, 14, shares=(0.5,))
    assert codes(year, *before, away, block(REST, 105, 14)) == set()
    finding = only(year, *before, away, block(BASE, 105, 14))
    assert finding.code == "rest-every"
