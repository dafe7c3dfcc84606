"""Our papers where a terminal has sixteen colours: each is one of those, none is a nearest one.

Which shade a number has is up to the terminal, so words keep far from their ground: black and
blue on white, white and yellow on black, and grey only for marks. Knows no widget.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from textual.theme import Theme

from seasonplan.vocabulary import Kind

# The sixteen in their order, in the shades by which rich finds them again.
SHADES = (
    "#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
    "#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
)  # fmt: skip
BLACK, RED, BLUE, CYAN, WHITE = 0, 1, 4, 6, 7
GREY, LIGHT_RED, LIGHT_GREEN, YELLOW, PINK, LIGHT_CYAN, BRIGHT = 8, 9, 10, 11, 13, 14, 15

Pair = tuple[int, int]  # a tint and an ink
KINDS: Mapping[str, Mapping[Kind, Pair]] = {
    "paper": {
        Kind.BASE: (LIGHT_CYAN, BLACK), Kind.STRENGTH: (PINK, BLACK),
        Kind.PERFORMANCE: (YELLOW, BLACK), Kind.REST: (BRIGHT, BLACK),
        Kind.TRIP: (LIGHT_GREEN, BLACK), Kind.ABSENCE: (WHITE, BLACK),
        Kind.INJURED: (LIGHT_RED, BLACK), Kind.RETURN: (CYAN, BLACK),
    },
    "slate": {
        Kind.BASE: (BLUE, BRIGHT), Kind.STRENGTH: (PINK, BLACK),
        Kind.PERFORMANCE: (YELLOW, BLACK), Kind.REST: (BLACK, WHITE),
        Kind.TRIP: (CYAN, BLACK), Kind.ABSENCE: (WHITE, BLACK),
        Kind.INJURED: (RED, BRIGHT), Kind.RETURN: (BLACK, LIGHT_RED),
    },
    "ink": {
        Kind.BASE: (BLACK, LIGHT_CYAN), Kind.STRENGTH: (BLACK, PINK),
        Kind.PERFORMANCE: (BLACK, YELLOW), Kind.REST: (BLACK, BRIGHT),
        Kind.TRIP: (BLACK, LIGHT_GREEN), Kind.ABSENCE: (BLACK, WHITE),
        Kind.INJURED: (BLACK, LIGHT_RED), Kind.RETURN: (BLACK, LIGHT_RED),
    },
}  # fmt: skip
ROLES: Mapping[str, Mapping[str, int]] = {
    "paper": {
        "background": BRIGHT, "surface": BRIGHT, "panel": WHITE, "foreground": BLACK,
        "accent": BLUE, "error": RED, "quiet": BLACK, "stripe": BRIGHT, "load": GREY,
        "rock-ink": BLACK,
    },
    "slate": {
        "background": BLACK, "surface": BLACK, "panel": BLACK, "foreground": BRIGHT,
        "accent": YELLOW, "error": LIGHT_RED, "quiet": WHITE, "stripe": BLACK, "load": GREY,
        "rock-ink": LIGHT_CYAN,
    },
    "ink": {
        "background": BLACK, "surface": BLACK, "panel": BLACK, "foreground": BRIGHT,
        "accent": YELLOW, "error": LIGHT_RED, "quiet": WHITE, "stripe": BLACK, "load": BRIGHT,
        "rock-ink": BRIGHT,
    },
}  # fmt: skip


def in_sixteen(theme: Theme) -> Theme:
    """A paper in the sixteen colours; what Textual would blend is named as well."""
    role = {name: SHADES[number] for name, number in ROLES[theme.name].items()}
    tints = {f"{kind}-tint": SHADES[tint] for kind, (tint, _) in KINDS[theme.name].items()}
    inks = {f"{kind}-ink": SHADES[ink] for kind, (_, ink) in KINDS[theme.name].items()}
    ground, ink = role["background"], role["foreground"]
    named = {
        "quiet": role["quiet"], "stripe": role["stripe"], "load": role["load"],
        "rock-ink": role["rock-ink"],
        "footer-key-foreground": role["accent"], "footer-background": role["panel"],
        "text-disabled": role["quiet"], "foreground-disabled": role["quiet"],
        "input-cursor-background": ink, "input-cursor-foreground": ground,
        "input-selection-background": role["accent"], "input-selection-foreground": ground,
        "block-cursor-background": role["accent"], "block-cursor-foreground": ground,
        "block-cursor-blurred-background": role["panel"], "block-hover-background": role["panel"],
        "scrollbar": role["load"], "scrollbar-hover": role["load"], "scrollbar-active": ink,
        "scrollbar-background": ground, "scrollbar-corner-color": ground,
        "border": role["accent"], "border-blurred": role["load"],
    }  # fmt: skip
    return replace(
        theme, background=ground, surface=role["surface"], panel=role["panel"], foreground=ink,
        primary=ink, secondary=ink, accent=role["accent"], warning=role["accent"],
        error=role["error"], success=ink, text_alpha=1.0,
        variables={**theme.variables, **tints, **inks, **named},
    )  # fmt: skip
