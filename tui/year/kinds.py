"""Asks which other kind a block is to have."""

from __future__ import annotations

from seasonplan.edits import EditRefused
from seasonplan.explain.signs import SIGNS
from seasonplan.vocabulary import CHOSEN
from tui.ask import Choice, Choose
from tui.year.lanes import Lane, Mark


def other_kinds(question: str, mark: Mark | None) -> Choose:
    """A question with all kinds but that of the mark. Raises EditRefused where it is no block."""
    if mark is None or mark.lane is not Lane.PLAN:
        raise EditRefused("This works on blocks.", "Go to the lane “plan”.")
    return Choose(
        question,
        [
            Choice(kind.value, f"{SIGNS[kind].drawn} {SIGNS[kind].word}")
            for kind in CHOSEN
            if kind is not mark.kind
        ],
    )
