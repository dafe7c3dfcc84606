"""Calendars made to hurt: each is refused or capped with a clear word, and none hangs."""

from __future__ import annotations

import io
from datetime import date
from time import sleep
from typing import Any

import pytest

from seasonplan.busy.calendar import BusyLimits, BusyReport, read_busy, read_capped
from seasonplan.busy.expand import expand
from seasonplan.busy.steps import Steps
from seasonplan.days import Span
from seasonplan.errors import BadInput

YEAR = Span(date(2026, 1, 1), date(2027, 1, 1))
STANDARD = BusyLimits()
GOOD = ["BEGIN:VEVENT", "UID:good", "DTSTART:20260604T080000", "DURATION:PT1H", "END:VEVENT"]


def read(*lines: str, limits: BusyLimits = STANDARD) -> BusyReport:
    text = "\r\n".join(["BEGIN:VCALENDAR", *lines, *GOOD, "END:VCALENDAR", ""])
    return read_busy(text.encode(), file="x.ics", span=YEAR, time_zone="UTC", limits=limits)


def bomb(*lines: str) -> list[str]:
    return ["BEGIN:VEVENT", "UID:bomb", "DTSTART:20260101T000000Z", "DURATION:PT1M", *lines,
            "END:VEVENT"]  # fmt: skip


# Each of these is known from the trackers of calendar libraries: finer than daily, INTERVAL 0
# (dateutil 1441), BY lists (node-ical 542), EXRULE (dateutil 1094), COUNT (Radicale 2188).
@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("RRULE:FREQ=SECONDLY", "it repeats SECONDLY"),
        ("RRULE:FREQ=minutely;COUNT=10", "it repeats MINUTELY"),
        ("RRULE:FREQ=HOURLY", "it repeats HOURLY"),
        ("RRULE:INTERVAL=1", "it repeats nothing"),
        ("RRULE:FREQ=DAILY;INTERVAL=0", "its INTERVAL is 0"),
        ("RRULE:FREQ=DAILY;INTERVAL=-1", "its INTERVAL is -1"),
        ("RRULE:FREQ=DAILY;INTERVAL=1e9", "its INTERVAL is '1E9'"),
        ("RRULE:FREQ=DAILY;COUNT=5001", "its COUNT is 5,001"),
        ("RRULE:FREQ=DAILY;COUNT=" + "9" * 5000, "its COUNT is '9999"),
        ("RRULE:FREQ=DAILY;FREQ=SECONDLY", "its RRULE is not readable"),
        ("RRULE:nonsense", "its RRULE is not readable"),
        ("RRULE:FREQ=DAILY;UNTIL=tomorrow", "its UNTIL is"),
        ("RRULE:FREQ=YEARLY;BYYEARDAY=" + ",".join(["1"] * 1001), "1,001 combinations"),
        ("RRULE:FREQ=DAILY;BYHOUR=0,6,12,18;BYMINUTE=" + ",".join(map(str, range(13))), "52 times"),
        ("EXRULE:FREQ=DAILY", "it has an EXRULE"),
        ("RDATE:" + ",".join(["20260604T080000Z"] * 5001), "it lists 5,001 dates"),
        ("EXDATE:" + "20260604T080000Z," * 6000, "bytes long"),
    ],
)
def test_a_bomb_is_skipped_and_named_and_the_rest_is_read(line: str, reason: str) -> None:
    report = read(*bomb(line))
    assert [(s.uid, s.line) for s in report.skipped] == [("bomb", 2)]
    assert reason in report.skipped[0].reason
    assert [s.start.month for s in report.spans] == [6]


def test_many_rules_on_one_event_are_refused() -> None:
    assert "5 RRULEs" in read(*bomb(*["RRULE:FREQ=DAILY"] * 5)).skipped[0].reason


def test_an_event_that_happens_too_often_is_skipped() -> None:
    few = BusyLimits(instances_per_event=100)
    report = read(*bomb("RRULE:FREQ=DAILY"), limits=few)
    assert "times in these days" in report.skipped[0].reason


IMPOSSIBLE = "RRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"


def test_a_rule_that_never_comes_true_costs_one_event_only() -> None:
    report = read(*bomb(IMPOSSIBLE))
    assert [s.uid for s in report.skipped] == ["bomb"]
    assert "takes more than 1,000,000 steps" in report.skipped[0].reason
    assert report.spans[-1].start.month == 6


def test_too_much_work_refuses_the_file_with_the_line_it_was_at() -> None:
    few = BusyLimits(steps=3_000_000)
    with pytest.raises(BadInput, match="more than 3,000,000 steps") as refused:
        read(*(line for _ in range(40) for line in bomb(IMPOSSIBLE)), limits=few)
    # the fourth is too much: three were given up after a million each; five lines an event
    assert refused.value.faults[0].line == 2 + 2 * len(bomb(IMPOSSIBLE))


