"""What is usual in coming back from an injury: the pulley table, what each phase allows, illness.

Owns no dates of its own but those of the cited table in `shared/injuries.toml`; the climber's and
the clinician's come before them. Must not know plans, blocks or the diary, and diagnoses nothing.
"""

from seasonplan.injury.entry import (
    Dates,
    Hurt,
    changed,
    graded,
    illness_of,
    injury_of,
    refuse_to_come,
    values_of,
    waits,
)
from seasonplan.injury.phases import (
    Allowed,
    PainWatch,
    allowed,
    allowed_qualities,
    max_fingers,
    most_stress,
    pain_watch,
    profile,
    profile_name,
    region,
    words,
)
from seasonplan.injury.pulley import (
    Grade,
    Pulley,
    Suggestion,
    between,
    cited,
    pulley,
    suggestion,
)

__all__ = [
    "Allowed", "Dates", "Grade", "Hurt", "PainWatch", "Pulley", "Suggestion", "allowed",
    "allowed_qualities", "between", "changed", "cited", "graded", "illness_of", "injury_of",
    "max_fingers", "most_stress", "pain_watch", "profile", "profile_name", "pulley",
    "refuse_to_come", "region", "suggestion", "values_of", "waits", "words",
]  # fmt: skip
