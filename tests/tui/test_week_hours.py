"""The hours of a week on the lines there are: what matters grows, what is empty folds."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tui.week.hours import DAY_HOURS, HOUR, Hours, Wanted, hours_in, hours_of

NONE: frozenset[int] = frozenset()


def wanted(
    starts: dict[int, int] | None = None,
    *,
    free: frozenset[int] = NONE,
    busy: frozenset[int] = NONE,
) -> Wanted:
    starts = starts or {}
    return Wanted(starts, frozenset(starts), free, busy)


def laid_out(room: int, what: Wanted) -> Hours:
    hours = hours_in(room, what)
    assert hours is not None
    return hours


def lines_of(hours: Hours) -> dict[int, int]:
    return {row.first: row.lines for row in hours.rows if not row.folded}


def test_empty_hours_between_share_one_line() -> None:
    hours = laid_out(5, wanted({10: 1, 18: 1}))
    assert [(row.first, row.after, row.folded) for row in hours.rows] == [
        (10, 11, False), (11, 18, True), (18, 19, False),
    ]  # fmt: skip
    assert lines_of(hours) == {10: 2, 18: 2}


def test_where_there_is_little_room_the_fullest_hour_grows_first() -> None:
    assert lines_of(laid_out(5, wanted({17: 1, 18: 1, 19: 2}))) == {17: 2, 18: 1, 19: 2}


def test_each_session_that_begins_in_an_hour_has_a_line() -> None:
    assert lines_of(laid_out(3, wanted({18: 3}))) == {18: 3}
    assert hours_in(2, wanted({18: 3})) is None


def test_an_hour_grows_to_six_lines_and_shows_its_neighbours() -> None:
    hours = laid_out(40, wanted({18: 1}))
    assert lines_of(hours) == {17: 6, 18: 6, 19: 6}
    assert [hours.minute(hours.line(18 * HOUR) + n) for n in range(6)] == [
        1080, 1090, 1100, 1110, 1120, 1130,
    ]  # fmt: skip


def test_busy_hours_fold_before_free_ones_and_sessions_never() -> None:
    what = wanted({18: 1}, free=frozenset({17, 18}), busy=frozenset(range(8, 17)))
    assert set(lines_of(laid_out(11, what))) == {*range(8, 19)}
    assert lines_of(laid_out(4, what)) == {17: 1, 18: 2}
    assert lines_of(laid_out(2, what)) == {18: 1}
    assert hours_in(1, what) is None


def test_an_empty_week_shows_an_evening() -> None:
    assert set(lines_of(laid_out(20, wanted()))) >= {16, 17, 18, 19, 20, 21}


def test_the_ends_of_a_day_hold() -> None:
    hours = laid_out(40, wanted({0: 1, 23: 1}))
    assert hours.rows[0].first == 0 and hours.rows[-1].after == DAY_HOURS
    assert hours_of([(23 * HOUR + 30, 25 * HOUR)]) == {23}


counts = st.dictionaries(st.integers(0, 23), st.integers(1, 3), max_size=8)
some_hours = st.frozensets(st.integers(0, 23), max_size=12)


@given(counts, some_hours, some_hours, st.integers(1, 60))
def test_whatever_a_week_holds_every_hour_lies_somewhere_once(
    starts: dict[int, int], free: frozenset[int], busy: frozenset[int], room: int
) -> None:
    what = Wanted(starts, frozenset(starts), free, busy)
    hours = hours_in(room, what)
    if hours is None:
        assert sum(starts.values()) + len(starts) * 2 >= room or room < DAY_HOURS
        return
    assert hours.height <= room
    rows = hours.rows
    assert all(a.after == b.first and a.top + a.lines == b.top for a, b in zip(rows, rows[1:]))  # noqa: B905, RUF007
    shown = lines_of(hours)
    assert all(shown[hour] >= count for hour, count in starts.items())
    for line in range(hours.height):
        minute = hours.minute(line)
        assert minute is not None and hours.line(minute) == line
    assert hours.minute(-1) is None and hours.minute(hours.height) is None
