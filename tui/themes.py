"""Our three papers: cream paper, dark slate, and black ink of the strongest contrast.

One accent each. Every kind of block has a tint and an ink; no two kinds differ by colour alone
(their signs and words differ), and red never stands against green, the pair that most colour-blind
people mix up (common knowledge, no source).
"""

from __future__ import annotations

from dataclasses import replace

from textual.theme import Theme

from seasonplan.explain.tints import ACCENT, NIGHT_TINTS, PAPER_INK, QUIET, ROCK, TINTS
from seasonplan.vocabulary import Kind
from tui.sixteen import in_sixteen

PAPER, SLATE, INK = "paper", "slate", "ink"
SIXTEEN = "standard"  # what rich calls a terminal of sixteen colours

_ON_BLACK = {
    Kind.BASE: ("#000000", "#66bbff"),
    Kind.STRENGTH: ("#000000", "#ee99ff"),
    Kind.PERFORMANCE: ("#000000", "#ffdd00"),
    Kind.REST: ("#000000", "#dddddd"),
    Kind.TRIP: ("#000000", "#55eedd"),
    Kind.ABSENCE: ("#000000", "#cccccc"),
    Kind.INJURED: ("#000000", "#ff9977"),
    Kind.RETURN: ("#000000", "#ff9977"),
}


def _kinds(index: int) -> dict[str, str]:
    found = {}
    for kind in TINTS:
        tint, ink = (TINTS, NIGHT_TINTS, _ON_BLACK)[index][kind]
        found[f"{kind}-tint"], found[f"{kind}-ink"] = tint, ink
    return found


THEMES = (
    Theme(
        name=PAPER,
        dark=False,
        background="#f8f3e8",
        surface="#fcf9f1",
        panel="#efe8d8",
        foreground=PAPER_INK,
        primary=PAPER_INK,
        secondary="#6a6355",
        accent=ACCENT,
        warning="#8a5a00",
        error="#93290f",
        success="#1d4a75",
        variables=_kinds(0)
        | {
            "quiet": QUIET,
            "stripe": "#f1eada",
            "load": "#8d8472",
            "text-disabled": QUIET,
            "scrollbar": "#8d8472",
            "scrollbar-background": "#f8f3e8",
            "rock-ink": ROCK,
            "footer-key-foreground": ACCENT,
            "footer-background": "#efe8d8",
        },
    ),
    Theme(
        name=SLATE,
        dark=True,
        background="#20262b",
        surface="#262d33",
        panel="#2d353c",
        foreground="#e9e4d9",
        primary="#e9e4d9",
        secondary="#a7adb0",
        accent="#ffb454",
        warning="#ffcf70",
        error="#ffa58c",
        success="#b5d6f2",
        variables=_kinds(1)
        | {
            "quiet": "#9aa3a8",
            "stripe": "#252c32",
            "load": "#8b959b",
            "text-disabled": "#9aa3a8",
            "scrollbar": "#8b959b",
            "scrollbar-background": "#20262b",
            "rock-ink": "#d9bd8a",
            "footer-key-foreground": "#ffb454",
            "footer-background": "#2d353c",
        },
    ),
    Theme(
        name=INK,
        dark=True,
        background="#000000",
        surface="#000000",
        panel="#000000",
        foreground="#ffffff",
        primary="#ffffff",
        secondary="#ffffff",
        accent="#ffff00",
        warning="#ffff00",
        error="#ff9977",
        success="#ffffff",
        luminosity_spread=0.3,
        text_alpha=1.0,
        variables=_kinds(2)
        | {
            "quiet": "#dddddd",
            "stripe": "#000000",
            "load": "#ffffff",
            "text-disabled": "#dddddd",
            "scrollbar": "#ffffff",
            "scrollbar-background": "#000000",
            "rock-ink": "#ffffff",
            "footer-key-foreground": "#ffff00",
            "footer-background": "#000000",
            "border": "#ffffff",
        },
    ),
)
# The same where a terminal has 256 colours: the nearest of those would make the paper yellow and
# the bars pink. All of these are among the 256.
_FEWER_KINDS = {
    "base": ("#afd7ff", "#005f87"), "strength": ("#ffd7ff", "#5f005f"),
    "performance": ("#ffd787", "#5f5f00"), "rest": ("#e4e4e4", "#3a3a3a"),
    "trip": ("#afd7d7", "#005f5f"), "absence": ("#d0d0d0", "#444444"),
    "injured": ("#ffafaf", "#5f0000"), "return": ("#ffd7d7", "#4e4e4e"),
}  # fmt: skip
_FEWER_INKS = {  # of the paper, which would fall on inks too light for it
    "accent": "#875f00", "quiet": "#626262", "rock-ink": "#5f5f00", "load": "#808080",
    "scrollbar": "#808080", "text-disabled": "#626262",
    "footer-key-foreground": "#875f00",
}  # fmt: skip
_FEWER_GROUNDS = (("#ffffff", "#ffffff", "#eeeeee"), ("#262626", "#262626", "#303030"))


def themes_for(colours: str | None) -> tuple[Theme, ...]:
    """The papers for what a terminal can show: "standard", "256", or as they are meant to be."""
    if colours == SIXTEEN:
        return tuple(map(in_sixteen, THEMES))
    if colours != "256":
        return THEMES
    return (*(_fewer(theme, index) for index, theme in enumerate(THEMES[:2])), THEMES[2])


def _fewer(theme: Theme, index: int) -> Theme:
    background, surface, panel = _FEWER_GROUNDS[index]
    tints = {f"{kind}-tint": pair[index] for kind, pair in _FEWER_KINDS.items()}
    grounds = {
        "stripe": panel, "footer-background": panel, "scrollbar-background": background,
    }  # fmt: skip
    inks = _FEWER_INKS if theme.name == PAPER else {}
    return replace(
        theme, background=background, surface=surface, panel=panel,
        accent=inks.get("accent", theme.accent),
        variables={**theme.variables, **tints, **grounds, **inks},
    )  # fmt: skip


NAMES = {PAPER: "Paper, light", SLATE: "Slate, dark", INK: "Ink, strongest contrast"}
USUAL = dict(THEMES[0].variables)
