"""What is told of why a block stands where it stands, and of what each change would cost.

Days on rock come first, shares of the year's worth second; what is about as good is told as such.
Must not know how it was found out.
"""

from __future__ import annotations

from seasonplan.body.worth import shortfalls
from seasonplan.days import count_text, day_month_text
from seasonplan.explain.why import SMALL_DAYS, SMALL_POINTS, Reason
from seasonplan.explain.words import (
    KIND_NAMES,
    block_name,
    emphasis_text,
    entry_name,
    join,
    length_text,
    number_text,
    share_text,
    span_text,
    worth_text,
)
from seasonplan.plan import Block
from seasonplan.planner.held import Place
from seasonplan.planner.prices import Other, Way
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Emphasis, Kind, Quality
from seasonplan.year import Year

OVER = "It is over: what was done stays as it was."
BEGUN = "It has begun: only its days from today on are asked about."
STOPPED = "You stopped it: not everything was asked."
UNKNOWN = (
    "This plan cannot be compared: it was made under other rules or entries, or by an older "
    "program. Plan anew."
)
WORTH = (
    "The year's worth: its days on rock, each by its chance of being good and the priority of its "
    "goal, and the form you bring to them."
)
UNRATED = "you have not rated yourself, so a middling level is taken"
TRAINS = {
    Emphasis.FINGERS: Quality.FINGER_STRENGTH,
    Emphasis.POWER: Quality.POWER,
    Emphasis.POWER_ENDURANCE: Quality.POWER_ENDURANCE,
    Emphasis.ENDURANCE: Quality.ENDURANCE,
    Emphasis.FITNESS: Quality.FITNESS,
    Emphasis.MOVEMENT: Quality.MOVEMENT,
}


def sentences(reason: Reason, year: Year, *, book: RuleBook) -> list[str]:
    """The block, why it is there, and what each change would cost."""
    block = reason.block
    name = block_name(block, year)
    days = f"{span_text(block.span)} ({length_text(block.span.length)})"
    told = [f"{block.id}: {name[0].lower()}{name[1:]}, {days}."]
    if block.entry is not None:
        fixed = "You fixed it" if block.pinned else "The year gives it"
        told.append(f"{fixed}: {entry_name(year, block.entry)}.")
    if reason.over:
        return [*told, OVER]
    if reason.stopped:
        return [*told, STOPPED]
    told += [BEGUN] if reason.begun else []
    if not block.kind.chosen:
        return told
    if not reason.known:
        return [*told, UNKNOWN]
    why = [] if block.pinned else [because(reason, year)]
    return [*told, *why, *_ties(reason), *_others(reason)]


def _ties(reason: Reason) -> list[str]:
    """Such as "It could as well begin elsewhere: that costs nothing on 9 other dates."."""
    if not reason.ties:
        return []
    dates = "1 other date" if reason.ties == 1 else f"{reason.ties} other dates"
    return [f"To begin elsewhere costs nothing on {dates}: as good."]


def because(reason: Reason, year: Year) -> str:
    """Why a block is there, in one sentence."""
    block = reason.block
    if block.kind is Kind.PERFORMANCE:
        return _for_rock(reason, year)
    out = reason.other(Way.OUT)
    if block.kind is Kind.REST:
        return (
            "It is there because the rules ask for a rest: no plan goes without it."
            if out is None
            else "It is there so that body and head recover before what follows."
        )
    if out is None:
        why = _emphasis_reason(block, year)
        trains = f"; it trains {block.emphasis}{why}" if why else ""
        return f"It is there because no plan goes without it{trains}."
    if _tie(out):
        return "It is there though a year without it is as good: one of two equals."
    return f"It is there{_emphasis_reason(block, year) or ' because it raises your form most'}."


def _for_rock(reason: Reason, year: Year) -> str:
    if not reason.rock:
        return "It is there for the rock, though no day on rock could be planned in it."
    days = count_text(reason.rock, "day")
    if not reason.goals:
        return f"It is there for {days} on rock."
    goals = join([entry_name(year, goal) for goal in reason.goals])
    return f"It is there because of {days} on rock in it, for {goals}."


