"""What a finding counts, where a rule asks two things at once."""

from __future__ import annotations

from plan_maker import span

from seasonplan.explain.amounts import amount_text
from seasonplan.explain.notes import bent_rules
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import standard_book

BOOK = standard_book()


def bent(code: str, first: int, days: int, found: float | None = None) -> Finding:
    return Finding(code=code, strength="soft", span=span(first, days), found=found, limit=21.0)


def test_power_endurance_that_lasts_too_long_says_so_and_not_how_near_the_rock_is() -> None:
    """Twelve days were told, which are within the 21 of its title."""
    code = "power-endurance-late"
    assert amount_text(bent(code, 0, 49, 12.0), BOOK[code]) == "7 weeks long, 5 weeks at most"
    assert amount_text(bent(code, 0, 28, 30.0), BOOK[code]) == "30 days"
    (line,) = bent_rules([bent(code, 0, 49, 12.0)], book=BOOK)
    assert line.endswith(" is not met once: Mon 4 Jan 2027 to Sun 21 Feb 2027 (7 weeks long, 5 "
                         "weeks at most).")  # fmt: skip


def test_a_rule_that_is_not_met_twice_says_where_both_times() -> None:
    found = [bent("base-first", 0, 7), bent("base-first", 14, 7)]
    (line,) = bent_rules(found, book=BOOK)
    assert line.endswith(
        "2 times: Mon 4 Jan 2027 to Sun 10 Jan 2027 and Mon 18 Jan 2027 to Sun 24 Jan 2027."
    )
