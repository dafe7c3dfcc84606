"""What of a plan file must agree with itself: weeks with their sessions, ids, the proof.

Worked out again from the sessions; a finding here means a mistake of ours or a changed file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.plan import Block, Proof, Score, Session, Week
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.findings import PROOF, SUMS, Finding
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import EMPHASES, Kind, Quality

NEAR = 0.06  # rounding of a week's loads to a tenth
NEAR_RPE = 0.006
TRAINED = (Kind.BASE, Kind.STRENGTH)  # of these what was missed counts
HARD_SHARE = response_table().hard_from


def judge_sums(
    sheet: Sheet, sessions: Sequence[Session], *, today: date | None = None
) -> Iterator[Finding]:
    """Every number of a week that is not the sum of its sessions, and every id that is wrong.

    Weeks that are over by `today` keep the free time and the recipes of their day: of them it is
    asked what sessions alone say.
    """
    book = recipes(sheet.year.recipes)
    yield from _ids(sheet, sessions)
    yield from _done(sheet, today)
    for block in sheet.blocks:
        yield from _emphasis(block)
        for week in block.weeks:
            inside = [one for one in sessions if one.day in week.span]
            over = today is not None and week.span.after <= today
            sums = _plain(week, inside) if over else _differences(sheet, week, inside, book)
            for about, said, true in sums:
                yield _wrong(week.span, block, about=about, said=said, true=true)


def _wrong(
    span: Span, block: Block | None, *, about: str, said: float | None = None,
    true: float | None = None, sessions: Sequence[str] = (),
) -> Finding:  # fmt: skip
    return Finding(
        code=SUMS, strength="hard", span=span, blocks=(block.id,) if block else (),
        found=said, limit=true, about=about, sessions=tuple(sessions),
    )  # fmt: skip


def _ids(sheet: Sheet, sessions: Sequence[Session]) -> Iterator[Finding]:
    for name, times in Counter(session.id for session in sessions).items():
        if times > 1:
            days = [one.day for one in sessions if one.id == name]
            span = Span.through(min(days), max(days))
            yield _wrong(span, None, about="a session twice", said=times, true=1, sessions=[name])
    for name, times in Counter(block.id for block in sheet.blocks).items():
        if times > 1:
            block = next(one for one in sheet.blocks if one.id == name)
            yield _wrong(block.span, block, about="the id of a block twice", said=times, true=1)
    for block in sheet.blocks:
        if not block.id.startswith(f"{block.kind.value}-"):
            yield _wrong(block.span, block, about="an id of another kind")


def _done(sheet: Sheet, today: date | None) -> Iterator[Finding]:
    """Shares done that cannot be so: of no week of training that is over, or no share.

    What was done itself is the diary's to say.
    """
    weeks = {week.first: week for week in sheet.almanac.weeks()}
    for first, share in sheet.done.items():
        week = weeks.get(first, Span.through(first, first))
        if first not in weeks:
            yield _wrong(week, None, about="done in part: no first day of a week")
        elif today is not None and week.after > today:
            yield _wrong(week, None, about="done in part: a week that is not over")
        elif not any(block.span.meet(week) for block in sheet.of(*TRAINED)):
            yield _wrong(week, None, about="done in part: a week without training")
        if not 0 <= share < 1:
            yield _wrong(week, None, about="done in part: no share from 0 to 1")


def _emphasis(block: Block) -> Iterator[Finding]:
    allowed = EMPHASES.get(block.kind, ())
    if block.emphasis and block.emphasis not in allowed:
        yield _wrong(block.span, block, about=f"emphasis {block.emphasis.value}")


def _plain(week: Week, inside: Sequence[Session]) -> Iterator[tuple[str, float, float]]:
    """(what, said, true) for the numbers of a week for which no recipe need be known."""
    load = sum(one.rpe * one.minutes * one.active_share for one in inside)
    active = sum(one.minutes * one.active_share for one in inside)
    pairs = [
        ("minutes", week.minutes, float(sum(one.minutes for one in inside))),
        ("training days", week.training_days, len({one.day for one in inside if one.minutes})),
        ("days on rock", week.rock_days, len({one.day for one in inside if one.role})),
    ]
    yield from ((what, said, true) for what, said, true in pairs if abs(said - true) > NEAR)
    if abs(week.load - load) > len(Quality) * NEAR:
        yield "load", week.load, load
    if abs(week.rpe - (load / active if active else 0.0)) > NEAR_RPE:
        yield "effort", week.rpe, load / active if active else 0.0


def _differences(
    sheet: Sheet, week: Week, inside: Sequence[Session], book: Mapping[str, Recipe]
) -> Iterator[tuple[str, float, float]]:
    """(what, said, true) for every number of a week that is another."""
    yield from (one for one in _plain(week, inside) if one[0] != "load")
    known = [(one, book[one.recipe]) for one in inside if one.recipe in book]
    pairs = [
        ("free minutes", week.free_minutes, round(sheet.free_minutes(week.span), 1)),
        ("hard seconds", week.hard_seconds, sum(hard_seconds(*one) for one in known)),
        ("maximal fingers", week.max_fingers, any(recipe.max_fingers for _, recipe in known)),
    ]
    yield from ((what, said, true) for what, said, true in pairs if abs(said - true) > NEAR)
    for quality in Quality:
        true = sum(_share(one, book, quality) for one in inside)
        if abs(week.loads.of(quality) - true) > NEAR:
            yield f"load of {quality.value}", week.loads.of(quality), true


def hard_seconds(session: Session, recipe: Recipe) -> int:
    """Seconds of its hangs, where they are at 80 % or more of the own maximum."""
    hard = recipe.hang_seconds and recipe.hang_share[0] >= HARD_SHARE
    return session.hangs * recipe.hang_seconds if hard else 0


def _share(session: Session, book: Mapping[str, Recipe], quality: Quality) -> float:
    shares = book[session.recipe].qualities if session.recipe in book else {Quality.FITNESS: 1.0}
    return session.rpe * session.minutes * session.active_share * shares.get(quality, 0.0)


# --- the proof ----------------------------------------------------------------------------------


def judge_proof(sheet: Sheet, proof: Proof, score: Score) -> Iterator[Finding]:
    """A proof that cannot be so: the bound below the points, a gap that does not follow."""
    gap = (proof.bound - score.points) / max(1.0, abs(proof.bound))
    faults = [
        ("bound", proof.bound, score.points, proof.bound < score.points - 1e-6),
        ("gap", proof.gap, max(0.0, gap), not 0 <= proof.gap <= 1 or abs(proof.gap - gap) > 1e-6),
        ("optimal", proof.gap, 0.0, proof.optimal and proof.gap > 1e-9),
        ("confirmed", 1.0, 0.0, proof.confirmed and not proof.optimal),
    ]
    for about, said, true, wrong in faults:
        if wrong:
            yield Finding(
                code=PROOF, strength="hard", span=sheet.year.span, found=said, limit=true,
                about=about,
            )  # fmt: skip
    seen = Counter((one.goal, one.entry, one.span) for one in score.occasions)
    for (goal, entry, span), times in seen.items():
        if times > 1:
            yield _wrong(span, None, about=f"{goal} at {entry} twice", said=times, true=1)
