"""Which season a mark on the year is of, and the edit that gives it its record's chances."""

from __future__ import annotations

from seasonplan.body.almanac import RockSpell
from seasonplan.edits import AnEdit, EditRefused
from seasonplan.explain.entries import chance_text
from seasonplan.workspace.studies import taking
from seasonplan.year import Entry, Season
from tui.year.lanes import Lane, Mark, Sheet, chance_key
from tui.year.weather import Weather


def season_at(mark: Mark, sheet: Sheet) -> tuple[Season, RockSpell] | None:
    """The season of a mark on the rock lane or on one of chances; None between seasons."""
    for spell in sheet.almanac.spells:
        if not isinstance(spell.entry, Season):
            continue
        on_rock = mark.lane is Lane.ROCK and mark.key == spell.entry.id and mark.span == spell.span
        if on_rock or (mark.lane is Lane.CHANCE and mark.key == chance_key(spell)):
            return spell.entry, spell
    return None


def weather_at(mark: Mark, sheet: Sheet) -> Weather | None:
    """The weather of the place of a mark, where there are records of it."""
    if mark.lane is Lane.CHANCE:
        return next((row.weather for row in sheet.rows if mark in row.marks), None)
    found = season_at(mark, sheet)
    lanes = sheet.weather if found else ()
    return next((one for one in lanes if found and one.subject.is_of(found[0])), None)


def can_take(mark: Mark, sheet: Sheet) -> bool:
    """Whether there are chances to take over into the season of a mark that it has not yet."""
    weather, found = weather_at(mark, sheet), season_at(mark, sheet)
    if weather is None or weather.study is None or found is None:
        return False
    from seasonplan.conditions import Origin

    return weather.study.origin(found[0], sheet.year.span) is not Origin.TAKEN


def taken(mark: Mark, sheet: Sheet) -> AnEdit:
    """The edit that gives the season its record's chances. Raises EditRefused."""
    found, weather = season_at(mark, sheet), weather_at(mark, sheet)
    if found is None or weather is None:
        raise EditRefused(
            "This works on a season of a place with weather records.",
            "Point at one on the lane of the place.",
        )
    if weather.study is None:
        raise EditRefused("The weather record is not read.", "See on its lane what it says.")
    return taking(found[0].id, [weather.study], sheet.year)


def taken_text(season: Entry | None, was: str) -> str:
    """Which chances a season has from its record; nothing where they are what they were."""
    if not isinstance(season, Season) or (now := chance_text(season.chance)) == was:
        return ""
    return f"“{season.name}” has its record's chances: {now}; was {was}."
