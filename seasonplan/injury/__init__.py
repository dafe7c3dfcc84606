"""What is usual in coming back from an injury: the pulley table, what each phase allows, illness.

Owns no dates of its own but those of the cited table in `shared/injuries.toml`; the climber's and
the clinician's come before them. Must not know plans, blocks or the diary, and diagnoses nothing.
"""

from seasonplan.injury.entry import (
    STEPS,
    Dates,
    Hurt,
    changed,
    graded,
    healed,
    illness_of,
    injury_of,
    new_values,
    refuse_to_come,
    unnamed,
    values_of,
    waits,
    whose_days,
)
from seasonplan.injury.phases import (
    Allowed,
    Back,
    Hurts,
    PainWatch,
    allowed,
    back_table,
    barred,
    fill_share,
    finger_recipes,
    first_days,
    just_happened,
    max_fingers,
    most_rock_days,
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
from seasonplan.injury.ramp import RampStep, ramp, ramp_label, ramp_steps
from seasonplan.injury.told import (
    Caution,
    before_table_text,
    full_texts,
    in_force_within,
    named_by_text,
    part_name,
)
from seasonplan.injury.young import is_young, young_years

__all__ = [
    "STEPS", "Allowed", "Back", "Caution", "Dates", "Grade", "Hurt", "Hurts", "PainWatch", "Pulley",
    "RampStep", "Suggestion", "allowed", "back_table", "barred", "before_table_text", "between",
    "changed", "cited", "fill_share", "finger_recipes", "first_days", "full_texts", "graded",
    "healed", "illness_of", "in_force_within", "injury_of", "is_young", "just_happened",
    "max_fingers", "most_rock_days", "most_stress", "named_by_text", "new_values", "pain_watch",
    "part_name", "profile", "profile_name", "pulley", "ramp", "ramp_label", "ramp_steps",
    "refuse_to_come", "region", "suggestion", "unnamed", "values_of", "waits", "whose_days",
    "words", "young_years",
]  # fmt: skip
