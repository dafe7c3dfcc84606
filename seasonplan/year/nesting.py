"""How deep values lie in values, told before a reader that calls itself runs out of room.

Reads TOML and JSON by their signs alone; knows no key.
"""

from __future__ import annotations

import re

DEEPEST = 40  # values inside values, or parts of a key; a year needs 5
_SIGNS = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}.=,\n]',
    re.DOTALL,
)


def too_deep(text: str) -> int | None:
    """The line on which values or the parts of a key first lie deeper than any year needs."""
    depth = dots = 0
    for sign in _SIGNS.finditer(text):
        match sign[0]:
            case "[" | "{":
                depth, dots = depth + 1, 0
            case "]" | "}":
                depth, dots = max(0, depth - 1), 0
            case ".":
                dots += 1
            case "\n" | "=" | ",":
                dots = 0
        if depth > DEEPEST or dots >= DEEPEST:
            return text.count("\n", 0, sign.start()) + 1
    return None
