"""The numbers beside a usual test are those that its protocol says in words."""

from __future__ import annotations

import re
from typing import Any

import pytest

from seasonplan.rules.tables import table

WORDS = {"One": 1, "Three": 3}
WARM_UP_MINUTES = (15, 30)  # general and for the fingers; common practice, no source
TRIES = 3  # of a heaviest lift, where the protocol names none; common practice, no source
TESTS = {name: row for name, row in table("tests").items() if "protocol" in row}
TIMED = [name for name, row in TESTS.items() if "timer" in row]
KNOWN_LENGTH = [*TIMED, "heavy-pull-up", "uphill"]


def _number(pattern: str, protocol: str) -> int | None:
    found = re.search(pattern, protocol)
    return None if found is None else WORDS.get(found[1]) or int(found[1])


def _said(protocol: str) -> dict[str, int]:
    """Seconds of a hang and of the rest after it, how many; 0 where it goes on until it ends."""
    rest = _number(r"(\d+) s off", protocol) or 60 * (_number(r"(\d+) min between", protocol) or 0)
    until_one_fails = "until a hang fails" in protocol
    return {
        "hang_seconds": _number(r"(\d+) s\b(?! off)", protocol) or 0,
        "rest_seconds": rest,
        "rounds": 0
        if until_one_fails
        else _number(r"(One|Three|\d+) (?:full )?(?:try|tries|pulls)", protocol) or 0,
    }


def _work_minutes(row: dict[str, Any]) -> float:
    protocol, timer = row["protocol"], row.get("timer")
    if timer is None:
        longest = _number(r"to (\d+) min", protocol)
        return longest or TRIES * (_number(r"(\d+) min between", protocol) or 0)
    return timer["rounds"] * (timer["hang_seconds"] + timer["rest_seconds"]) / 60


@pytest.mark.parametrize("name", TIMED)
def test_the_timer_runs_as_the_protocol_says(name: str) -> None:
    assert TESTS[name]["timer"] == _said(TESTS[name]["protocol"])


@pytest.mark.parametrize("name", KNOWN_LENGTH)
def test_a_test_takes_its_warm_up_and_its_tries(name: str) -> None:
    least, most = WARM_UP_MINUTES
    row = TESTS[name]
    assert least + _work_minutes(row) <= row["minutes"] <= most + _work_minutes(row)
