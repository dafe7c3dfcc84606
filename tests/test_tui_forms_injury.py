"""The form of an injury: caution always, the table's days, a clinician's word for earlier ones."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from filling import choose, fill, form, judged, text
from stage import demo, main, opened, press, until, words


async def test_an_injury_shows_the_caution_and_the_days_of_the_table(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder, size=(140, 50)) as pilot:
        await choose(pilot, "new injury")
        await press(pilot, "enter")
        assert "Ask a doctor or physiotherapist about the injury." in words(pilot)
        await fill(pilot, "part", "finger")
        await fill(pilot, "happened", "yesterday")
        await until(pilot, lambda: "Without the grade of a pulley" in words(pilot))
        await fill(pilot, "grade", "II")
        await until(pilot, lambda: "- easy sport from Tue 16 Mar 2027" in words(pilot))
        assert "Schöffl & Schöffl 2006" in words(pilot)
        await press(pilot, "ctrl+s")
        hurt = main(pilot).bench.desk.year.injuries[0]
        assert hurt.easy_from == date(2027, 3, 16)
        assert "Stop when it hurts." in words(pilot)


async def test_days_that_nobody_stands_behind_are_refused_beside_their_line(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await choose(pilot, "new injury")
        await press(pilot, "enter")
        await fill(pilot, "part", "elbow")
        await fill(pilot, "happened", "yesterday")
        await fill(pilot, "dates.easy_from", "in 1 week")
        await fill(pilot, "dates.full_from", "in 3 weeks")
        await judged(pilot, "dates.cleared", "days that a clinician named")
        await fill(pilot, "dates.cleared", "yes")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
    assert "full_from = 2027-03-10" in text(folder)


async def test_an_injury_to_come_is_refused_beside_its_day(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "new injury")
        await press(pilot, "enter")
        await fill(pilot, "part", "elbow")
        await fill(pilot, "happened", "tomorrow")
        await judged(pilot, "happened", "found Thu 18 Feb 2027; wanted today")
        await fill(pilot, "happened", "today")
        await until(pilot, lambda: not form(pilot).wrong)


async def test_without_days_the_part_stays_off(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder, size=(140, 50)) as pilot:
        await choose(pilot, "new injury")
        await press(pilot, "enter")
        await fill(pilot, "part", "knee")
        await fill(pilot, "happened", "today")
        await until(pilot, lambda: "there is no published table of days" in words(pilot))
        await press(pilot, "ctrl+s")
        assert "no days named yet" in words(pilot)
    assert "full_from = 2199-12-31" in text(folder)


async def test_earlier_days_of_an_injury_want_a_clinicians_word(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[injury]]\nname = "Sore elbow"\npart = "elbow"\nhappened = 2027-02-01\n'
                   "easy_from = 2027-03-01\nbuilding_from = 2027-03-15\n"
                   "full_from = 2027-04-01  # said in the practice\n")  # fmt: skip
    async with opened(folder) as pilot:
        await choose(pilot, "injury sore-elbow")
        await press(pilot, "enter")
        await fill(pilot, "full_from", "2027-03-20")
        await judged(pilot, "full_from", "a clinician's word for earlier days")
        await fill(pilot, "cleared", "yes")
        await until(pilot, lambda: not form(pilot).wrong)
        await press(pilot, "ctrl+s")
    assert "full_from = 2027-03-20  # said in the practice" in text(folder)


async def test_the_young_are_told_so(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    year.write_text(text(folder).replace("birth_year = 1989", "birth_year = 2012"))
    async with opened(folder, size=(140, 50)) as pilot:
        await choose(pilot, "new injury")
        await press(pilot, "enter")
        await fill(pilot, "part", "finger")
        await fill(pilot, "happened", "today")
        await fill(pilot, "grade", "II")
        await until(pilot, lambda: "Under 18" in words(pilot))
        assert "- easy sport" not in words(pilot)
