"""How a study of a place is told: in words and a drawing, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from seasonplan.cli.curve import curve_legend, draw_curve, month_ranges
from seasonplan.cli.screen import Screen
from seasonplan.conditions import (
    Near,
    PlaceStudy,
    WindowOutlook,
    best_windows,
    is_outdated,
    outlook_on,
    sun_spells,
    wall_of,
)
from seasonplan.conditions.windows import best_begin_by_year, outlook
from seasonplan.days import Span, day_month_text
from seasonplan.explain import conditions as words
from seasonplan.explain.doubts import doubt_texts
from seasonplan.explain.words import span_text
from seasonplan.year import Season, Year

Facts = dict[str, Any]
SUN_MONTHS = (3, 6, 9, 12)


def tell(screen: Screen, study: PlaceStudy, year: Year, *, weeks: int, today: date) -> None:
    """Everything the records say of a place and discipline."""
    screen.head(study.name)
    meaning = study.meaning if screen.unicode else study.meaning.replace("°C", "C")
    screen.say(f"Good, for you: {meaning}.", hang=2)
    screen.say(words.PREFERENCE)
    screen.say(words.record_text(study.record, study.climate), hang=2)
    for text in (*words.oddity_texts(study.record), *words.caution_texts(study.climate)):
        screen.say(f"- {text}", hang=2)
    for text in doubt_texts(study):
        screen.say(f"! {text if screen.unicode else text.replace('°', '')}", hang=2)
    if study.climate.has_good_days:
        _tell_chances(screen, study)
        _tell_windows(screen, study, weeks)
        screen.say(words.years_text(study.climate))
        screen.say(words.proof_text(study.proof))
    _tell_seasons(screen, study, year)
    _tell_sun(screen, study, year, today)


def _tell_chances(screen: Screen, study: PlaceStudy) -> None:
    if screen.plain:
        for name, first, days in month_ranges():
            look = outlook(study.climate, first, days)
            low, high = (round(100 * end / days) for end in (look.low, look.high))
            screen.say(f"{name}: {100 * look.mean:.0f} % of days good, {low} to {high} %.")
        return
    screen.head(curve_legend(screen))
    draw_curve(screen, study.climate.chance, study.spread)


def _tell_windows(screen: Screen, study: PlaceStudy, weeks: int) -> None:
    if not screen.plain:
        screen.head(f"Best stretches of {weeks} week{'s' if weeks > 1 else ''}")
    for look in best_windows(study.climate, 7 * weeks):
        screen.say(f"{words.outlook_text(look)}", hang=2)
    own = best_begin_by_year(study.climate, 7 * weeks)
    if len(own) > 1:
        begins = ", ".join(f"{day_month_text(d)} {d.year} ({n})" for d, n in own.values())
        text = f"Each year's own best began: {begins}." if len(own) <= 6 else (
            f"Each year's own best had {min(n for _, n in own.values())} to "
            f"{max(n for _, n in own.values())} good days."
        )  # fmt: skip
        screen.say(text, hang=2)


def _own_seasons(study: PlaceStudy, year: Year) -> Iterator[tuple[Season, Span]]:
    """Seasons of the place and discipline, with their first spell."""
    for season in year.seasons:
        spell = next(season.spells(year.span), None)
        if study.is_of(season) and spell is not None:
            yield season, spell


def _tell_seasons(screen: Screen, study: PlaceStudy, year: Year) -> None:
    for season, spell in _own_seasons(study, year):
        take = f"add --take {season.id}"
        screen.say(words.season_text(study, season, spell, year=year, take=take), hang=2)


def _tell_sun(screen: Screen, study: PlaceStudy, year: Year, today: date) -> None:
    if study.place.aspect is None:
        return
    if not screen.plain:
        screen.head("Sun on the wall, with a flat horizon and no cloud")
    zone = study.place.time_zone or year.climber.time_zone
    days = [today, *(date(today.year, month, 21) for month in SUN_MONTHS)]
    for day in days:
        spells = sun_spells(wall_of(study.place), day, time_zone=zone)
        screen.say(f"{'Today' if day == today else day_month_text(day)}: "
                   f"{words.spells_text(spells)}.")  # fmt: skip


def tell_near(
    screen: Screen, near: Near, year: Year, study: PlaceStudy, *, forecast: str, accepted: bool
) -> None:
    """What a forecast changes, day by day, and whether to plan again."""
    screen.head(f"The next days, by {forecast}")
    for each in near.days:
        screen.say(words.near_day_text(each))
    screen.say(words.near_text(near))
    spans = [s for season, _ in _own_seasons(study, year) for s in season.spells(year.span)]
    if not any(each.day in span for span in spans for each in near.days):
        told = ", ".join(span_text(span) for span in spans) or "there is none"
        screen.say(f"None of these days lies in a season of this place ({told}).")
    elif near.matters and not accepted:
        screen.say("To plan with it: add --accept, then run `seasonplan replan`.")


def facts(study: PlaceStudy, year: Year, *, weeks: int, near: Near | None) -> Facts:
    """The study as JSON: chances by day of an ordinary year, 1 January first."""
    climate, record, proof = study.climate, study.record, study.proof
    spread = study.spread
    return {
        "place": study.place.name,
        "discipline": study.discipline.value if study.discipline else None,
        "good": study.meaning,
        "evidence": "preference",
        "record": {
            "file": record.file, "sha256": record.digest,
            "first": record.first.isoformat(), "last": record.last.isoformat(),
            "days": record.length, "known": len(climate.good),
            "good": sum(climate.good.values()), "short": climate.is_short,
            "one_year": climate.is_one_year,
        },
        "doubts": [
            {"doubt": one.doubt.value, "lines": list(one.lines), "number": one.number,
             "found": [round(value, 1) for value in one.found], "text": text}
            for one, text in zip(study.doubts, doubt_texts(study), strict=True)
        ],
        "chance": [round(p, 4) for p in climate.chance],
        "low": [round(low, 3) for low, _ in spread],
        "high": [round(high, 3) for _, high in spread],
        "known_by_day": [known for _, known in climate.counts],
        "good_by_day": [good for good, _ in climate.counts],
        "years": {y: {"good": g, "known": k} for y, (g, k) in climate.by_year.items()},
        "windows": [_outlook_facts(each) for each in best_windows(climate, 7 * weeks)],
        "seasons": [
            {"season": season.id, "entered": round(words.entered_days(season, spell), 2),
             **_outlook_facts(outlook_on(climate, spell)),
             "outdated": is_outdated(season.chance_from, record, meaning=study.meaning)}
            for season, spell in _own_seasons(study, year)
        ],
        "test": None if proof is None else {
            "fitted": list(proof.early), "scored": list(proof.late),
            "brier": round(proof.brier, 5), "constant": round(proof.constant_brier, 5),
        },
        "forecast": _near_facts(near),
    }  # fmt: skip


def _outlook_facts(look: WindowOutlook) -> Facts:
    return {
        "first": look.first.strftime("--%m-%d"), "last": look.last.strftime("--%m-%d"),
        "days": look.days, "expected": round(look.expected, 2), "low": look.low,
        "high": look.high, "years": dict(look.years),
    }  # fmt: skip


def _near_facts(near: Near | None) -> Facts | None:
    if near is None:
        return None
    return {
        "matters": near.matters,
        "days": [
            {"day": each.day.isoformat(), "forecast": each.forecast, "weight": each.weight,
             "before": round(each.before, 4), "chance": round(each.chance, 4)}
            for each in near.days
        ],
    }  # fmt: skip
