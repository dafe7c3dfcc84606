"""A proposal in words: what moves, for which news, and what each goal wins or loses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import groupby

from seasonplan.days import Span, count_text, day_month_text, week_start
from seasonplan.explain import left_out, missed
from seasonplan.explain.notes import planned_text, proof_text
from seasonplan.explain.tested import rating_changes
from seasonplan.explain.tries import good_tries, tries_text
from seasonplan.explain.words import (
    TIME_OFF,
    day_text,
    emphasis_text,
    entry_name,
    is_illness,
    length_text,
    number_text,
)
from seasonplan.explain.worth_told import days_text, in_days
from seasonplan.plan import Block, Occasion, Revision, Session
from seasonplan.planning.history import Move, of_old_model
from seasonplan.planning.proposal import GoalChange, Proposal, ProposedChange
from seasonplan.recipes import Recipe
from seasonplan.year import Year

WEEK = timedelta(days=7)
SMALL_DAYS, SMALL_POINTS = 0.05, 0.05
MOST_MOVED = 8  # sessions told one by one
OLDER = "The plan before was made by an older program: what both are worth cannot be compared."


def summary(proposal: Proposal) -> str:
    """How much changes and whether it is worth more or less, in a few sentences."""
    return " ".join([_summary(proposal), *_besides(proposal)])


def _besides(proposal: Proposal) -> Iterator[str]:
    """What there is to accept where no block changes: sessions, or a better proof."""
    was, now = proposal.before, proposal.after
    if proposal.blocks:
        return
    told = {one.id: one for one in was.sessions}
    changed = {one.id for one in now.sessions if told.pop(one.id, None) != one} | set(told)
    if changed:
        one = len(changed) == 1
        yield f"{count_text(len(changed), 'session')} {'is' if one else 'are'} not as before."
    if proof_text(was.proof) != proof_text(now.proof):
        yield proof_text(now.proof)


def _summary(proposal: Proposal) -> str:
    days = len(proposal.changed)
    if not proposal.blocks:
        head = "No block changes."
    else:
        count = len(proposal.blocks)
        blocks = "1 block changes" if count == 1 else f"{count} blocks change"
        head = f"{blocks}; {days} {'day is' if days == 1 else 'days are'} of another kind."
    head += _past_text(proposal)
    by_diary = missed.by_diary(proposal.before, proposal.after, today=proposal.today)
    head = " ".join([head, *_by_tests(proposal), *by_diary])
    if of_old_model(proposal.before):
        return f"{head} {OLDER}"
    if any(map(_on_other_days, proposal.goals)):
        return f"{head} {_days_text(proposal)}"  # form on other days: points do not compare
    if proposal.before.ratings != proposal.after.ratings:
        return f"{head} {_days_text(proposal)}"  # worth hangs on what is missing, and that changed
    points = proposal.points
    if abs(points) < SMALL_POINTS:
        return f"{head} The year is worth as much as before."
    more = "more" if points > 0 else "less"
    return f"{head} With form, the year is worth {days_text(in_days(points))} {more}."


def _on_other_days(change: GoalChange) -> bool:
    """Whether a goal is there on one side alone, or other days can be used for it than before."""
    was, now = change.before, change.after
    return was is None or now is None or abs(was.possible - now.possible) >= SMALL_DAYS


def _by_tests(proposal: Proposal) -> list[str]:
    return rating_changes(proposal.before.ratings, proposal.after.ratings, proposal.year)


def _days_text(proposal: Proposal) -> str:
    """Good days on rock in all, before and after, where goals have other days than before."""
    was, now = (one.score.good_days for one in (proposal.before, proposal.after))
    told = f"{number_text(now)} good days on rock are to be expected in all"
    if number_text(was) == number_text(now):
        return f"{told}, as before."
    return f"{told}, {number_text(was)} before."


def reaches_back(proposal: Proposal) -> bool:
    """Whether days that are over read otherwise than before: then no undo takes it back."""
    return bool(_past_text(proposal))


def _past_text(proposal: Proposal) -> str:
    """Which days that are over now read as the climber entered them since."""
    was, now = (
        {day: block.kind for block in one.blocks for day in block.span.days()}
        for one in (proposal.before, proposal.after)
    )
    over = sorted(
        day for day in was if day < proposal.today and was[day] is not now.get(day, was[day])
    )
    if not over:
        return ""
    spans = f"{day_text(over[0])} to {day_text(over[-1])}" if len(over) > 1 else day_text(over[0])
    return f" Of what is over, {spans} now reads as you entered it."


OWN_SESSIONS = (
    "Nothing changes but the sessions that you changed yourself, as they are shown already."
)


def as_shown(proposal: Proposal, shown: Revision) -> bool:
    """Whether it only takes over what the climber changed of sessions, and what is shown by now."""
    was, now = proposal.before, proposal.after
    return (
        shown != was
        and [_fixed(block) for block in shown.blocks] == [_fixed(block) for block in now.blocks]
        and shown.sessions == now.sessions
        and (was.ratings, was.done) == (now.ratings, now.done)
        and not of_old_model(was)
    )


def nothing_changes(proposal: Proposal) -> bool:
    """Whether there is nothing to accept: no block, session, goal or proof differs.

    Weeks do not count: they are cut where today is.
    """
    was, now = proposal.before, proposal.after
    return (
        [_fixed(block) for block in was.blocks] == [_fixed(block) for block in now.blocks]
        and was.sessions == now.sessions
        and was.shortfalls == now.shortfalls
        and proof_text(was.proof) == proof_text(now.proof)
        and not of_old_model(was)
        and (abs(proposal.points) < SMALL_POINTS or was.ratings != now.ratings)
        and all(_as_before(change) for change in proposal.goals)
    )


def _fixed(block: Block) -> tuple[object, ...]:
    return (
        block.id, block.kind, block.emphasis, block.span, block.entry, block.pinned, block.phase,
    )  # fmt: skip


def block_lines(proposal: Proposal) -> Iterator[str]:
    """Each block that changes, in order of its days."""
    for change in proposal.blocks:
        yield _block_line(change, proposal)


def waiting_lines(proposal: Proposal) -> Iterator[str]:
    """That an injury without days empties the year, and that the answer may wait for them."""
    for injury in proposal.year.injuries:
        if injury.waits and injury.id in proposal.news and proposal.blocks:
            yield (
                f"{entry_name(proposal.year, injury.id)} has no days named yet, so nothing that "
                "loads it can be planned after it. Your answer may wait: as long as the old plan "
                "stands, `seasonplan today` says what to leave out. With days (`seasonplan injury "
                f"--change {injury.id}`) the rest of the year is planned again."
            )


def left_out_lines(proposal: Proposal) -> Iterator[str]:
    """The climber's own sessions from today on that the proposed plan leaves out, and why."""
    yield from left_out.lines_since(proposal.year, proposal.after, since=proposal.today)


