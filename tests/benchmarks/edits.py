"""A thousand edits drawn at random: no event that shows the same may change a byte.

`python tests/benchmarks/edits.py [COUNT]`. The suite draws three dozen.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from calendar_edits import checked_edits
from test_calendar_manner import at_places


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    with tempfile.TemporaryDirectory() as folder:
        same, changed = checked_edits(at_places(Path(folder)), count=count, seed=1)
    sys.stdout.write(f"{count} edits: {same} events showed the same and kept every byte, ")
    sys.stdout.write(f"{changed} showed something else and rose by one.\n")


if __name__ == "__main__":
    main()
