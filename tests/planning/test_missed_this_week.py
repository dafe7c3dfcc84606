"""What was missed in the week of today: taken as done until that week is over, and told so."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from draft_maker import KEY
from spring import SPRING, STAMP, Spring, row

from seasonplan.workspace.desk import Desk

LAST, NOW, THURSDAY = date(2026, 4, 20), date(2026, 4, 27), date(2026, 4, 30)


def test_it_is_told_beside_the_weeks_that_count_and_not_where_it_is_all_that_was_missed(
    tmp_path: Path,
) -> None:
    """Without it a climber wonders why so little stands in the days that are left of the week."""
    first = tmp_path / "first"
    first.mkdir()
    (first / "year.toml").write_text(SPRING, encoding="utf-8")
    desk = Desk(first)
    desk.make_plan("first", stamp=STAMP, calendar_key=KEY)
    assert desk.plan is not None
    spring = Spring(first, desk.plan)
    gone = [row(one, "missed") for one in spring.week(LAST)]
    now = [row(one, "missed") for one in spring.week(NOW) if one.day < THURSDAY]
    assert len(gone) > 2 and now

    def told(name: str, *rows: str) -> bool:
        lines = spring.desk(tmp_path / name, *rows).missed_lines(THURSDAY)
        return any("this week counts once it is over, on 4 May" in one for one in lines)

    assert told("both", *gone, *now)
    assert not told("before", *gone) and not told("now", *now)