def moved_lines(proposal: Proposal, names: Mapping[str, Recipe]) -> Iterator[str]:
    """Each session from today on that has another day, hour or length than before."""
    was = {one.id: one for one in proposal.before.sessions}
    found = [
        (was[now.id], now)
        for now in proposal.after.sessions
        if now.day >= proposal.today and now.id in was and _when(was[now.id]) != _when(now)
    ]
    for old, now in found[:MOST_MOVED]:
        name = names[now.recipe].name if now.recipe in names else now.recipe
        longer = old.minutes != now.minutes
        ends = [_when_text(one, longer=longer) for one in (old, now)]
        yield f"“{name}”: {ends[0]} → {ends[1]}."
    if len(found) > MOST_MOVED:
        yield f"{count_text(len(found) - MOST_MOVED, 'session')} more at another time."


def _when(session: Session) -> tuple[object, ...]:
    return session.day, session.start, session.minutes


def _when_text(session: Session, *, longer: bool) -> str:
    length = f" for {session.minutes} min" if longer else ""
    return f"{day_text(session.day)} at {session.start:%H:%M}{length}"


def weeks_beside(proposal: Proposal) -> Iterator[str]:
    """Calendar weeks that hold another kind of block on some day: what they held and hold; the
    same ones in a row on one line."""
    begins = proposal.year.climber.week_begins
    firsts = dict.fromkeys(week_start(day, begins) for day in sorted(proposal.changed))

    def held(first: date) -> tuple[str, str]:
        week = Span(first, first + WEEK)
        return (
            _kinds(proposal.before, week, proposal.old_year),
            _kinds(proposal.after, week, proposal.year),
        )

    rows = []
    in_a_row = groupby(enumerate(firsts), key=lambda one: (held(one[1]), one[1] - one[0] * WEEK))
    for (kinds, _), found in in_a_row:
        run = [first for _, first in found]
        more = f", {len(run)} weeks" if len(run) > 1 else ""
        rows.append((f"{day_text(run[0])}{more}", *kinds))
    idle = max((len(when) for when, _, _ in rows), default=0)
    for when, was, now in rows:
        yield f"{when:<{idle}}  {was:<24}  {now}"


def _kinds(revision: Revision, week: Span, year: Year) -> str:
    """The kinds of block in a week, in order."""
    held = (block for block in revision.blocks if block.span.meet(week))
    return ", ".join(
        dict.fromkeys(TIME_OFF if is_illness(one, year) else one.kind.value for one in held)
    )


def _block_line(change: ProposedChange, proposal: Proposal) -> str:
    """One change and the entry it is for, which may be gone by now."""
    was, year = change.before, proposal.year
    told = _what(change)
    if change.after is None and was and not was.kind.chosen and year.entry(was.entry or ""):
        told = f"{was.id} is no block of its own any more: {_dates(was)}"  # it is entered still
    if not change.by:
        return f"{told}."
    return f"{told}, for {_name(change.by, proposal)}."


