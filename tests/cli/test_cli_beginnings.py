"""What is told of who is new to climbing, and of a trip with no rock before it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from coached import ROCK, sport_season, year_text
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.explain.beginnings import new_note, trips_note, weak_note
from seasonplan.year import Year
from seasonplan.year.toml import read_year

AT_HOME = {"tuesday": 90, "thursday": 90, "saturday": 180}
TRIP = (
    '[[trip]]\nname = "Chalk coast"\nplace = "Chalk coast"\ndiscipline = "sport"\n'
    "first = 2027-06-12\nlast = 2027-06-22\n"
)


def text(
    entries: str, *, load: int = 900, movement: int = 2, fingers: int = 2, hung: int | None = 0
) -> str:
    level = f"{ROCK}\n[climber.level]\nmovement = {movement}\nfinger_strength = {fingers}"
    told = year_text(AT_HOME, entries, weeks=30, load=load, climber=level)
    said = "" if hung is None else f"hard_finger_sessions = {hung}"
    return re.sub(r"hard_finger_sessions = \d", said, told)


def commands(told: str) -> list[list[str]]:
    """The commands that a text names."""
    return [shlex.split(one)[1:] for one in re.findall(r"`(seasonplan [^`]+)`", told)]


def after(command: list[str], folder: Path) -> Year:
    """The year in a folder once a command was given there."""
    ran = CliRunner().invoke(app, [command[0], str(folder), *command[1:]])
    assert ran.exit_code == 0, ran.output
    return read_year((folder / "year.toml").read_text(encoding="utf-8"), file="year.toml")


@pytest.mark.parametrize(
    ("load", "movement", "fingers", "hung", "told"),
    [
        (900, 2, 2, 0, "new"),
        (900, 1, 4, 0, "new"),
        (900, 2, 2, None, "new"),  # nobody who hung hard leaves that out
        (1790, 2, 2, 0, "new"),
        (890, 2, 1, 0, "new"),
        (900, 2, 2, 1, ""),
        (1800, 2, 2, 0, ""),
        (890, 3, 1, 0, "weak"),  # weak fingers alone make nobody new
        (400, 3, 2, None, "weak"),
        (900, 3, 1, 0, ""),
        (890, 3, 2, 0, ""),
        (890, 3, 1, 1, ""),
    ],
)
def test_who_is_new_or_whose_weak_fingers_never_hung_is_told_what_hangs_wait_for(
    load: int, movement: int, fingers: int, hung: int | None, told: str
) -> None:
    year = read_year(
        text("", load=load, movement=movement, fingers=fingers, hung=hung), file="year.toml"
    )
    assert "".join(["new"] * len(new_note(year)) + ["weak"] * len(weak_note(year))) == told
    for note in new_note(year):
        assert "no hard hangs" in note and "1800 a week" in note
    for note in weak_note(year):
        assert "first 12 weeks" in note and "no medical threshold" in note


def test_a_trip_with_no_rock_before_it_is_told_with_a_command_that_mends_it(
    tmp_path: Path,
) -> None:
    (tmp_path / "year.toml").write_text(text(TRIP), encoding="utf-8")
    (note,) = trips_note(read_year(text(TRIP), file="year.toml"))
    assert "“Chalk coast” (Sat 12 Jun 2027)" in note
    (command,) = commands(note)
    year = after(command, tmp_path)
    (wished,) = year.outings
    assert (wished.first.isoformat(), wished.last.isoformat()) == ("2027-05-15", "2027-06-08")
    assert trips_note(year) == []


@pytest.mark.parametrize(
    "entries",
    [
        TRIP + sport_season("04-24", "05-09"),
        TRIP.replace('"sport"', '"mountain"'),
        TRIP.replace("06-12", "04-10").replace("06-22", "04-18"),  # the year begins shortly before
        TRIP.replace('discipline = "sport"', "climbing = false"),
    ],
)
def test_other_trips_are_not_told(entries: str) -> None:
    assert trips_note(read_year(text(entries), file="year.toml")) == []
