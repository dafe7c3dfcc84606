"""Grades as text: which scale a grade is written in. `explain/grades` converts."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator

from seasonplan.vocabulary import Discipline
from seasonplan.year.refusal import refuse

_PATTERNS = {
    "YDS": r"5\.(?:[0-9]|1[0-5][a-d]?)[+-]?",
    "V": r"V(?:B|[0-9]|1[0-7])[+-]?",
    "French": r"[3-9]|[3-5]\+|[3-9][abc]\+?",
    "Font": r"[3-9]|[3-5]\+|[3-9][ABC]\+?",
    "UIAA": r"(?:XI{0,2}|IX|VI{0,3}|IV|I{1,3})[+-]?|(?:1[0-2]|[6-9])\+|(?:1[0-2]|[3-9])-",
    "British": r"(?:Mod|Diff|V ?Diff|Sev|X?S|[MD]|[MHV]S|[HV]D|HVD|[MH]VS|E(?:1[0-2]|[1-9]))"
    r"(?:(?: +|/)[1-7][abc])?",
    "Ewbank": r"[1-3]?[0-9]",
    "WI": r"WI\s?[1-7][+-]?",
    "M": r"M\s?(?:1[0-5]|[1-9])[+-]?",
    "D": r"D\s?(?:1[0-6]|[1-9])[+-]?",
}


def scales(grade: str) -> tuple[str, ...]:
    """The scales in which `grade` can be read, such as French sport, YDS, UIAA, British, Font, V.

    British is the adjectival grade of trad routes, if told with the technical one; its technical
    grade alone reads as French. UIAA is read in both numerals, plain Arabic ones (8) are not.
    WI is water ice, M mixed ground, D dry tooling.
    """
    text = grade.strip()
    return tuple(name for name, form in _PATTERNS.items() if text and re.fullmatch(form, text))


def scale_of(grade: str, discipline: Discipline) -> str:
    """The scale meant by a grade: bouldering reads Font or V first, rope French, YDS, UIAA.

    A boulder in small letters (7a) is a Font grade, too.
    """
    found = scales(grade)
    if discipline is Discipline.BOULDER and "Font" in scales(grade.upper()):
        return "Font"
    first = {Discipline.BOULDER: ("Font", "V"), Discipline.ICE: ("WI", "M", "D")}.get(
        discipline, ("French", "YDS", "UIAA")
    )
    return next((name for name in first if name in found), found[0])


def as_written(value: str) -> str:
    """A grade as guidebooks write it: e1 5b, v7 and ix- are meant as E1 5b, V7 and IX-."""
    word, *rest = re.split(r"(?=[ /])", value.strip(), maxsplit=1)
    in_capitals = "".join((word.upper(), *rest))
    return in_capitals if not scales(value) and scales(in_capitals) else value.strip()


def _grade(value: str) -> str:
    value = as_written(value)
    if not scales(value):
        raise refuse(
            found=repr(value),
            wanted="a grade such as 7b+ (French), 5.12c (YDS), IX- (UIAA), E1 5b (British trad), "
            "26 (Ewbank), 7A (Font), V7, WI4 (ice), M6 (mixed) or D7 (dry tooling)",
            do='Write the grade alone, such as `"7b+"`.',
        )
    return value


Grade = Annotated[str, AfterValidator(_grade)]
