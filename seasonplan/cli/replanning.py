"""`seasonplan replan`: a proposal after a change, to accept, accept with pins, or refuse."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.edit_run import refusals
from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.explain.causes import CausingNews
    from seasonplan.planning.proposal import GoalChange, Keep, Proposal, ProposedChange
    from seasonplan.planning.replan import NoPlan, Stopped
    from seasonplan.rules.statements import RuleBook
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan replan my-year                  see what would change, answer
  seasonplan replan my-year --keep high      change as little as can be
  seasonplan replan my-year --accept --pin strength-2
  seasonplan replan my-year --others         other answers beside it"""

KeepLevel = Annotated[
    str,
    typer.Option(metavar="high|medium|low", help="How much of the accepted plan is kept."),
]
Accept = Annotated[bool, typer.Option("--accept", help="Accept without asking.")]
Look = Annotated[bool, typer.Option("--look", help="Only show; accept nothing, ask nothing.")]
Others = Annotated[bool, typer.Option("--others", help="Show other answers to the same changes.")]
Why = Annotated[bool, typer.Option("--why", help="Give the reason of each change.")]
Pins = Annotated[
    list[str] | None, typer.Option("--pin", metavar="BLOCK", help="Fix this block as it lies then.")
]
Cause = Annotated[str, typer.Option(metavar="TEXT", help="What happened; kept with the plan.")]


