"""`seasonplan injury`: what hurts, into `year.toml`.

Shows the caution every time. Owns no date: they come from the climber, or from `injury`.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.injury_book import facts, is_young, say_next, write, year_of
from seasonplan.cli.options import Folder, Json, Plain, Today, a_day, now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.edits import AnEdit
    from seasonplan.injury import Hurt
    from seasonplan.year import Injury, Year

EXAMPLES = """Examples:

\b
  seasonplan injury my-year                     a few questions
  seasonplan injury my-year --part finger --side left --grade II \\
      --happened 2027-05-30
  seasonplan injury my-year --part elbow --happened 2027-05-30
  seasonplan injury my-year --change left-elbow --easy-from 2027-06-20 \\
      --full-from 2027-08-01 --cleared
  seasonplan injury my-year --part knee --happened 2027-01-10 \\
      --healed 2027-03-01

Without days the hurt part stays off until you name some, but for finger pulleys with a grade,
where a published table gives days to begin with. Days without --cleared are noted as your own."""

Part = Annotated[str, typer.Option(metavar="PART", help="finger, elbow, knee, ... or other.")]
SideOf = Annotated[str, typer.Option("--side", metavar="SIDE", help="left, right or both.")]
Happened = Annotated[
    date | None, typer.Option(help="The day it happened; today.", **a_day(past=True))
]
PulleyGrade = Annotated[
    str, typer.Option("--grade", metavar="I-IV", help="Of a finger pulley, after an examination.")
]
SeverityOf = Annotated[
    str, typer.Option("--severity", metavar="WORD", help="mild, moderate, severe or unknown.")
]
Name = Annotated[str, typer.Option(metavar="TEXT", help="What you call it.")]
Note = Annotated[str, typer.Option(metavar="TEXT", help="Anything else.")]
EasyFrom = Annotated[date | None, typer.Option(help="Light load from this day.", **a_day())]
BuildingFrom = Annotated[date | None, typer.Option(help="More load from this day.", **a_day())]
FullFrom = Annotated[date | None, typer.Option(help="Everything from this day.", **a_day())]
Cleared = Annotated[
    bool, typer.Option("--cleared", help="A doctor or physiotherapist named the days.")
]
Healed = Annotated[
    date | None, typer.Option(help="Healed: fully loaded since this day.", **a_day(past=True))
]
Change = Annotated[str, typer.Option("--change", metavar="ID", help="Other days for an injury.")]


def injury(
    folder: Folder = Path(),
    *,
    part: Part = "",
    side: SideOf = "none",
    happened: Happened = None,
    grade: PulleyGrade = "",
    severity: SeverityOf = "unknown",
    name: Name = "",
    easy_from: EasyFrom = None,
    building_from: BuildingFrom = None,
    full_from: FullFrom = None,
    cleared: Cleared = False,
    healed: Healed = None,
    change: Change = "",
    note: Note = "",
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Enter an injury, or change its days. The plan keeps clear of it after planning again."""
    from seasonplan.injury import Dates

    screen = Screen.here(plain=plain)
    year = year_of(folder)
    now = now_of(year, today)
    dates = Dates(
        easy_from=easy_from, building_from=building_from, full_from=full_from, cleared=cleared
    )
    said = {
        "part": part, "side": side, "grade": grade, "severity": severity,
        "happened": happened or now, "healed": healed, "name": name, "note": note, "dates": dates,
    }  # fmt: skip
    if change:
        _refuse_words(change, said | {"happened": happened})
    make = _changed if change else _new
    with _by_option():
        entry, edit = make(screen, year, said | {"change": change}, now)
    write(folder, edit)
    _tell(screen, folder, entry, young=is_young(year, now), as_json=as_json)


def _new(screen: Screen, year: Year, said: dict[str, object], now: date) -> tuple[Injury, AnEdit]:
    """An injury from the options, or from questions where no part is named."""
    from seasonplan.cli import injury_questions as questions
    from seasonplan.edits import AddEntry
    from seasonplan.injury import injury_of, refuse_to_come, values_of

    asked = not said["part"]
    hurt = (
        questions.hurt(screen, now, young=lambda day: is_young(year, day)) if asked else _read(said)
    )
    refuse_to_come(hurt.happened, today=now, healed=hurt.healed)
    young = is_young(year, hurt.happened)
    entry = injury_of(hurt, year, young=young)
    if not asked:  # the questions have shown it
        _tell_table(screen, hurt, entry, young=young)
    _tell_twice(screen, entry, year)
    return entry, AddEntry(section="injury", values=values_of(entry))


def _changed(
    screen: Screen, year: Year, said: dict[str, object], now: date
) -> tuple[Injury, AnEdit]:  # fmt: skip
    """An injury of the year with other days: from a grade, the options, or questions."""
    from seasonplan.edits import ChangeEntry
    from seasonplan.injury import changed, graded, healed, new_values, refuse_to_come

    old = _entered(year, str(said["change"]))
    young = is_young(year, old.happened)
    told = _read({**said, "change": "", "part": old.part, "happened": old.happened})
    if told.healed is not None:
        refuse_to_come(old.happened, today=now, healed=told.healed)
        entry = healed(old, told.healed, cleared=told.dates.cleared)
    elif told.dates.told:
        entry = changed(old, told.dates, young=young)
    elif told.grade is not None:
        entry = graded(old, told.grade, young=young)
        _tell_table(screen, told, entry, young=young)
    else:
        from seasonplan.cli.injury_questions import dates_again

        entry = changed(old, dates_again(old, today=now), young=young)
    _tell_early(screen, entry, young=young)
    return entry, ChangeEntry(id=old.id, values=new_values(old, entry) or {"note": old.note})