def _what(change: ProposedChange) -> str:
    was, now = change.before, change.after
    if was is None:
        assert now is not None
        kind = f", {_kind(now)}" if now.kind.chosen else ""
        return f"{now.id} is new{kind}: {_dates(now)}"
    if now is None:
        return f"{was.id} goes: {_dates(was)}"
    if Move.KIND in change.moves:
        return f"{was.id} becomes {_kind(now)}: {_dates(now)}"
    trains = (
        f"trains {emphasis_text(now.kind, now.emphasis) or 'no emphasis'}, not "
        f"{emphasis_text(was.kind, was.emphasis) or 'no emphasis'}"
    )
    if change.moves == (Move.EMPHASIS,):
        return f"{was.id} {trains}: {_dates(now)}"
    told = f"{was.id} {_lies(was, now, moved=Move.MOVED in change.moves)}"
    return f"{told}; it {trains}" if Move.EMPHASIS in change.moves else told


def _lies(was: Block, now: Block, *, moved: bool) -> str:
    """Where a block goes, or how much longer or shorter it is."""
    if moved:
        days = (now.span.first - was.span.first).days
        return f"moves {length_text(abs(days))} {_later(days)}: {_dates(now)}"
    days = now.span.length - was.span.length
    more = "longer" if days > 0 else "shorter"
    return f"is {length_text(abs(days))} {more}: {_dates(was)} becomes {_dates(now)}"


def _later(days: int) -> str:
    return "later" if days > 0 else "earlier"


def _kind(block: Block) -> str:
    """Such as "strength, fingers"."""
    told = emphasis_text(block.kind, block.emphasis)
    return f"{block.kind.value}, {told}" if told else block.kind.value


def _dates(block: Block) -> str:
    if block.span.length == 1:
        return day_month_text(block.span.first)
    return f"{day_month_text(block.span.first)} to {day_month_text(block.span.last)}"


def goal_lines(proposal: Proposal) -> Iterator[str]:
    """Each goal at each season, window or trip: days on rock and good ones, before and after."""
    old = of_old_model(proposal.before)
    for change in proposal.goals:
        yield _goal_line(change, proposal, old=old)


def _as_before(change: GoalChange) -> bool:
    was, now = change.before, change.after
    if was is None or now is None:
        return False
    days = (was.rock_days, was.easy_days) == (now.rock_days, now.easy_days)
    return days and abs(now.good_days - was.good_days) < SMALL_DAYS


def _goal_line(change: GoalChange, proposal: Proposal, *, old: bool) -> str:
    where = f"{_name(change.goal, proposal)} at {_name(change.entry, proposal)}"
    was, now = change.before, change.after
    beside = _uncounted(change, proposal.after)
    if now is None:
        return f"{where}: no day on rock {'that counts ' if beside else ''}any more.{beside}"
    good = number_text(now.good_days)
    planned = planned_text(now.rock_days, now.easy_days)
    good += " good one" if good == "1" else " good ones"
    tries = good_tries([now], proposal.year, proposal.after.sessions)
    if was is None or old:
        new = "" if old else "new, "
        return f"{where}: {new}{planned}, {good}{tries_text(tries)} to expect."
    if _as_before(change):
        return f"{where}: as before, {planned}, {good}{tries_text(tries)} to expect."
    expected = _change(number_text(was.good_days), good) + _tries(was, tries, proposal)
    told = f"{where}: {_planned(was, now)}, {expected} to expect.{beside}"
    return told if change.reachable else f"{told} Less than half of its good days are left."


def _uncounted(change: GoalChange, after: Revision) -> str:
    """How many days stand there that count for no goal, as while something is hurt."""
    mine = [one for one in after.score.occasions if one.goal == change.goal]
    counted = sum(one.rock_days for one in mine if one.entry == change.entry)
    days = len({one.day for one in after.sessions if one.rock == change.entry}) - counted
    if days < 1:
        return ""
    return (
        f" {count_text(days, 'easy day')} there {'counts' if days == 1 else 'count'} for no goal."
    )


def _tries(was: Occasion, now: float | None, proposal: Proposal) -> str:
    """Such as " (3.1 → 2.4 with tries)", to stand behind good days; empty where none is easy."""
    if now is None:
        return ""
    before = good_tries([was], proposal.old_year, proposal.before.sessions) or 0.0
    had = before if was.easy_days else was.good_days
    return f" ({_change(number_text(had), number_text(now))} with tries)"


def _name(entry: str, proposal: Proposal) -> str:
    """The climber's name of an entry, also of one that is gone by now."""
    known = proposal.year if proposal.year.entry(entry) else proposal.old_year
    return entry_name(known, entry)


def _planned(was: Occasion, now: Occasion) -> str:
    """Such as "7 → 6 days on rock planned, 3 → 5 of them easy"."""
    days = f"{_change(str(was.rock_days), count_text(now.rock_days, 'day'))} on rock planned"
    easy = now.easy_days or 0
    if was.easy_days is None or not (easy or was.easy_days):
        return days
    return f"{days}, {_change(str(was.easy_days), f'{easy} of them')} easy"


def _change(was: str, now: str) -> str:
    """Such as "4.1 → 3.8"; what is told alike only once."""
    return now if was == now.split()[0] else f"{was} → {now}"
