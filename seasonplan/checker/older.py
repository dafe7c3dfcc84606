"""What may be asked of a plan that an older version made: all but what it counted otherwise.

It knew no aims, added weeks up in another way and had other recipes. Days, hours, what was entered
and what was fixed mean now what they meant then.
"""

from __future__ import annotations

from seasonplan.rules.findings import SUMS, Finding

# Rules on what a week comes to, and findings on how a session is not what its recipe says today.
COUNTED = {"session-dose", "lead-in-volume", "load-step", "missed-weeks"}
COUNTED_IN_PART = {
    ("build-back", "volume"),
    *(("session-needs", about) for about in ("minutes", "effort", "what counts of its minutes")),
    ("session-needs", "hangs"),
    ("session-progression", "light week"),
}
STANDING = ("a session twice", "the id of a block twice", "an id of another kind")


def asked_of_older(finding: Finding) -> bool:
    """Whether a finding says something of a plan whose weeks were counted otherwise."""
    if finding.code == SUMS:
        return finding.about in STANDING
    return finding.code not in COUNTED and (finding.code, finding.about) not in COUNTED_IN_PART
