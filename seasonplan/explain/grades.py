"""A grade beside what the same is called elsewhere, by the table of `shared/grades.toml`."""

from __future__ import annotations

from seasonplan.rules.tables import table
from seasonplan.vocabulary import Discipline
from seasonplan.year.grade import scale_of

BOULDER = ("Font", "V")
ROPE = ("French", "YDS", "UIAA", "Ewbank")


def elsewhere(grade: str, discipline: Discipline) -> tuple[str, ...]:
    """The grade in the other scales of its family, as far as the table has it; ice has none."""
    scale = scale_of(grade, discipline)
    family = next((one for one in (BOULDER, ROPE) if scale in one), ())
    found = (same_grade(grade, scale=scale, wanted=wanted) for wanted in family if wanted != scale)
    return tuple(one for one in found if one is not None)


def grade_text(grade: str, discipline: Discipline) -> str:
    """Such as "7b+ (5.12c, IX-, 26)"."""
    others = elsewhere(grade, discipline)
    return f"{grade} ({', '.join(others)})" if others else grade


def same_grade(grade: str, *, scale: str, wanted: str) -> str | None:
    """`grade` of one scale in another, by the table of `shared/grades.toml`, or None.

    Rope scales: French, YDS, UIAA, Ewbank. Boulder scales: Font, V.
    Source: see the head of that file; most rows are from memory.
    """
    raw = table("grades")
    for rows in (raw["rope"], raw["boulder"]):
        for row in rows:
            if row.get(scale.lower()) == grade:
                found = row.get(wanted.lower())
                return None if found is None else str(found)
    return None
