"""What a rule asks is said once on a slip, however often it is broken there."""

from __future__ import annotations

from datetime import timedelta

from autumn import year_of

from seasonplan.days import Span
from seasonplan.explain.breaks import in_turn
from seasonplan.explain.slip import block_slip
from seasonplan.plan import Block
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind

YEAR = year_of("twelve-weeks")
BOOK, FIRST = book_of(YEAR), YEAR.span.first
ASKS = BOOK["base-length"].statement


def too_long(days: int) -> Finding:
    span = Span(FIRST, FIRST + timedelta(days))
    return Finding(code="base-length", strength="hard", span=span, found=days / 7, limit=8)


def test_of_a_rule_that_is_broken_twice_what_it_asks_is_told_once() -> None:
    first, second = in_turn([too_long(63), too_long(70)], book=BOOK)
    assert first.endswith(f"2026: found 9 weeks. {ASKS}")
    assert second.endswith("2026: found 10 weeks, against “A base block lasts 3 to 8 weeks”, too.")


def test_a_rule_that_is_broken_by_no_figure_is_told_as_not_kept() -> None:
    """Seen: "! 19 Sep to 19 Oct: Every day of a performance block has rock in condition"."""
    found = Finding(code="rock-only", strength="hard", span=too_long(7).span)
    (text,) = in_turn([found], book=BOOK)
    assert f": not kept. {BOOK['rock-only'].statement}" in text


def test_a_slip_that_tells_a_length_as_broken_does_not_tell_its_rule_again() -> None:
    block = Block(id="base-1", kind=Kind.BASE, span=too_long(63).span, weeks=())

    def why(*broken: str) -> str:
        return " ".join(
            block_slip(
                block, YEAR, blocks=[block], sessions=(), ratings={}, book=BOOK, number="",
                broken=broken,
            ).why
        )  # fmt: skip

    assert ASKS in why() and ASKS in why("rest-day")
    assert ASKS not in why("base-length")
