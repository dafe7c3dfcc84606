"""An empty folder: from nothing to a first plan, and the examples."""

from __future__ import annotations

from pathlib import Path

import pytest
from filling import field, form, judged
from stage import bench, demo, opened, pointed, press, screen_text, told, typed, until, words
from textual.pilot import Pilot

from seasonplan.workspace.desk import Desk
from tui import examples
from tui.examples import EXAMPLES, folder_of
from tui.forms.unfinished import KEY
from tui.year.lanes import Lane


async def begin(pilot: Pilot[int]) -> None:
    await press(pilot, "enter")
    assert form(pilot).about.key == KEY


async def answer(pilot: Pilot[int], **said: str) -> None:
    for key, text in said.items():
        field(pilot, LINES[key]).input.value = text
    await pilot.pause()


LINES = {
    "name": "climber.name", "zone": "climber.time_zone", "first": "year.first",
    "weeks": "year.weeks", "friday": "climber.minutes.friday", "goal": "goal.0.name",
    "place": "goal.0.place", "sort": "goal.0.discipline", "grade": "goal.0.grade",
    "rock_first": "season.0.first", "rock_last": "season.0.last", "chance": "season.0.chance",
}  # fmt: skip
GOAL = {"goal": "Slow Lightning", "place": "Harrow Cleft", "grade": "7b+"}
ROCK = {"rock_first": "12 sep every year", "rock_last": "10-31"}


async def test_a_newcomer_gets_a_first_plan_with_keys_alone(tmp_path: Path) -> None:
    folder = tmp_path / "my-year"
    async with opened(folder, size=(80, 24)) as pilot:
        assert "Begin my year" in words(pilot)
        await begin(pilot)
        for text in ("Mira", "1990"):
            await typed(pilot, text)
            await press(pilot, "enter")
        for _ in range(10):  # zone, first day, weeks and the weekdays as they are
            await press(pilot, "enter")
        goal = ("Slow Lightning", "Harrow Cleft", "", "7b+", "12 sep every year", "10-31", "")
        for text in (*goal, "sat, sun", "5h", "1500", "2"):
            await typed(pilot, text)
            await press(pilot, "enter")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "plan 1 stands" in words(pilot))
        year = bench(pilot).desk.year
        assert year.climber.name == "Mira" and year.goals[0].grade == "7b+"
        assert year.climber.birth_year == 1990
        assert (year.climber.rock_days, year.climber.rock_minutes) == (("saturday", "sunday"), 300)
        assert (year.before.weekly_load, year.before.hard_finger_sessions) == ((1500.0,), 2.0)
        assert pointed(pilot).lane is Lane.PLAN
        assert "Your plan is made" in told(pilot)


async def test_what_was_begun_is_a_year_like_any_other(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await answer(pilot, **GOAL, **ROCK, chance="55 %", friday="18:00-19:30, 20:00-21:00")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: (tmp_path / "plan.json").exists())
    desk = Desk(tmp_path)
    assert desk.year.seasons[0].chance == 0.55 and desk.year.seasons[0].first == "09-12"
    assert desk.year.goals[0].priority == 1 and desk.year.goals[0].discipline == "sport"
    assert desk.year.climber.minutes.on(4) == 150
    text = (tmp_path / "year.toml").read_text()
    assert "Lines that begin with # and a space explain" in text
    assert 'friday = ["18:00-19:30", "20:00-21:00"]' in text
    assert text.index("# What you train for") < text.index("Slow Lightning")


@pytest.mark.parametrize(
    ("said", "chance"),
    [
        ("sept 45 %, oct 60 %", {"september": 0.45, "october": 0.6}),
        ("10, 20, 30, 40, 50, 60, 70, 80", (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)),
    ],
)
async def test_a_first_season_may_have_a_chance_for_each_month_or_week(
    tmp_path: Path, said: str, chance: object
) -> None:
    """The year file that this wrote was no TOML."""
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await answer(pilot, **GOAL, **ROCK, chance=said)
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: (tmp_path / "plan.json").exists())
    assert Desk(tmp_path).year.seasons[0].chance == chance


async def test_a_year_may_be_begun_without_a_goal(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: (tmp_path / "plan.json").exists())
    assert Desk(tmp_path).year.goals == ()


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("zone", "Atlantis/Harbour", "time zone"),
        ("first", "2027-13-01", "12 months"),
        ("weeks", "many", "number"),
        ("weeks", "3", "4 to 104 weeks"),
        ("grade", "very hard", "grade"),
        ("rock_first", "32 Septober", "date"),
        ("chance", "often", "chance"),
        ("sort", "chess", "sport"),
        ("friday", "all day", "minutes"),
    ],
)
async def test_a_wrong_answer_is_said_at_once_and_nothing_is_written(
    tmp_path: Path, key: str, value: str, said: str
) -> None:
    async with opened(tmp_path, size=(80, 24)) as pilot:
        await begin(pilot)
        await answer(pilot, **GOAL, **ROCK)
        await answer(pilot, **{key: value})
        await judged(pilot, LINES[key], said)
        await press(pilot, "ctrl+s")
        assert not (tmp_path / "year.toml").exists()
        assert field(pilot, LINES[key]).input.has_focus
        assert said in words(pilot)


