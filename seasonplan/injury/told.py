"""Which cautions are in force on a day because of what is hurt, as sentences that name the part.

Says what a phase forbids, when hard and maximal finger work comes back, how long to tape, and
whose the days are. Names no command and no key: faces add their own ways.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from seasonplan.days import ONE_DAY, Span, day_text
from seasonplan.injury.phases import allowed, max_fingers
from seasonplan.injury.pulley import cited, pulley, suggestion
from seasonplan.injury.ramp import RampStep, ramp_label, ramp_steps
from seasonplan.injury.young import is_young
from seasonplan.rules.tables import table
from seasonplan.vocabulary import BodyPart, FrozenModel, NamedBy, Phase, Side, Tissue
from seasonplan.year import Injury, Year


class Caution(FrozenModel):
    """One sentence or two about one part, in force from `from_day` to `until`, both inside.

    `entry` is the id of the injury, `part` such as "left finger". Without `until` nobody has
    named an end.
    """

    entry: str
    part: str
    from_day: date
    until: date | None
    text: str


def in_force_within(year: Year, span: Span) -> tuple[Caution, ...]:
    """The cautions that are in force on any day of a span, each once."""
    days = list(span.days())
    return tuple(one for one in _all(year) if any(_holds(one, day) for day in days))


def part_name(entry: Injury) -> str:
    """Such as "left finger"; the injury's own name where it has no part."""
    if entry.part is BodyPart.OTHER:
        return f"“{entry.name}”"
    side = {Side.LEFT: "left ", Side.RIGHT: "right ", Side.BOTH: "left and right "}
    return f"{side.get(entry.side, '')}{entry.part.value}"


def named_by_text(entry: Injury) -> str:
    """Whose the days are; "" where nothing is noted."""
    if entry.waits:
        return "No days named yet."
    if entry.named_by is None:
        return ""
    early = before_table_text(entry)
    if early:
        return early
    return {
        NamedBy.OWN: "Your own days; no clinician named them.",
        NamedBy.CLINICIAN: "A clinician named these days.",
        NamedBy.TABLE: f"Days of a published table ({_source()}); a clinician's count before them.",
    }[entry.named_by]


def before_table_text(entry: Injury) -> str:
    """A doubt where days that are called those of the table come before them; else ""."""
    if entry.named_by is not NamedBy.TABLE or entry.waits:
        return ""
    found = suggestion(entry.part, entry.grade, happened=entry.happened)
    if found is None or (
        entry.easy_from >= found.easy_earliest and entry.full_from >= found.full_earliest
    ):
        return ""
    return (
        f"These days are called those of the table, but for a pulley of grade {found.grade.value} "
        f"it names easy sport from {day_text(found.easy_earliest)} and full sport from "
        f"{day_text(found.full_earliest)} at the earliest. Correct the days, or say who named them "
        "(`named_by`)."
    )


def full_texts(entry: Injury, *, young: bool = False) -> list[str]:
    """What comes back when, from the day of full on; the hardest finger work not for the young."""
    if entry.waits:
        return []
    steps = ramp_steps(entry)
    full = day_text(entry.full_from)
    if not steps and young:
        return [f"In full from {full}: begin with care."]
    if not steps:
        again = _hangs_from(entry) == entry.full_from
        what = "the first maximal finger work" if again else "falls and landings"
        return [f"In full from {full}: everything, {what} among it; begin with care."]
    told = [f"from {day_text(step.from_day)} {_words(step, young=young)}" for step in steps]
    return [
        f"In full from {full}, the hardest last: {'; '.join(told)}. "
        f"Without such limits from {day_text(steps[-1].until_day + ONE_DAY)} ({ramp_label()})."
    ]


def _words(step: RampStep, *, young: bool) -> str:
    return step.words_young if young else step.words


# --- the sentences --------------------------------------------------------------------------


def _holds(one: Caution, day: date) -> bool:
    return one.from_day <= day and (one.until is None or day <= one.until)


def _all(year: Year) -> Iterator[Caution]:
    for entry in year.injuries:
        if entry.waits:
            yield _waiting(entry, year)
            continue
        young = is_young(year, entry.full_from)
        yield from _phases(entry, young=young)
        yield from _steps(entry, young=young)
        yield from _own(entry)
        if entry.grade is not None and not is_young(year, entry.happened):
            yield from _tape(entry)


def _caution(entry: Injury, span: Span, text: str) -> Caution:
    name = part_name(entry)
    return Caution(
        entry=entry.id,
        part=name,
        from_day=span.first,
        until=span.last,
        text=f"{name[0].upper()}{name[1:]}{text}",
    )


