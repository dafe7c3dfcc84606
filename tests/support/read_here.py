"""Busy calendars read by the code of the worker, in the process of the test.

That a process of its own reads them is a claim of `test_busy_hostile` and of every face.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from seasonplan.busy import calendar, worker
from seasonplan.busy.limits import BusyLimits
from seasonplan.days import Span


def _answered(
    content: bytes, file: str, span: Span, time_zone: str, limits: BusyLimits
) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(
        json.dumps(worker._answer(content, span, time_zone, limits))
    )
    return answer


@pytest.fixture(autouse=True)
def read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calendar, "_asked", _answered)
