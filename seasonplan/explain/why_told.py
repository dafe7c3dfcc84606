"""What is told of why a block stands where it stands, and of what each change would cost.

Days on rock come first, form by its worth in such days second; what is as good is told as such.
Must not know how it was found out.
"""

from __future__ import annotations

from seasonplan.days import day_month_text
from seasonplan.explain.why import SMALL_DAYS, SMALL_POINTS, Reason
from seasonplan.explain.words import (
    KIND_NAMES,
    block_name,
    emphasis_text,
    entry_name,
    join,
    length_text,
    span_text,
)
from seasonplan.explain.worth_told import difference_told
from seasonplan.planner.held import Place
from seasonplan.planner.prices import Other, Way
from seasonplan.year import Year

OVER = "It is over: what was done stays as it was."
BEGUN = "It has begun: only its days from today on are asked about."
STOPPED = "You stopped it: not everything was asked."
UNKNOWN = (
    "This plan cannot be compared: it was made under other rules or entries, or by an older "
    "program. Plan anew."
)
STAYS = "It is not so because this plan was kept near the one before it."
ALIKE = 0.15  # points: a twentieth of a sure day for a goal of priority 1


def sentences(reason: Reason, year: Year) -> list[str]:
    """The block, why it is there, and what each change would cost."""
    block = reason.block
    name = block_name(block, year)
    days = f"{span_text(block.span)} ({length_text(block.span.length)})"
    told = [f"{block.id}: {name[0].lower()}{name[1:]}, {days}."]
    if block.entry is not None:
        fixed = "You fixed it" if block.pinned else "The year gives it"
        told.append(f"{fixed}: {entry_name(year, block.entry)}.")
    if reason.over or reason.stopped or not reason.known or not block.kind.chosen:
        return [*told, *prices(reason)]
    first, *others = prices(reason) or [""]
    why = " ".join(filter(None, (*reason.why, first)))
    return [*told, *filter(None, (why,)), *others]


def prices(reason: Reason) -> list[str]:
    """What each change of a block would cost: the nearest first, or why that is not known."""
    if reason.over:
        return [OVER]
    if reason.stopped:
        return [STOPPED]
    if not reason.block.kind.chosen:
        return []
    begun = [BEGUN] if reason.begun else []
    if not reason.known:
        return [*begun, UNKNOWN]
    choice = _choice(reason)
    return [*([choice] if choice else []), *begun, *_ties(reason), *_others(reason)]


def _ties(reason: Reason) -> list[str]:
    """Such as "It could begin on 9 other dates at no cost."."""
    if not reason.ties:
        return []
    dates = "1 other date" if reason.ties == 1 else f"{reason.ties} other dates"
    return [f"It could begin on {dates} at no cost."]


def _choice(reason: Reason) -> str:
    """Whether it could go, then the nearest other choice and its price; nothing where none is."""
    out, told = reason.other(Way.OUT), []
    if out is None and not reason.begun and not reason.block.pinned:
        told.append("No plan goes without it.")
    elif out is not None and is_tie(out):
        told.append("A year without it is as good: one of two equals.")
    return " ".join(filter(None, (*told, _nearest(reason))))


def _nearest(reason: Reason) -> str:
    """Such as "The nearest other choice, with endurance instead, costs 0.4 good days on rock, with
    form worth 0.6."; nothing where none is possible."""
    near = max(reason.others, key=lambda one: one.points, default=None)
    if near is None:
        return ""
    label = _label(near, reason)
    choice = f"The nearest other choice, {label[0].lower()}{label[1:]},"
    if is_tie(near):
        return f"{choice} is as good."
    price = difference_told(near.good_days, near.points)
    alike = abs(near.points) < ALIKE and abs(near.good_days) < SMALL_DAYS
    if alike:
        return f"{choice} is as good as equal: it {price}."
    stays = near.points >= ALIKE and not reason.block.pinned
    return f"{choice} {price}.{f' {STAYS}' if stays else ''}"


# --- what a change would cost -------------------------------------------------------------------


def _others(reason: Reason) -> list[str]:
    """Each other way in a sentence, equal ones together at the end, then what is not possible."""
    told = [f"{_label(one, reason)}: {price_text(one)}." for one in reason.others]
    elsewhere = (Way.EARLIER, Way.LATER) if reason.ties else ()  # told before: it could
    gone = [_WAYS[way] for way in reason.impossible if way not in elsewhere]
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
    more = one.span.length - block.span.length
    longer = f"{length_text(abs(more))} {Way.LONGER if more > 0 else Way.SHORTER}"
    match one.way:
        case Way.EARLIER | Way.LATER:
            told = f"{length_text(first)} {one.way}" if first else f"{one.way}"
            return f"{told}, {longer} ({days})" if more else f"{told} ({days})"
        case Way.LONGER | Way.SHORTER:
            return f"{longer} ({days})"
        case Way.KIND:
            kind = KIND_NAMES[one.kind]
            told = emphasis_text(one.kind, one.emphasis)
            return f"A {kind}{f' ({told})' if told else ''} instead ({days})"
        case Way.EMPHASIS:
            return f"With {one.emphasis or 'no emphasis'} instead"
    return "Ended today" if reason.begun else "Left out"


def price_text(one: Other | Place) -> str:
    """Such as "costs 1.9 good days on rock, with form worth 2.3", or "as good, a tie"."""
    return "as good, a tie" if is_tie(one) else difference_told(one.good_days, one.points)


def is_small(good_days: float, points: float) -> bool:
    """Whether a difference is none that could be told."""
    return abs(points) < SMALL_POINTS and abs(good_days) < SMALL_DAYS


def is_tie(one: Other | Place) -> bool:
    """Whether another year is as good."""
    return is_small(one.good_days, one.points)
