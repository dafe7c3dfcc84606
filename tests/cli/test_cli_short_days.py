"""What is told of days that are too short: for a wall, or on rock for what was wished."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from folder_maker import session
from plan_maker import block

from seasonplan.explain.purpose import Purposes
from seasonplan.explain.short_days import short_days_note, short_outings
from seasonplan.plan import Block
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Discipline, Emphasis, Kind
from seasonplan.year import Outing, Year

Years = Callable[[str], Year]


@pytest.fixture(scope="module")
def year(years: Years) -> Year:
    return years("twelve-weeks")


def a_block(kind: Kind, emphasis: Emphasis = Emphasis.NONE) -> Block:
    return block(kind, 0, 14, id=f"{kind}-1", emphasis=emphasis)


SHORT = {"time_zone": "Europe/Vienna", "minutes": {"tuesday": 45, "thursday": 40}}


def test_with_a_wall_but_days_too_short_for_it_the_climber_is_told_so(year: Year) -> None:
    """Who never has an hour goes to a wall for 40 minutes (shared/blocks.toml); at home half an
    hour is the least of shared/recipes.toml."""
    far = {**SHORT, "wall_travel_minutes": 20}

    def told(climber: dict[str, object], *has: str) -> list[str]:
        return short_days_note(year.with_fields(climber=climber, sessions={"has": has}))

    (text,) = told(far, "hangboard", "wall")
    assert "it wants 1 h 20 min with the way, 40 min there and back, and they hold 45 min" in text
    assert "climb only on rock." in text and "or on the board" in str(told(far, "wall", "board"))
    assert told(far, "hangboard") == told(far, "home wall") == []
    assert told({**far, "minutes": {"tuesday": 45, "sunday": 100}}, "wall") == []
    assert told(SHORT, "wall") == []
    less = {**SHORT, "minutes": {"tuesday": 35}}
    assert "it wants 40 min, and they hold 35 min" in str(told(less, "wall"))
    assert "it wants 30 min, and they hold 25 min" in str(
        told({**SHORT, "minutes": {"tuesday": 25}}, "home wall")
    )


def test_wished_days_on_rock_that_are_shorter_than_wished_are_told(year: Year) -> None:
    wish = Outing(name="Ridges", discipline=Discipline.MOUNTAIN, first=year.span.first,
                  last=year.span.last, minutes=360)  # fmt: skip
    wished = year.with_fields(outings=(wish,))

    def told(*minutes: int) -> list[str]:
        days = [
            session(f"s{n}", "mountain-day", 7 * n, "06:00", each, rock=wish.id)
            for n, each in enumerate(minutes)
        ]
        return short_outings(wished, days)

    assert told() == told(360, 120) == []
    (text,) = told(195, 120)
    assert text.startswith("“Ridges”: you wished 6 h, its days hold 2 h to 3 h 15 min. A day there")
    assert "at most 60 % of the load of its week" in text
    assert "its days hold 3 h 15 min. " in str(told(195))


def test_why_and_terminal_say_it_of_each_block_that_trains(year: Year) -> None:
    far = year.with_fields(
        climber={**SHORT, "wall_travel_minutes": 20}, sessions={"has": ["hangboard", "wall"]}
    )
    base, rest = a_block(Kind.BASE, Emphasis.ENDURANCE), a_block(Kind.REST)

    def why(one: Block, *, shared: bool = False) -> str:
        return " ".join(Purposes(far, [one], (), book_of(far), {}, shared=shared).of(one))

    short = "None of its days is long enough for the wall: 45 min at most, a session there wants "
    assert f"{short}1 h 20 min with the way." in why(base)
    assert short not in why(rest) and short not in why(base, shared=True)
