"""Days to columns and back: no day is lost and none stands twice."""

from __future__ import annotations

from datetime import date

import pytest

from seasonplan.days import Span
from tui.year.scale import Scale, Zoom, kept, scale_for

YEAR = Span(date(2027, 1, 4), date(2028, 1, 3))


@pytest.mark.parametrize("zoom", Zoom)
@pytest.mark.parametrize("width", [30, 67, 140])
def test_every_shown_day_has_a_column_and_columns_keep_their_order(zoom: Zoom, width: int) -> None:
    scale = scale_for(YEAR, zoom, width=width, around=date(2027, 6, 1), week_begins=0)
    columns = [scale.column(day) for day in scale.shown.days()]
    assert columns == sorted(columns)
    assert columns[0] == 0 and columns[-1] < scale.width <= width
    assert all(scale.day(column) in scale.shown for column in range(scale.width))


def test_a_span_of_a_day_is_never_invisible() -> None:
    scale = Scale(YEAR, 52)
    first, after = scale.columns(Span(date(2027, 3, 3), date(2027, 3, 4))) or (0, 0)
    assert after - first == 1


def test_two_years_scroll_without_losing_a_day() -> None:
    whole = Span(date(2027, 1, 4), date(2029, 1, 1))
    scale = scale_for(whole, Zoom.YEAR, width=66, around=whole.first, week_begins=0)
    seen = set(scale.shown.days())
    for day in whole.days():
        scale = kept(scale, whole, day, week_begins=0)
        assert day in scale.shown
        seen |= set(scale.shown.days())
    assert seen == set(whole.days())
