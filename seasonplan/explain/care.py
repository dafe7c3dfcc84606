"""What is said to a climber who hurts: pain in the diary, dates after an injury, what may be done.

A calm word each time, never a diagnosis; the clinician's word comes before every date here.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan import injury
from seasonplan.days import Span
from seasonplan.diary import DiaryEntry, Sore, WeekDone, silent_weeks, sore
from seasonplan.explain.words import day_text, join, number_text, span_text
from seasonplan.injury import Caution, Grade, Suggestion
from seasonplan.rules.tables import Source, caution, table
from seasonplan.vocabulary import BodyPart, Phase, Side
from seasonplan.year import Absence, Injury, Year

ENTER = "If you like, enter it with `seasonplan injury`, and the plan keeps clear of it."


# --- pain in the diary ----------------------------------------------------------------------


def notice(
    entries: Iterable[DiaryEntry],
    today: date,
    *,
    injuries: Iterable[Injury] = (),
    young: bool = False,
) -> list[str]:
    """What to say about pain of the last days; nothing where there is little of it."""
    found = sore(entries, today=today)
    if not found:
        return []
    told = [_sore_text(one, _open(one, injuries, today)) for one in found]
    young_too = young_words([one.part for one in found]) if young else []
    return [*told, injury.words("pain"), *young_too]


def _open(one: Sore | Injury, injuries: Iterable[Injury], today: date) -> Injury | None:
    """The injury that is entered for that part and not over."""
    return next(
        (
            hurt
            for hurt in injuries
            if hurt.part is one.part
            and hurt.happened <= today < hurt.full_from
            and (hurt.side is one.side or {hurt.side, one.side} & {Side.NONE, Side.BOTH})
        ),
        None,
    )


def twice(entry: Injury, injuries: Iterable[Injury]) -> Injury | None:
    """Another injury of the same part that is not over when this one happens."""
    others = [one for one in injuries if one.id != entry.id and one.part is not BodyPart.OTHER]
    return _open(entry, others, entry.happened)


def twice_text(other: Injury) -> str:
    """That the part is entered already, as it may be the same injury."""
    return (
        f"“{other.name}” is entered for that already and not in full yet. Is this the same? Then "
        "change its days, do not enter it a second time: of two the later days hold."
    )


def _sore_text(one: Sore, entered: Injury | None) -> str:
    where = part_text(one.part, one.side)
    worst = number_text(one.worst)
    if one.times == 1:
        seen = f"{where.capitalize()} hurt on {day_text(one.last)}: {worst} of 10."
    else:
        seen = (
            f"{where.capitalize()} hurt {_often(one.times)} from {day_text(one.first)} to "
            f"{day_text(one.last)}, at worst {worst} of 10."
            if one.first != one.last
            else f"{where.capitalize()} hurt {_often(one.times)} on {day_text(one.last)}, "
            f"at worst {worst} of 10."
        )
    if entered is not None:
        return (
            f"{seen} “{entered.name}” is entered already: tell your doctor or physiotherapist, "
            "and change its dates if they say so."
        )
    return f"{seen} {ENTER}"


def _often(times: int) -> str:
    return "twice" if times == 2 else f"{times} times"


def part_text(part: BodyPart, side: Side = Side.NONE) -> str:
    """Such as "your left elbow"."""
    if part is BodyPart.OTHER:
        return "something"
    named = {Side.LEFT: "left ", Side.RIGHT: "right ", Side.BOTH: "left and right "}.get(side, "")
    return f"your {named}{part.value}"


def in_force(year: Year, days: Span) -> list[str]:
    """The cautions in force on some days because of what is hurt, each once.

    Where nobody has named days yet the command is told that enters them.
    """
    return [_in_force_text(one) for one in injury.in_force_within(year, days)]


def _in_force_text(one: Caution) -> str:
    if one.until is not None:
        return one.text
    return f"{one.text} When you know more: `seasonplan injury --change {one.entry}`."


def cautions(parts: Iterable[BodyPart], *, young: bool) -> list[str]:
    """The words that go with every injury; more of them for the young."""
    parts = tuple(parts)
    return [hurt_caution(parts), *(young_words(parts) if young else [])]


def hurt_caution(parts: Iterable[BodyPart]) -> str:
    """The caution for what is hurt; where no part is named, as in an illness, in words for both."""
    found = set(parts)
    return caution("unwell" if found == {BodyPart.OTHER} else "injury")


def young_caution(year: Year) -> str:
    """The word for the young; for who entered no year of birth it begins with that."""
    told = caution("young")
    if year.climber.birth_year is not None:
        return told
    return f"{caution('age_unsaid')} {told[0].lower()}{told[1:]}"


def young_words(parts: Iterable[BodyPart]) -> list[str]:
    """What goes with pain and injury under 18."""
    return [caution("young"), *([injury.words("young")] if BodyPart.FINGER in parts else [])]


def caution_on(year: Year, spans: Iterable[Span]) -> str:
    """The caution for what is hurt on any of some days."""
    days = tuple(spans)
    return hurt_caution(
        hurt.part
        for hurt in year.injuries
        if any(span.meet(one) for _, span in hurt.phases for one in days)
    )


# --- weeks without a word -------------------------------------------------------------------


def silence(weeks: Iterable[WeekDone]) -> list[str]:
    """A friendly word about past weeks with sessions planned and nothing in the diary."""
    spans = list(silent_weeks(weeks))
    if not spans:
        return []
    named = join([span_text(span) for span in spans[-3:]])
    before = f", and {len(spans) - 3} before" if len(spans) > 3 else ""
    return [
        f"Nothing is in the diary for {named}{before}, though sessions were planned. That happens. "
        "If you trained, log it; if not, a note on one of the days is enough, and the plan can "
        "be made anew from where you are."
    ]


# --- dates after an injury ------------------------------------------------------------------


def suggestion_text(found: Suggestion) -> list[str]:
    """The dates of the table with what they rest on, and how far that was checked."""
    row, raw = injury.pulley(found.grade), table("injuries")["pulley"]
    return [
        f"Grade {found.grade.value} ({row.says}) on {day_text(found.happened)}. A published table "
        "gives these days to begin with:",
        f"- easy sport {_range(found.easy_earliest, found.easy_latest)}",
        f"- full sport {_range(found.full_earliest, found.full_latest)}",
        f"- its authors: {_immobile(row.immobilise_days)}, functional therapy "
        f"{_weeks(row.functional_therapy_weeks)}, protected by {row.protection}, tape while "
        f"climbing for {row.tape}",
        f"Source: {sources_text(found.sources)}. Evidence: {found.evidence.value}.",
        str(raw["grading"]),
        f"{raw['other_grading']} (Source: {sources_text(injury.cited(raw['other_sources']))}.)",
        f"Building begins {100 * raw['building_share']:.0f} % of the way from easy to full: a "
        "preference of this project, not in the table.",
        "These days are a beginning. Where your doctor or physiotherapist names others, theirs "
        "count.",
    ]


def no_suggestion_text(part: BodyPart, grade: Grade | None, *, young: bool) -> str:
    """Why there is no date to begin with."""
    if young and part is BodyPart.FINGER:
        cited = injury.cited(table("injuries")["words"]["young_sources"])
        return f"{injury.words('young')} (Source: {sources_text(cited)}.)"
    if part is BodyPart.FINGER and grade is Grade.IV:
        return (
            "A pulley injury of grade IV is treated by surgery: only the dates of your surgeon or "
            "therapist count, and none are suggested here."
        )
    if part is BodyPart.FINGER:
        return (
            "Without the grade of a pulley injury, told you after an examination, no dates are "
            "suggested here. Ask a doctor or physiotherapist for them."
        )
    return (
        f"For {part_text(part)} there is no published table of days that could be found. "
        "Ask a doctor or physiotherapist when you may load it again."
    )


def early_text(found: Suggestion, *, easy: date | None, full: date | None) -> list[str]:
    """A word where the climber's dates come before the earliest of the table."""
    told = []
    if easy is not None and easy < found.easy_earliest:
        told.append(_early("Easy", easy, found.easy_earliest))
    if full is not None and full < found.full_earliest:
        told.append(_early("Full", full, found.full_earliest))
    return told


