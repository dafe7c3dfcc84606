"""What a person is told of the busy calendars that were read. Never what an event is called."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.busy.limits import Remark
from seasonplan.busy.words import BusyReport
from seasonplan.days import count_text

FREE = "it is marked free"  # as it should be: nobody needs to be told


def busy_text(file: str, report: BusyReport, *, tentative_is_free: bool = False) -> list[str]:
    """What was left out of a calendar or read with doubt, each reason once."""
    out = [_told(file, "left out", reason, many) for reason, many in _by_reason(report.skipped)]
    out += [_told(file, "read so", reason, many) for reason, many in _by_reason(report.notes)]
    tentative = sum(span.tentative for span in report.spans)
    if tentative:
        times, counted = count_text(tentative, "time"), "free" if tentative_is_free else "taken"
        out.append(f"{file}: {times} only marked as tentative; counted as {counted}.")
    return out


def _by_reason(remarks: tuple[Remark, ...]) -> Iterator[tuple[str, list[Remark]]]:
    reasons = dict.fromkeys(remark.reason for remark in remarks if remark.reason != FREE)
    for reason in reasons:
        yield reason, [remark for remark in remarks if remark.reason == reason]


def _told(file: str, how: str, reason: str, remarks: list[Remark]) -> str:
    line = remarks[0].line
    where = f", line {line}" if line else ""
    more = f" ({len(remarks)} in all)" if len(remarks) > 1 else ""
    return f"{file}{where}: {how}{more}: {reason}."
