"""Large libraries, loaded by the test that asks them: each worker imports every file of tests."""

from __future__ import annotations

from importlib import import_module
from typing import Any


class Late:
    """A module that is imported when something of it is first asked for."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, wanted: str) -> Any:
        return getattr(import_module(self._name), wanted)
