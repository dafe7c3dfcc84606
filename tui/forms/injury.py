"""The form of an injury: what hurts and since when, with the caution and the table's days beside.

Days come from the climber, a clinician or the cited table of `seasonplan.injury`; none from here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from pydantic import ValidationError

from seasonplan import injury
from seasonplan.edits import AddEntry, AnEdit, ChangeEntry, Draft
from seasonplan.edits.filled import changing, counted, nested, said_at
from seasonplan.edits.form_words import SECTIONS
from seasonplan.edits.forms import Line, entry_lines, lines_of
from seasonplan.errors import BadInput, Fault
from seasonplan.explain import care
from seasonplan.explain.lost_days import lost_text
from seasonplan.injury import Grade, Hurt
from seasonplan.vocabulary import BodyPart
from seasonplan.year import Injury, Year
from seasonplan.year.told import told
from tui.forms.about import NOTHING, About

Values = Mapping[str, Any]
OFF = (
    "Without days the part stays off until you say otherwise, at most to the end of your year. "
    "Name them here when you know more."
)
TOLD = ("healed", "cleared")  # what the year file has no line for
TOLD_FIRST = ("part", "side", "happened")  # enough to know whether it is entered already
OURS = "named_by"  # follows from what is told


def is_young(year: Year, day: date) -> bool:
    return injury.is_young(year, day)


def new_injury(draft: Draft) -> About:
    """A form for an injury; without days those of the table, or off until somebody names some."""
    lines = lines_of(Hurt, "injury")
    return About(
        title=f"Enter {SECTIONS['injury'][1]}",
        section="injury",
        place=(),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=_by_line(lambda values: _new(draft, values, lines), (), lines),
        aside=lambda values: [
            *_twice(draft.year, values),
            *_beside(draft.year, values),
            *_takes(draft.year, values, lines),
        ],
    )


def old_injury(draft: Draft, index: int) -> About:
    """A form for an injury there is: other days, a grade found out, other words."""
    old = draft.year.injuries[index]
    written = entry_lines("injury")
    lines = (*(line for line in written if line.key != OURS), *_told_lines())
    place = ("injury", index)
    before = said_at(draft, place, lines)
    said = {**before, **said_at(draft, place, written)}
    return About(
        title=f"Change “{old.name}”",
        section="injury",
        place=place,
        lines=lines,
        before=before,
        make=_by_line(lambda values: _changed(draft, old, said, values), place, lines),
        aside=lambda values: list(_beside(draft.year, {**before, **values})),
    )


def _told_lines() -> tuple[Line, ...]:
    """Lines that are told but not written: that it is healed, and whether a clinician said so."""
    found = [line for line in lines_of(Hurt, "injury") if line.key.endswith(TOLD)]
    return tuple(
        Line(**{**dict(line), "key": line.key.rpartition(".")[2], "group": "Is it known by now?"})
        for line in found
    )


# --- edits ------------------------------------------------------------------------------------


def _new(draft: Draft, values: Values, lines: Sequence[Line]) -> list[AnEdit]:
    hurt = _past_hurt(draft, values, lines)
    entry = injury.injury_of(hurt, draft.year, young=is_young(draft.year, hurt.happened))
    return [AddEntry(section="injury", values=injury.values_of(entry))]


def _past_hurt(draft: Draft, values: Values, lines: Sequence[Line]) -> Hurt:
    """What is told, nothing of it to come. Raises BadInput with every fault."""
    found: list[Fault] = []
    healed = values.get("healed")
    try:
        hurt = _hurt(values, lines)
    except BadInput as error:
        found += error.faults
    try:
        _not_to_come(values.get("happened"), draft, healed=healed if type(healed) is date else None)
    except BadInput as error:
        found += error.faults
    if found:
        raise BadInput(found)
    return hurt


def _hurt(values: Values, lines: Sequence[Line]) -> Hurt:
    """What is told. Raises BadInput with every fault."""
    try:
        return Hurt.model_validate(nested(values))
    except ValidationError as error:
        words = {line.key: ", ".join(line.choices) for line in lines}
        raise BadInput(_fault(one, words) for one in error.errors()) from None


def _fault(one: Any, words: Mapping[str, str]) -> Fault:
    key = ".".join(map(str, one["loc"]))
    if one["type"] == "missing":
        return Fault("injury", key, None, NOTHING, "an answer", "Fill it in.")
    said = told(one)
    return Fault("injury", key, None, said.found, words.get(key) or said.wanted, said.do)


def _not_to_come(happened: Any, draft: Draft, *, healed: date | None = None) -> None:
    if draft.today is not None and type(happened) is date:
        injury.refuse_to_come(happened, today=draft.today, healed=healed)


def _changed(draft: Draft, old: Injury, before: Values, values: Values) -> list[AnEdit]:
    """Days go the way of `seasonplan.injury`, which keeps who named them; the rest plainly."""
    if values["happened"] != before["happened"]:
        _not_to_come(values["happened"], draft)
    entry = _with_days(draft, old, before, values)
    wanted = {key: value for key, value in values.items() if key not in TOLD}
    if entry is None:
        return changing(old.id, before, wanted)
    new = injury.new_values(old, entry)
    edits = changing(old.id, before, wanted | new)
    whose = {OURS: new[OURS]} if OURS in new else {}
    return [ChangeEntry(id=old.id, values={**one.values, **whose}) for one in edits
            if isinstance(one, ChangeEntry)]  # fmt: skip


def _with_days(draft: Draft, old: Injury, before: Values, values: Values) -> Injury | None:
    """The entry with its new days; None where they stay. A grade may bring those of the table."""
    young, told = is_young(draft.year, old.happened), _hurt_again(old, values)
    if told.healed is not None:
        _not_to_come(old.happened, draft, healed=told.healed)
        return injury.healed(old, told.healed, cleared=told.dates.cleared)
    if any(values[key] != before[key] for key in injury.STEPS):
        return (
            injury.changed(old, told.dates, young=young) if told.dates.told else injury.unnamed(old)
        )
    if told.grade is not None and told.grade is not old.grade:
        return injury.graded(old, told.grade, young=young)
    if values.get("cleared") is not None and not old.waits:
        return injury.changed(old, told.dates, young=young)
    return None


def _hurt_again(old: Injury, values: Values) -> Hurt:
    """What is told of the days of an injury there is. Raises BadInput with every fault."""
    dates = {key: values[key] for key in injury.STEPS}
    dates["cleared"] = values.get("cleared") or False
    said = {"part": old.part, "happened": old.happened, "grade": values.get("grade")}
    try:
        return Hurt.model_validate({**said, "healed": values.get("healed"), "dates": dates})
    except ValidationError as error:
        words = {"cleared": "yes or no", "grade": ", ".join(Grade)}
        raise BadInput(_fault(one, words) for one in error.errors()) from None


def _by_line(
    make: Callable[[Values], list[AnEdit]], place: tuple[str | int, ...], lines: Sequence[Line]
) -> Callable[[Values], list[AnEdit]]:
    """The same, with faults that name the lines of the form."""
    keys = {line.key.rpartition(".")[2]: line.key for line in lines}

    def told(values: Values) -> list[AnEdit]:
        try:
            return make(values)
        except BadInput as error:
            raise BadInput(
                replace(one, key=counted(place, keys.get(one.key.rpartition(".")[2], one.key)))
                for one in error.faults
            ) from None

    return told


# --- words beside -----------------------------------------------------------------------------


def _beside(year: Year, values: Values) -> Iterator[str]:
    """The caution always; the table's days for a finger, or why there are none."""
    part = _word(BodyPart, values.get("part"))
    happened = values.get("happened")
    young = is_young(year, happened if type(happened) is date else year.span.first)
    yield from care.cautions([part] if part else [], young=young)
    if part is None:
        return
    grade = _word(Grade, values.get("grade"))
    if type(happened) is not date or type(values.get("healed")) is date:
        return
    found = injury.suggestion(part, grade, happened=happened, young=young)
    if found is None:
        yield care.no_suggestion_text(part, grade, young=young)
        if not any(_told_day(values, key) for key in injury.STEPS):
            yield OFF
        return
    easy, full = (_told_day(values, key) for key in ("easy_from", "full_from"))
    yield from care.early_text(found, easy=easy, full=full)
    yield "\n".join(care.suggestion_text(found))
    yield "Leave the days empty to begin with the cautious end of the table."


def _takes(year: Year, values: Values, lines: Sequence[Line]) -> Iterator[str]:
    """The days on rock that it takes, once enough is told."""
    try:
        hurt = _hurt({key: value for key, value in values.items() if value is not None}, lines)
        entry = injury.injury_of(hurt, year, young=is_young(year, hurt.happened))
    except BadInput:
        return
    text = lost_text(entry, year.with_fields(injuries=(*year.injuries, entry)))
    if text:
        yield text


def _twice(year: Year, values: Values) -> Iterator[str]:
    """That the part is entered already."""
    try:
        hurt = Hurt.model_validate({k: v for k, v in values.items() if k in TOLD_FIRST and v})
    except ValidationError:
        return
    entry = injury.injury_of(hurt, year, young=is_young(year, hurt.happened))
    other = care.twice(entry, year.injuries)
    if other is not None:
        yield care.twice_text(other)


def _told_day(values: Values, key: str) -> date | None:
    """A day from its line, which a new injury has in a group of its own."""
    said = values.get(key, values.get(f"dates.{key}"))
    return said if type(said) is date else None


def _word(words: Any, said: Any) -> Any:
    return words(said) if said in tuple(words) else None
