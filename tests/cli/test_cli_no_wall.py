"""What a climber without a wall is told of a year, and how to wish days on rock."""

from __future__ import annotations

import shlex
from collections.abc import Callable

import pytest

from seasonplan.explain.no_wall import board_note, wall_note
from seasonplan.vocabulary import Discipline
from seasonplan.year import Year
from seasonplan.year.toml import read_year


@pytest.fixture(scope="module")
def year(years: Callable[[str], Year]) -> Year:
    return years("twelve-weeks")


def test_without_a_wall_the_climber_is_told_how_to_wish_easy_days_on_rock(year: Year) -> None:
    walled, bare = (
        year.with_fields(sessions={"has": has}) for has in (["hangboard", "wall"], ["hangboard"])
    )
    (text,) = wall_note(bare)
    assert wall_note(walled) == []
    words = shlex.split(text.split("`")[-2])
    assert words[:4] == ["seasonplan", "edit", "add", "outing"]
    fields: dict[str, object] = dict(word.split("=") for word in words[4:])
    board = bare.with_fields(sessions={"has": ["hangboard", "board"]})
    (told,) = wall_note(board)
    assert "no climbing but on the board" in told and "add `home wall` to `has`" in told
    wished = bare.with_fields(outings=(fields | {"weeks": int(str(fields["weeks"]))},))
    assert wall_note(wished) == [] and wished.outings[0].name == "Easy days"


@pytest.mark.parametrize(
    ("goals", "wish"),
    [
        ((Discipline.ICE, Discipline.TRAD), "trad"), ((Discipline.MOUNTAIN,), "sport"),
        ((Discipline.MOUNTAIN, Discipline.ICE), "sport"),
    ],
)  # fmt: skip
def test_no_ice_days_are_to_be_wished_for_all_of_a_year(
    year: Year, goals: tuple[Discipline, ...], wish: str
) -> None:
    """An ice climber was told to wish easy days on ice from March to November."""
    said = tuple(
        year.goals[0].model_copy(update={"id": of.value, "discipline": of}) for of in goals
    )
    (text,) = wall_note(year.with_fields(goals=said, sessions={"has": ["hangboard"]}))
    assert f"discipline={wish} " in text


BARE = (
    '[year]\nfirst = 2027-01-04\nweeks = 52\n[climber]\ntime_zone = "Europe/Vienna"\n'
    '[climber.minutes]\ntuesday = 90\n[sessions]\nhas = ["hangboard"]\n'
    '[[season]]\nname = "Spring"\nplace = "Ashton"\ndiscipline = "sport"\n'
    'first = "03-01"\nlast = "04-30"\nchance = 0.5\n'
    '[[goal]]\nname = "Line"\nplace = "Ashton"\ndiscipline = "sport"\ngrade = "7a"\n'
)


def bare_note(*outings: tuple[str, str, str]) -> str:
    lines = (
        f'[[outing]]\nname = "{of} {first}"\ndiscipline = "{of}"\nfirst = {first}\nlast = {last}\n'
        for of, first, last in outings
    )
    return "".join(wall_note(read_year(BARE + "".join(lines), file="year.toml")))


def test_the_wish_of_some_days_leaves_the_note_for_the_months_without() -> None:
    """A mountain outing is no climbing; one that ends in June says nothing of the autumn."""
    walk = ("mountain", "2027-01-04", "2028-01-02")
    easy = ("sport", "2027-05-01", "2027-06-30")
    winter, autumn = "Mon 4 Jan 2027 to Sun 28 Feb 2027", "Thu 1 Jul 2027 to Sun 2 Jan 2028"
    for text in (bare_note(), bare_note(walk)):
        assert f"no climbing: {winter} and Sat 1 May 2027 to Sun 2 Jan 2028." in text
    wished = f"trips and the days you wished the plan holds no climbing: {winter} and {autumn}."
    assert wished in bare_note(easy, walk)
    assert "first=2027-01-04 last=2027-02-28" in bare_note(easy)
    rest = ("sport", "2027-01-04", "2027-02-28"), ("sport", "2027-07-05", "2027-12-20")
    assert bare_note(easy, *rest) == ""


def test_without_a_hangboard_the_climber_is_told_and_how_to_say_that_there_is_one(
    year: Year,
) -> None:
    """Finger strength fell by 4 % where a board at the wall was not entered, else it rose by 1."""
    bare = year.with_fields(sessions={"has": ["wall", "partner"]})
    (text,) = board_note(bare)
    *command, value = shlex.split(text.split("`")[-2])
    assert command == ["seasonplan", "edit", "set", "sessions.has"]
    said = year.with_fields(sessions={"has": value.split(", ")})
    assert {*said.sessions.has} == {*bare.sessions.has, "hangboard"} and board_note(said) == []
    young = bare.with_fields(climber=dict(bare.climber) | {"birth_year": year.span.first.year - 14})
    assert board_note(young) == []