async def test_each_wrong_answer_is_said_where_it_stands(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(80, 24)) as pilot:
        await begin(pilot)
        await answer(pilot, **GOAL | ROCK | {"sort": "chess", "rock_first": "32 Septober"})
        await judged(pilot, LINES["sort"], "chess")
        await judged(pilot, LINES["rock_first"], "32 Septober")


@pytest.mark.parametrize(
    ("given", "focus"),
    [
        ({"goal": "Slow Lightning"}, "place"),
        ({"goal": "Slow Lightning", "place": "Harrow Cleft"}, "grade"),
        ({"rock_first": "09-12", "place": "Harrow Cleft"}, "rock_last"),
        (ROCK, "place"),
        ({"place": "Harrow Cleft"}, "goal"),
    ],
)
async def test_what_is_missing_is_asked_for(
    tmp_path: Path, given: dict[str, str], focus: str
) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await answer(pilot, **given)
        await press(pilot, "ctrl+s")
        assert field(pilot, LINES[focus]).input.has_focus
        assert "is needed" in words(pilot)
        assert not (tmp_path / "year.toml").exists()


async def test_a_wrong_discipline_of_a_season_without_a_goal_is_told(tmp_path: Path) -> None:
    """The user's word was taken for sport climbing."""
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await answer(pilot, **ROCK | {"place": "Harrow Cleft", "sort": "chess"})
        await press(pilot, "ctrl+s")
        assert field(pilot, LINES["sort"]).input.has_focus
        assert "found 'chess'; wanted sport, trad" in words(pilot)
        assert not (tmp_path / "year.toml").exists()


async def test_escape_goes_back_without_a_trace(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await press(pilot, "escape")
        assert "Begin my year" in words(pilot)
        assert list(tmp_path.iterdir()) == []


async def test_too_few_weeks_are_told_of_the_whole(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(80, 24)) as pilot:
        await begin(pilot)
        await answer(pilot, weeks="2")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "found 2 weeks; wanted 4 to 104 weeks" in words(pilot))
        assert "“How many weeks”" in words(pilot) and "“Good until”" not in words(pilot)
        assert not (tmp_path / "year.toml").exists()


async def test_escape_asks_before_answers_are_thrown_away(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await typed(pilot, "Mira")
        await press(pilot, "escape")
        assert "Leave what you wrote here?" in words(pilot)
        await press(pilot, "down", "enter")
        await until(pilot, lambda: "Begin my year" in words(pilot))
        assert not (tmp_path / "year.toml").exists()


async def test_a_year_that_came_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await begin(pilot)
        await answer(pilot, **GOAL, **ROCK)
        (tmp_path / "year.toml").write_text("mine")
        await press(pilot, "ctrl+s")
        assert (tmp_path / "year.toml").read_text() == "mine"
        assert "Nothing was written" in told(pilot)
        assert field(pilot, "goal.0.name").words == "Slow Lightning"


async def test_an_example_opens_as_a_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = demo(tmp_path / "shelf", EXAMPLES[0].name)
    monkeypatch.setattr(examples, "folder_of", lambda _: source)
    async with opened(tmp_path) as pilot:
        await press(pilot, "down", "enter")
        await pilot.pause()
        assert bench(pilot).folder == tmp_path / EXAMPLES[0].name
        assert "A copy in" in told(pilot)
        await press(pilot, "right", "p")
    assert Desk(source).year.pins == ()
    assert Desk(tmp_path / EXAMPLES[0].name).year.pins


def test_a_copy_that_is_there_is_kept(tmp_path: Path) -> None:
    copied = examples.copy_into(EXAMPLES[1], tmp_path)
    (copied / "year.toml").write_text("changed")
    assert examples.copy_into(EXAMPLES[1], tmp_path) == copied
    assert (copied / "year.toml").read_text() == "changed"


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.name)
def test_every_example_is_there_and_can_be_read(tmp_path: Path, example: examples.Example) -> None:
    found = folder_of(example)
    assert found is not None and (found / "plan.json").is_file()
    assert Desk(demo(tmp_path, example.name)).plan is not None


async def test_lines_that_are_too_wide_go_on_under_their_beginning(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(40, 20)) as pilot:
        for size in ((40, 20), (50, 40), (40, 20)):
            await pilot.resize_terminal(*size)
            await pilot.pause(0.1)
            lines = [line.rstrip() for line in screen_text(pilot).splitlines()]
            said = lines.index(next(line for line in lines if "a spring to try in" in line))
            indents = [len(line) - len(line.lstrip()) for line in lines[said : said + 2]]
            assert indents == [5, 5], lines
