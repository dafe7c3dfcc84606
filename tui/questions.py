"""What the open year asks its climber when something stands in the way. Words only, no deeds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seasonplan.edits import TextChange
from seasonplan.edits.serving import Rock, idle_text
from seasonplan.explain.changes import change_text
from seasonplan.year import Goal
from tui.ask import Choice, Choose
from tui.canvas import clean
from tui.forms.unfinished import Typed
from tui.year.named import without_ids

AGAIN, THEIRS = "again", "theirs"
BACK, NOT_BACK = "back", "leave"
LATER, AWAY = "later", "away"
NEW_GOAL, NO_GOAL = "new goal", "none"
MOST_CHANGES = 6  # told one by one


def changed_on_disk(name: str) -> Choose:
    """A file that somebody else wrote first: theirs stays, ours may follow."""
    choices = (
        Choice(AGAIN, "Read theirs, then do my change on it"),
        Choice(THEIRS, "Read theirs, and drop my change"),
    )
    question = f"{name} was changed by another program."
    return Choose(question, choices, about="Nothing of theirs is overwritten.")


def as_planned(since: Sequence[TextChange]) -> Choose:
    """Changes of an earlier sitting, or of another program, are taken back together."""
    told = [without_ids(change_text(change), ()) for change in since[:MOST_CHANGES]]
    more = len(since) - len(told)
    told += [f"And {more} more."] if more > 0 else []
    choices = (Choice(BACK, "Take it back; U does it again"), Choice(NOT_BACK, "Keep it as it is"))
    question = "Take back all that was changed since the plan was made?"
    return Choose(question, choices, about=clean(" ".join(told)))


def what_it_serves(rock: Rock, goals: Sequence[Goal]) -> Choose:
    """Rock that no goal asks for: a goal of its own, one there is, or none."""
    choices = [
        Choice(NEW_GOAL, "Enter a goal there"),
        *(Choice(goal.id, f"“{clean(goal.name)}” can be done there too") for goal in goals),
        Choice(NO_GOAL, "None: leave it out of the plan"),
    ]
    about = f"{clean(idle_text(rock, goals))} Which goal is it for?"
    return Choose("No day there counts yet.", choices, about=about)


def go_on(begun: Mapping[str, Typed]) -> Choose:
    """Forms that were begun when the program ended without being asked to."""
    choices = [Choice(key, f"Go on with “{one.title}”", one.gist) for key, one in begun.items()]
    choices += [Choice(LATER, "Later"), Choice(AWAY, "Throw it away")]
    return Choose("You were writing and did not finish.", choices)
