"""Instances laid over each other: the time that is certainly taken, and what may be."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from itertools import chain

from seasonplan.busy.expand import Taken

Stretch = tuple[datetime, datetime]


def merged(taken: Iterable[Taken]) -> list[Taken]:
    """Disjoint and in order. Tentative time counts only where nothing certain lies."""
    taken = list(taken)
    firm = _union(t for t in taken if not t.tentative)
    maybe = _less(_union(t for t in taken if t.tentative), firm)
    days = {
        tentative: set(_union(t for t in taken if t.all_day and t.tentative is tentative))
        for tentative in (False, True)
    }
    spans = chain(((s, False) for s in firm), ((s, True) for s in maybe))
    return sorted(
        (Taken(*stretch, stretch in days[tentative], tentative) for stretch, tentative in spans),
        key=lambda one: one.start,
    )


def _union(taken: Iterable[Taken]) -> list[Stretch]:
    out: list[Stretch] = []
    for start, end in sorted((t.start, t.end) for t in taken):
        if out and start <= out[-1][1]:
            out[-1] = out[-1][0], max(out[-1][1], end)
        else:
            out.append((start, end))
    return out


def _less(stretches: list[Stretch], off: list[Stretch]) -> list[Stretch]:
    """What remains of `stretches` outside `off`; both disjoint and in order."""
    out, at = [], 0
    for start, end in stretches:
        while at < len(off) and off[at][1] <= start:
            at += 1
        following = at
        while following < len(off) and off[following][0] < end:
            if start < off[following][0]:
                out.append((start, off[following][0]))
            start = max(start, off[following][1])
            following += 1
        if start < end:
            out.append((start, end))
    return out
