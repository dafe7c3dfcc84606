"""How the page looks: at 360 pixels, in the dark, and how far its text stands out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from folder_maker import planned
from test_feed_today import contents

from seasonplan.explain.tints import TINTS
from seasonplan.feed.pages.style import STYLE
from seasonplan.ical import ALL
from seasonplan.vocabulary import Kind


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("plan"))


def test_the_year_fits_a_phone_of_360_pixels_and_its_text_stays_as_large_as_it_is_drawn(
    folder: Path,
) -> None:
    made = contents(folder, ALL)
    room = 360 - 2 * 16  # the margins of the page
    width = int(re.search(r'viewBox="0 0 (\d+) ', made.narrow_picture)[1])  # type: ignore[index]
    assert width <= room and f'width="{width}"' in made.narrow_picture
    assert "svg.narrow{display:block;max-width:none}" in STYLE and "body{" in STYLE
    assert min(map(int, re.findall(r'font-size="(\d+)"', made.narrow_picture))) >= 11
    for x in re.findall(r'<text class="ink" x="([\d.]+)"', made.narrow_picture):
        assert float(x) < width
    named = set(re.findall(r'class="ink"[^>]*>([a-z ]+)<', made.narrow_picture))
    assert {"base", "strength", "performance", "trip", "absence", "rest", "rock in season"} == named


def test_in_the_dark_every_part_of_the_picture_and_page_has_another_colour(folder: Path) -> None:
    dark = STYLE.partition("prefers-color-scheme:dark")[2].partition("}}")[0]
    light = STYLE.partition(":root{")[2].partition("}")[0]
    names = set(re.findall(r"(--[\w-]+):", light))
    assert names == set(re.findall(r"(--[\w-]+):", dark))
    values = [dict(re.findall(r"(--[\w-]+):(#\w+)", part)) for part in (light, dark)]
    assert all(values[0][name] != values[1][name] for name in names)
    picture = contents(folder).narrow_picture
    drawn = set(re.findall(r'class="([\w-]+)"', picture)) - {"narrow"}
    assert drawn >= {"paper", "ink", "day", "weekend", "rock", "fill-0", "rule-0"}
    assert all(f".{name}{{" in STYLE for name in drawn)


def test_the_page_has_the_colours_of_the_poster_by_day_and_in_the_dark(folder: Path) -> None:
    picture = contents(folder).picture
    for kind in (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST, Kind.TRIP):
        tint, ink = TINTS[kind]
        assert f'fill="{tint}"' in picture and f'stroke="{ink}"' in picture
        assert f"{{fill:{ink}}}" in STYLE and f"{{stroke:{tint}}}" in STYLE


# Contrast of text: WCAG 2.2, 1.4.3, at least 4.5 to 1
@pytest.mark.parametrize("which", ["light", "dark"])
def test_text_stands_out_from_its_ground(which: str) -> None:
    light, _, rest = STYLE.partition("@media(prefers-color-scheme:dark)")
    part = light if which == "light" else rest.partition("}}")[0]
    colour = dict(re.findall(r"--([\w-]+):(#\w+)", part))
    pairs = [("on-button", "button")] + [
        (text, ground) for text in ("ink", "soft", "link", "warn") for ground in ("paper", "card")
    ]
    for text, ground in pairs:
        one, two = sorted((_light(colour[text]), _light(colour[ground])))
        assert (two + 0.05) / (one + 0.05) >= 4.5, (text, ground)


def _light(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * one for one in colour[1:])
    shares = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    red, green, blue = (
        share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