def replan(
    folder: Folder = Path(),
    *,
    keep: KeepLevel = "medium",
    cause: Cause = "life changed the year",
    accept: Accept = False,
    look: Look = False,
    others: Others = False,
    why: Why = False,
    pin: Pins = None,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Propose the best plan near the accepted one, from today on.

    What is over stays as it was, days soon cost more to change than days far ahead.
    """
    from seasonplan.cli.planning import busy_told
    from seasonplan.explain import before_after
    from seasonplan.planning.proposal import unlike

    screen = Screen.here(plain=plain)
    desk, number = _opened(folder, screen)
    for text in busy_told(desk):
        screen.narrate(f"Note: {text}")
    day = now_of(desk.year, today)
    answer = _proposed(desk, screen, cause=cause, keep=keep, today=day, as_json=as_json)
    found = _others(desk, screen, cause=cause, today=day) if others else []
    shown = [answer, *unlike(found, shown=answer)]
    alone = not others and not pin
    as_it_was = alone and before_after.nothing_changes(answer)
    own = alone and before_after.as_shown(answer, desk.standing or answer.before)
    stands = as_it_was and not desk.stale and not desk.behind(day)
    if as_json:
        _write(shown, desk.book if why else None)
    elif stands:
        screen.say(before_after.summary(answer))
    elif own and not why:
        screen.say(before_after.OWN_SESSIONS)
    else:
        for one in shown:
            _tell(one, desk, screen, why=why)
        screen.tell(_known(shown, found), head="Other answers")
        _mind(desk, screen, day)
    if stands:
        screen.narrate(f"There is nothing to accept: plan {number} stands.")
    elif not look and (accept or not as_json):
        # what changes nothing in the plan, or is shown already, needs no answer
        answered = accept or as_it_was or own
        _accept(desk, answer if answered else _asked(shown, screen), screen, pin or [])


def _accept(desk: Desk, chosen: Proposal | None, screen: Screen, pinned: list[str]) -> None:
    """Keep what the climber chose, if it is any."""
    if chosen is None:
        screen.say("Refused. Nothing was changed.")
        return
    with refusals():
        kept = desk.accept(chosen, pinned=pinned)
    screen.narrate(f"Accepted: plan {kept.number} is kept in {desk.folder / 'plan.json'}.")


def _level(keep: str, screen: Screen) -> Keep:
    from seasonplan.planning.proposal import Keep

    if keep not in set(Keep):
        screen.narrate(f"--keep: found {keep!r}; wanted high, medium or low.")
        raise typer.Exit(Exit.BAD_INPUT)
    return Keep(keep)


def _opened(folder: Path, screen: Screen) -> tuple[Desk, int]:
    """The folder, and the number of the plan to stay near."""
    from seasonplan.workspace.desk import Desk

    desk = Desk(folder)
    if desk.plan is None:
        screen.narrate("There is no plan yet to stay near. Run `seasonplan plan` first.")
        raise typer.Exit(Exit.BAD_INPUT)
    return desk, desk.plan.current.number


def _proposed(
    desk: Desk, screen: Screen, *, cause: str, keep: str, today: date, as_json: bool
) -> Proposal:
    """The proposal; where there is none, that is told and the command ends."""
    from seasonplan.cli.planning import tell_conflict
    from seasonplan.planning.replan import NoPlan, Stopped

    answer = _searched(desk, screen, cause=cause, keep=_level(keep, screen), today=today)
    if isinstance(answer, NoPlan):
        tell_conflict(answer, desk, screen, as_json=as_json)
        raise typer.Exit(Exit.NO_PLAN)
    if isinstance(answer, Stopped):
        screen.narrate("Stopped before a proposal was found; nothing was changed.")
        raise typer.Exit(Exit.STOPPED)
    return answer


def _others(desk: Desk, screen: Screen, *, cause: str, today: date) -> list[Proposal]:
    """Other answers to the same news."""
    from seasonplan.workspace import clock

    screen.narrate("Looking for other answers ...")
    return desk.alternatives(cause, stamp=clock.stamp(), today=today)


def _known(shown: list[Proposal], found: list[Proposal]) -> list[str]:
    """Which answers are plans that are shown under another name."""
    return [
        f"{one.label.capitalize()}: the same plan as {_name(like)}."
        for one in found
        for like in shown
        if one is not like and one not in shown and one.same_as(like)
    ]


def _name(answer: Proposal) -> str:
    return f"“{answer.label}”" if answer.label else "the proposal"


def _searched(
    desk: Desk, screen: Screen, *, cause: str, keep: Keep, today: date
) -> Proposal | NoPlan | Stopped:
    from seasonplan.cli.planning import heard
    from seasonplan.workspace import clock

    stamp = clock.stamp()
    found, _ = heard(screen, partial(desk.propose, cause, stamp=stamp, today=today, keep=keep))
    return found


def _tell(proposal: Proposal, desk: Desk, screen: Screen, *, why: bool) -> None:
    from seasonplan.explain import because, before_after
    from seasonplan.explain.rulebook import session_lines

    screen.head(f"Proposal: {proposal.label}" if proposal.label else "Proposal")
    screen.say(before_after.summary(proposal))
    screen.tell(before_after.waiting_lines(proposal), hang=0)
    screen.tell(before_after.block_lines(proposal))
    if why and proposal.blocks:
        reasons = because.reasons(proposal, book=desk.book)
        screen.tell(because.lines(proposal, reasons, book=desk.book), head="Why they change")
    _side_by_side(proposal, screen)
    if not proposal.blocks:
        told = [
            *before_after.moved_lines(proposal, desk.recipes),
            *session_lines(proposal, desk.recipes),
        ]
        screen.tell(told, head="Sessions that change")
    screen.tell(before_after.left_out_lines(proposal), head="Sessions left out")
    screen.tell(before_after.goal_lines(proposal), head="Goals")


def _mind(desk: Desk, screen: Screen, today: date) -> None:
    """What to mind of what is hurt, once for all answers."""
    from seasonplan.explain import notes

    if desk.year.injuries:
        screen.tell(notes.cautions(desk.year, since=today), head="Take care")


def _side_by_side(proposal: Proposal, screen: Screen) -> None:
    """The blocks from today on, before and after, week by week where they differ."""
    from seasonplan.explain.before_after import weeks_beside

    screen.tell(
        weeks_beside(proposal), head="Week by week, where they differ: before and after", hang=0
    )


def _asked(shown: list[Proposal], screen: Screen) -> Proposal | None:
    """The proposal the climber accepts, or None."""
    from seasonplan.cli.asking import ask, yes

    if len(shown) == 1:
        return shown[0] if yes("Accept this plan?", default="no") else None
    for number, one in enumerate(shown, start=1):
        screen.narrate(f"{number}  {one.label or 'the proposal'}")
    answer = ask("Accept which? 0 for none", partial(_number, most=len(shown)), default="0")
    return shown[answer - 1] if answer else None


def _number(text: str, *, most: int) -> int:
    if text not in [str(number) for number in range(most + 1)]:
        raise typer.BadParameter(f"found {text!r}; wanted 0 to {most}. Choose one.")
    return int(text)


def _write(shown: list[Proposal], book: RuleBook | None) -> None:
    write_json({"proposals": [_facts(one, book) for one in shown]})


def _facts(proposal: Proposal, book: RuleBook | None) -> dict[str, object]:
    """A proposal for programs; with `book` also what each change hangs on."""
    from seasonplan.cli.machine import revision_facts
    from seasonplan.explain import because, before_after
    from seasonplan.explain.missed import by_diary
    from seasonplan.explain.tested import rating_changes

    reasons = list(because.reasons(proposal, book=book)) if book else []
    causes = {one.change: one.cause for one in reasons}
    return {
        "label": proposal.label,
        "base": proposal.base,
        "news": list(proposal.news),
        "changed_days": [str(day) for day in proposal.changed],
        "outside_the_news": [str(day) for day in proposal.outside],
        "points": proposal.points,
        "by_diary": by_diary(proposal.before, proposal.after, today=proposal.today),
        "by_tests": rating_changes(proposal.before.ratings, proposal.after.ratings, proposal.year),
        "blocks": [_block_facts(one, causes.get(one)) for one in proposal.blocks],
        "goals": [_goal_facts(one) for one in proposal.goals],
        "text": [
            *before_after.block_lines(proposal),
            *before_after.left_out_lines(proposal),
            *before_after.goal_lines(proposal),
        ],
        "plan": revision_facts(proposal.after),
    }


def _block_facts(change: ProposedChange, cause: CausingNews | None) -> dict[str, object]:
    return {
        "move": _move(change),
        "before": change.before.id if change.before else None,
        "after": change.after.id if change.after else None,
        "for": change.by,
        **_cause_facts(cause),
    }


def _goal_facts(change: GoalChange) -> dict[str, object]:
    both = (change.before, change.after)
    return {
        "goal": change.goal,
        "at": change.entry,
        "good_days": [one.good_days if one else None for one in both],
        "rock_days": [one.rock_days if one else None for one in both],
        "reachable": change.reachable,
    }


def _cause_facts(cause: CausingNews | None) -> dict[str, object]:
    if cause is None:
        return {}
    news = [piece.name or piece.field for piece in cause.pieces]
    return {"cause": {"how_much": cause.part.value, "news": news}}


def _move(change: ProposedChange) -> str:
    """What became of a block in one word; another kind says more than other days."""
    from seasonplan.planning.history import Move

    words = {
        Move.ADDED: "new",
        Move.REMOVED: "gone",
        Move.MOVED: "moved",
        Move.LENGTHENED: "longer",
        Move.SHORTENED: "shorter",
        Move.EMPHASIS: "emphasis",
    }
    return "kind" if Move.KIND in change.moves else words[change.moves[0]]
