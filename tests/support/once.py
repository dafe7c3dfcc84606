"""Work that many tests would do again on the very same things, done once in each process of tests.

For functions of what they are given alone. The key is all of that, byte for byte, so whatever
changes (a text, a day, a rule of the year) is worked out anew; nothing outlives the process.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from functools import wraps
from typing import Any

HEARING = {"on_progress", "stop"}  # who listens, and who may stop it, changes no answer


def once(work: Callable[..., Any]) -> Callable[..., Any]:
    """The same function, which keeps its answers; one that was stopped is none."""
    kept: dict[bytes, Any] = {}

    @wraps(work)
    def known(*given: Any, **more: Any) -> Any:
        asked = {name: one for name, one in more.items() if name not in HEARING}
        key = pickle.dumps((given, asked))
        if key in kept:
            return kept[key]
        answer = work(*given, **more)
        stop = more.get("stop")
        if stop is None or not stop.is_set():
            kept[key] = answer
        return answer

    return known
