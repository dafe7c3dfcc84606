"""From what a climber tells of an injury or illness to the entry of the year that fits it.

Dates that no table and no clinician stands behind are refused: without them the part stays off.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from seasonplan.days import Span, day_text
from seasonplan.errors import BadInput, Fault
from seasonplan.injury.pulley import Grade, Suggestion, between, suggestion
from seasonplan.reference import least_given_days, table
from seasonplan.vocabulary import BodyPart, Severity, Side, Word
from seasonplan.year import Absence, Injury, Year, slug
from seasonplan.year.entries import LAST_YEAR

_KEYS = ("easy_from", "building_from", "full_from")
_Steps = tuple[date, date, date]
GRADING = "Schöffl & Schöffl 2006"
# Where nobody has named days: the last day a year file can hold, so that a part does not count
# as healed when the year is made longer.
NOBODY_KNOWS = date(LAST_YEAR, 12, 31)
NO_DAYS = "No days named yet"
ASK = "Ask a doctor or physiotherapist; with their word, say so: `cleared = true`."


class Dates(Word):
    """The days on which phases begin, as told; `cleared` if a clinician named them."""

    easy_from: date | None = None
    building_from: date | None = None
    full_from: date | None = None
    cleared: bool = False

    @property
    def told(self) -> bool:
        return any((self.easy_from, self.building_from, self.full_from))


class Hurt(Word):
    """What a climber tells of an injury. A grade is that of a finger pulley."""

    part: BodyPart
    happened: date
    side: Side = Side.NONE
    severity: Severity = Severity.UNKNOWN
    grade: Grade | None = None
    name: str = ""
    note: str = ""
    dates: Dates = Dates()


def injury_of(hurt: Hurt, year: Year, *, young: bool) -> Injury:
    """The entry for an injury; its name is not one that the year has already.

    Without dates: those of the table at their cautious end where there is one; else the part
    stays off until somebody names days. Raises BadInput with every fault.
    """
    found = suggestion(hurt.part, hurt.grade, happened=hurt.happened, young=young)
    faults: list[Fault] = []
    if hurt.dates.told:
        steps, faults = _as_told(hurt.dates, hurt.happened)
        faults += [] if faults or hurt.dates.cleared else list(_unbacked(steps, found))
    else:
        steps = _suggested(found) if found else (NOBODY_KNOWS,) * 3
    if faults:
        raise BadInput(faults)
    name = _free_name(hurt.name.strip() or _plain_name(hurt), year)
    return Injury(
        name=name,
        note=_note(hurt, waiting=steps[0] == NOBODY_KNOWS),
        part=hurt.part,
        side=hurt.side,
        severity=hurt.severity,
        happened=hurt.happened,
        easy_from=steps[0],
        building_from=steps[1],
        full_from=steps[2],
    )


def refuse_to_come(happened: date, *, today: date) -> None:
    """Raises BadInput for an injury of a day to come: nobody knows of one."""
    if happened > today:
        wanted = f"today ({day_text(today)}) or before"
        raise BadInput([_fault("happened", day_text(happened), wanted, "Correct the day.")])


def waits(entry: Injury) -> bool:
    """Whether nobody has named days yet, so that the part stays off."""
    return entry.easy_from == NOBODY_KNOWS


def graded(entry: Injury, grade: Grade, *, young: bool) -> Injury:
    """The entry with the days of the table for a grade that was found out. Raises BadInput."""
    found = suggestion(entry.part, grade, happened=entry.happened, young=young)
    if found is None:
        wanted = "an adult's finger pulley of grade I, II or III"
        raise BadInput([_fault("grade", f"grade {grade.value}", wanted, ASK)])
    note = ". ".join(filter(None, (_grade_text(grade), _said(entry))))
    return _with(entry, _suggested(found), note=note)


def changed(entry: Injury, dates: Dates) -> Injury:
    """The entry with other dates. Raises BadInput, also for earlier ones that nobody cleared."""
    easy = dates.easy_from or entry.easy_from
    full = dates.full_from or entry.full_from
    kept = entry.building_from if easy <= entry.building_from <= full else None
    told = Dates(
        easy_from=easy, building_from=dates.building_from or kept, full_from=full,
        cleared=dates.cleared,
    )  # fmt: skip
    steps, faults = _as_told(told, entry.happened)
    before = (entry.easy_from, entry.building_from, entry.full_from)
    if not faults and not told.cleared:
        faults = [
            _fault(
                key,
                f"{day_text(new)}, earlier than {day_text(old)}",
                "a clinician's word for earlier days",
                ASK,
            )
            for key, new, old in zip(_KEYS, steps, before, strict=True)
            if new < old and key != "building_from"
        ]
    if faults:
        raise BadInput(faults)
    return _with(entry, steps, note=_said(entry))


def _with(entry: Injury, steps: _Steps, *, note: str) -> Injury:
    return Injury(**{**dict(entry), **dict(zip(_KEYS, steps, strict=True)), "note": note})


def _said(entry: Injury) -> str:
    """The note of an entry without our words that nobody has named days."""
    return entry.note.removesuffix(NO_DAYS).removesuffix(". ")


def values_of(entry: Absence | Injury) -> dict[str, Any]:
    """What the year file says of an entry: what is not the usual, in the usual order."""
    said = {
        name: value for name, value in entry.model_dump(exclude_defaults=True).items()
        if name not in ("id", "note")
    }  # fmt: skip
    named = {"name": said.pop("name")}
    if entry.id != slug(entry.name):
        named["id"] = entry.id
    return {**named, **said, **({"note": entry.note} if entry.note else {})}


# --- dates ----------------------------------------------------------------------------------


def _suggested(found: Suggestion) -> _Steps:
    return found.easy_latest, found.building, found.full_latest


def _as_told(dates: Dates, happened: date) -> tuple[_Steps, list[Fault]]:
    """The three days, building found where nobody says it; and what is wrong with them."""
    faults = [
        _fault(
            key, "nothing", "a day", "Name both `easy_from` and `full_from`, or none of the days."
        )
        for key in ("easy_from", "full_from")
        if getattr(dates, key) is None
    ]
    easy, full = dates.easy_from or happened, dates.full_from or happened
    building = dates.building_from or (between(easy, full) if easy <= full else easy)
    if not faults and not (happened <= easy <= building <= full and happened < full):
        faults.append(
            _fault(
                "full_from",
                ", ".join(day_text(day) for day in (happened, easy, building, full)),
                "`happened`, `easy_from`, `building_from` and `full_from` in this order",
                "Put the days in order; your clinician's days count before all others.",
            )
        )
    return (easy, building, full), faults


def _unbacked(steps: _Steps, found: Suggestion | None) -> Iterator[Fault]:
    """Days that stand before the table's earliest, or that no table knows."""
    if found is None:
        yield _fault("cleared", "days of your own", "days that a clinician named", ASK)
        return
    earliest = {"easy_from": found.easy_earliest, "full_from": found.full_earliest}
    for key, day in zip(_KEYS, steps, strict=True):
        if key in earliest and day < earliest[key]:
            wanted = f"{day_text(earliest[key])} or later, the table's earliest"
            yield _fault(key, day_text(day), wanted, ASK)


