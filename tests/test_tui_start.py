"""An empty folder: from nothing to a first plan, and the examples."""

from __future__ import annotations

from pathlib import Path

import pytest
from stage import bench, opened, pointed, press, told, until, words
from textual.pilot import Pilot
from textual.widgets import Input

from seasonplan.desk import Desk
from tui import examples
from tui.begin import BeginScreen
from tui.examples import EXAMPLES, folder_of


async def begin(pilot: Pilot[int]) -> BeginScreen:
    await press(pilot, "enter")
    screen = pilot.app.screen
    assert isinstance(screen, BeginScreen)
    return screen


def fill(screen: BeginScreen, **values: str) -> None:
    for key, value in values.items():
        screen.query_one(f"#in-{key.replace('_', '-')}", Input).value = value


GOAL = {"goal": "Slow Lightning", "place": "Harrow Cleft", "grade": "7b+"}
ROCK = {"season_first": "09-12", "season_last": "10-31"}


async def test_a_newcomer_gets_a_first_plan_with_keys_alone(tmp_path: Path) -> None:
    folder = tmp_path / "my-year"
    async with opened(folder, size=(80, 24)) as pilot:
        assert "Begin my year" in words(pilot)
        await begin(pilot)
        await press(pilot, *"Mira")
        for _ in range(11):  # zone, first day, weeks and the weekdays as they are
            await press(pilot, "tab")
        for text in ("Slow Lightning", "Harrow Cleft", None, "7b+", "09-12", "10-31"):
            keys = ["space" if sign == " " else sign for sign in text or ""]
            await press(pilot, *keys, "enter")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "plan 1 stands" in words(pilot))
        year = bench(pilot).desk.year
        assert year.climber.name == "Mira" and year.goals[0].grade == "7b+"
        assert pointed(pilot).key == "base-1"
        assert "Your plan is made" in told(pilot)


async def test_what_was_begun_is_a_year_like_any_other(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        screen = await begin(pilot)
        fill(screen, **GOAL, **ROCK, chance="55 %")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: (tmp_path / "plan.json").exists())
    desk = Desk(tmp_path)
    assert desk.year.seasons[0].chance == 0.55
    assert "Lines that begin with # and a space explain" in (tmp_path / "year.toml").read_text()


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("zone", "Atlantis/Harbour", "time zone"),
        ("first", "2027-13-01", "date"),
        ("weeks", "2", "weeks"),
        ("grade", "very hard", "grade"),
        ("season-first", "32 Septober", "date"),
        ("chance", "often", "40 %"),
        ("discipline", "chess", "sport"),
    ],
)
async def test_a_wrong_answer_is_said_at_once_and_nothing_is_written(
    tmp_path: Path, key: str, value: str, said: str
) -> None:
    async with opened(tmp_path, size=(160, 40)) as pilot:
        screen = await begin(pilot)
        fill(screen, **GOAL, **ROCK)
        screen.query_one(f"#in-{key}", Input).value = value
        await pilot.pause()
        hint = str(screen.query_one(f"#hint-{key}").content)  # type: ignore[attr-defined]
        assert hint.startswith("!") and said in hint
        await press(pilot, "ctrl+s")
        assert not (tmp_path / "year.toml").exists()
        assert screen.focused is not None and screen.focused.id == f"in-{key}"


async def test_wrong_minutes_name_their_weekday(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        screen = await begin(pilot)
        screen.query_one("#day-friday", Input).value = "all day"
        await pilot.pause()
        assert "! Friday" in words(pilot)


@pytest.mark.parametrize(
    ("given", "focus"),
    [
        ({"goal": "Slow Lightning"}, "in-place"),
        ({"goal": "Slow Lightning", "place": "Harrow Cleft"}, "in-grade"),
        ({"season_first": "09-12", "place": "Harrow Cleft"}, "in-season-last"),
        (ROCK, "in-place"),
    ],
)
async def test_what_is_missing_is_asked_for(
    tmp_path: Path, given: dict[str, str], focus: str
) -> None:
    async with opened(tmp_path) as pilot:
        screen = await begin(pilot)
        fill(screen, **given)
        await press(pilot, "ctrl+s")
        assert screen.focused is not None and screen.focused.id == focus
        assert not (tmp_path / "year.toml").exists()


async def test_escape_goes_back_without_writing(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await press(pilot, "escape")
        assert "Begin my year" in words(pilot)
        assert list(tmp_path.iterdir()) == []


async def test_a_year_that_came_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        screen = await begin(pilot)
        fill(screen, **GOAL, **ROCK)
        (tmp_path / "year.toml").write_text("mine")
        await press(pilot, "ctrl+s")
        assert (tmp_path / "year.toml").read_text() == "mine"
        assert "Nothing was written" in words(pilot)


async def test_an_example_opens_as_a_copy(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "down", "enter")
        await pilot.pause()
        assert bench(pilot).folder == tmp_path / EXAMPLES[0].name
        assert "A copy in" in told(pilot)
        await press(pilot, "p")
    source = folder_of(EXAMPLES[0])
    assert source is not None
    assert Desk(source).year.pins == ()
    assert Desk(tmp_path / EXAMPLES[0].name).year.pins


def test_a_copy_that_is_there_is_kept(tmp_path: Path) -> None:
    copied = examples.copy_into(EXAMPLES[1], tmp_path)
    (copied / "year.toml").write_text("changed")
    assert examples.copy_into(EXAMPLES[1], tmp_path) == copied
    assert (copied / "year.toml").read_text() == "changed"


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.name)
def test_every_example_is_there_and_can_be_read(example: examples.Example) -> None:
    found = folder_of(example)
    assert found is not None
    assert Desk(found).plan is not None
