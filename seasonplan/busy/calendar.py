"""Busy calendars in: the bytes of an .ics file to the time that is taken.

Owns the door: size, first look, and the worker process with its time limit. Titles and people
are never kept. Knows no disk, no network and nothing of years or plans.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import asdict
from datetime import datetime
from typing import Any, BinaryIO
from zoneinfo import ZoneInfo

from seasonplan.busy.limits import BusyLimits, Remark
from seasonplan.busy.words import BusyReport, BusySpan
from seasonplan.days import Span
from seasonplan.errors import BadInput, Fault

__all__ = ["BusyLimits", "BusyReport", "BusySpan", "Remark", "read_busy", "read_capped"]

_STANDARD = BusyLimits()
# how Python, the system and its loader say that there is no more memory
OUT_OF_MEMORY = (b"MemoryError", b"annot allocate memory", b"failed to map segment")


def read_capped(stream: BinaryIO, *, file: str, limits: BusyLimits = _STANDARD) -> bytes:
    """All bytes of `stream`; raises BadInput, without reading on, where there are too many."""
    content = bytearray()
    while len(content) <= limits.file_bytes:
        more = stream.read(min(65_536, limits.file_bytes + 1 - len(content)))
        if not more:
            return bytes(content)
        content += more
    raise _too_large(file, limits)


def read_busy(
    content: bytes, *, file: str, span: Span, time_zone: str, limits: BusyLimits = _STANDARD
) -> BusyReport:
    """When the calendar in `content` is busy within `span`, in `time_zone` (an IANA name).

    Times without a zone are the climber's. Events that cannot be read are skipped and named.
    Raises BadInput where the file as a whole is refused: too large, no calendar, too many
    events, nested too deep, or too much work.
    """
    if len(content) > limits.file_bytes:
        raise _too_large(file, limits)
    _looks_like_a_calendar(content, file)
    answer = _asked(content, file, span, time_zone, limits)
    if "refused" in answer:
        raise BadInput([Fault(file, "", **answer["refused"])])
    zone = ZoneInfo(time_zone)
    return BusyReport(
        spans=tuple(
            BusySpan(
                start=datetime.fromisoformat(start).astimezone(zone),
                end=datetime.fromisoformat(end).astimezone(zone),
                all_day=all_day,
                tentative=tentative,
            )
            for start, end, all_day, tentative in answer["spans"]
        ),
        read=answer["read"],
        skipped=tuple(Remark(**remark) for remark in answer["skipped"]),
        notes=tuple(Remark(**remark) for remark in answer["notes"]),
    )


def _too_large(file: str, limits: BusyLimits) -> BadInput:
    wanted = f"at most {limits.file_bytes / 1e6:g} MB"
    do = "Export fewer years, or only the calendar that matters."
    return BadInput([Fault(file, "", None, f"more than {limits.file_bytes:,} bytes", wanted, do)])


def _looks_like_a_calendar(content: bytes, file: str) -> None:
    head = content[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    if head[:15].upper() == b"BEGIN:VCALENDAR":
        return
    if not head:
        found = "an empty file"
    elif head[:2] in (b"\x1f\x8b", b"PK"):
        found = "a packed file"
    elif head[:1] == b"<":
        found = "a web page or XML"
    else:
        found = f"a file that begins {head[:20].decode('ascii', 'replace')!r}"
    wanted = "an .ics calendar, which begins BEGIN:VCALENDAR"
    do = "Export the calendar as .ics (iCalendar) and unpack it if it is packed."
    raise BadInput([Fault(file, "", 1, found, wanted, do)])


def _asked(
    content: bytes, file: str, span: Span, time_zone: str, limits: BusyLimits
) -> dict[str, Any]:
    """What the worker process answers."""
    request = {
        "first": span.first.isoformat(), "after": span.after.isoformat(),
        "time_zone": time_zone, "limits": asdict(limits),
    }  # fmt: skip
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-m", "seasonplan.busy.worker"],
            input=json.dumps(request).encode() + b"\n" + content,
            capture_output=True,
            timeout=limits.seconds,
            check=False,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        )
    except subprocess.TimeoutExpired as late:
        found = f"a calendar that takes longer than {limits.seconds:g} s to work out"
        raise _gave_up(file, found, late.stderr) from None
    if done.returncode != 0:
        full = done.returncode < 0 or any(sign in done.stderr for sign in OUT_OF_MEMORY)
        found = "a calendar that asks for more memory than it may" if full else "a broken calendar"
        raise _gave_up(file, found, done.stderr)
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def _gave_up(file: str, found: str, said: bytes | None) -> BadInput:
    """The fault, with the line of the event the worker was at when it stopped."""
    lines = [int(word) for word in (said or b"").split(b"\n") if word.isdigit()]
    do = "Remove the event on this line, or export fewer events."
    wanted = "events whose dates can be worked out"
    return BadInput([Fault(file, "", lines[-1] if lines else None, found, wanted, do)])
