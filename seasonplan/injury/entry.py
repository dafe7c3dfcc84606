"""From what a climber tells of an injury or illness to the entry of the year that fits it.

Days keep the name of who named them: a clinician, the cited table, or the climber. Without any
the part stays off. Only young fingers need a clinician's word for days.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Any

from seasonplan.days import Span, day_text
from seasonplan.errors import BadInput, Fault
from seasonplan.injury.pulley import Grade, Suggestion, between, suggestion
from seasonplan.rules.tables import least_given_days, table
from seasonplan.vocabulary import BodyPart, FrozenModel, NamedBy, Severity, Side
from seasonplan.year import Absence, Injury, Year, slug
from seasonplan.year.entries import OPEN_END
from seasonplan.year.ids import must_be_said

STEPS = ("easy_from", "building_from", "full_from")
_Steps = tuple[date, date, date]
ASK = "Ask a doctor or physiotherapist; with their word, say so: `cleared = true`."


class Dates(FrozenModel):
    """The days on which phases begin, as told; `cleared` if a clinician named them."""

    easy_from: date | None = None
    building_from: date | None = None
    full_from: date | None = None
    cleared: bool = False

    @property
    def told(self) -> bool:
        return any((self.easy_from, self.building_from, self.full_from))


class Hurt(FrozenModel):
    """What a climber tells of an injury. A grade is that of a finger pulley.

    `healed` is the day since which the part is fully loaded again.
    """

    part: BodyPart
    happened: date
    side: Side = Side.NONE
    severity: Severity = Severity.UNKNOWN
    grade: Grade | None = None
    healed: date | None = None
    name: str = ""
    note: str = ""
    dates: Dates = Dates()


def injury_of(hurt: Hurt, year: Year, *, young: bool) -> Injury:
    """The entry for an injury; its name is not one that the year has already.

    Without days: those of the table at their cautious end where there is one; else the part
    stays off until somebody names days. Raises BadInput with every fault.
    """
    faults = list(_misgraded(hurt))
    steps: _Steps = (OPEN_END,) * 3
    named_by: NamedBy | None = None
    if hurt.healed is not None:
        faults += _wrongly_healed(hurt.happened, hurt.healed, told=hurt.dates.told)
        steps, named_by = (hurt.healed,) * 3, _namer(hurt.dates)
    elif hurt.dates.told:
        steps, wrong = _as_told(hurt.dates, hurt.happened)
        faults += wrong or _unbacked(hurt, young=young)
        named_by = _namer(hurt.dates)
    found = suggestion(hurt.part, hurt.grade, happened=hurt.happened, young=young)
    if found and steps in ((OPEN_END,) * 3, _suggested(found)) and not hurt.dates.cleared:
        steps, named_by = _suggested(found), NamedBy.TABLE
    if faults:
        raise BadInput(faults)
    return Injury(
        name=_free_name(hurt.name.strip() or _plain_name(hurt), year),
        note=hurt.note.strip(),
        part=hurt.part,
        side=hurt.side,
        severity=hurt.severity,
        grade=hurt.grade,
        happened=hurt.happened,
        named_by=named_by,
        **dict(zip(STEPS, steps, strict=True)),
    )


def refuse_to_come(happened: date, *, today: date, healed: date | None = None) -> None:
    """Raises BadInput for days to come of what is told as over: nobody knows of them."""
    wanted = f"today ({day_text(today)}) or before"
    faults = [
        _fault(key, day_text(day), wanted, "Correct the day.")
        for key, day in (("happened", happened), ("healed", healed))
        if day is not None and day > today
    ]
    if faults:
        raise BadInput(faults)


def waits(entry: Injury) -> bool:
    """Whether nobody has named days yet, so that the part stays off."""
    return entry.waits


def graded(entry: Injury, grade: Grade, *, young: bool) -> Injury:
    """The entry with a grade that was found out, and the days of the table for it.

    Days that a clinician or the climber named stay; for surgery and the young there are none.
    Raises BadInput for what is no finger.
    """
    if entry.part is not BodyPart.FINGER:
        raise BadInput(_misgraded(Hurt(part=entry.part, happened=entry.happened, grade=grade)))
    found = suggestion(entry.part, grade, happened=entry.happened, young=young)
    if found is None or entry.named_by not in (None, NamedBy.TABLE):
        return _with(entry, grade=grade)
    return _stepped(_with(entry, grade=grade), _suggested(found), NamedBy.TABLE)


def changed(entry: Injury, dates: Dates, *, young: bool = False) -> Injury:
    """The entry with other days, under the name of who named them; days of the table that are
    said again stay the table's. Raises BadInput."""
    before = Dates() if entry.waits else Dates(**{key: getattr(entry, key) for key in STEPS})
    easy = dates.easy_from or before.easy_from
    full = dates.full_from or before.full_from
    kept = before.building_from
    if kept and easy and full and not easy <= kept <= full:
        kept = None
    told = Dates(
        easy_from=easy, building_from=dates.building_from or kept, full_from=full,
        cleared=dates.cleared,
    )  # fmt: skip
    steps, faults = _as_told(told, entry.happened)
    hurt = Hurt(part=entry.part, happened=entry.happened, dates=told)
    faults = faults or list(_unbacked(hurt, young=young))
    if faults:
        raise BadInput(faults)
    again = entry.named_by is NamedBy.TABLE and steps == tuple(getattr(entry, k) for k in STEPS)
    return _stepped(entry, steps, NamedBy.TABLE if again and not dates.cleared else _namer(dates))


