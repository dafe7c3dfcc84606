"""From weather records to the chance of a good day: read, judge, smooth, look ahead.

Touches no disk, network or clock. Knows neither planner nor checker nor calendar.
"""

from seasonplan.conditions.climate import Climate, day_of_year, fit, weekly
from seasonplan.conditions.doubts import Doubt, Doubtful, doubts
from seasonplan.conditions.good import verdicts, wall_of
from seasonplan.conditions.hours import Reading
from seasonplan.conditions.near import Near, NearDay, joined, marked_days, narrowed
from seasonplan.conditions.records import DayRecord, Oddities, Record, read_record
from seasonplan.conditions.score import OutOfSample, out_of_sample
from seasonplan.conditions.study import PlaceStudy, place_records, study
from seasonplan.conditions.sun import Wall, WallHours, daylight, sun_spells, wall_hours
from seasonplan.conditions.takeover import (
    Origin,
    forecast_edit,
    is_from_records,
    is_outdated,
    provenance,
    season_edit,
)
from seasonplan.conditions.windows import WindowOutlook, best_windows, outlook_on, stretch_spread

__all__ = [
    "Climate", "DayRecord", "Doubt", "Doubtful", "Near", "NearDay", "Oddities", "Origin",
    "OutOfSample", "PlaceStudy", "Reading", "Record", "Wall", "WallHours", "WindowOutlook",
    "best_windows", "day_of_year", "daylight", "doubts", "fit", "forecast_edit", "is_from_records",
    "is_outdated", "joined", "marked_days", "narrowed", "out_of_sample", "outlook_on",
    "place_records", "provenance", "read_record", "season_edit", "stretch_spread", "study",
    "sun_spells", "verdicts", "wall_hours", "wall_of", "weekly",
]  # fmt: skip
