"""Where things lie in the checkout."""

from __future__ import annotations

from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
ROOT = TESTS.parent
