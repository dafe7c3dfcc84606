"""What the year tells of what is lost: days on rock that something new takes, words of a name."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.cells import cell_len
from stage import demo

from tui.bench import Bench
from tui.canvas import padded, shortened
from tui.year.brush import shorter
from tui.year.since import since_plan


def test_a_name_beside_its_mark_that_was_cut_says_so() -> None:
    assert shorter("The long autumn: north") == [
        "The long autumn: north", "The long autumn…", "The long…", "The…", "The",
    ]  # fmt: skip
    assert shorter("Autumn") == ["Autumn"]


@pytest.mark.parametrize(
    "more",
    [
        '[[injury]]\nname = "Left elbow"\npart = "elbow"\nhappened = 2027-10-01\n',
        '[[absence]]\nname = "Course"\nfirst = 2027-10-01\nlast = 2027-10-31\n',
    ],
)
def test_days_on_rock_that_an_injury_or_time_away_takes_are_told_as_lost(
    tmp_path: Path, more: str
) -> None:
    """Seen: "days on rock and form stay as they were", a week into a season that was over."""
    folder = demo(tmp_path)
    (folder / "year.toml").write_text(f"{(folder / 'year.toml').read_text()}\n{more}")
    bench = Bench(folder)
    assert bench.as_planned_sheet is not None
    (lost,) = [t for t in since_plan(bench.as_planned_sheet, bench.sheet) if "days on rock" in t]
    was, now = map(int, re.findall(r"(\d+) → (\d+) days", lost)[0])
    assert "long traverse" in lost and now < was


@pytest.mark.parametrize(
    ("text", "room", "told"),
    [
        ("A handful of onsights", 30, "A handful of onsights"),
        ("A handful of onsights", 11, "A handful…"),
        ("A handful of onsights", 9, "A handful"),
        ("Hangs, few and long", 8, "Hangs…"),
        ("Larchfold in autumn", 12, "Larchfold…"),
        ("Onsights", 5, "Onsi…"),
        ("Onsights", 1, ""),
    ],
)
def test_a_text_is_cut_between_its_words(text: str, room: int, told: str) -> None:
    assert shortened(text, room) == told


@pytest.mark.parametrize(("name", "room", "told"), [
    # signs of East Asia take two columns (Unicode Standard Annex 11)
    ("Brønnen 岩", 9, "Brønnen…"), ("Brønnen 岩", 10, "Brønnen 岩"), ("岩場の春の岩", 7, "岩場の…"),
])  # fmt: skip
def test_a_name_of_wide_signs_leaves_its_lane_the_room_it_has(
    name: str, room: int, told: str
) -> None:
    assert shortened(name, room) == told
    assert cell_len(padded(told, 12)) == 12
