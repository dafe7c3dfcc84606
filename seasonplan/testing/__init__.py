"""The climber's tests: is this gain real, what holds me back, what would a gain be worth.

Reads the diary's rows of tests; touches no disk, plans nothing. Sentences: `verdicts`, `overall`.
"""

from seasonplan.testing.in_sessions import best_of, in_sessions, last_text
from seasonplan.testing.maximum import Maximum, maximum_kg
from seasonplan.testing.overall import held_text, together
from seasonplan.testing.protocols import Test, climbers_tests, usual_tests
from seasonplan.testing.ratings import Rated, ratings_by_tests
from seasonplan.testing.series import Result, Series, series_of
from seasonplan.testing.study import GoalLimits, Judged, NotJudged, Study, study_of
from seasonplan.testing.verdicts import sentences, verdict

__all__ = [
    "GoalLimits",
    "Judged",
    "Maximum",
    "NotJudged",
    "Rated",
    "Result",
    "Series",
    "Study",
    "Test",
    "best_of",
    "climbers_tests",
    "held_text",
    "in_sessions",
    "last_text",
    "maximum_kg",
    "ratings_by_tests",
    "sentences",
    "series_of",
    "study_of",
    "together",
    "usual_tests",
    "verdict",
]  # fmt: skip