def _refuse_words(entry_id: str, said: dict[str, object]) -> None:
    """Raises BadInput where more than days and a grade is told of an injury there is."""
    from seasonplan.errors import BadInput, Fault

    usual = {"part": "", "side": "none", "happened": None, "severity": "unknown", "name": "",
             "note": ""}  # fmt: skip
    wanted = "only days, a grade or --healed beside --change"
    faults = [
        Fault(
            "injury", f"--{key}", None, f"{said[key]!s}", wanted,
            f"`seasonplan edit change {entry_id} {shlex.quote(f'{key}={said[key]}')}` changes it.",
        )
        for key, value in usual.items()
        if said[key] != value
    ]  # fmt: skip
    if faults:
        raise BadInput(faults)


# --- reading ----------------------------------------------------------------------------------


@contextmanager
def _by_option() -> Iterator[None]:
    """Faults by the options of this command, not by the keys of the file."""
    from seasonplan.errors import BadInput

    try:
        yield
    except BadInput as error:
        raise BadInput(
            replace(
                one, key=_option(one.key), wanted=_options_in(one.wanted), do=_options_in(one.do)
            )
            for one in error.faults
        ) from None


def _options_in(text: str) -> str:
    return re.sub(r"`(\w+)(?: = true)?`", lambda found: _option(found[1]), text)


def _option(key: str) -> str:
    return key if key.startswith("--") else f"--{key.replace('_', '-')}"


def _entered(year: Year, entry_id: str) -> Injury:
    from seasonplan.errors import BadInput, Fault, did_you_mean

    names = [entry.id for entry in year.injuries]
    found = next((entry for entry in year.injuries if entry.id == entry_id), None)
    if found is None:
        do = did_you_mean(entry_id, names, otherwise="Enter it first, without --change.")
        wanted = f"one of {', '.join(names)}" if names else "the id of an injury (there is none)"
        raise BadInput([Fault("injury", "--change", None, f"no injury {entry_id!r}", wanted, do)])
    return found


def _read(said: dict[str, object]) -> Hurt:
    """What was typed as options. Raises BadInput with every fault."""
    from pydantic import ValidationError

    from seasonplan.errors import BadInput, Fault
    from seasonplan.injury import Hurt
    from seasonplan.year.told import told

    typed = {key: _as_typed(key, value) for key, value in said.items() if value != ""}
    try:
        return Hurt.model_validate(typed)
    except ValidationError as error:
        raise BadInput(
            Fault("injury", f"--{one['loc'][0]}", None, *told(one)) for one in error.errors()
        ) from None


def _as_typed(key: str, value: object) -> object:
    if not isinstance(value, str) or key in ("name", "note"):
        return value
    return value.strip().upper() if key == "grade" else value.strip().lower()


# --- what is said ---------------------------------------------------------------------------


def _tell_table(screen: Screen, hurt: Hurt, entry: Injury, *, young: bool) -> None:
    """The table where there is one, and where the climber's days stand against it."""
    from seasonplan.explain import care
    from seasonplan.injury import suggestion

    found = suggestion(hurt.part, hurt.grade, happened=hurt.happened, young=young)
    told = (
        [
            *care.suggestion_text(found),
            *care.early_text(found, easy=entry.easy_from, full=entry.full_from),
        ]
        if found
        else [care.no_suggestion_text(hurt.part, hurt.grade, young=young)]
    )
    for text in told:
        screen.narrate(text)


def _tell_early(screen: Screen, entry: Injury, *, young: bool) -> None:
    """That the climber's own days come before the table's, where its grade is known."""
    from seasonplan.explain import care
    from seasonplan.injury import suggestion
    from seasonplan.vocabulary import NamedBy

    found = suggestion(entry.part, entry.grade, happened=entry.happened, young=young)
    if found is not None and entry.named_by is NamedBy.OWN:
        for text in care.early_text(found, easy=entry.easy_from, full=entry.full_from):
            screen.narrate(text)


def _tell_twice(screen: Screen, entry: Injury, year: Year) -> None:
    """That the part was entered before, and how to make one of the two."""
    from seasonplan.explain import care

    other = care.twice(entry, year.injuries)
    if other is None:
        return
    screen.narrate(
        f"{care.twice_text(other)} `seasonplan edit remove {entry.id}` takes this one out, "
        f"`seasonplan injury --change {other.id}` names other days."
    )


def _tell(screen: Screen, folder: Path, entry: Injury, *, young: bool, as_json: bool) -> None:
    from seasonplan.explain import care
    from seasonplan.explain.lost_days import lost_text
    from seasonplan.injury import waits

    waiting = waits(entry)
    told = [care.waiting_text(entry)] if waiting else care.phase_texts(entry, young=young)
    told += filter(None, [lost_text(entry, year_of(folder))])
    cautions = care.cautions([entry.part], young=young)
    if as_json:
        write_json({"entry": facts(entry), "texts": told, "cautions": cautions})
        return
    screen.say(f"“{entry.name}” ({entry.id}) is in your year.")
    screen.tell(told)
    screen.tell(cautions, head="Take care")
    say_next(screen, folder)
