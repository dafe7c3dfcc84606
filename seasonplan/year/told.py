"""What a model has found wrong, in our words: no sentence of a library reaches the climber.

Knows the kinds of error of pydantic; knows no file and no field by name.
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from seasonplan.year.refusal import NOTHING, shown

# What pydantic's kinds of error want; limits come from its context.
_WANTED = {
    "string_type": "text in quotes", "string_too_short": "at least {min_length} letter",
    "string_too_long": "at most {max_length} letters",
    "string_pattern_mismatch": "lower case letters, digits and hyphens",
    "int_type": "a whole number", "int_parsing": "a whole number",
    "int_from_float": "a whole number", "int_parsing_size": "a smaller number",
    "float_type": "a number", "float_parsing": "a number",
    "finite_number": "a number that is not infinite",
    "bool_type": "`true` or `false`", "bool_parsing": "`true` or `false`",
    "date_type": "a day", "date_parsing": "a day", "date_from_datetime_parsing": "a day",
    "date_from_datetime_inexact": "a day without a time",
    "time_type": "a time of day", "time_parsing": "a time of day",
    "greater_than_equal": "{ge:g} or more", "less_than_equal": "{le:g} or less",
    "greater_than": "more than {gt:g}", "less_than": "less than {lt:g}",
    "tuple_type": "a list in [ ]", "list_type": "a list in [ ]",
    "too_short": "at least {min_length}", "too_long": "at most {max_length}",
    "dict_type": "a table of names, each with a value", "model_type": "a table",
    "enum": "{expected}", "literal_error": "{expected}", "missing": "a value",
    "extra_forbidden": "nothing of that name",
}  # fmt: skip
_DO = {"day": "Write it as 2026-09-20.", "time of day": "Write it as 18:30."}
_CHOICES = re.compile(r"\^\((.*)\)\$")


class ToldFault(NamedTuple):
    """A fault without its place."""

    found: str
    wanted: str
    do: str


def told(error: Any) -> ToldFault:
    """One of a ValidationError's errors as found, wanted and do."""
    context = error.get("ctx", {})
    if error["type"] == "refused":
        return ToldFault(context["found"], context["wanted"], context["do"])
    asked = wanted(error)
    if error["type"] == "missing":
        return ToldFault(NOTHING, asked, "Fill it in.")
    do = next((do for what, do in _DO.items() if asked.startswith(f"a {what}")), "Correct it.")
    return ToldFault(shown(error.get("input")), asked, do)


def wanted(error: Any) -> str:
    """What is wanted in place of what is wrong."""
    kind, context = error["type"], error.get("ctx", {})
    if kind == "string_pattern_mismatch" and (choices := _CHOICES.fullmatch(context["pattern"])):
        return choices[1].replace("|", ", ")
    text = _WANTED.get(kind, "something else").format(**context)
    return text.replace("'", "") if kind in ("enum", "literal_error") else text
