"""Sentences about what is hard to believe in a weather record."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.conditions import Doubt, Doubtful, PlaceStudy, wall_of


def doubt_texts(study: PlaceStudy) -> Iterator[str]:
    """What in a record is hard to believe, where to look, and what may have been meant."""
    for one in study.doubts:
        yield f"Doubtful: {_DOUBTS[one.doubt](one, study)}"


def _crossed_text(one: Doubtful, study: PlaceStudy) -> str:
    rows = "1 row has" if one.number == 1 else f"{one.number:,} rows have"
    return (
        f"{rows} a highest temperature below the lowest ({_lines(one)}). Are the two columns "
        "exchanged?"
    )


def _dry_text(one: Doubtful, study: PlaceStudy) -> str:
    year, rain = one.found
    others = {1: "", 2: " and another year"}.get(one.number, f" and {one.number - 1} other years")
    unit = study.place.records.units.rain if study.place.records else "mm"
    first, last = one.lines
    return (
        f"{year:.0f}{others} had less rain than a desert: {rain:.0f} mm, lines {first:,} to "
        f"{last:,}. Is the rain of the file really in {unit}, and all of it there?"
    )


def _hot_text(one: Doubtful, study: PlaceStudy) -> str:
    mean, most = one.found
    unit = study.place.records.units.temperature if study.place.records else "C"
    hint = "Is the file in °F (units: temperature F)?" if unit == "C" else "Is the file in °C?"
    return (
        f"{mean:.0f} °C is the mean over the year, and so far from the equator hardly any place "
        f"is warmer than {most:.0f} °C ({_lines(one)} has the warmest day). {hint} Or is the "
        "latitude of the place wrong?"
    )


def _turned_text(one: Doubtful, study: PlaceStudy) -> str:
    middle, turn = one.found
    side = "north" if wall_of(study.place).latitude > 0 else "south"
    return (
        f"June to August have {middle:.0f} °C and December to February {turn:.0f} °C, the wrong "
        f"way round {side} of the equator ({_lines(one)} have their warmest days). Is the "
        "latitude of the place right, or are days and months exchanged?"
    )


_DOUBTS = {
    Doubt.CROSSED: _crossed_text, Doubt.DRY: _dry_text,
    Doubt.HOT: _hot_text, Doubt.TURNED: _turned_text,
}  # fmt: skip


def _lines(one: Doubtful) -> str:
    """Such as "lines 3, 8 and 40"; "and more" where not all are named."""
    named = [f"{line:,}" for line in one.lines]
    if one.doubt is Doubt.CROSSED and one.number > len(named):
        return f"lines {', '.join(named)} and more"
    if len(named) == 1:
        return f"line {named[0]}"
    return f"lines {', '.join(named[:-1])} and {named[-1]}"
