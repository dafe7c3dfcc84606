"""What a person is told about a plan as a whole and about each block: short plain sentences.

Owns the words for block notes, warnings about a year, cautions, proof and worth. Both faces say
the same by asking here. Must not know how a plan was found.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import almanac_of
from seasonplan.body.response import told_load
from seasonplan.days import Span, count_text, day_month_text
from seasonplan.edits.serving import Rock, idle, idle_text
from seasonplan.explain.amounts import amount_text
from seasonplan.explain.breaks import sentence
from seasonplan.explain.care import caution_on, hurt_caution, is_over
from seasonplan.explain.tries import good_tries, tries_text
from seasonplan.explain.unserved import unserved
from seasonplan.explain.words import (
    UNTIL_BETTER,
    day_text,
    entry_name,
    good_days_text,
    is_illness,
    join,
    kind_name,
    length_text,
    number_text,
    span_text,
    time_text,
)
from seasonplan.plan import Block, Occasion, Proof, Session, Week
from seasonplan.recipes import recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import caution, composing, response_table
from seasonplan.vocabulary import BodyPart, Kind, Phase, Spread
from seasonplan.year import Trip, Year

MIDDLING = 5  # effort, to tell a load in hours
NOT_SHORT = "Finger work “short and hard, often”"
HANGING = (BodyPart.FINGER, BodyPart.WRIST, BodyPart.ELBOW)  # what hard hangs load

PURPOSES = {
    Kind.BASE: "Much easy and middling work on which what follows is built.",
    Kind.STRENGTH: "Hard and short work for fingers and power.",
    Kind.PERFORMANCE: "Climb what you trained for; train little besides.",
    Kind.REST: "Little and easy, so that body and head recover.",
    Kind.TRIP: "Climbing away from home; every third day or so is a rest day.",
    Kind.ABSENCE: "No training is planned.",
    Kind.INJURED: "Only what spares the hurt part.",
    Kind.RETURN: "Load builds back step by step.",
}

EMPHASES = {
    Kind.BASE: "What it trains most",
    Kind.STRENGTH: "What it trains most",
    Kind.PERFORMANCE: "What is kept up midweek",
}


# --- one block ------------------------------------------------------------------------------


def block_note(block: Block, year: Year, *, book: RuleBook, why: Sequence[str] = ()) -> str:
    """What a block is for, its weeks in minutes and effort, light weeks and cautions; in lines.

    `why` is why it is there.
    """
    return "\n".join(_note_lines(block, year, book, " ".join(why)))


def _note_lines(block: Block, year: Year, book: RuleBook, why: str) -> Iterator[str]:
    name = kind_name(block.kind, block.emphasis)
    yield f"{name[0].upper()}{name[1:]}, {length_text(block.span.length)}: {span_text(block.span)}."
    ill = f"{UNTIL_BETTER[0].upper()}{UNTIL_BETTER[1:]}."
    yield ill if is_illness(block, year) else PURPOSES[block.kind]
    yield from filter(None, (why,))
    if block.emphasis:
        yield f"{EMPHASES[block.kind]}: {block.emphasis}."
    if block.pinned:
        yield "You fixed this block."
    if block.minutes >= 1:
        yield from _weeks(block)
    if any(week.lead_in for week in block.weeks):
        yield _lead_in(block, book)
    yield from _cautions_of(block, year)


def _weeks(block: Block) -> Iterator[str]:
    told = [
        f"{week.minutes:.0f} from {day_month_text(week.span.first)}"
        for week in block.weeks
        if week.minutes >= 1
    ]
    yield f"Minutes: {', '.join(told)}."
    efforts = {round(week.rpe, 1) for week in block.weeks if week.minutes >= 1}
    low, high = number_text(min(efforts)), number_text(max(efforts))
    yield f"Effort: about {low if low == high else f'{low} to {high}'} of 10."
    light = [day_text(week.span.first) for week in block.weeks if week.deload]
    if light:
        yield f"Light {'week' if len(light) == 1 else 'weeks'}: from {', from '.join(light)}."


def _lead_in(block: Block, book: RuleBook) -> str:
    last = max(week.span.last for week in block.weeks if week.lead_in)
    rule = book.active("lead-in-volume")
    cut = f" ({number_text(rule.range[0])} to {number_text(rule.range[1])} %)" if rule else ""
    return f"Lead-in until {day_text(last)}: fewer minutes{cut}, effort stays."


def _cautions_of(block: Block, year: Year) -> Iterator[str]:
    if block.kind in (Kind.INJURED, Kind.RETURN) or block.phase not in (None, Phase.FULL):
        yield caution_on(year, [block.span])
        return
    if block.kind is Kind.ABSENCE:
        return
    yield caution("general")
    if is_young(year) and (block.kind is Kind.STRENGTH or _max_fingers(block.weeks)):
        yield caution("young")
    if block.kind in (Kind.PERFORMANCE, Kind.TRIP):
        yield caution("local_rules")


def _max_fingers(weeks: Sequence[Week]) -> bool:
    return any(week.max_fingers for week in weeks)


# --- the whole year -------------------------------------------------------------------------


def is_young(year: Year) -> bool:
    """Whether the climber may be under 18 when the year begins."""
    return injury.is_young(year, year.span.first)


def cautions(year: Year, *, since: date | None = None) -> list[str]:
    """The words of caution that belong to this year, the most particular first; of injuries only
    for what is not over by `since`."""
    hurts = [hurt for hurt in year.injuries if since is None or not is_over(hurt, since)]
    told = [hurt_caution(hurt.part for hurt in hurts)] if hurts else []
    told += [caution("young")] if is_young(year) else []
    return [*told, caution("general"), caution("local_rules")]


def warnings(year: Year) -> list[str]:
    """What a plan lacks though the year can be read: no goal, one that nothing serves, or rock that
    serves none."""
    if not year.goals:
        return [
            "You have entered no goal, so nothing tells one plan from another. "
            "Add a [[goal]] to year.toml."
        ]
    almanac = almanac_of(year)
    return [*unserved(almanac).values(), *(_idle(rock, year) for rock in idle(almanac))]


def _idle(rock: Rock, year: Year) -> str:
    """That no day of a season or window is planned, that those of a trip count for nothing, and how
    they would."""
    told, add = idle_text(rock, year.goals), f"add `{rock.id}` to `served_by` of one"
    if isinstance(rock, Trip):
        return f"{told} Its days count for nothing. Enter a goal there, or {add}."
    return (
        f"{told} So no day on rock is planned there. Enter a goal there, {add}, or wish for easy "
        "days: `seasonplan edit add outing`."
    )


def cut_note(year: Year) -> list[str]:
    """That a season goes on beyond the end of the year, so that its last days are not planned."""
    last = year.span.last
    return [
        f"{entry_name(year, spell.entry.id)} goes on to {day_text(spell.span.last)}, but your year "
        f"ends on {day_text(last)}: what is after it is not planned. More `weeks` under `year` "
        "would hold it."
        for spell in almanac_of(year).spells
        if last in spell.span and last != spell.span.last
    ]


def load_note(year: Year) -> list[str]:
    """What is to be doubted of the load entered: so little, or more than the free time holds."""
    return low_load(year) or _high_load(year)


def _high_load(year: Year) -> list[str]:
    """That the load entered is more than the free time at home holds, which the plan cannot keep up
    but where there is rock."""
    usual, free, effort = told_load(year), year.climber.minutes.week, composing().fit.full_rpe
    if not year.before.weekly_load or usual <= free * effort:
        return []
    return [
        f"`weekly_load` under `before` says {usual:.0f} a week, more than your free time at home "
        f"holds: {time_text(free)} at an effort of {number_text(effort)} are {free * effort:.0f}. "
        "The plan fills that time, so weeks without rock stay below what you did. If you have more "
        "time, say so "
        "under `climber.minutes`; if you did less, `seasonplan edit set before.weekly_load` "
        "changes it."
    ]


def low_load(year: Year) -> list[str]:
    """That the load entered is less than one evening at a wall, what it means, how to change it."""
    usual, table = told_load(year), response_table()
    if not year.before.weekly_load or usual >= table.doubted_load:
        return []
    least = table.least_load
    counted = f" The plan counts {least:.0f}, as it does for all below." if usual < least else ""
    return [
        f"`weekly_load` under `before` says {usual:.0f} a week, less than one evening at a wall. "
        "It is effort (0 to 10) x minutes of all climbing and training, of a day on rock half the "
        f"minutes: {time_text(usual / MIDDLING)} a week at an effort of {MIDDLING}. The plan "
        f"begins with it and adds a tenth at most, so weeks stay small for long.{counted} If you "
        f"did more, say so: three hours a week at that effort are {3 * 60 * MIDDLING}. "
        "`seasonplan edit set before.weekly_load` changes it. If it is what you did, leave it."
    ]


def split_note(year: Year) -> list[str]:
    """That a chosen split of finger work is not for this climber, and what the plan does instead.

    Whom: under 18, or with a finger, wrist or elbow that is hurt on days of the year.
    """
    wishes = year.sessions
    if Spread.SHORT_AND_HARD not in (wishes.spread, *wishes.spread_for.values()):
        return [] if is_young(year) else _days_too_short(year)
    hurt = [
        one.name
        for one in year.injuries
        if one.part in HANGING and Span(one.happened, one.full_from).meet(year.span)
    ]
    if is_young(year):
        return [f"{NOT_SHORT} is not for climbers under 18: the plan takes light holds instead."]
    if hurt:
        named = join([f"“{name}”" for name in hurt])
        return [
            f"{NOT_SHORT} is not for a hurt finger, wrist or elbow: until {named} is back in full "
            "the plan takes what its phase allows."
        ]
    return []


def _days_too_short(year: Year) -> list[str]:
    """That no day has the time of a long finger session, and which split is made for such days."""
    long = recipes(year.recipes).get("fingerboard-long")
    longest = max(map(almanac_of(year).minutes, year.span.days()), default=0)
    if (
        long is None
        or set(long.needs) - set(year.sessions.has)
        or year.sessions.spread is not Spread.FEW_AND_LONG
        or longest >= long.least_minutes
    ):
        return []
    return [
        f"No day has the {long.least_minutes} min of a long finger session: the plan takes short "
        'ones instead. `spread = "short and hard, often"` under `sessions` is made for such days.'
    ]


def proof_text(proof: Proof) -> str:
    """How good the plan is against the best there could be."""
    if not proof.optimal:
        return "This plan was made by an older program: plan again for the best one."
    best = "No plan is worth more, for what you entered and under your rules"
    if proof.confirmed:
        return f"{best}: found exactly, and confirmed by a second exact method."
    return f"{best}: found exactly; no second method has confirmed it."


def occasion_text(occasion: Occasion, year: Year, sessions: Sequence[Session] = ()) -> str:
    """What the plan makes of a goal at one season, window or trip; `sessions` are the plan's."""
    where = (
        f"{entry_name(year, occasion.goal)} at {entry_name(year, occasion.entry)}, "
        f"{span_text(occasion.span)}"
    )
    good = number_text(occasion.good_days)
    tries = tries_text(good_tries([occasion], year, sessions))
    if not occasion.rock_days and occasion.good_days:  # of a plan by an older program
        return f"{where}: {good_days_text(occasion.good_days)} expected."
    return (
        f"{where}: {planned_text(occasion.rock_days, occasion.easy_days)}, {good} good "
        f"{'one' if good == '1' else 'ones'}{tries} to expect, of "
        f"{number_text(occasion.possible)} if you went every day."
    )


