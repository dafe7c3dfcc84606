"""The diary: what was done, missed, tested, weighed and felt, as text and as entries.

Texts in, entries and new texts out; the disk is the store's, sentences are `explain`'s.
"""

from seasonplan.diary.entry import COLUMNS, DiaryEntry, Did
from seasonplan.diary.followed import Followed, as_days_off, counted, followed, missed_ids
from seasonplan.diary.imported import Form, Imported, import_csv
from seasonplan.diary.pain import Sore, sore
from seasonplan.diary.read import parse
from seasonplan.diary.sessions import cells_of_session, unlogged
from seasonplan.diary.weeks import WeekDone, outcomes, silent_weeks, weekly
from seasonplan.diary.write import FILE, append, append_all

__all__ = [
    "COLUMNS", "FILE", "DiaryEntry", "Did", "Followed", "Form", "Imported", "Sore", "WeekDone",
    "append", "append_all", "as_days_off", "cells_of_session", "counted", "followed", "import_csv",
    "missed_ids", "outcomes", "parse", "silent_weeks", "sore", "unlogged", "weekly",
]  # fmt: skip