def table_note(year: Year) -> list[str]:
    """A doubt for each injury whose days are called the table's and come before them."""
    told = ((one, injury.before_table_text(one)) for one in year.injuries)
    return [f"“{one.name}”: {text[0].lower()}{text[1:]}" for one, text in told if text]


def _early(what: str, mine: date, table_day: date) -> str:
    return (
        f"{what} from {day_text(mine)} is earlier than the table's earliest, "
        f"{day_text(table_day)}: better only with the word of your doctor or physiotherapist."
    )


def waiting_text(entry: Injury) -> str:
    """What it means that no dates are known yet."""
    return (
        f"No days named yet for {part_text(entry.part, entry.side)}: it stays off until you say "
        "otherwise, at most to the end of your year. When you know more, enter the days: "
        f"`seasonplan injury --change {entry.id}`."
    )


def phase_texts(entry: Injury, *, young: bool = False) -> list[str]:
    """Whose the days are, each phase, what may be done in it and what not yet."""
    told = list(filter(None, [injury.named_by_text(entry)]))
    if entry.easy_from == entry.full_from:
        day = day_text(entry.full_from)
        return [*told, f"Fully loaded from {day}; until then it counts as off, so name the days "
                "between if there were any.", *injury.full_texts(entry, young=young)]  # fmt: skip
    for phase, span in entry.phases:
        held = injury.allowed([(entry.part, phase)])
        assert held is not None
        told.append(
            f"{_phase_name(phase)}, {span_text(span)}: {held.may}. Not yet: {held.not_yet}."
        )
    return [*told, *injury.full_texts(entry, young=young)]