def healed(entry: Injury, since: date, *, cleared: bool = False) -> Injury:
    """The entry of a part that is fully loaded since a day; what came before stays as it was."""
    faults = list(_wrongly_healed(entry.happened, since, told=False))
    if faults:
        raise BadInput(faults)
    steps = (min(entry.easy_from, since), min(entry.building_from, since), since)
    return _stepped(entry, steps, _namer(Dates(cleared=cleared)))


def unnamed(entry: Injury) -> Injury:
    """The entry with no days named: off until somebody names some."""
    return _with(entry, **dict.fromkeys(STEPS, OPEN_END), named_by=None)


def _stepped(entry: Injury, steps: _Steps, named_by: NamedBy) -> Injury:
    return _with(entry, **dict(zip(STEPS, steps, strict=True)), named_by=named_by)


def _with(entry: Injury, **values: Any) -> Injury:
    return Injury(**{**dict(entry), **values})


def _namer(dates: Dates) -> NamedBy:
    return NamedBy.CLINICIAN if dates.cleared else NamedBy.OWN


def values_of(entry: Absence | Injury) -> dict[str, Any]:
    """What the year file says of an entry: what is not the usual, in the usual order."""
    said = {
        name: value for name, value in entry.model_dump(exclude_defaults=True).items()
        if name not in ("id", "note")
    }  # fmt: skip
    named = {"name": said.pop("name")}
    section = "injury" if isinstance(entry, Injury) else "absence"
    if must_be_said(section, entry.name, entry.id):
        named["id"] = entry.id
    return {**named, **said, **({"note": entry.note} if entry.note else {})}


def new_values(old: Injury, new: Injury) -> dict[str, Any]:
    """What must change in the year file; None for what is to be removed."""
    said, usual = values_of(new), type(new).model_fields
    changed_days = any(getattr(old, key) != getattr(new, key) for key in STEPS)
    whose = {"named_by": new.named_by} if changed_days else {}
    return whose | {key: said.get(key) for key in usual if getattr(old, key) != getattr(new, key)}


def whose_days(entry: Injury, values: Mapping[str, Any]) -> dict[str, Any]:
    """Whose the days are once an edit has changed them and does not say: the climber's own."""
    if "named_by" in values or not any(key in values for key in STEPS):
        return {}
    left = [values.get(key, getattr(entry, key)) for key in STEPS]
    return {"named_by": NamedBy.OWN if any(left) else None}


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


def _unbacked(hurt: Hurt, *, young: bool) -> Iterator[Fault]:
    """Days of a young finger that no clinician named: nothing published stands behind them."""
    if young and hurt.part is BodyPart.FINGER and not hurt.dates.cleared:
        wanted = "days that a specialist who knows young climbers named"
        yield _fault("cleared", "days of your own for a young finger", wanted, ASK)


def _wrongly_healed(happened: date, since: date, *, told: bool) -> Iterator[Fault]:
    if told:
        wanted = "the day since which it is fully loaded, or the days of its return"
        yield _fault("healed", "both", wanted, "Leave one of them out.")
    elif since <= happened:
        wanted = f"a day after {day_text(happened)}, on which it happened"
        yield _fault("healed", day_text(since), wanted, "Correct the day.")


def _misgraded(hurt: Hurt) -> Iterator[Fault]:
    if hurt.grade is not None and hurt.part is not BodyPart.FINGER:
        wanted = "a grade with a finger only: it is that of a finger pulley"
        found = f"grade {hurt.grade.value} of the {hurt.part.value}"
        yield _fault("grade", found, wanted, "Leave the grade out, or correct the part.")


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
