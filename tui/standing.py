"""How things stand, in words: the plan at the top of the screen, and what went into the diary."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from seasonplan.edits import AnEdit
from seasonplan.edits.kinds import MarkMissed, WriteRow
from seasonplan.explain.diary import entry_text
from tui.bench import Bench
from tui.forms.injury import is_young
from tui.spoken import spoken


def standing(bench: Bench) -> str:
    """How the plan stands, in a few words with a sign."""
    plan = bench.desk.plan
    if bench.desk.busy_trouble is not None:
        return "! a busy calendar cannot be read"
    if plan is None:
        return "○ the first plan is being made" if bench.planning else "○ no plan yet: r plans"
    if bench.desk.older and not bench.desk.lags:
        return "~ an older plan: r plans anew"
    broken = len({found.code for found in bench.broken})
    if broken:
        rules = "1 rule is broken" if broken == 1 else f"{broken} rules are broken"
        return f"! {rules}: r plans anew"
    if bench.desk.lags:
        return "~ changed since the plan: r plans anew"
    if bench.now is not None and bench.desk.behind(bench.now):
        return "~ sessions missed: r plans anew"
    if bench.desk.stale:
        return f"✓ plan {plan.current.number} and your own sessions"
    return f"✓ plan {plan.current.number} stands"


def _written(edits: Sequence[AnEdit], bench: Bench) -> str:
    """What edits wrote into the diary; nothing where they wrote none."""
    rows = [edit.row for edit in edits if isinstance(edit, WriteRow)]
    told = " ".join(entry_text(row, bench.desk.recipes) for row in rows)
    return f"In your diary: {told}" if rows else ""


def _pain_notices(edits: Sequence[AnEdit], bench: Bench, today: date) -> Iterator[str]:
    """What to mind where edits wrote of pain."""
    from seasonplan.explain import care

    if not any(isinstance(edit, WriteRow) and edit.row.pain for edit in edits):
        return
    desk = bench.desk
    young = is_young(desk.year, today)
    yield from care.notice(desk.diary, today, injuries=desk.year.injuries, young=young)


def told_of_diary(edits: Sequence[AnEdit], bench: Bench, today: date) -> Iterator[tuple[str, bool]]:
    """What to say once edits went into the diary, and whether it is grave."""
    if told := _written(edits, bench):
        yield told, False
    if any(isinstance(edit, MarkMissed) for edit in edits):
        yield from ((spoken(text), False) for text in bench.desk.missed_lines(today))
    yield from ((text, True) for text in _pain_notices(edits, bench, today))
