"""The questions of a first year as a form: what it asks, and the year file it writes.

Judged like any other form, on the year file that a newcomer would get without answering.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from seasonplan.days import WEEKDAYS
from seasonplan.edits import AddEntry, AnEdit, ChangeSetting, Draft, draft_of
from seasonplan.edits.filled import counted, said_at, together
from seasonplan.edits.forms import Line, entry_lines, setting_lines
from seasonplan.edits.paper import value_at
from seasonplan.errors import BadInput, CannotWrite, Fault
from seasonplan.vocabulary import Discipline
from seasonplan.workspace import store
from seasonplan.year import Year
from seasonplan.year.fresh import Answers, coming_monday, usual_zone, year_text
from tui.forms.about import NOTHING, About
from tui.forms.unfinished import KEY

Values = Mapping[str, Any]
PARTS = ("climber", "year", "climber.minutes", "before")
NEEDED = ("climber.time_zone", "year.first", "year.weeks")
GOAL, ROCK = "goal.0.", "season.0."
USUAL_CHANCE = 0.4
USUAL = {f"{GOAL}discipline": "sport", f"{ROCK}chance": f"{100 * USUAL_CHANCE:g} %"}
TRAIN = "Time to train on a usual day; empty: none"
WHAT = "What you train for; leave it empty to look around first"
WHEN = "When its rock is good: days of every year, or of one"
DONE = "What you did before: load begins there, and rises slowly"
SORTS = ", ".join(Discipline)
ASIDE = (
    "Fill in what you know; all of it can be changed later. Ctrl+S writes it down and makes the "
    "first plan.",
)
# Each line: its place in the year file, what it is called here where the page itself says
# otherwise, and the head over it.
ASKED: tuple[tuple[str, str, str], ...] = (
    ("climber.name", "", ""),
    ("climber.birth_year", "", ""),
    ("climber.time_zone", "", ""),
    ("year.first", "", ""),
    ("year.weeks", "", ""),
    *((f"climber.minutes.{day}", "", TRAIN) for day in WEEKDAYS),
    (f"{GOAL}name", "What for", WHAT),
    (f"{GOAL}place", "Where it is", WHAT),
    (f"{GOAL}discipline", "", WHAT),
    (f"{GOAL}grade", "", WHAT),
    (f"{ROCK}first", "Good from", WHEN),
    (f"{ROCK}last", "Good until", WHEN),
    (f"{ROCK}chance", "", WHEN),
    ("climber.rock_days", "", WHEN),
    ("climber.rock_minutes", "", WHEN),
    ("before.weekly_load", "Load a week", DONE),
    ("before.hard_finger_sessions", "", DONE),
)
HELP = {
    f"{GOAL}name": "the route, boulder or face, by its name",
    f"{GOAL}place": "its crag or valley, by its name",
    f"{ROCK}first": "september every year, or 12 sep 2027",
    f"{ROCK}last": "october every year; its last day counts",
    f"{ROCK}chance": "40 %: four days in ten",
    "before.weekly_load": "900: 3 h a week at an effort of 5, days on rock as half",
}


def first_draft(today: date) -> Draft:
    """The year a newcomer gets without a word: from the coming Monday on, with nothing in it."""
    return draft_of(year_text(Answers(usual_zone(), coming_monday(today))))


def first_form(draft: Draft) -> About:
    """The questions."""
    lines = tuple(_lines())
    before = said_at(draft, (), lines)
    return About(
        title="Your year",
        section="year",
        place=(),
        lines=lines,
        before=before,
        make=lambda values: _edits(before, values),
        aside=lambda _: ASIDE,
        key=KEY,
    )


def write_year(folder: Path, draft: Draft, edits: list[AnEdit]) -> None:
    """Write the year file that the edits mean, its goal and season where their words stand.

    Raises CannotWrite, and ChangedOnDisk where there is a year file by now.
    """
    after = together(draft, edits)
    text = year_text(_answers(after.year, minutes=value_at(after.text, ("climber", "minutes"))))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite(str(folder), error.strerror or str(error)) from None
    store.write(folder / store.YEAR_FILE, text.encode(), based_on=None)


def _answers(year: Year, *, minutes: Mapping[str, Any]) -> Answers:
    """What the year says; the minutes as they were written."""
    return Answers(
        year.climber.time_zone,
        year.span.first,
        year.span.length // 7,
        name=year.climber.name,
        birth_year=year.climber.birth_year,
        minutes=minutes,
        rock_days=year.climber.rock_days,
        rock_minutes=year.climber.rock_minutes,
        weekly_load=year.before.weekly_load,
        hard_finger_sessions=year.before.hard_finger_sessions,
        goal=year.goals[0] if year.goals else None,
        season=year.seasons[0] if year.seasons else None,
    )


# --- what is asked ----------------------------------------------------------------------------


def _lines() -> Iterator[Line]:
    known = {f"{part}.{line.key}": line for part in PARTS for line in setting_lines(part)}
    known |= {GOAL + line.key: line for line in entry_lines("goal")}
    known |= {ROCK + line.key: line for line in entry_lines("season")}
    for key, label, group in ASKED:
        more = {
            "key": key, "label": label or known[key].label, "group": group,
            "help": HELP.get(key, known[key].help), "required": key in NEEDED,
            "usual": USUAL.get(key),
        }  # fmt: skip
        yield Line(**{**dict(known[key]), **more})


def _edits(before: Values, values: Values) -> list[AnEdit]:
    """What was answered as edits of the empty year. Raises BadInput where a place is missing."""
    edits: list[AnEdit] = [
        ChangeSetting(path=key, value=value)
        for key, value in values.items()
        if not key.startswith((GOAL, ROCK)) and value != before[key]
    ]
    goal, rock = _under(GOAL, values), _under(ROCK, values)
    sort = goal.get("discipline", USUAL[f"{GOAL}discipline"])
    opens = "first" in rock or "last" in rock
    wanted = "name" in goal or "grade" in goal or bool(goal and not opens)
    if wanted:
        said = {"priority": 1, **goal, "discipline": sort}
        edits.append(AddEntry(section="goal", values=said))
    if opens:
        if "place" not in goal:
            raise BadInput([_fault("place", NOTHING, "a place", "Name it.")])
        place, known = goal["place"], sort
        if sort not in tuple(Discipline):
            if not wanted:  # else the goal tells of it
                raise BadInput([_fault("discipline", repr(sort), SORTS, "Choose one.")])
            known = USUAL[f"{GOAL}discipline"]
        said = {"name": f"Season at {place}", "place": place, "discipline": known}
        said |= {"chance": USUAL_CHANCE, **rock}
        edits.append(AddEntry(section="season", values=said))
    return edits or [ChangeSetting(path="year.weeks", value=values["year.weeks"])]


def _fault(key: str, found: str, wanted: str, do: str) -> Fault:
    """What is wrong with a line that is about the goal."""
    return Fault(store.YEAR_FILE, counted((), f"{GOAL}{key}"), None, found, wanted, do)


def _under(table: str, values: Values) -> dict[str, Any]:
    """What is said of an entry, by the keys inside it."""
    return {
        key.removeprefix(table): value
        for key, value in values.items()
        if key.startswith(table) and value is not None
    }
