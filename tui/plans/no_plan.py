"""Why there is no plan, and the ways out, any of which can be taken."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.edits import AnEdit
from seasonplan.planner.conflict import WayOut
from seasonplan.planning.replan import NoPlan
from seasonplan.planning.ways import edit_of_way
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.canvas import clean
from tui.year.named import without_ids

BACK, LEAVE = "back", "leave"  # the answers that are no way out: undo, and nothing


def no_plan_question(answer: NoPlan, bench: Bench) -> tuple[Choose, dict[str, AnEdit]]:
    """The conflict as a question, and the edit of each answer that is a way out."""
    from seasonplan.explain.noplan import sentences, way_text

    year, book = bench.desk.year, bench.desk.book
    told = [without_ids(text, bench.blocks) for text in sentences(answer.conflict, year, book=book)]
    edits = {str(number): edit for number, (_, edit) in enumerate(_open(answer, bench))}
    choices = [
        Choice(
            str(number),
            _first_large(clean(without_ids(way_text(way, year, book=book), bench.blocks))),
        )
        for number, (way, _) in enumerate(_open(answer, bench))
    ]
    if bench.can_step_back:
        choices.append(Choice(BACK, "Take my last change back"))
    choices.append(Choice(LEAVE, "Go back; nothing was changed"))
    about = told[1] if edits else " ".join(told[1:])
    return Choose(clean(told[0]), choices, about=clean(about)), edits


def _open(answer: NoPlan, bench: Bench) -> Iterator[tuple[WayOut, AnEdit]]:
    """The ways out that are the climber's to choose."""
    for way in answer.conflict.ways:
        edit = edit_of_way(way, bench.desk.year)
        if edit is not None:
            yield way, edit


def _first_large(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"
