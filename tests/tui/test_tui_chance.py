"""The lane of chances: drawn from the records, told, taken over, and never a reason to crash."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from open_records import seattle_bytes
from places import TESTS
from stage import (
    bench,
    demo,
    main,
    opened,
    point,
    pointed,
    press,
    screen_text,
    sheet,
    slip,
    told,
    until,
    words,
)

from seasonplan.conditions import outlook_on, weekly
from seasonplan.edits import ChangeEntry
from seasonplan.workspace.store import load_year
from tui import examples
from tui.examples import EXAMPLES
from tui.year.lanes import Lane, Mark
from tui.year.page import YearPage
from tui.year.places import places
from tui.year.weather import Weather

YEARS = TESTS / "years"
TODAY = date(2016, 1, 12)
RECORD = "cleft.csv"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A year with one winter season and Seattle's open record."""
    shutil.copy(YEARS / "cleft-in-winter.toml", tmp_path / "year.toml")
    (tmp_path / RECORD).write_bytes(seattle_bytes())
    return tmp_path


def weather(pilot: Any) -> Weather:
    shown = sheet(pilot).sheet
    assert shown is not None
    return shown.weather[0]


async def read(pilot: Any) -> None:
    """Wait until the record is read."""
    await until(pilot, lambda: not weather(pilot).reading)


def chance_marks(pilot: Any) -> tuple[Mark, ...]:
    shown = sheet(pilot).sheet
    assert shown is not None
    return next(row.marks for row in shown.rows if row.lane is Lane.CHANCE)


def lane_lines(pilot: Any) -> list[str]:
    """The lines of the lane as they are on the screen, without the margin."""
    page = sheet(pilot)
    assert page.sheet is not None
    rows = page.sheet.rows
    place = next(
        place
        for place in places(rows, page.size.height, current=page.row)
        if rows[place.number].lane is Lane.CHANCE
    )
    top = page.region.y + place.top
    lines = screen_text(pilot).splitlines()[top : top + place.lines]
    return [line[page.region.x + page.margin :] for line in lines]


async def at_season(pilot: Any) -> None:
    mark = next(one for one in chance_marks(pilot) if one.name == "Cleft in winter")
    sheet(pilot).select(mark)
    await pilot.pause()


# --- drawn ------------------------------------------------------------------------------------


