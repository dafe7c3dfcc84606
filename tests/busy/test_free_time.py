"""Free time that stays free is told with what holds the rest back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from folder_maker import SHORT, YEAR, planned, session
from plan_maker import FULL_WEEK, a_year, block, span
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.explain.free_time import SLOWLY, week_text, year_text
from seasonplan.plan import Revision
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from seasonplan.year import FixedSession, Year

BEFORE = "[before]\nweekly_load = [{load}, {load}, {load}, {load}]\n\n[climber.minutes]"


def opened(folder: Path, *, load: int = 0, **more: Any) -> tuple[Year, Revision]:
    year = YEAR.replace("[climber.minutes]", BEFORE.format(load=load)) if load else YEAR
    desk = Desk(planned(folder, year=year, shortfalls=(), **more))
    assert desk.plan is not None
    return desk.year, desk.plan.current


def told(folder: Path, week: int, **more: Any) -> str:
    year, revision = opened(folder, **more)
    return week_text(span(7 * week, 7), revision, year)


def test_a_week_tells_what_is_trained_of_the_free_time_and_why_no_more(tmp_path: Path) -> None:
    assert FULL_WEEK == 570
    text = told(tmp_path, 0, load=600)
    assert text == f"Of 9 h 30 min free you train 2 h 30 min: {SLOWLY}."


def test_the_way_to_the_wall_takes_time_too(tmp_path: Path) -> None:
    year, revision = opened(tmp_path, load=600)
    climber = year.climber.model_copy(update={"wall_travel_minutes": 20})
    far = year.model_copy(update={"climber": climber})
    assert "you train 2 h 30 min, 1 h 20 min on the way to the wall: " in week_text(
        span(0, 7), revision, far
    )


@pytest.mark.parametrize(
    ("week", "why"),
    [
        (3, "it is a light week"),
        (4, "in a season you come fresh to the rock"),
        (7, "a rest block is little and easy"),
    ],
)
def test_each_sort_of_week_has_a_reason_of_its_own(tmp_path: Path, week: int, why: str) -> None:
    assert told(tmp_path, week).endswith(f": {why}.")


def test_a_week_of_which_the_climber_left_something_out_says_that(tmp_path: Path) -> None:
    year, revision = opened(tmp_path, load=600)
    skips = [
        FixedSession(session=f"base-1/{first}/mobility-1", skip=True)
        for first in ("2027-01-04", "2027-01-11")
    ]
    wished = year.model_copy(update={"fixed_sessions": (*skips, skips[0])})
    assert week_text(span(0, 7), revision, wished).endswith(": you left out 2 sessions.")
    assert week_text(span(7, 7), revision, wished).endswith(": you left out 1 session.")
    assert "left out" not in week_text(span(14, 7), revision, wished)


def test_a_week_of_which_nothing_is_used_says_that_all_stays_free(tmp_path: Path) -> None:
    text = told(tmp_path, 3, sessions=())
    assert text == "All 9 h 30 min of free time stay free: it is a light week."


def test_a_week_hurt_or_ill_of_which_nothing_is_used_spares_no_part(tmp_path: Path) -> None:
    _, revision = opened(tmp_path)
    ill = block(Kind.INJURED, 0, 7, shares=(0.9,), id="injured-1")
    off = revision.model_copy(update={"blocks": (ill,), "sessions": ()})
    assert week_text(span(0, 7), off, a_year(12)) == (
        "All 9 h 30 min of free time stay free: nothing is trained until it is better."
    )


@pytest.mark.parametrize("week", [5, 6])
def test_of_trips_and_days_off_nothing_is_told(tmp_path: Path, week: int) -> None:
    assert told(tmp_path, week) == ""


def test_at_the_top_of_the_year_the_ceiling_is_the_reason(tmp_path: Path) -> None:
    """Load may rise to 1.5 times that before (response.toml, `load.year`): here within weeks."""
    _, revision = opened(tmp_path)
    year = a_year(12, before={"weekly_load": (700.0,) * 4})
    weeks = block(Kind.BASE, 0, 84, shares=(0.9,), id="base-1")
    long = revision.model_copy(update={"blocks": (weeks,)})
    assert week_text(span(0, 7), long, year).endswith(f"{SLOWLY}.")
    assert week_text(span(77, 7), long, year).endswith(
        "in a year your load rises to at most 1.5 times what you did before."
    )


def test_what_does_not_fit_is_not_told_twice(tmp_path: Path) -> None:
    year, revision = opened(tmp_path)
    short = revision.model_copy(update={"shortfalls": (SHORT,)})
    assert week_text(span(0, 7), short, year) == ""


def test_a_year_whose_fullest_week_is_short_is_told_that_no_more_fits(tmp_path: Path) -> None:
    """Not that its load rises slowly: the week asks for more than it holds."""
    year, revision = opened(tmp_path, load=600)
    held = year_text(revision, year)
    fullest = tuple(
        SHORT.model_copy(update={"block": block.id, "span": week.span})
        for block in revision.blocks
        for week in block.weeks
    )
    short = year_text(revision.model_copy(update={"shortfalls": fullest}), year)
    assert SLOWLY in held and short == f"{held.split(': ')[0]}: more does not fit, as said above."


def test_a_week_that_is_used_tells_nothing(tmp_path: Path) -> None:
    full = tuple(
        session(f"x{n}", "route-volume", n, "10:00", minutes)
        for n, minutes in ((1, 90), (2, 60), (3, 90), (5, 180), (6, 120))
    )
    assert told(tmp_path, 0, sessions=full) == ""


def test_the_year_is_told_with_what_was_not_said(tmp_path: Path) -> None:
    text = year_text(*reversed(opened(tmp_path)))
    assert text.startswith("Of 9 h 30 min free in the week from Mon 4 Jan 2027 you train")
    assert "at most 1.5 times that. You did not say what you did before (`weekly_load`" in text
    known = year_text(*reversed(opened(_other(tmp_path), load=600)))
    assert SLOWLY in known and "did not say" not in known


def test_a_load_entered_low_is_told_in_hours_with_where_to_say_more(tmp_path: Path) -> None:
    low = year_text(*reversed(opened(tmp_path, load=300)))
    assert "the 300 a week entered as `weekly_load` under `before`: 1 h a week at an effort" in low
    nothing = year_text(*reversed(opened(_other(tmp_path))))
    assert "rests on" not in nothing


def test_who_did_next_to_nothing_is_not_told_that_load_rises_from_that(tmp_path: Path) -> None:
    """Weeks of 360 stood beside 70 before: the plan counts more than that."""
    year, revision = opened(tmp_path, load=70)
    least = f"a week from the {response_table().least_load:.0f} that the plan counts at least"
    assert least in week_text(span(0, 7), revision, year) and least in year_text(revision, year)


def test_week_and_plan_tell_it(tmp_path: Path) -> None:
    planned(tmp_path, shortfalls=())
    ran = CliRunner().invoke(app, ["week", str(tmp_path), "--today", "2027-01-05"])
    assert "free you train 2 h 30 min:" in " ".join(ran.stdout.split())
    ran = CliRunner().invoke(app, ["plan", str(tmp_path), "--again", "--today", "2027-01-04"])
    assert ran.exit_code == 0, ran.output
    assert "Free time that stays free" in ran.stdout


def _other(folder: Path) -> Path:
    other = folder / "other"
    other.mkdir()
    return other
