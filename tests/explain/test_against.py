"""What a change of sessions goes against is told once, with the sessions and why."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest
from plan_maker import a_year, day, span

from seasonplan.explain.against import since_lines
from seasonplan.plan import Session
from seasonplan.recipes import standard_recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of

HANGS, ROUTES = (
    Session(
        id=name, block="base-1", recipe=recipe, day=day(n), start=time(18), minutes=45, rpe=6.0
    )
    for n, (name, recipe) in enumerate((("a", "fingerboard-long"), ("b", "route-volume")))
)  # fmt: skip


def finding(code: str, **more: Any) -> Finding:
    return Finding(code=code, strength="soft", span=span(0, 2), sessions=("a", "b"), **more)


def told(now: Finding, *before: Finding) -> list[str]:
    year = a_year()
    return list(
        since_lines(
            before, [*before, now], (HANGS, ROUTES), book=book_of(year),
            recipes=standard_recipes(),
        )
    )  # fmt: skip


@pytest.mark.parametrize(
    ("found", "why"),
    [
        (finding("session-spacing", about="whole_body", found=0, limit=1),
         "“Days between hard uses of one tissue” (whole body: no whole day between, 1 wanted)."),
        (finding("session-order", about="order", found=2, limit=1), "“Fresh work first”."),
        (finding("session-rest-day", about="days", found=7, limit=6),
         "“A day without any session each week” (7 days)."),
        (finding("session-hangs", about="hangs twice a day", found=2, limit=1),
         "“Hangs once a day, and a day in seven without” (hangs twice a day)."),
    ],
)  # fmt: skip
def test_a_hard_rule_is_told_though_the_checker_calls_it_a_wish(found: Finding, why: str) -> None:
    names = "“Hangs, few and long” and “Routes on the wall”"
    assert told(found) == [f"{names}, Mon 4 Jan 2027 to Tue 5 Jan 2027: against {why}"]


def test_what_was_so_before_is_a_preference_or_only_less_is_not_told() -> None:
    spacing = finding("session-spacing", about="fingers", found=0, limit=1)
    assert told(spacing, spacing) == []
    assert told(finding("session-dose", about="load", found=80, limit=85)) == []
    soft = next(one.code for one in book_of(a_year()) if one.about == "sessions" and not one.hard)
    assert told(finding(soft)) == []
