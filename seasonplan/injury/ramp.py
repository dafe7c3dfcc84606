"""The last steps after a hurt part is back in full: hard use first, maximal use at the end.

Common practice, no source: the table stands in `shared/injuries.toml`.
"""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.injury.young import young_years
from seasonplan.rules.tables import table
from seasonplan.vocabulary import FrozenModel, Tissue
from seasonplan.year import Injury


class RampStep(FrozenModel):
    """One step, `from_day` to `until_day`, both inside.

    `most_stress` is that on each of the `tissues`, 0 to 3; `hard_a_week` the most hard uses of
    them (stress 2 or 3) in a calendar week. Without `max_fingers` neither maximal finger work nor
    limit bouldering. `what`: the tissues in words. `words_young`: for who is too young for them.
    """

    words: str
    words_young: str
    what: str
    from_day: date
    until_day: date
    tissues: tuple[Tissue, ...]
    most_stress: int
    hard_a_week: int
    max_fingers: bool


def ramp_steps(injury: Injury) -> tuple[RampStep, ...]:
    """All steps in order; none where nobody has named days, or the part has no such steps."""
    raw = table("injuries")["ramp"]
    if injury.waits or injury.part.value not in raw["tissues"]:
        return ()
    what, first, found = raw["what"][injury.part.value], injury.full_from, []
    tissues = raw["tissues"][injury.part.value]
    for step in raw["steps" if Tissue.FINGERS in tissues else "legs_and_back"]:
        after = first + timedelta(weeks=int(step["weeks"]))
        words = str(step["words"])
        found.append(
            RampStep(
                words=words.format(what=what),
                words_young=str(step.get("words_young", words)).format(
                    what=what, years=young_years()
                ),
                what=what,
                from_day=first,
                until_day=after - timedelta(days=1),
                tissues=tissues,
                most_stress=step["most_stress"],
                hard_a_week=step["hard_a_week"],
                max_fingers=step.get("max_fingers", True),
            )
        )
        first = after
    return tuple(found)


def ramp(injury: Injury, day: date) -> RampStep | None:
    """The step that a day lies in; None before full, after the last step, and for other parts."""
    return next((s for s in ramp_steps(injury) if s.from_day <= day <= s.until_day), None)


def ramp_label() -> str:
    """On what the steps rest."""
    return str(table("injuries")["ramp"]["label"])