def planned_text(days: int, easy: int | None) -> str:
    """Such as "12 days on rock planned, 5 of them easy"; None: that is not known."""
    told = f"{count_text(days, 'day')} on rock planned"
    if not easy:
        return told
    if easy < days:
        return f"{told}, {easy} of them easy"
    return f"{told}, {'all easy' if days > 1 else 'an easy one'}"


def bent_rules(findings: Sequence[Finding], *, book: RuleBook) -> list[str]:
    """Each preference that is not met once: how often, and where by most."""
    codes = dict.fromkeys(finding.code for finding in findings if finding.strength == "soft")
    return [_bent(code, findings, book) for code in codes]


def broken_rules(findings: Sequence[Finding], *, book: RuleBook) -> list[str]:
    """Each rule that is broken once: how often, and where by most; all else in full."""
    hard = [finding for finding in findings if finding.strength == "hard"]
    codes = dict.fromkeys(finding.code for finding in hard if finding.code in book)
    others = [sentence(finding, book=book) for finding in hard if finding.code not in book]
    return [*others, *(_bent(code, hard, book) for code in codes)]


def _bent(code: str, findings: Sequence[Finding], book: RuleBook) -> str:
    mine = [finding for finding in findings if finding.code == code]
    title = f"“{book[code].title}”"
    worst = max(mine, key=lambda finding: abs((finding.found or 0.0) - (finding.limit or 0.0)))
    times = "once" if len(mine) == 1 else f"{len(mine)} times"
    found = amount_text(worst, book[code])
    if not found:
        return f"{title} is not met {times}: {join([span_text(one.span) for one in mine])}."
    most = "" if len(mine) == 1 else "most on "
    return f"{title} is not met {times}: {most}{span_text(worst.span)} ({found})."
