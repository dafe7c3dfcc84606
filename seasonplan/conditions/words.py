"""Sentences about records, chances and windows; the same for every face."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from statistics import median

from seasonplan.conditions import moisture
from seasonplan.conditions.climate import Climate
from seasonplan.conditions.near import Near
from seasonplan.conditions.records import Record
from seasonplan.conditions.score import Proof
from seasonplan.conditions.sun import Spell
from seasonplan.conditions.windows import Outlook
from seasonplan.days import MONTHS
from seasonplan.year.place import Good

PREFERENCE = (
    "What is good is your preference, not measured friction: trials found no plain link between "
    "temperature or humidity and the friction of chalked fingers (Amca et al. 2012, 11 climbers)."
)


def day_month(day: date) -> str:
    """Such as "25 Dec"; English whatever the locale."""
    return f"{day.day} {MONTHS[day.month - 1][:3].capitalize()}"


def meaning(good: Good, *, hourly: bool) -> str:
    """What the climber calls good, in a line."""
    return "; ".join(_conditions(good, hourly=hourly))


def _conditions(good: Good, *, hourly: bool) -> Iterator[str]:
    if good.temperature is not None:
        low, high = good.temperature
        yield f"{low:.4g} to {high:.4g} °C" + ("" if hourly else " at the day's highest")
    if good.highest_dew_point is not None:
        name = moisture.point_name(good.highest_dew_point)
        yield f"{name} at most {good.highest_dew_point:.4g} °C"
    if good.highest_humidity is not None:
        yield f"humidity at most {good.highest_humidity:.4g} %"
    if good.highest_wind is not None:
        yield f"wind at most {good.highest_wind:.4g} m/s"
    if good.rain_below is not None:
        before = {0: "", 1: " and the day before"}.get(
            good.dry_days_before, f" and the {good.dry_days_before} days before"
        )
        yield f"rain below {good.rain_below:.4g} mm that day{before}"
    if hourly and not good.asks_wall:
        yield f"{good.hours:g} daylight hours of that or more"
    if good.shade_hours:
        yield f"{good.shade_hours:g} daylight hours or more in the shade"
    if good.sun_hours:
        yield f"{good.sun_hours:g} hours or more in the sun"


def record_text(record: Record, climate: Climate) -> str:
    """What the record holds: its days, those that could be judged, those that were good."""
    good = sum(climate.good.values())
    return (
        f"{record.file}: {record.first} to {record.last}, {record.length:,} days, "
        f"{len(climate.good):,} of them known, {good:,} good ({100 * climate.rate:.0f} %)."
    )


def oddity_texts(record: Record) -> Iterator[str]:
    """What was odd in the file and how it was taken."""
    odd = record.oddities
    holes = record.length - len(record.days)
    if holes:
        yield f"{_count(holes, 'day has', 'days have')} no row."
    for measure, number in sorted(odd.missing.items()):
        name = measure.replace("_", " ")
        yield f"{_count(number, 'value', 'values')} missing for {name}."
    if odd.traces:
        yield f"{_count(odd.traces, 'trace', 'traces')} of rain taken as none."
    if odd.twice:
        yield f"{_count(odd.twice, 'row', 'rows')} that came twice left out."
    if odd.repeated_hours:
        yield f"{_count(odd.repeated_hours, 'hour', 'hours')} repeated when clocks went back."
    if odd.skipped_hours:
        yield (
            f"{_count(odd.skipped_hours, 'hour', 'hours')} that no clock showed when clocks went "
            'forward: if the record keeps one time all year, set records.time_zone, such as "UTC".'
        )


def caution_texts(climate: Climate) -> Iterator[str]:
    """What to keep in mind of a record that is short or knows no good day."""
    if climate.is_one_year:
        yield (
            "This is about one year of records: it cannot show how years differ, so the ranges "
            "are wide, taken from other places."
        )
    elif climate.is_short:
        yield (
            f"{climate.years:.1f} years of records are few: the ranges lean on how years differ "
            "at other places."
        )
    if not climate.has_good_days:
        yield (
            f"No day of {len(climate.good):,} known ones was good. Either this place is not for "
            "you, or your meaning of good asks too much."
        )


def outlook_text(outlook: Outlook) -> str:
    """Dates, good days to expect, their range, and past years."""
    text = (
        f"{day_month(outlook.first)} to {day_month(outlook.last)}: {outlook.expected:.1f} good "
        f"days to expect, {outlook.low} to {outlook.high} in eight years of ten"
    )
    if not outlook.years:
        return f"{text}; no past year is known throughout."
    counts = list(outlook.years.values())
    if len(counts) <= 6:
        past = ", ".join(f"{number} in {year}" for year, number in outlook.years.items())
        return f"{text}; past years {past}."
    return f"{text}; {len(counts)} past years had {min(counts)} to {max(counts)}."


def years_text(climate: Climate) -> str:
    """How different the years were."""
    whole = {y: good for y, (good, known) in climate.by_year.items() if known >= 300}
    if len(whole) < 2:
        return "How different the years were cannot be said from one."
    least, most = min(whole, key=whole.__getitem__), max(whole, key=whole.__getitem__)
    return (
        f"Good days a year: {whole[least]} in {least}, the fewest, to {whole[most]} in {most}, "
        f"the most; half of the years had {median(whole.values()):g} or more."
    )


def proof_text(proof: Proof | None) -> str:
    """Whether the chances would have served in years they were not taken from."""
    if proof is None:
        return "Not tested on years left out: that takes two years or more."
    better = "better" if proof.gain >= 0 else "worse"
    return (
        f"Tested on years left out: taken from {_years(proof.early)}, judged by "
        f"{_years(proof.late)}, the chances scored {proof.brier:.3f}, a constant rate "
        f"{proof.constant_brier:.3f} (Brier, 0 is best): {abs(100 * proof.gain):.0f} % {better}."
    )


def near_text(near: Near) -> str:
    """What a forecast changes."""
    last = near.days[-1].day
    text = (
        f"Up to {day_month(last)} {last.year} the record alone lets you expect {near.before:.1f} "
        f"good days, with the forecast {near.expected:.1f}"
    )
    if near.matters:
        return f"{text}. That is enough of a change to plan again."
    return f"{text}. That is not enough of a change to plan again."


def spells_text(spells: tuple[Spell, ...]) -> str:
    """Such as "04:40 to 08:10 and 16:20 to 19:55", or "never"."""
    return " and ".join(f"{a:%H:%M} to {b:%H:%M}" for a, b in spells) or "never"


def _years(years: tuple[int, ...]) -> str:
    return str(years[0]) if len(years) == 1 else f"{years[0]}-{years[-1]}"


def _count(number: int, one: str, more: str) -> str:
    return f"{number:,} {one if number == 1 else more}"
