"""No text of a session says two things: one load, one number of each thing, no more than fits."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from seasonplan.recipes import HangLoad, Recipe, SessionText, Step, session_text, standard_recipes

BOOK = standard_recipes()
ALL = list(BOOK.values())
each = pytest.mark.parametrize("recipe", ALL, ids=lambda recipe: recipe.id)
WEEKS = range(1, 9)
WORDS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
}  # fmt: skip
COUNTED = "hangs|holds|sets|links|rounds|ladders|problems|tries|turns|routes|lengths|exercises"
TIMED = ("sets", "rounds", "ladders", "turns", "tries")
SET_MINUTES = 0.4  # of five to eight repetitions


def every(recipe: Recipe) -> Iterator[tuple[int, bool, SessionText]]:
    """Its texts of all weeks, normal and light, at its three lengths; hangs on a hard day too."""
    loads = {recipe.hang_share[0], recipe.hang_share[1]}
    for minutes in sorted({recipe.least_minutes, recipe.minutes, recipe.most_minutes}):
        for week in WEEKS:
            for light in (False, True):
                for load in loads:
                    yield minutes, light, session_text(
                        recipe, step=Step(week, load=HangLoad(load)), light=light,
                        minutes=minutes, hangs=0,
                    )  # fmt: skip


def work(told: SessionText) -> str:
    """What is to be done today: neither the warm-up, nor when to stop, nor what to mind."""
    return f"{told.do} {told.this_week.partition(': ')[2]}"


def numbers(text: str, things: str) -> Iterator[tuple[str, int]]:
    """Each number that stands right before such a thing."""
    for number, thing in re.findall(rf"\b(\d+|{'|'.join(WORDS)}) ({things})\b", text.lower()):
        yield thing, WORDS.get(number) or int(number)


@each
def test_no_text_names_two_loads(recipe: Recipe) -> None:
    for _, _, told in every(recipe):
        found = re.findall(r"(\d+(?:-\d+)?) % of your (?!body)", work(told))
        assert len(set(found)) <= 1, work(told)
        assert not re.search(r"\d+-\d+ %", work(told)), work(told)


@each
def test_no_text_names_two_numbers_of_one_thing(recipe: Recipe) -> None:
    """As "three sets of each" beside "two sets", or six links beside three in a light week."""
    for _, _, told in every(recipe):
        for thing in COUNTED.split("|"):
            whole = {number for _, number in numbers(without_parts(work(told)), thing)}
            assert len(whole) <= 1, (thing, work(told))


def without_parts(text: str) -> str:
    """The text without numbers that are parts of another: sets of six hangs, tries each."""
    text = re.sub(r"sets of six hangs|(?:up to )?\w+ (?:or \w+ )?tries each", "", text.lower())
    return re.sub(r"(?:the last|the first|the hardest|half of|one of the) \w+", "", text)


@each
def test_no_text_asks_for_more_than_its_minutes(recipe: Recipe) -> None:
    """Rounds, sets and hangs at their shortest, with the rest that the text itself asks for."""
    for minutes, _, told in every(recipe):
        asked = least_minutes(work(told), recipe)
        assert asked <= recipe.working_minutes(minutes) + 0.5, (minutes, asked, work(told))


def least_minutes(text: str, recipe: Recipe) -> float:
    """The least that sets, rounds and tries take, with the rest between them; of others nothing."""
    words = text.lower()
    amount = rf"(a|\d+|{'|'.join(WORDS)})"
    rest = re.search(rf"\b{amount}(?: to \w+)? min(?:utes?)?(?: and more)? (?:between|off)", words)
    pause = 1.0 if rest is None or rest[1] == "a" else float(WORDS.get(rest[1]) or rest[1])
    many = dict(numbers(words, COUNTED))
    if "sets" in many:
        return _with_rests(many["sets"] * many.get("exercises", 1), pause)
    if "tries each" in words or recipe.hang_seconds:  # hangs are counted by the planner
        return 0.0
    return max((_with_rests(many.get(one, 0), pause) for one in TIMED), default=0.0)


def _with_rests(count: int, pause: float) -> float:
    return count * (pause + SET_MINUTES) - pause if count else 0.0


# --- short days on rock ---------------------------------------------------------------------------


@pytest.mark.parametrize("recipe", [r for r in ALL if r.least_warm_up_minutes], ids=lambda r: r.id)
def test_a_short_day_on_rock_has_time_to_warm_up_and_to_climb(recipe: Recipe) -> None:
    told = session_text(recipe, step=Step(), light=False, minutes=recipe.least_minutes, hangs=0)
    steps = [int(step.split(" min: ")[0]) for step in told.warm_up]
    assert sum(steps) >= 20 and min(steps) >= 5
    assert recipe.working_minutes(recipe.least_minutes) >= 40
    longest = session_text(recipe, step=Step(), light=False, minutes=recipe.most_minutes, hangs=0)
    assert sum(int(step.split(" min: ")[0]) for step in longest.warm_up) == recipe.warm_up_minutes


def test_a_short_onsight_day_has_fewer_routes() -> None:
    routes = [
        int(
            session_text(BOOK["onsight-mileage"], step=Step(2), light=False, minutes=n, hangs=0).do[
                0
            ]
        )
        for n in (75, 120, 210)
    ]
    assert routes == [2, 3, 6]
