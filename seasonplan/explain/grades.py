"""A grade beside what the same is called elsewhere, by the table of `shared/grades.toml`."""

from __future__ import annotations

import re

from seasonplan.rules.tables import table
from seasonplan.vocabulary import Discipline
from seasonplan.year.grade import scale_of

BOULDER = ("Font", "V")
ROPE = ("French", "YDS", "UIAA", "Ewbank")
ROMAN = ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")


def elsewhere(grade: str, discipline: Discipline) -> tuple[str, ...]:
    """The grade in the other scales of its family, as far as the table has it; ice has none."""
    scale = scale_of(grade, discipline)
    if scale == "British":
        return _british(grade)
    family = next((one for one in (BOULDER, ROPE) if scale in one), ())
    found = (same_grade(grade, scale=scale, wanted=wanted) for wanted in family if wanted != scale)
    return tuple(one for one in found if one is not None)


def grade_text(grade: str, discipline: Discipline) -> str:
    """Such as "7b+ (5.12c, IX-, 26)" or "E1 5b (loosely French 6a to 6a+)"."""
    others = elsewhere(grade, discipline)
    return f"{grade} ({', '.join(others)})" if others else grade


def _british(grade: str) -> tuple[str, ...]:
    """Between which French grades routes of an adjectival grade mostly are.

    The technical grade is that of the hardest move and says as much only beside the adjectival
    one, so it is not compared.
    """
    adjectival = re.split(r"[ /]", grade)[0]
    rows = (row for row in table("grades")["british"] if row["adjectival"] == adjectival)
    return tuple(f"loosely French {row['least']} to {row['most']}" for row in rows)


def _as_in_table(grade: str, scale: str) -> str:
    """The grade as the table writes it: UIAA in Roman numerals, Font in capitals."""
    number = re.fullmatch(r"(\d+)([+-])", grade)
    if scale == "UIAA" and number:
        return ROMAN[int(number[1])] + number[2]
    return grade.upper() if scale == "Font" else grade


def same_grade(grade: str, *, scale: str, wanted: str) -> str | None:
    """`grade` of one scale in another, by the table of `shared/grades.toml`, or None.

    Rope scales: French, YDS, UIAA, Ewbank. Boulder scales: Font, V.
    Source: see the head of that file; most rows are from memory.
    """
    raw = table("grades")
    for rows in (raw["rope"], raw["boulder"]):
        for row in rows:
            if row.get(scale.lower()) == _as_in_table(grade, scale):
                found = row.get(wanted.lower())
                return None if found is None else str(found)
    return None