def test_how_much_work_a_file_may_be_is_counted_alike_on_a_slow_machine(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each look at a rule takes a thousandth of a second more; the answer is the same."""
    lines = bomb("RRULE:FREQ=WEEKLY;BYDAY=TU") + bomb("RRULE:FREQ=MONTHLY;BYMONTHDAY=31")
    text = "\r\n".join(["BEGIN:VCALENDAR", *lines, *GOOD, "END:VCALENDAR", ""]).encode()
    limits = BusyLimits(steps_per_event=1_500, instances_per_event=100)

    def found() -> Any:
        return expand(text, span=YEAR, time_zone="UTC", limits=limits)

    usual, take = found(), Steps.take

    def slowly(self: Steps, steps: int) -> None:
        sleep(0.001)
        take(self, steps)

    monkeypatch.setattr(Steps, "take", slowly)
    assert found() == usual
    assert usual.taken and not hasattr(limits, "event_seconds")


def test_usual_series_are_far_from_the_limit_of_steps() -> None:
    old = ["BEGIN:VEVENT", "UID:old", "DTSTART:19000101T080000Z", "DURATION:PT1H"]
    for rule in ("DAILY", "WEEKLY", "MONTHLY", "YEARLY"):
        report = read(*old, f"RRULE:FREQ={rule}", "END:VEVENT")
        assert report.skipped == () and report.read == 2


def test_what_hangs_all_the_same_is_ended_with_the_line_it_was_at() -> None:
    endless = BusyLimits(steps_per_event=10**12, steps=10**12, seconds=3)
    with pytest.raises(BadInput, match="takes longer than") as refused:
        read(*(line for _ in range(40) for line in bomb(IMPOSSIBLE)), limits=endless)
    assert refused.value.faults[0].line is not None


def test_a_hundred_megabytes_are_never_read() -> None:
    stream = Endless(100_000_000)
    with pytest.raises(BadInput, match=r"more than 10,000,000 bytes; wanted at most 10 MB"):
        read_capped(stream, file="big.ics")
    assert stream.given <= 10_000_001


def test_too_many_bytes_are_refused_before_anything_looks_at_them() -> None:
    with pytest.raises(BadInput, match="bytes"):
        read_busy(b"x" * 11, file="x", span=YEAR, time_zone="UTC", limits=BusyLimits(file_bytes=10))


def test_a_stream_within_the_limit_is_read_whole() -> None:
    assert read_capped(io.BytesIO(b"x" * 200_000), file="x") == b"x" * 200_000


class Endless(io.RawIOBase):
    """A stream of that many bytes, made as they are asked for."""

    def __init__(self, size: int) -> None:
        self.left, self.given = size, 0

    def read(self, size: int = -1, /) -> bytes:
        count = self.left if size < 0 else min(size, self.left)
        self.left -= count
        self.given += count
        return b"x" * count


def test_too_many_events_are_refused() -> None:
    with pytest.raises(BadInput, match="more than 3 events; wanted at most 3"):
        read(*GOOD * 3, limits=BusyLimits(events=3))


def test_too_many_busy_times_are_refused() -> None:
    with pytest.raises(BadInput, match="more than 20 busy times"):
        read(*bomb("RRULE:FREQ=DAILY"), limits=BusyLimits(instances=20))


def test_nesting_is_refused_where_it_gets_too_deep() -> None:
    with pytest.raises(BadInput, match="nested 5 deep") as refused:
        read(*["BEGIN:VEVENT", "BEGIN:VALARM", "BEGIN:X", "BEGIN:X"] * 5000)
    assert refused.value.faults[0].line == 5


def test_a_long_event_is_skipped() -> None:
    report = read(*bomb(*["EXDATE:20260604T080000Z"] * 3000))
    assert "more than 2,000 lines" in report.skipped[0].reason


def test_an_endless_title_is_no_trouble() -> None:
    report = read(*bomb("SUMMARY:" + "a" * 3_000_000, "ATTACH:file:///etc/passwd"))
    assert report.skipped == ()


def test_a_process_out_of_memory_is_a_refusal_not_a_crash() -> None:
    with pytest.raises(BadInput, match="memory"):
        read(*bomb("SUMMARY:" + "a" * 1000), limits=BusyLimits(memory_bytes=1_000_000))


def test_remarks_are_counted_not_poured_out() -> None:
    lines = ["BEGIN:VEVENT", "UID:a", "END:VEVENT"]
    report = read(*lines * 30, limits=BusyLimits(remarks=5))
    assert len(report.skipped) == 6
    assert report.skipped[-1].reason == "and 25 more like these"
