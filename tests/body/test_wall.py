"""How long a session on a wall takes at least (custom of this project, no source)."""

from __future__ import annotations

import pytest
from coached import year_text

from seasonplan.body.wall import least_on_wall
from seasonplan.year.toml import read_year


@pytest.mark.parametrize(
    ("minutes", "way", "has", "least"),
    [
        (45, 0, "wall", 40),
        (60, 0, "wall", 60),
        (90, 0, "wall", 60),
        (90, 20, "wall", 40),  # 50 minutes are left beside the way
        (100, 20, "wall", 60),
        (45, 0, "home wall", 0),
    ],
)
def test_a_wall_takes_an_hour_or_less_for_who_never_has_one(
    minutes: int, way: int, has: str, least: int
) -> None:
    climber = f"wall_travel_minutes = {way}"
    text = year_text({"tuesday": 30, "thursday": minutes}, "", climber=climber, has=(has,))
    assert least_on_wall(read_year(text, file="year.toml")) == least