def _fault(key: str, found: str, wanted: str, do: str) -> Fault:
    return Fault("injury", key, None, found, wanted, do)


# --- names ----------------------------------------------------------------------------------


def _plain_name(hurt: Hurt) -> str:
    """Such as "Left finger"."""
    side = "" if hurt.side is Side.NONE else f"{hurt.side.value} "
    part = "Injury" if hurt.part is BodyPart.OTHER else f"{side}{hurt.part.value}"
    return part[0].upper() + part[1:]


def _free_name(name: str, year: Year) -> str:
    """The name, with a number after it where its id is taken."""
    number, free = 1, name
    while year.entry(slug(free)) is not None:
        number += 1
        free = f"{name} {number}"
    return free


def _note(hurt: Hurt, *, waiting: bool) -> str:
    """The grade, which the year file has no place for, and the climber's own words."""
    grade = _grade_text(hurt.grade) if hurt.grade else ""
    return ". ".join(filter(None, (grade, hurt.note.strip(), NO_DAYS if waiting else "")))


def _grade_text(grade: Grade) -> str:
    return f"Finger pulley, grade {grade.value} ({GRADING})"


# --- illness --------------------------------------------------------------------------------


def illness_of(name: str, *, days: Span, year: Year) -> Absence | Injury:
    """The entry for days of illness: days off, and after longer ones a return in two steps."""
    free = _free_name(name, year)
    if days.length < least_given_days():
        return Absence(name=free, first=days.first, last=days.last, left=0.0)
    raw = table("injuries")["illness"]
    back = round(days.length * float(raw["return_share"]))
    back = max(int(raw["least_return_days"]), min(back, int(raw["most_return_days"])))
    return Injury(
        name=free,
        part=BodyPart.OTHER,
        happened=days.first,
        easy_from=days.after,
        building_from=days.after + timedelta(days=(back + 1) // 2),
        full_from=days.after + timedelta(days=back),
    )