def is_over(entry: Injury, today: date) -> bool:
    """Whether nothing of an injury holds any more, its last steps after full included."""
    steps = injury.ramp_steps(entry)
    last = steps[-1].until_day if steps else entry.full_from
    return not entry.waits and last <= today


def healed_text(entry: Injury, today: date) -> str:
    """That an injury is over, with the steps after it; empty while anything of it holds."""
    if not is_over(entry, today):
        return ""
    return f"Healed: fully loaded again since {day_text(entry.full_from)}. Nothing is held back."


def illness_text(entry: Absence | Injury) -> list[str]:
    """What is entered for days of illness, and on what it rests."""
    if isinstance(entry, Absence):
        return [
            f"{span_text(entry.span)} without training. After so few days the plan goes on "
            "as it was; take the first session easy all the same.",
            injury.words("illness"),
        ]
    off = Span(entry.happened, entry.easy_from)
    return [
        f"{span_text(off)} without training. Easy days from {day_text(entry.easy_from)}, more from "
        f"{day_text(entry.building_from)}, everything from {day_text(entry.full_from)}.",
        "How long the return lasts is this project's preference, no source.",
        injury.words("illness"),
    ]


def _phase_name(phase: Phase) -> str:
    return {Phase.OFF: "Off", Phase.EASY: "Easy", Phase.BUILDING: "Building"}[phase]


def _range(earliest: date, latest: date) -> str:
    if earliest == latest:
        return f"from {day_text(latest)}"
    return f"from {day_text(earliest)} at the earliest, {day_text(latest)} to be cautious"


def _immobile(days: tuple[int, int]) -> str:
    if days[1] == 0:
        return "nothing immobilised"
    return f"immobilised for {_both_ends(days)} days"


def _weeks(weeks: tuple[int, int]) -> str:
    return f"for {_both_ends(weeks)} weeks"


def _both_ends(numbers: tuple[int, int]) -> str:
    return f"{numbers[0]}" if numbers[0] == numbers[1] else f"{numbers[0]} to {numbers[1]}"


def sources_text(sources: Iterable[Source]) -> str:
    return "; ".join(source.label for source in sources)
