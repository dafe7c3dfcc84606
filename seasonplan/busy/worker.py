"""The process that reads a calendar nobody vouches for; `busy` kills it when time is up.

stdin: one line of JSON (span, time zone, limits), then the file. stdout: one JSON object,
`spans`, `read`, `skipped` and `notes`, or `refused`. stderr: the line of each event it starts on.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from datetime import date
from typing import Any

from seasonplan.busy.expand import expand
from seasonplan.busy.limits import BusyLimits, Remark
from seasonplan.busy.lines import FileRefused
from seasonplan.busy.merge import merged
from seasonplan.days import Span


def main() -> None:
    head, _, content = sys.stdin.buffer.read().partition(b"\n")
    request = json.loads(head)
    limits = BusyLimits(**request["limits"])
    _cap_memory(limits.memory_bytes)
    span = Span(date.fromisoformat(request["first"]), date.fromisoformat(request["after"]))
    sys.stdout.write(json.dumps(_answer(content, span, request["time_zone"], limits)))


def _answer(content: bytes, span: Span, time_zone: str, limits: BusyLimits) -> dict[str, Any]:
    try:
        found = expand(content, span=span, time_zone=time_zone, limits=limits, begins=_say_where)
    except FileRefused as no:
        return {"refused": {"line": no.line, "found": no.found, "wanted": no.wanted, "do": no.do}}
    return {
        "spans": [
            [t.start.isoformat(), t.end.isoformat(), t.all_day, t.tentative]
            for t in merged(found.taken)
        ],
        "read": found.read,
        "skipped": _few(found.skipped, limits),
        "notes": _few(found.notes, limits),
    }


def _few(remarks: list[Remark], limits: BusyLimits) -> list[dict[str, Any]]:
    """The remarks, and how many more there were."""
    kept = remarks[: limits.remarks]
    if len(remarks) > len(kept):
        kept.append(Remark(reason=f"and {len(remarks) - len(kept):,} more like these"))
    return [asdict(remark) for remark in kept]


def _say_where(line: int) -> None:
    sys.stderr.write(f"{line}\n")


def _cap_memory(limit_bytes: int) -> None:
    if sys.platform == "win32":
        return
    import resource

    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard == resource.RLIM_INFINITY or hard > limit_bytes:
        resource.setrlimit(resource.RLIMIT_AS, (limit_bytes, hard))


if __name__ == "__main__":
    main()