def _waiting(entry: Injury, year: Year) -> Caution:
    text = (
        ": no days named yet. It stays off until you say otherwise, at most to the end of your "
        f"year, {day_text(year.span.last)}. Not yet: {_not_yet(entry, Phase.OFF)}."
    )
    open_end = _caution(entry, Span(entry.happened, entry.full_from), text)
    return Caution(**{**dict(open_end), "until": None})


def _phases(entry: Injury, *, young: bool) -> Iterator[Caution]:
    """What each phase forbids, and from when the fingers may work hard again."""
    for phase, span in entry.phases:
        since = "" if phase is Phase.OFF else f"from {day_text(span.first)} "
        yield _caution(
            entry,
            span,
            f", {phase.value} {since}until {day_text(span.last)}. "
            f"Not yet: {_not_yet(entry, phase)}. {_first_hard(entry, phase, young=young)}".rstrip(),
        )


def _not_yet(entry: Injury, phase: Phase) -> str:
    held = allowed([(entry.part, phase)])
    assert held is not None  # only full leaves everything possible
    return held.not_yet


def _hangs_from(entry: Injury) -> date:
    """The first day on which its phases let one hang hard."""
    may = (span.first for phase, span in entry.phases if max_fingers([(entry.part, phase)]))
    return next(may, entry.full_from)


def _first_hard(entry: Injury, phase: Phase, *, young: bool) -> str:
    """From when the fingers may work hard again; "" in phases in which they do."""
    steps, hangs = ramp_steps(entry), _hangs_from(entry)
    back = f"{_to_come(steps, entry.happened, young=young)} ({ramp_label()})." if steps else ""
    if young or _of_fingers(steps):
        return back
    if hangs == entry.full_from:
        return f"First maximal finger work from {day_text(hangs)}. {back}".rstrip()
    again = f"Hard hangs again from {day_text(hangs)}, fewer than before. "
    return f"{again if phase is Phase.OFF else ''}{back}".rstrip()


def _of_fingers(steps: Sequence[RampStep]) -> bool:
    return bool(steps) and Tissue.FINGERS in steps[0].tissues


def _to_come(steps: tuple[RampStep, ...], day: date, *, young: bool) -> str:
    """From when hard and maximal finger work come back, as far as that is after a day; maximal
    work not for the young."""
    hard = next(step.from_day for step in steps if step.hard_a_week > 0)
    most = next(step.from_day for step in steps if step.max_fingers)
    use = "finger work" if _of_fingers(steps) else f"use of {steps[0].what}"
    told = [f"first hard {use} from {day_text(hard)}"] if hard > day else []
    told += (
        [f"first limit bouldering and maximal hangs from {day_text(most)}"]
        if most > day and not young and _of_fingers(steps)
        else []
    )
    text = ", ".join(told)
    return text[:1].upper() + text[1:]


def _steps(entry: Injury, *, young: bool) -> Iterator[Caution]:
    steps = ramp_steps(entry)
    for step in steps:
        to_come, words = _to_come(steps, step.from_day, young=young), _words(step, young=young)
        text = f", back by steps, until {day_text(step.until_day)}: {words}. {to_come}"
        span = Span.through(step.from_day, step.until_day)
        yield _caution(entry, span, f"{text.rstrip(' .')} ({ramp_label()}).")


def _own(entry: Injury) -> Iterator[Caution]:
    span, early = Span(entry.happened, entry.full_from), before_table_text(entry)
    if entry.named_by is NamedBy.OWN:
        yield _caution(entry, span, ": your own days; no clinician named them.")
    elif early:
        yield _caution(entry, span, f": {early[0].lower()}{early[1:]}")


def _tape(entry: Injury) -> Iterator[Caution]:
    """Tape while climbing: from the first climbing on, as long as the table says."""
    assert entry.grade is not None
    row, last = pulley(entry.grade), pulley(entry.grade).taped_until(entry.happened) - ONE_DAY
    if entry.easy_from > last:
        return
    longer = "at least " if row.tape_longer else ""
    yield _caution(
        entry,
        Span.through(entry.easy_from, last),
        f": tape while climbing {longer}until {day_text(last)}, {row.tape} from the injury, by the "
        f"published table for a pulley of grade {entry.grade.value} ({_source()}).",
    )


def _source() -> str:
    return "; ".join(source.label for source in cited(table("injuries")["pulley"]["sources"]))
