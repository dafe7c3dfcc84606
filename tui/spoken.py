"""Sentences that name commands of the shell, told with the keys of this face."""

from __future__ import annotations

import re

KEYS = (
    (re.compile(r"[Rr]un `seasonplan (?:re)?plan`(?: to make the plan anew)?"), "press r to plan"),
    (re.compile(r"`seasonplan replan` makes a plan"), "r makes a plan"),
    (
        re.compile(r"`seasonplan replan` goes on from what you did"),
        "r plans anew and goes on from what you did",
    ),
    (
        re.compile(r"\(`seasonplan ill`, `seasonplan edit add absence`\)"),
        "as time away on page 3",
    ),
    (re.compile(r"`seasonplan week --plain` (?:lists|names)[^.]*\."), "Page 2 shows them."),
    (re.compile(r": `edit change ([^ `]+)[^`]*`, or `edit remove`\."), ", or remove it with x."),
    (re.compile(r"Say the new ones: `edit change[^`]*`\."), "Change them in the entry."),
    (re.compile(r" with `edit add`"), " as an entry"),
    (re.compile(r" with `seasonplan injury`"), " on page 3"),
    (re.compile(r" with `seasonplan edit`"), " on page 3"),
    (re.compile(r": `seasonplan injury --change [^`]*`\."), " in its entry."),
    (re.compile(r": see `seasonplan history`\."), "."),
    (
        re.compile(r"Enter one, or name one in served_by of the goal\."),
        "Enter one on page 3, or say on the goal what serves it.",
    ),
    (re.compile(r"add it to `has` under `sessions`"), "add it to “Your sessions” on page 3"),
    (re.compile(r"pin the block\."), "fix the block with p."),
    (re.compile(r"`seasonplan tests --usual` says how\."), "Enter on one of them says how."),
    (re.compile(r", as `anchors` under \[\[test\]\]\."), ", in the form of the test."),
    (re.compile(r": run the command again"), ": try again"),
    (re.compile(r", then run the command again"), ", then try again"),
)


def spoken(text: str) -> str:
    """A sentence as this face says it."""
    for pattern, words in KEYS:
        text = pattern.sub(words, text)
    return re.sub(r"(^|[.!?] )press r", lambda found: f"{found[1]}Press r", text)
