"""The text of a new year file, under the name the commands know it by."""

from seasonplan.year.fresh import USUAL_MINUTES, Answers, next_monday, usual_zone, year_text

__all__ = ["USUAL_MINUTES", "Answers", "next_monday", "usual_zone", "year_text"]
