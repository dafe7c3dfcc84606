"""The climber's tests: is this gain real, what holds me back, what would a gain be worth.

Reads the diary's rows of tests; touches no disk, plans nothing. Sentences: `verdicts`, `overall`.
"""

from seasonplan.testing.maximum import Maximum, maximum_kg
from seasonplan.testing.overall import held_text, together
from seasonplan.testing.protocols import Test, climbers_tests, usual_tests
from seasonplan.testing.series import Result, Series, series_of
from seasonplan.testing.study import GoalLimits, Held, Judged, Study, study_of
from seasonplan.testing.verdicts import sentences, verdict

__all__ = [
    "GoalLimits",
    "Held",
    "Judged",
    "Maximum",
    "Result",
    "Series",
    "Study",
    "Test",
    "climbers_tests",
    "held_text",
    "maximum_kg",
    "sentences",
    "series_of",
    "study_of",
    "together",
    "usual_tests",
    "verdict",
]  # fmt: skip
