"""The command line: reads arguments, holds a desk, writes text. Owns no rule.

Light to import: whatever is heavy is loaded by the command that needs it.
"""

from __future__ import annotations

import gc
import sys
import traceback

OBJECTS_A_LOOK = 100_000  # new ones before memory is searched for circles; Python's own is 700


def main() -> None:
    """The entry point `seasonplan`."""
    from seasonplan.cli.outlets import Outlets

    gc.set_threshold(OBJECTS_A_LOOK)  # a year has hardly any circle, and a command is short
    outlets = Outlets()
    sys.exit(outlets.close(_ran()))


def _ran() -> int:
    """Do what was asked for; the code of its end."""
    from seasonplan.cli.app import app
    from seasonplan.cli.exits import Exit
    from seasonplan.cli.outlets import NotTold

    try:
        app(prog_name="seasonplan")
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else Exit.FINE
    except NotTold:
        return Exit.CANNOT_WRITE
    except Exception:
        traceback.print_exc()
        print("This is a mistake of ours. Please report it with the lines above.", file=sys.stderr)
        return Exit.OUR_MISTAKE
    return Exit.FINE
