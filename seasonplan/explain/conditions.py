"""Sentences about weather records, the chances in them and what a season takes from them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from statistics import median

from seasonplan.conditions import Origin, PlaceStudy, outlook_on
from seasonplan.conditions.climate import Climate
from seasonplan.conditions.near import Near, NearDay
from seasonplan.conditions.records import Record
from seasonplan.conditions.score import OutOfSample
from seasonplan.conditions.settings import forecast_trust
from seasonplan.conditions.sun import Spell
from seasonplan.conditions.windows import WindowOutlook
from seasonplan.days import Span, day_month_text, day_text, span_text
from seasonplan.errors import Fault
from seasonplan.explain.doubts import doubt_texts
from seasonplan.explain.slip import Slip, days_text
from seasonplan.year import Season, Year
from seasonplan.year.chance import chance_on

PREFERENCE = (
    "What is good is your preference, not measured friction: one study, of 11 climbers, found no "
    "plain link between temperature or humidity and the friction of chalked fingers "
    "(Amca et al. 2012)."
)

FAULTY = "Its weather record cannot be read: see the lane of its place."
MOST_FAULTS = 4


def record_text(record: Record, climate: Climate) -> str:
    """What the record holds: its days, those that could be judged, those that were good."""
    good = sum(climate.good.values())
    return (
        f"{record.file}: {span_text(Span.through(record.first, record.last))}, "
        f"{_count(record.length, 'day', 'days')}, "
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
            "forward: if the record keeps one time all year, say which as the time_zone of the "
            'records, such as "Etc/GMT-1", "+01:00" or "UTC".'
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


def outlook_text(outlook: WindowOutlook) -> str:
    """Dates, good days to expect, their range, and past years."""
    first, last = day_month_text(outlook.first), day_month_text(outlook.last)
    return f"{first} to {last}: {expected_text(outlook)}"


def expected_text(outlook: WindowOutlook) -> str:
    """Good days to expect, their range, and past years."""
    text = (
        f"{outlook.expected:.1f} good days to expect, {outlook.low} to {outlook.high} in eight "
        "years of ten"
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


def proof_text(proof: OutOfSample | None) -> str:
    """Whether the chances would have served in years they were not taken from."""
    if proof is None:
        return "Not tested on years left out: that takes two years or more."
    better = "better" if proof.gain >= 0 else "worse"
    return (
        f"Tested on years left out: taken from {_years(proof.early)}, judged by "
        f"{_years(proof.late)}, the chances scored {proof.brier:.3f}, a constant rate "
        f"{proof.constant_brier:.3f} (error squared, 0 is perfect): "
        f"{abs(100 * proof.gain):.0f} % {better}."
    )


# --- seasons ------------------------------------------------------------------------------------


def entered_days(season: Season, spell: Span) -> float:
    """Good days by the chances in the year."""
    return sum(chance_on(season.chance, spell, day) for day in spell.days())


def origin_text(study: PlaceStudy, season: Season, spell: Span, *, year: Year, take: str) -> str:
    """Where the season's chances come from; `take` is what takes the record's over."""
    match study.origin(season, year.span):
        case Origin.TAKEN:
            return "Its chances come from these records."
        case Origin.TOUCHED:
            return (
                "Its chances were taken from these records and changed by hand since. "
                f"To take these over again, {take}."
            )
        case Origin.OUTDATED:
            return (
                "Its chances were taken from other records, or with another meaning of good: "
                f"to take these over, {take}."
            )
        case Origin.OWN:
            days = entered_days(season, spell)
            return f"By the chances you entered: {days:.1f} good days. To take these over, {take}."


def season_text(study: PlaceStudy, season: Season, spell: Span, *, year: Year, take: str) -> str:
    """What the record says of a season, and what the season itself says."""
    look = outlook_text(outlook_on(study.climate, spell))
    origin = origin_text(study, season, spell, year=year, take=take)
    return f"Your season “{season.name}”, {look} {origin}"


def record_line(study: PlaceStudy, season: Season, spell: Span, *, year: Year, take: str) -> str:
    """The same in short, for the slip of a season."""
    origin = origin_text(study, season, spell, year=year, take=take)
    look = outlook_on(study.climate, spell)
    return (
        f"By the weather records {look.expected:.1f} good days to expect, {look.low} to "
        f"{look.high} in eight years of ten. {origin}"
    )


# --- slips --------------------------------------------------------------------------------------


def chance_slip(
    study: PlaceStudy,
    span: Span,
    *,
    season: Season | None,
    year: Year,
    today: date | None,
    take: str,
) -> Slip:
    """Days of a season, or between seasons, as the record has them."""
    origin = [origin_text(study, season, span, year=year, take=take)] if season else []
    return Slip(
        title=_title(study.name),
        days=days_text(span),
        why=(
            *doubt_texts(study),
            *_of_days(study, span, season, today),
            *origin,
            *caution_texts(study.climate),
        ),
        told=(
            f"Good, for you: {study.meaning}.",
            record_text(study.record, study.climate),
            *oddity_texts(study.record),
            *((years_text(study.climate),) if study.climate.has_good_days else ()),
            proof_text(study.proof),
            PREFERENCE,
        ),
    )


def _of_days(
    study: PlaceStudy, span: Span, season: Season | None, today: date | None
) -> Iterator[str]:
    if not study.climate.has_good_days:
        return
    where = f"Your season “{season.name}”" if season else "Outside your seasons"
    chances = {day: study.climate.chance_on(day) for day in span.days()}
    best = max(chances, key=chances.__getitem__)
    low, high = 100 * min(chances.values()), 100 * chances[best]
    now = f", today {100 * chances[today]:.0f} %" if today in chances else ""
    yield f"{where}: {low:.0f} to {high:.0f} %, highest about {day_month_text(best)}{now}."
    yield expected_text(outlook_on(study.climate, span))


def reading_slip(name: str, span: Span) -> Slip:
    """Said while the record is read."""
    return Slip(_title(name), days_text(span), ("The weather record is being read.",))


def faulty_slip(name: str, span: Span, faults: Sequence[Fault]) -> Slip:
    """What is wrong with a record, so that it can be put right."""
    more = len(faults) - MOST_FAULTS
    told = [str(fault) for fault in faults[:MOST_FAULTS]]
    return Slip(
        title=f"{name}: its weather record cannot be read",
        days=days_text(span),
        why=(*told, *((f"and {more} more",) if more > 0 else ())),
        told=("Put it right in the file: it is read again by itself.",),
    )


def _title(name: str) -> str:
    return f"{name}: chance of a good day"


# --- the next days, the sun ---------------------------------------------------------------------


def near_text(near: Near) -> str:
    """What a forecast changes."""
    last = near.days[-1].day
    text = (
        f"Up to {day_month_text(last)} {last.year} the record alone lets you expect "
        f"{near.before:.1f} good days, with the forecast {near.expected:.1f}"
    )
    if near.matters:
        return f"{text}. That is enough of a change to plan again."
    return f"{text}. That is not enough of a change to plan again."


def near_day_text(near: NearDay) -> str:
    """A day ahead: what the forecast says of it, or why it says nothing, and the chance now."""
    told = "good" if near.forecast else "not good"
    if near.forecast is None:
        told = _unjudged(near.lacking)
    trust = f", trusted {100 * near.weight:.0f} %" if near.forecast is not None else ""
    return (
        f"{day_text(near.day)}: {told}{trust}; chance {100 * near.chance:.0f} % "
        f"(records {100 * near.before:.0f} %)."
    )


def _unjudged(lacking: tuple[date, ...] | None) -> str:
    if lacking is None:
        return "no forecast"
    if not lacking:
        return "a value that good asks for is missing"
    return f"not judged, as nobody knows the rain of {day_text(lacking[0])}"


def no_near_text(forecast: str, today: date) -> str:
    """Said where a forecast has nothing for the days it could change."""
    ahead = Span(today, today + timedelta(days=len(forecast_trust().weight)))
    return (
        f"{forecast} says nothing of {span_text(ahead)}, as far as a forecast counts: its days "
        "are past or too far ahead, or lack a value that good asks for. Nothing changes."
    )


def spells_text(spells: tuple[Spell, ...]) -> str:
    """Such as "04:40 to 08:10 and 16:20 to 19:55", or "never"."""
    return " and ".join(f"{a:%H:%M} to {b:%H:%M}" for a, b in spells) or "never"


def _years(years: tuple[int, ...]) -> str:
    return str(years[0]) if len(years) == 1 else f"{years[0]}-{years[-1]}"


def _count(number: int, one: str, more: str) -> str:
    return f"{number:,} {one if number == 1 else more}"
