"""Sentences that name commands are told with the keys of the terminal face."""

from __future__ import annotations

import pytest

from seasonplan.explain.breaks import MAKE_ANEW
from seasonplan.explain.care import ENTER
from tui.spoken import spoken

TOLD = {
    MAKE_ANEW: "Press r to plan.",
    "Run `seasonplan replan` first.": "Press r to plan first.",
    "Run `seasonplan plan` first.": "Press r to plan first.",
    "This plan has no sessions yet: run `seasonplan plan`.":
        "This plan has no sessions yet: press r to plan.",
    "Change the entry: `edit change isle …`, or `edit remove`.":
        "Change the entry, or remove it with x.",
    "`seasonplan week --plain` names the sessions of a week.": "Page 2 shows them.",
    "When you have seen somebody, enter their dates: `seasonplan injury --change elbow`.":
        "When you have seen somebody, enter their dates in its entry.",
    "If you have one, add it to `has` under `sessions`.":
        "If you have one, add it to “Your sessions” on page 3.",
    ENTER: "If you like, enter it on page 3, and the plan keeps clear of it.",
    "Usual ones: Edge hang (30 min). `seasonplan tests --usual` says how.":
        "Usual ones: Edge hang (30 min). Enter on one of them says how.",
    "There are plans 1 to 3: see `seasonplan history`.": "There are plans 1 to 3.",
}  # fmt: skip


@pytest.mark.parametrize("text", TOLD)
def test_a_command_of_the_shell_is_told_as_a_key(text: str) -> None:
    assert spoken(text) == TOLD[text]
