"""Colours of the terminal: kinds told apart, words and marks that stand out, at every depth."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from itertools import combinations
from math import dist
from pathlib import Path

import pytest
from places import ROOT
from rich.color import Color, ColorSystem
from rich.console import Console
from stage import demo, opened, press, sheet
from textual.pilot import Pilot

from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import NIGHT_TINTS, TINTS
from seasonplan.vocabulary import Kind
from tui.app import SeasonApp
from tui.sixteen import SHADES
from tui.themes import NAMES, THEMES, themes_for


async def test_no_two_kinds_share_a_sign_or_a_colour_pair(tmp_path: Path) -> None:
    assert len({SIGNS[kind].drawn for kind in Kind}) == len(Kind)
    kinds = (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST, Kind.TRIP, Kind.ABSENCE)
    async with opened(demo(tmp_path)) as pilot:
        for name in NAMES:
            pilot.app.theme = name
            await pilot.pause()
            styles = {kind: sheet(pilot)._styles()[kind.value] for kind in kinds}
            pairs = {(style.color, style.bgcolor) for style in styles.values()}
            assert len(pairs) == len(kinds), name


# The sixteen as xterm shows them by default. Source: XTerm-col.ad; from memory.
XTERM = (
    "#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
    "#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
)  # fmt: skip


def in_xterm(colour: Color) -> str:
    """How a terminal of sixteen colours shows a colour."""
    number = colour.downgrade(ColorSystem.STANDARD).number
    assert number is not None
    return XTERM[number]


def test_where_there_are_sixteen_colours_each_is_one_of_them() -> None:
    """No colour is left to a nearest one, and kinds that stand beside each other differ."""
    for theme in themes_for("standard"):
        given = [theme.background, theme.foreground, theme.accent, theme.error, theme.panel]
        for colour in (*given, *theme.variables.values()):
            assert colour in SHADES, (theme.name, colour)
        kinds = (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST, Kind.TRIP, Kind.ABSENCE)
        pairs = {
            tuple(theme.variables[f"{kind}-{end}"] for end in ("tint", "ink")) for kind in kinds
        }
        assert len(pairs) == len(kinds)
    assert [Color.parse(one).downgrade(ColorSystem.STANDARD).number for one in SHADES] == [
        *range(16)
    ]


PAGES = (("1", "right"), ("2",), ("3",), ("4",), ("5",))
WINDOWS = (("question_mark",), ("escape", "ctrl+p"), ("escape",))


@pytest.mark.parametrize("depth", ["truecolor", "standard"])
async def test_every_sign_stands_out_on_every_page_of_every_theme(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, depth: str
) -> None:
    """4.5 for words and 3 for marks, lines between the parts of a page too (WCAG 2.1).

    Windows only in sixteen colours: in more, what lies behind them is veiled, and meant to be.
    """
    monkeypatch.setattr(Console, "color_system", property(lambda _: depth))
    shown = in_xterm if depth == "standard" else (lambda colour: colour.get_truecolor().hex)
    seen = 0
    async with opened(demo(tmp_path), size=(100, 40)) as pilot:
        for theme in NAMES:
            pilot.app.theme = theme
            for keys in PAGES + (WINDOWS if depth == "standard" else ()):
                await press(pilot, *keys)
                for sign, ink, ground in drawn(pilot):
                    seen += 1
                    least = 4.5 if sign.isalnum() else 3
                    assert contrast(shown(ink), shown(ground)) >= least, (theme, keys, sign)
    assert seen > 10_000


def drawn(pilot: Pilot[int]) -> Iterator[tuple[str, Color, Color]]:
    """Every sign on the screen with its colour and the one behind it."""
    for strip in pilot.app.screen._compositor.render_strips():
        for text, style, _ in strip:
            if style is None or not text.strip() or style.color is None or style.bgcolor is None:
                continue
            pair = (style.bgcolor, style.color) if style.reverse else (style.color, style.bgcolor)
            yield from ((sign, *pair) for sign in text if sign.strip())


def test_where_there_are_256_colours_the_paper_is_neither_yellow_nor_pink() -> None:
    """As the terminal gets them: the grounds are grey, the kinds differ and can be read."""

    def shown(colour: str | None) -> str:
        return Color.parse(colour or "").downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex

    for theme in themes_for("256"):
        for ground in (theme.background, theme.surface, theme.panel, theme.variables["stripe"]):
            assert len({shown(ground)[at : at + 2] for at in (1, 3, 5)}) == 1
        tints = [shown(theme.variables[f"{kind.value}-tint"]) for kind in Kind]
        assert len(set(tints)) == len(tints) or theme.name == "ink"
        for kind in Kind:
            ink, tint = (theme.variables[f"{kind.value}-{end}"] for end in ("ink", "tint"))
            assert contrast(shown(ink), shown(tint)) >= 4.5
    assert themes_for("truecolor") == THEMES


@pytest.mark.parametrize("depth", ["truecolor", "256"])
@pytest.mark.parametrize("number", range(len(THEMES)), ids=[theme.name for theme in THEMES])
def test_words_and_marks_stand_apart_from_every_ground(number: int, depth: str) -> None:
    """4.5 for words and 3 for marks, as the terminal gets the colours (WCAG 2.1, 1.4.3, 1.4.11)."""
    theme = themes_for(depth)[number]

    def shown(colour: str | None) -> str:
        given = Color.parse(colour or "")
        less = given.downgrade(ColorSystem.EIGHT_BIT) if depth == "256" else given
        return less.get_truecolor().hex

    named = theme.variables
    grounds = (theme.background, theme.surface, theme.panel, named["stripe"])
    words = {"foreground": theme.foreground, "accent": theme.accent, "error": theme.error}
    words |= {name: named[name] for name in ("quiet", "rock-ink")}
    for ground in grounds:
        for name, ink in words.items():
            assert contrast(shown(ink), shown(ground)) >= 4.5, (name, ground)
        assert contrast(shown(named["load"]), shown(ground)) >= 3, ground
    for kind in Kind:
        ink, tint = (named[f"{kind.value}-{end}"] for end in ("ink", "tint"))
        assert contrast(shown(ink), shown(tint)) >= 4.5, kind


def test_kinds_that_look_alike_without_green_carry_another_sign() -> None:
    """A tint that a deuteranope takes for its neighbour's has a sign of its own in every column."""
    alike = [
        (theme.name, one, other)
        for theme in THEMES for one, other in combinations(Kind, 2)
        if apart(*(theme.variables[f"{kind.value}-tint"] for kind in (one, other))) < TELLS
    ]  # fmt: skip
    assert alike  # else the signs would not be needed
    for _, one, other in alike:
        assert SIGNS[one].drawn != SIGNS[other].drawn


