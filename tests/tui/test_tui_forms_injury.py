"""The form of an injury: caution always, the table's days, whose the days are, healed, or none."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from filling import fill, form, judged, open_form, text
from places import TESTS
from stage import main, opened, press, screen_text, until, words
from textual.pilot import Pilot

from seasonplan.vocabulary import NamedBy
from seasonplan.year import Injury

YEARS = TESTS / "years"
TODAY = date(2026, 3, 10)  # a Tuesday
ELBOW = """
[[injury]]
name = "Sore elbow"
part = "elbow"
happened = 2026-02-01
easy_from = 2026-03-01
building_from = 2026-03-15
full_from = 2026-04-01  # said in the practice
named_by = "clinician"
"""


def year_folder(into: Path, more: str = "") -> Path:
    """A folder with twelve weeks and no plan."""
    shutil.copy(YEARS / "twelve-weeks.toml", into / "year.toml")
    with (into / "year.toml").open("a", encoding="utf-8") as file:
        file.write(more)
    return into


def injuries(pilot: Pilot[int]) -> tuple[Injury, ...]:
    return main(pilot).bench.desk.year.injuries


def unbroken(pilot: Pilot[int]) -> str:
    return " ".join(words(pilot).split())


async def new_injury(pilot: Pilot[int], part: str, happened: str) -> None:
    """The form of a new injury, with what hurts and since when."""
    await open_form(pilot, "new injury", {"part": part, "happened": happened})


async def test_an_injury_shows_the_caution_and_the_days_of_the_table(tmp_path: Path) -> None:
    folder = year_folder(tmp_path)
    async with opened(folder, size=(140, 50), today=TODAY) as pilot:
        await open_form(pilot, "new injury")
        assert "Ask a doctor or physiotherapist about the injury." in words(pilot)
        await fill(pilot, "part", "finger")
        await fill(pilot, "happened", "yesterday")
        await until(pilot, lambda: "Without the grade of a pulley" in words(pilot))
        await fill(pilot, "grade", "II")
        await until(pilot, lambda: "- easy sport from Mon 6 Apr 2026" in words(pilot))
        assert "Schöffl & Schöffl 2006" in words(pilot)
        assert "them until Sun 17 May 2026." in unbroken(pilot)  # the days on rock that it takes
        await press(pilot, "ctrl+s")
        (hurt,) = injuries(pilot)
        assert hurt.easy_from == date(2026, 4, 6) and hurt.named_by is NamedBy.TABLE
        assert "Stop when it hurts." in words(pilot)


async def test_where_the_words_beside_have_no_room_a_key_turns_them(tmp_path: Path) -> None:
    """The key was taken by the lines of the form and did nothing."""
    async with opened(year_folder(tmp_path), size=(80, 24), today=TODAY) as pilot:
        await new_injury(pilot, "finger", "yesterday")
        await until(pilot, lambda: "PgDn Read on" in screen_text(pilot))
        assert "when you know more" not in screen_text(pilot)
        await press(pilot, "pagedown")
        await until(pilot, lambda: "when you know more" in screen_text(pilot))
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "No days named yet" in screen_text(pilot))
        assert "enter the days in its entry" not in unbroken(pilot)
        await press(pilot, "shift+down")
        await until(pilot, lambda: "days in its entry" in unbroken(pilot))


async def test_days_of_one_s_own_are_taken_and_called_so(tmp_path: Path) -> None:
    folder = year_folder(tmp_path)
    async with opened(folder, size=(140, 50), today=TODAY) as pilot:
        await new_injury(pilot, "elbow", "yesterday")
        await fill(pilot, "dates.easy_from", "in 1 week")
        await fill(pilot, "dates.full_from", "in 3 weeks")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
        assert injuries(pilot)[0].named_by is NamedBy.OWN
        assert "Your own days; no clinician named them." in words(pilot)
    assert "full_from = 2026-03-31" in text(folder) and 'named_by = "own"' in text(folder)


async def test_a_fault_of_the_days_names_lines_as_the_form_does(tmp_path: Path) -> None:
    async with opened(year_folder(tmp_path), size=(140, 50), today=TODAY) as pilot:
        await new_injury(pilot, "elbow", "yesterday")
        await fill(pilot, "dates.easy_from", "in 3 weeks")
        await fill(pilot, "dates.full_from", "in 1 week")
        wanted = "wanted “Day it happened”, “Light load from”, “More load from”"
        await until(
            pilot, lambda: [wanted in one.text for one in form(pilot).wrong.values()] == [True]
        )


async def test_a_clinician_s_days_are_called_a_clinician_s(tmp_path: Path) -> None:
    async with opened(year_folder(tmp_path), size=(140, 50), today=TODAY) as pilot:
        await new_injury(pilot, "elbow", "yesterday")
        await fill(pilot, "dates.easy_from", "in 1 week")
        await fill(pilot, "dates.full_from", "in 3 weeks")
        await fill(pilot, "dates.cleared", "yes")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
        assert injuries(pilot)[0].named_by is NamedBy.CLINICIAN


async def test_days_before_the_table_s_earliest_are_told_as_early(tmp_path: Path) -> None:
    async with opened(year_folder(tmp_path), size=(140, 60), today=TODAY) as pilot:
        await new_injury(pilot, "finger", "yesterday")
        await fill(pilot, "grade", "III")
        await fill(pilot, "dates.easy_from", "in 1 week")
        await until(pilot, lambda: "17 Mar 2026 is earlier than the" in unbroken(pilot))


async def test_an_injury_to_come_is_refused_beside_its_day(tmp_path: Path) -> None:
    async with opened(year_folder(tmp_path), today=TODAY) as pilot:
        await new_injury(pilot, "elbow", "tomorrow")
        await fill(pilot, "side", "lft")
        await judged(pilot, "side", "left, right, both, none")
        await judged(pilot, "happened", "or before")  # both at once
        await fill(pilot, "side", "left")
        await judged(pilot, "happened", "found Wed 11 Mar 2026; wanted today")
        await fill(pilot, "happened", "today")
        await until(pilot, lambda: not form(pilot).wrong)


async def test_a_healed_injury_needs_the_day_of_full_load_alone(tmp_path: Path) -> None:
    async with opened(year_folder(tmp_path), size=(140, 50), today=TODAY) as pilot:
        await new_injury(pilot, "knee", "2026-01-05")
        await fill(pilot, "healed", "tomorrow")
        await judged(pilot, "healed", "found Wed 11 Mar 2026; wanted today")
        await fill(pilot, "healed", "2026-01-25")  # its last steps are over, too
        await until(pilot, lambda: not form(pilot).wrong)
        assert "stays off" not in words(pilot)
        await press(pilot, "ctrl+s")
        assert injuries(pilot)[0].full_from == date(2026, 1, 25)
        assert "Healed: fully loaded again since" in words(pilot)
        assert "counts as off" not in words(pilot)


async def test_without_days_the_part_stays_off_and_the_form_is_named_as_the_way(
    tmp_path: Path,
) -> None:
    folder = year_folder(tmp_path)
    async with opened(folder, size=(140, 50), today=TODAY) as pilot:
        await new_injury(pilot, "knee", "today")
        await until(pilot, lambda: "there is no published table of days" in words(pilot))
        await press(pilot, "ctrl+s")
        shown = unbroken(pilot)
        assert "no days named yet" in shown and "in its entry" in shown
        assert "seasonplan injury" not in shown and "2199" not in shown
    assert "2199" not in text(folder) and "full_from" not in text(folder)


async def test_an_injury_that_waits_offers_no_day_far_off(tmp_path: Path) -> None:
    folder = year_folder(tmp_path, ELBOW.partition("easy_from")[0])
    async with opened(folder, size=(140, 60), today=TODAY) as pilot:
        await open_form(pilot, "injury sore-elbow")
        assert "2199" not in words(pilot)
        await fill(pilot, "easy_from", "2026-03-20")
        await judged(pilot, "full_from", "needed")
        await fill(pilot, "full_from", "2026-04-20")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
        (hurt,) = injuries(pilot)
        assert (hurt.building_from, hurt.named_by) == (date(2026, 4, 5), NamedBy.OWN)
        await new_injury(pilot, "elbow", "yesterday")
        await until(pilot, lambda: "“Sore elbow” is entered for that already" in unbroken(pilot))


async def test_other_days_of_a_clinician_s_are_own_ones_unless_said_otherwise(
    tmp_path: Path,
) -> None:
    folder = year_folder(tmp_path, ELBOW)
    async with opened(folder, today=TODAY) as pilot:
        await open_form(pilot, "injury sore-elbow", {"full_from": "2026-03-20"})
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
    assert "full_from = 2026-03-20  # said in the practice" in text(folder)
    assert 'named_by = "own"' in text(folder)
    async with opened(folder, today=TODAY) as pilot:
        await open_form(pilot, "injury sore-elbow", {"cleared": "yes"})
        await press(pilot, "ctrl+s")
    assert 'named_by = "clinician"' in text(folder)


async def test_days_taken_out_leave_none_and_a_healed_part_may_be_told(tmp_path: Path) -> None:
    folder = year_folder(tmp_path, ELBOW)
    async with opened(folder, size=(100, 60), today=TODAY) as pilot:
        await open_form(pilot, "injury sore-elbow")
        for key in ("easy_from", "building_from", "full_from"):
            await fill(pilot, key, "")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
        assert injuries(pilot)[0].waits
    assert "easy_from" not in text(folder) and "named_by" not in text(folder)
    async with opened(folder, today=TODAY) as pilot:
        await open_form(pilot, "injury sore-elbow", {"healed": "yesterday"})
        await press(pilot, "ctrl+s")
        assert injuries(pilot)[0].full_from == date(2026, 3, 9)


async def test_the_young_are_told_so_and_their_fingers_need_a_specialist(tmp_path: Path) -> None:
    folder = year_folder(tmp_path)
    year = folder / "year.toml"
    year.write_text(text(folder).replace('name = "Mira"', 'name = "Mira"\nbirth_year = 2012'))
    async with opened(folder, size=(140, 60), today=TODAY) as pilot:
        await new_injury(pilot, "finger", "today")
        await fill(pilot, "grade", "II")
        await until(pilot, lambda: "Under 18" in words(pilot))
        assert "- easy sport" not in words(pilot)
        await fill(pilot, "dates.easy_from", "in 1 week")
        await fill(pilot, "dates.full_from", "in 3 weeks")
        await judged(pilot, "dates.cleared", "a specialist who knows young climbers")
        await fill(pilot, "dates.cleared", "yes")
        await until(pilot, lambda: not form(pilot).wrong)
