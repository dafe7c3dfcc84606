"""What is over stays as it was: refuses edits that would change days before today.

Facts may still be entered for any day, and what was done marked; those edits never ask here.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan.days import Span, day_text, span_text
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.vocabulary import Kind

Planned = Iterable[tuple[Span, Kind]]


def refuse_other_past(draft: Draft, block: str, *, was: Planned, now: Planned) -> None:
    """Refused where a day before today would be changed."""
    if draft.today is None:
        return
    was = tuple(was)
    if was:
        whole = Span(min(span.first for span, _ in was), max(span.after for span, _ in was))
        refuse_if_over(draft, block, whole)
    before, after = _over(was, draft.today), _over(now, draft.today)
    changed = sorted(
        day for day in before.keys() | after.keys() if before.get(day) is not after.get(day)
    )
    if changed:
        raise EditRefused(
            f"That would change {_days(changed)} of {block}, and what is over stays as it was.",
            f"From today on ({day_text(draft.today)}) it can change: its last day, "
            "or split it there.",
        )


def refuse_if_over(draft: Draft, block: str, span: Span) -> None:
    """Refused where all of a block is over."""
    if draft.today is not None and span.after <= draft.today:
        raise EditRefused(
            f"{block} was over on {day_text(span.last)}.",
            "What is over stays as it was, whatever is planned.",
        )


def refuse_pinned_past(before: Draft, after: Draft) -> None:
    """Refused where a fixed block was entered or changed to be on days that are over, on which the
    plan had another kind: no plan could keep it."""
    if before.today is None:
        return
    had = _over([(block.span, block.kind) for block in before.blocks], before.today)
    for pin in after.year.pins:
        wished = {} if pin in before.year.pins else _over([(pin.span, pin.kind)], before.today)
        other = sorted(day for day, kind in wished.items() if had.get(day, kind) is not kind)
        if other:
            raise EditRefused(
                f"“{pin.name}” would change {_days(other)}, and what is over stays as it was.",
                f"Days from today on ({day_text(before.today)}) work.",
            )


def refuse_day(draft: Draft, day: date, *, otherwise: str) -> None:
    """Refused where a day is over; `otherwise` is what can be done instead."""
    if draft.today is not None and day < draft.today:
        raise EditRefused(f"{day_text(day)} is over.", otherwise)


def _over(planned: Planned, today: date) -> dict[date, Kind]:
    return {day: kind for span, kind in planned for day in span.days() if day < today}


def _days(days: list[date]) -> str:
    return span_text(Span.through(days[0], days[-1]))