def test_no_two_tints_are_the_same_without_green() -> None:
    """By day and by night, of the terminal as of page and poster; on black the inks differ."""
    for tints in (TINTS, NIGHT_TINTS):
        pairs = list(combinations(Kind, 2))
        near = [pair for pair in pairs if apart(*(tints[kind][0] for kind in pair)) < DIFFERS]
        assert len(pairs) == 28 and near == []


# Differences in CIE L*a*b*: that is seen at a glance, and that is seen side by side; common
# practice, from memory.
TELLS, DIFFERS = 10.0, 5.0
# Deuteranopia on linear red, green, blue. Source: Machado, Oliveira, Fernandes 2009, severity 1;
# from memory.
NO_GREEN = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)


def apart(one: str, other: str) -> float:
    """How far two colours lie apart for a deuteranope (CIE 1976)."""
    return dist(_lab(one), _lab(other))


def _lab(colour: str) -> tuple[float, float, float]:
    parts = [value / 255 for value in Color.parse(colour).get_truecolor()]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    r, g, b = (sum(m * c for m, c in zip(row, linear, strict=True)) for row in NO_GREEN)
    xyz = (
        (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505, 0.2126 * r + 0.7152 * g + 0.0722 * b,
        (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089,
    )  # fmt: skip
    x, y, z = (c ** (1 / 3) if c > 0.008856 else 7.787 * c + 16 / 116 for c in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours. Source: WCAG 2.1, definition of contrast ratio; 4.5 is AA."""

    def light(colour: str) -> float:
        parts = [value / 255 for value in Color.parse(colour).get_truecolor()]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((light(one), light(other)))
    return (high + 0.05) / (low + 0.05)


def test_a_paper_asked_for_in_the_environment_has_its_own_colours() -> None:
    code = (
        "import asyncio\nfrom pathlib import Path\nfrom tui.app import SeasonApp\n"
        "async def look():\n"
        "    app = SeasonApp(Path('nowhere'))\n"
        "    async with app.run_test() as pilot:\n"
        "        await pilot.pause()\n"
        "        print(app.theme, app.screen.styles.background.hex.lower())\n"
        "asyncio.run(look())"
    )
    environment = {**os.environ, "TEXTUAL_THEME": "slate"}
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, env=environment
    )
    slate = next(theme for theme in THEMES if theme.name == "slate")
    assert ran.stdout.split() == ["slate", slate.background], ran.stderr


def test_the_console_of_linux_gets_the_paper_that_needs_no_light_grounds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Its driver drops the bright bit of grounds; from memory. Inks keep it."""
    monkeypatch.setenv("TERM", "linux")
    app = SeasonApp(Path("nowhere"))
    assert app.theme == "ink"
    ink = next(theme for theme in themes_for("standard") if theme.name == app.theme)
    assert {ink.variables[f"{kind}-tint"] for kind in Kind} == {SHADES[0]}
    assert len({ink.variables[f"{kind}-ink"] for kind in Kind}) == len(Kind) - 1  # hurt, and back
    monkeypatch.setenv("TEXTUAL_THEME", "paper")
    assert SeasonApp(Path("nowhere")).theme == "paper"