async def test_the_line_and_its_spread_are_drawn_with_signs_of_their_own(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        lines = lane_lines(pilot)
        assert len(lines) == 4
        columns = list(zip(*(line.ljust(100)[:94] for line in lines), strict=True))
        drawn = [column for column in columns if set(column) & set("▁━▔")]
        assert len(drawn) >= 90  # one point of the line in every column
        assert all(len([s for s in column if s in "▁━▔"]) == 1 for column in drawn)
        assert sum("░" in column for column in columns) >= 40
        assert "━ chance" in words(pilot) and "░ eight years of ten" in words(pilot)


async def test_the_line_is_high_when_the_record_is(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        study = weather(pilot).study
        assert study is not None

        def level(day: date) -> int:
            column = sheet(pilot).scale.column(day)
            heights = [line.ljust(100)[column] for line in reversed(lane_lines(pilot))]
            return next(3 * line + "▁━▔".index(s) for line, s in enumerate(heights) if s in "▁━▔")

        best = max(sheet(pilot).scale.shown.days(), key=study.climate.chance_on)
        assert study.climate.chance_on(best) > 0.3
        assert level(best) >= level(date(2016, 7, 15)) + 5


async def test_in_a_low_window_the_lane_is_one_line_of_heights(folder: Path) -> None:
    async with opened(folder, size=(80, 24), today=TODAY) as pilot:
        await read(pilot)
        (line,) = lane_lines(pilot)
        heights = set(line) & set("▁▂▃▄▅▆▇█")
        assert len(heights) >= 4
        assert "░ eight years of ten" not in words(pilot)


async def test_the_lane_follows_zoom(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        whole = lane_lines(pilot)
        await press(pilot, "z")
        assert lane_lines(pilot) != whole
        assert sum(sign in "▁━▔" for line in lane_lines(pilot) for sign in line) >= 85


async def test_line_and_spread_are_told_apart_without_colour(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        signs = set("".join(lane_lines(pilot)))
        assert "░" in signs and signs & set("▁━▔")


async def test_a_year_without_records_has_no_such_lane(folder: Path) -> None:
    text = (folder / "year.toml").read_text()
    (folder / "year.toml").write_text(text[: text.index("[[place]]")])
    async with opened(folder, today=TODAY) as pilot:
        shown = sheet(pilot).sheet
        assert shown is not None and not shown.weather
        assert Lane.CHANCE not in {row.lane for row in shown.rows}


# --- told -------------------------------------------------------------------------------------


async def test_the_slip_tells_chance_good_days_range_years_and_test(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        study = weather(pilot).study
        assert study is not None
        look = outlook_on(study.climate, pointed(pilot).span)
        text = slip(pilot)
        today = round(100 * study.climate.chance_on(TODAY))
        for part in (
            f"today {today} %", f"{look.expected:.1f} good days to expect",
            f"{look.low} to {look.high} in eight years of ten", "in 2013", "the fewest",
            "Tested on years left out", "204 good (14 %)", "2 to 15 °C", "preference",
            "By the chances you entered: 21.0 good days", "press c",
        ):  # fmt: skip
            assert part in text


async def test_between_seasons_the_slip_tells_what_lies_outside(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        await press(pilot, "right")
        text = slip(pilot)
        assert "Outside your seasons:" in text and "good days to expect" in text
        assert "press c" not in text and "Use the record" not in words(pilot)


async def test_a_season_on_the_rock_lane_tells_the_same_in_a_line(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        shown = sheet(pilot).sheet
        assert shown is not None
        sheet(pilot).select(shown.rows[0].marks[0])
        await pilot.pause()
        assert pointed(pilot).lane is Lane.ROCK
        assert "By the weather records" in slip(pilot) and "press c" in slip(pilot)


async def test_one_year_of_records_is_told_with_caution(folder: Path) -> None:
    (folder / RECORD).write_bytes(b"\n".join(seattle_bytes().splitlines()[:366]))
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        assert "about one year of records" in slip(pilot)


async def test_a_record_without_a_good_day_says_so_and_draws_no_line(folder: Path) -> None:
    text = (folder / "year.toml").read_text().replace("[2, 15]", "[50, 55]")
    (folder / "year.toml").write_text(text)
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        assert "no day of the record was good" in lane_lines(pilot)[0]
        assert "No day of 1,460 known ones was good" in slip(pilot)


# --- taken over -------------------------------------------------------------------------------


async def test_c_takes_the_chances_over_with_their_provenance_and_u_gives_them_back(
    folder: Path,
) -> None:
    before = (folder / "year.toml").read_text()
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        assert "c Use the record" in words(pilot)
        await press(pilot, "c")
        study = weather(pilot).study
        assert study is not None
        season = load_year(folder).year.seasons[0]
        assert season.chance == weekly(study.climate, pointed(pilot).span)
        assert season.chance_from.startswith(f"records {RECORD} sha256 ")
        assert "# a guess" in (folder / "year.toml").read_text()
        assert "Its chances come from these records" in slip(pilot)
        assert "Use the record" not in words(pilot)  # they are taken already
        await press(pilot, "u")
        assert (folder / "year.toml").read_text() == before
        assert "By the chances you entered" in slip(pilot)


async def test_chances_changed_by_hand_after_the_take_over_are_told(folder: Path) -> None:
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        await press(pilot, "c")
        main(pilot).change(ChangeEntry(id="cleft-in-winter", values={"chance": 0.9}))
        await pilot.pause()
        assert "changed by hand since" in slip(pilot)


async def test_new_records_are_read_by_themselves_and_the_season_is_called_outdated(
    folder: Path,
) -> None:
    (folder / RECORD).write_bytes(b"\n".join(seattle_bytes().splitlines()[:1000]))
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        await press(pilot, "c")
        old = load_year(folder).year.seasons[0].chance
        (folder / RECORD).write_bytes(seattle_bytes())
        await until(pilot, lambda: "taken from other records" in slip(pilot))
        await press(pilot, "c")
        assert load_year(folder).year.seasons[0].chance != old
        assert "Its chances come from these records" in slip(pilot)


async def test_where_there_is_nothing_to_take_c_does_nothing(folder: Path) -> None:
    before = (folder / "year.toml").read_text()
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        point(pilot, "week-3")
        await pilot.pause()
        await press(pilot, "c")
        assert (folder / "year.toml").read_text() == before and told(pilot) == ""


# --- what can go wrong ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (None, "found no file"),
        (b"", "cleft.csv: found"),
        (b"date,temp_max\n2012/01/01,5\n", "precipitation"),
        (b"date,temp_max,precipitation\n2012/01/01,warm,0\n", "line 2"),
    ],
)
async def test_a_broken_record_is_told_on_its_lane_and_a_mended_one_read(
    folder: Path, content: bytes | None, found: str
) -> None:
    if content is None:
        (folder / RECORD).unlink()
    else:
        (folder / RECORD).write_bytes(content)
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        assert "the weather record cannot be read" in lane_lines(pilot)[0]
        assert found in slip(pilot)
        (folder / RECORD).write_bytes(seattle_bytes())
        await until(pilot, lambda: weather(pilot).study is not None)
        assert "good days to expect" in slip(pilot)


async def test_while_the_record_is_read_the_lane_says_so(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.year.weather.WeatherWatch.begin", lambda self: None)
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        assert "reading the weather record…" in lane_lines(pilot)[0]
        await at_season(pilot)
        assert "is being read" in slip(pilot)


async def test_a_mistake_of_ours_is_told_and_the_rest_goes_on(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stumble(*_: object) -> None:
        raise ZeroDivisionError("ours")

    monkeypatch.setattr("seasonplan.workspace.desk.Desk.study", stumble)
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        await at_season(pilot)
        assert "a record that this program fails on" in slip(pilot)
        await press(pilot, "down")
        assert pointed(pilot).lane is not Lane.CHANCE


async def test_two_disciplines_at_a_place_have_a_lane_each(folder: Path) -> None:
    text = (folder / "year.toml").read_text()
    other = text[text.index("[[goal]]") : text.index("[[season]]")]
    other = other.replace("Slow Lightning", "Short Circuit").replace("sport", "boulder")
    other = other.replace("7b+", "7A")
    (folder / "year.toml").write_text(text.replace("[[season]]", f"{other}[[season]]"))
    async with opened(folder, size=(120, 50), today=TODAY) as pilot:
        await read(pilot)
        shown = sheet(pilot).sheet
        assert shown is not None
        labels = [row.label for row in shown.rows if row.lane is Lane.CHANCE]
        assert sorted(labels) == ["boulder, Harrow Cleft", "sport, Harrow Cleft"]


# --- the demo ---------------------------------------------------------------------------------


async def test_the_demo_has_a_lane_at_every_size(tmp_path: Path) -> None:
    for number, size in enumerate(((80, 24), (120, 40), (160, 50))):
        (tmp_path / str(number)).mkdir()
        async with opened(demo(tmp_path / str(number)), size=size) as pilot:
            await read(pilot)
            assert lane_lines(pilot) and bench(pilot).desk.subjects
            assert set("".join(lane_lines(pilot))) & set("▁▂▃▄▅▆▇█━▔")
            for lane in ("rock", "away", "plan", "hours", "The long", "A hand"):
                assert lane in words(pilot)


def test_a_copied_example_brings_its_record(tmp_path: Path) -> None:
    example = next(one for one in EXAMPLES if one.name == "autumn-project")
    copy = examples.copy_into(example, tmp_path)
    year = load_year(copy).year
    (record,) = [place.records for place in year.places if place.records]
    assert (copy / record.file).is_file()


async def test_a_narrow_window_lists_the_year_without_the_lane(folder: Path) -> None:
    async with opened(folder, size=(40, 24), today=TODAY) as pilot:
        await until(pilot, lambda: not weather(pilot).reading)
        assert main(pilot).query_one(YearPage).query_one("#year-list").display
