"""What takes long is worked out by the first worker of a run that wants it, and read by the others.

Kept in the folder of the run alone: no run knows what another one found.
"""

from __future__ import annotations

import fcntl
import hashlib
import pickle
from collections.abc import Callable
from functools import cache, wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

P, Found = ParamSpec("P"), TypeVar("Found")
RUN: list[Path] = []  # the folder that the workers of this run share; none where there is but one


def together(work: Callable[P, Found]) -> Callable[P, Found]:
    """The same function of what it is given, which pickle must be able to keep, as its answer."""

    @cache
    @wraps(work)
    def known(*given: P.args, **more: P.kwargs) -> Found:
        if not RUN:
            return work(*given, **more)
        name = f"{work.__module__}.{work.__qualname__}"
        asked = hashlib.sha256(pickle.dumps((name, given, more))).hexdigest()
        kept = RUN[0] / f"{work.__name__}-{asked[:16]}.pickle"
        with kept.with_suffix(".lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not kept.exists():
                kept.write_bytes(pickle.dumps(work(*given, **more)))
        found: Found = pickle.loads(kept.read_bytes())  # our own, of this run
        return found

    return known
