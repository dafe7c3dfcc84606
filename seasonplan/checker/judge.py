"""All judges by the code of their rule, and the whole verdict on a plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from seasonplan.checker import body, lengths, loads, prices, rock, sequence
from seasonplan.checker.integrity import integrity
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.sums import judge_proof, judge_sums
from seasonplan.checker.verdict import Judge
from seasonplan.checker.worth import judge_claim
from seasonplan.plan import Block, Proof, Score, Session
from seasonplan.rules.findings import PIN, Finding
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

JUDGES: dict[str, Judge] = {
    "base-length": lengths.judge_length(Kind.BASE, unit_days=7),
    "strength-length": lengths.judge_length(Kind.STRENGTH, unit_days=7),
    "performance-length": lengths.judge_length(Kind.PERFORMANCE, unit_days=7),
    "rest-length": lengths.judge_length(Kind.REST, unit_days=1),
    "order": sequence.judge_order,
    "rest-before-strength": sequence.judge_rest_before_strength,
    "strength-before-trip": sequence.judge_strength_before_trip,
    "rest-every": sequence.judge_rest_every,
    "rest-after-performance": sequence.judge_rest_after_performance,
    "rock-only": rock.judge_rock_only,
    "lead-in-length": rock.judge_lead_in_length,
    "deload": body.judge_deload,
    "rest-day": body.judge_rest_day,
    "build-back": body.judge_build_back,
    "injury-caps": body.judge_injury_caps,
    "young-fingers": body.judge_young_fingers,
    "load-step": loads.judge_load_step,
    "missed-weeks": loads.judge_missed_weeks,
    "lead-in-start": prices.judge_soft(prices.lead_in_start),
    "few-changes": prices.judge_price_alone,
    "base-first": prices.judge_soft(prices.base_first),
    "work-before-lead-in": prices.judge_soft(prices.work_before_lead_in),
    "work-before-rest": prices.judge_soft(prices.work_before_rest),
    "short-rest": prices.judge_soft(prices.short_rest),
    "rest-before-rock": prices.judge_soft(prices.rest_before_rock),
    "rest-by-days-off": prices.judge_soft(prices.rest_by_days_off),
    "power-endurance-late": prices.judge_soft(prices.power_endurance_late),
    "weak-first": prices.judge_price_alone,
    "strength-late": prices.judge_price_alone,
}
# Rules on what follows what, asked when a block begins.
FOLLOWING = {"order", "rest-before-strength", "rest-after-performance"}

# Rules on what a week held, asked of weeks that have not begun; of the days to come in one that
# has, the rules on sessions ask.
ON_WEEKS = {"rest-day", "injury-caps", "missed-weeks"}


def check(
    year: Year,
    revision_blocks: Sequence[Block],
    *,
    sessions: Sequence[Session] | None = None,
    book: RuleBook | None = None,
    claimed: Score | None = None,
    proof: Proof | None = None,
    today: date | None = None,
    over: date | None = None,
    done: Mapping[date, float] | None = None,
) -> tuple[Finding, ...]:
    """Every finding on a plan, in order of its first day, then of its code.

    `book` is the climber's own where none is given; rules switched off are not judged. Without
    `sessions` nothing is said of how weeks add up. With
    `claimed` the worth is worked out again and compared. With `today` no rule asks what was done
    before it: what is over, or was cut short after it had begun, is not reported. What ended by
    `over` (`today` where nothing else is said) was worked out from the year as it was then: what
    hangs on that is not worked out again. `done` says of weeks that were missed in part to which
    share of their load they were done, by their first day.
    """
    over = over or today
    sheet = Sheet(year, revision_blocks, book=book or book_of(year), done=done)
    broken = (f for f in _broken_rules(sheet) if today is None or _still_asked(f, sheet, today))
    kept = (f for f in integrity(sheet) if today is None or f.code != PIN or f.span.after > today)
    found = [*kept, *broken]
    if sessions is not None:
        found += judge_sums(sheet, sessions, today=over)
    if claimed is not None:
        found += judge_claim(sheet, claimed, sessions or (), today=over)
    if claimed is not None and proof is not None:
        found += judge_proof(sheet, proof, claimed)
    return tuple(sorted(found, key=lambda finding: (finding.span.first, finding.code)))


def _broken_rules(sheet: Sheet) -> Iterator[Finding]:
    for rule in sheet.book:
        if rule.on and rule.about == "blocks":
            yield from JUDGES[rule.code](sheet, rule)


def _still_asked(finding: Finding, sheet: Sheet, today: date) -> bool:
    """Whether a rule still asks.

    Not of days that are over, nor of what a begun week holds as a whole, nor that a begun block
    was longer or followed something else.
    """
    begun_week = finding.code in ON_WEEKS and finding.span.first < today
    if finding.span.after <= today or begun_week:
        return False
    begun = {block.id for block in sheet.blocks if block.span.first < today}
    follows = finding.code in FOLLOWING or (finding.code, finding.about) == ("build-back", "kind")
    if follows and begun.issuperset(finding.blocks):
        return False
    cut_short = finding.code.endswith("-length") and _too_little(finding)
    return not (cut_short and begun & set(finding.blocks))


def _too_little(finding: Finding) -> bool:
    return finding.found is not None and finding.limit is not None and finding.found < finding.limit
