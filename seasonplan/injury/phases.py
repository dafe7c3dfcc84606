"""What each phase of an injury leaves possible, by hurt part. Common practice, no thresholds.

The numbers stand in `shared/injuries.toml`. Several hurt parts at once allow the least of each.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from functools import cache

from seasonplan.days import Span
from seasonplan.errors import Misuse
from seasonplan.rules.tables import table
from seasonplan.vocabulary import BodyPart, Evidence, FrozenModel, Phase, Tissue

HEALTHY = 3  # the most stress there is: nothing held back

Hurts = Iterable[tuple[BodyPart, Phase]]


class Allowed(FrozenModel):
    """What a week may hold while something is hurt, in words, and whether hard hangs may.

    `rock_days`: most easy days on rock in seven.
    """

    max_fingers: bool
    rock_days: int
    may: str
    not_yet: str


@cache
def region(part: BodyPart) -> str:
    """Upper, lower or whole: parts that leave the same work possible."""
    for name, parts in table("injuries")["regions"].items():
        if part.value in parts:
            return str(name)
    raise Misuse(f"shared/injuries.toml has no region for {part.value}")


def profile_name(part: BodyPart, phase: Phase) -> str:
    """Such as "upper-off"; healthy parts have no profile."""
    if phase is Phase.FULL:
        raise Misuse("a healthy part needs no profile")
    return f"{region(part)}-{phase.value}"


@cache
def profile(name: str) -> Allowed:
    """What the profile of that name allows."""
    where, phase = name.rsplit("-", 1)
    return Allowed(**table("injuries")["allowed"][where][phase])


def allowed(hurts: Hurts) -> Allowed | None:
    """What all these hurt parts together leave possible: the least of each; None if all healthy."""
    names = dict.fromkeys(profile_name(*hurt) for hurt in hurts if hurt[1] is not Phase.FULL)
    together: Allowed | None = None
    for name in names:
        together = profile(name) if together is None else _both(together, profile(name))
    return together


def _both(one: Allowed, other: Allowed) -> Allowed:
    return Allowed(
        max_fingers=one.max_fingers and other.max_fingers,
        rock_days=min(one.rock_days, other.rock_days),
        may=f"what both allow: {one.may}; {other.may}",
        not_yet=f"{one.not_yet}; {other.not_yet}",
    )


def max_fingers(hurts: Hurts) -> bool:
    """Whether maximal finger work may be planned: only when every part is back in full."""
    held = allowed(hurts)
    return held is None or held.max_fingers


def most_rock_days(hurts: Hurts) -> int | None:
    """Most days on rock in seven, all of them easy; None where nothing is hurt."""
    held = allowed(hurts)
    return None if held is None else held.rock_days


def first_days(happened: date) -> Span:
    """The first days of an injury or illness, which are left free."""
    return Span(happened, happened + timedelta(int(table("injuries")["first"]["free_days"])))


def just_happened(happened: date, day: date) -> bool:
    """Whether a day is among the first of an injury or illness."""
    return day in first_days(happened)


def most_stress(hurts: Hurts) -> dict[Tissue, int]:
    """How much of each tissue a session may use, 0 to 3 as in the recipes."""
    most = dict.fromkeys(Tissue, HEALTHY)
    raw = table("injuries")
    for part, phase in hurts:
        held = [(name, raw["most_stress"][phase.value]) for name in raw["tissues"][part.value]]
        if phase is not Phase.FULL:
            too = raw["held_too"]
            held += [(name, too["most_stress"]) for name in too.get(part.value, ())]
        for name, stress in held:
            most[Tissue(name)] = min(most[Tissue(name)], int(stress))
    return most


def barred(hurts: Hurts) -> frozenset[str]:
    """Ids of recipes that may not be done whatever they use."""
    raw = table("injuries")["barred"]
    named = (raw.get(region(part), {}).get(phase.value, ()) for part, phase in hurts)
    return frozenset(name for some in named for name in some)


def fill_share(hurts: Hurts) -> float:
    """Up to which share of a week's usual load what is possible fills it: the least of all."""
    raw = table("injuries")["fill"]
    shares = [
        float(raw.get(region(part), {}).get(phase.value, raw[phase.value]))
        for part, phase in hurts
        if phase is not Phase.FULL
    ]
    return min(shares, default=1.0)


class Back(FrozenModel):
    """How load and hangs come back, as shares of what was usual before.

    `light_every`: one week in so many of a long phase is light. `first_holds`, `more_holds`: light
    holds of a session in the first week, and more each week. `hangs_begin`, `hangs_step`: hard
    hangs after they were barred for long; `hangs_step_few`: in the last steps after full;
    `hangs_long_days`: barred for so many, they begin with one session. `climb_first`: minutes of
    climbing that a week may hold at first; more by a share of the week before, or by minutes;
    `climb_session`: of one session at home; `steps_after`: weeks after full in which it rises so,
    too; `days_running`: that load what comes back, by phase.
    """

    climb_first: int
    climb_step: float
    climb_more: int
    climb_session: int
    steps_after: int
    days_running: dict[Phase, int]
    hangs_long_days: int
    first_share: float
    most_step: float
    light_every: int
    first_holds: int
    more_holds: int
    hangs_begin: float
    hangs_step: float
    hangs_step_few: float


@cache
def back_table() -> Back:
    """How it comes back while a part bears something again."""
    return Back(**table("injuries")["back"])


def finger_recipes(hurts: Hurts) -> frozenset[str] | None:
    """Ids of the only recipes for the hangboard that may be done; None: no restriction.

    Beside it the stresses of `most_stress` hold. Only hurt fingers restrict by name.
    """
    raw = table("injuries")["fingers"]
    named = [
        frozenset(raw[phase.value])
        for part, phase in hurts
        if part is BodyPart.FINGER and phase is not Phase.FULL
    ]
    return frozenset.intersection(*named) if named else None


# --- pain in the diary -------------------------------------------------------------------------


class PainWatch(FrozenModel):
    """When the diary speaks up about pain: so often within so many days, or once above so much."""

    within_days: int
    times: int
    above: float
    evidence: Evidence


@cache
def pain_watch() -> PainWatch:
    return PainWatch(**table("injuries")["pain"])


def words(name: str) -> str:
    """The words of `shared/injuries.toml` by that name."""
    return str(table("injuries")["words"][name])
