"""The command line: reads arguments, holds a desk, writes text. Owns no rule.

Light to import: whatever is heavy is loaded by the command that needs it.
"""

from __future__ import annotations

import sys
import traceback


def main() -> None:
    """The entry point `seasonplan`."""
    from seasonplan.cli.app import app
    from seasonplan.cli.exits import Exit

    try:
        app(prog_name="seasonplan")
    except Exception:
        traceback.print_exc()
        print("This is a mistake of ours. Please report it with the lines above.", file=sys.stderr)
        sys.exit(Exit.OUR_MISTAKE)
