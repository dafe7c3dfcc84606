"""How the page looks: at 360 pixels, in the dark, and how far its text stands out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from folder_maker import planned
from test_feed_today import contents

from seasonplan.explain.tints import BY_NIGHT, TINTS, WHITE
from seasonplan.feed.pages.style import STYLE
from seasonplan.ical import ALL, USUAL, Layer


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("plan"))


def pictures(folder: Path, look: str, layers: frozenset[Layer] = ALL) -> list[str]:
    """The pictures of the page for a window (`wide`) or a phone (`narrow`)."""
    every = "".join(contents(folder, layers).drawn)
    found = re.findall(rf'<svg [^>]*class="drawn {look}".*?</svg>', every, re.DOTALL)
    assert len(found) == 3, "the year, form, load"
    return found


def test_pictures_fit_a_phone_of_360_points_and_their_text_stays_as_large_as_it_is_drawn(
    folder: Path,
) -> None:
    point = 25.4 / 96  # mm (CSS Values 3, 5.2)
    room = 360 - 2 * 16  # the margins of the page
    assert "svg.narrow{display:block;max-width:none}" in STYLE and "body{" in STYLE
    for picture in pictures(folder, "narrow"):
        width = float(re.search(r'width="([\d.]+)mm"', picture)[1])  # type: ignore[index]
        assert width / point <= room
        words = re.findall(r'<text [^>]*fill="(#\w+)" font-size="([\d.]+)"', picture)
        sizes = [float(size) for colour, size in words if colour != WHITE]
        assert len(sizes) > 10 and min(sizes) / point >= 11, "but for letters on short blocks"
        for x in re.findall(r'<text x="([\d.]+)"', picture):
            assert float(x) < width


def test_the_key_of_the_year_names_every_sign_in_it(folder: Path) -> None:
    for look in ("wide", "narrow"):
        year = pictures(folder, look)[0]
        for word in ("base", "strength", "performance", "trip", "absence", "rest"):
            assert f">{word}</text>" in year
        assert ">rock, as thick as the chance of a good day</text>" in year


def test_by_night_every_colour_of_pictures_and_page_is_another(folder: Path) -> None:
    dark = STYLE.partition("prefers-color-scheme:dark")[2].partition("}}")[0]
    light = STYLE.partition(":root{")[2].partition("}")[0]
    names = set(re.findall(r"(--[\w-]+):", light))
    assert names == set(re.findall(r"(--[\w-]+):", dark))
    values = [dict(re.findall(r"(--[\w-]+):(#\w+)", part)) for part in (light, dark)]
    assert all(values[0][name] != values[1][name] for name in names)
    seen = set()
    for look in ("wide", "narrow"):
        for picture in pictures(folder, look):
            seen |= set(re.findall(r'(fill|stroke)="(#\w+)"', picture))
    assert len(seen) > 20
    for part, colour in seen:
        night = BY_NIGHT[colour]
        assert night != colour and f'.drawn [{part}="{colour}"]{{{part}:{night}}}' in STYLE


def test_letters_on_blocks_stand_out_by_night_too() -> None:
    """Contrast: WCAG 2.2, 1.4.3."""
    for kind, (_, ink) in TINTS.items():
        for colours in ((ink, WHITE), (BY_NIGHT[ink], BY_NIGHT[WHITE])):
            one, two = sorted(map(_light, colours))
            assert (two + 0.05) / (one + 0.05) >= 4.5, kind


def test_form_and_load_are_drawn_only_where_all_they_tell_of_may_be_seen(folder: Path) -> None:
    for layer in (Layer.SESSIONS, Layer.TRIPS, Layer.BLOCKS, Layer.ABSENCES):
        drawn = contents(folder, USUAL - {layer}).drawn
        assert drawn.year and not drawn.form and not drawn.load
    assert "Isle" not in contents(folder, USUAL - {Layer.TRIPS}).drawn.year
    assert "Long Crack" not in contents(folder, USUAL - {Layer.SESSIONS}).drawn.year
    assert "Long Crack" in contents(folder, USUAL).drawn.form


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