def _emphasis_reason(block: Block, year: Year) -> str:
    """Such as " because finger strength is furthest behind what “Long Traverse” asks"."""
    quality = TRAINS.get(block.emphasis)
    if quality is None or not year.goals:
        return ""
    behind = dict(zip(Quality, shortfalls(year), strict=True))
    if behind[quality] <= 0:
        return ""
    unrated = "" if year.climber.level else f" ({UNRATED})"
    most = max(behind.values())
    named = quality.value.replace("_", " ")
    how = "is furthest behind" if behind[quality] == most else "is behind"
    also = sum(value == most for value in behind.values()) > 1 and behind[quality] == most
    how = "is, with others, furthest behind" if also else how
    return f" because {named} {how} what {_dearest(year)} asks{unrated}"


def _dearest(year: Year) -> str:
    first = min(goal.priority for goal in year.goals)
    names = [f"“{goal.name}”" for goal in year.goals if goal.priority == first]
    return names[0] if len(names) == 1 else "the goals that matter most to you together"


# --- what a change would cost -------------------------------------------------------------------


def _others(reason: Reason) -> list[str]:
    """Each other way in a sentence, equal ones together at the end, then what is not possible."""
    told = [
        f"{_label(one, reason)}: {price_text(one, whole=reason.whole)}." for one in reason.others
    ]
    gone = [_WAYS[way] for way in reason.impossible]
    if not gone:
        return told
    return [*told, f"Not possible under your rules and entries: {join(gone)}."]


_WAYS = {
    Way.EARLIER: "earlier",
    Way.LATER: "later",
    Way.LONGER: "longer",
    Way.SHORTER: "shorter",
    Way.KIND: "another kind of block",
    Way.EMPHASIS: "another emphasis",
    Way.OUT: "left out",
}


def _label(one: Other, reason: Reason) -> str:
    """Such as "1 week later (11 Jan to 7 Feb)", or "Base, endurance instead"."""
    block = reason.block
    days = f"{day_month_text(one.span.first)} to {day_month_text(one.span.last)}"
    first = abs((one.span.first - block.span.first).days)
    longer = abs(one.span.length - block.span.length)
    match one.way:
        case Way.EARLIER | Way.LATER:
            return f"{length_text(first)} {one.way} ({days})" if first else f"{one.way} ({days})"
        case Way.LONGER | Way.SHORTER:
            return f"{length_text(longer)} {one.way} ({days})"
        case Way.KIND:
            kind = KIND_NAMES[one.kind]
            told = emphasis_text(one.kind, one.emphasis)
            return f"A {kind}{f' ({told})' if told else ''} instead ({days})"
        case Way.EMPHASIS:
            return f"With {one.emphasis or 'no emphasis'} instead"
    return "Ended today" if reason.begun else "Left out"


def price_text(one: Other | Place, *, whole: float) -> str:
    """Such as "costs 1.9 good days on rock, 3.1 % of the year's worth", or "as good, a tie".

    `whole`: the points of the year.
    """
    if _tie(one):
        return "as good, a tie"
    days, points = one.good_days, one.points
    told = []
    if abs(days) >= SMALL_DAYS:
        told.append(_good_days(abs(days)))
    elif points < 0:
        told.append("no day on rock")
    told.append(worth_text(abs(points), whole))
    if days <= -SMALL_DAYS < points:
        return f"costs {told[0]}, and brings {told[1]} more"
    if points < 0 and days >= SMALL_DAYS:
        return f"brings {told[0]} more, yet is worth {share_text(-points, whole)} less"
    return f"costs {', '.join(told)}" if points < 0 else f"would bring {', '.join(told)} more"


def amount_text(good_days: float, points: float, *, whole: float) -> str:
    """Such as "1.2 good days on rock, 0.7 % of the year's worth"; the days where there are any."""
    if good_days <= -SMALL_DAYS:
        return f"{worth_text(points, whole)}, though {_good_days(-good_days)} less"
    days = f"{_good_days(good_days)}, " if good_days >= SMALL_DAYS else ""
    return f"{days}{worth_text(points, whole)}"


def is_small(good_days: float, points: float) -> bool:
    """Whether a difference is none that could be told."""
    return abs(points) < SMALL_POINTS and abs(good_days) < SMALL_DAYS


def _good_days(days: float) -> str:
    number = number_text(days)
    return f"{number} good day{'' if number == '1' else 's'} on rock"


def _tie(one: Other | Place) -> bool:
    return is_small(one.good_days, one.points)
