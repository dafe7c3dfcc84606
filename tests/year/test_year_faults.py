"""One fault in a year.toml: told once, by file, key and line, in the climber's words."""

from __future__ import annotations

from datetime import date, time
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, Field, ValidationError
from test_year_file import GOAL, HEAD, SEASON, only

from seasonplan.vocabulary import Kind
from seasonplan.year.told import told

ONE = {
    "unknown section": (HEAD + '[[seasson]]\nname = "x"\n', "seasson", 9, "season"),
    "unknown key": (HEAD + GOAL + "prioritty = 1\n", "goal.1.prioritty", 14, "priority"),
    "unknown key of a rule": (
        HEAD + "[rules.order]\nwieght = 1\n",
        "rules.order.wieght",
        10,
        "weight",
    ),
    "unknown weekday": (HEAD + "tusday = 3\n", "climber.minutes.tusday", 9, "tuesday"),
    "unknown quality": (
        HEAD + GOAL + "demands = { luck = 3 }\n",
        "goal.1.demands.luck",
        14,
        "power",
    ),
    "an emphasis that its kind has not": (
        HEAD + '[[pin]]\nname = "x"\nkind = "strength"\nfirst = 2026-03-02\n'
        'last = 2026-03-29\nemphasis = "endurance"\n',
        "pin.1.emphasis",
        14,
        "fingers, power",
    ),
    "an emphasis of a rest": (
        HEAD + '[[pin]]\nname = "x"\nkind = "rest"\nfirst = 2026-03-02\n'
        'last = 2026-03-08\nemphasis = "fingers"\n',
        "pin.1.emphasis",
        14,
        "a rest block trains nothing most",
    ),
    "text for a number": (HEAD + GOAL + 'priority = "1"\n', "goal.1.priority", 14, "whole number"),
    "true for a number": (HEAD + GOAL + "priority = true\n", "goal.1.priority", 14, "found true"),
    "a number for text": (HEAD + GOAL.replace('"Roof"', "3"), "goal.1.name", 10, "text in quotes"),
    "text for a list": (HEAD + GOAL + 'served_by = "x"\n', "goal.1.served_by", 14, "a list"),
    "text for yes or no": (
        HEAD + '[rules.order]\non = "no"\n',
        "rules.order.on",
        10,
        "`true` or `false`",
    ),
    "a number for a table": (
        "year = 3\n" + HEAD.replace("[year]\nfirst = 2026-01-05\nweeks = 52\n", ""),
        "year",
        1,
        "[year]",
    ),
    "a table for a list of tables": (
        HEAD + GOAL.replace("[[goal]]", "[goal]"),
        "goal",
        9,
        "[[goal]]",
    ),
    "a number among tables": ("goal = [3]\n" + HEAD, "goal.1", 1, "a table"),
    "tables of one name, each with one pair of brackets": (
        HEAD + 2 * GOAL.replace("[[goal]]", "[goal]"),
        "goal",
        14,
        "[[goal]]",
    ),
    "a day of every year written with dots": (
        HEAD + SEASON.replace('"09-20"', '"20.09."') + "chance = 0.4\n",
        "season.1.first",
        13,
        "of every year",
    ),
    "a share in percent": (
        HEAD + '[[absence]]\nname = "x"\nfirst = 2026-02-02\nlast = 2026-02-08\nleft = 30\n',
        "absence.1.left",
        13,
        "0.3 is three tenths",
    ),
    "a priority in words": (
        HEAD + GOAL + 'priority = "high"\n',
        "goal.1.priority",
        14,
        "1 (matters most)",
    ),
    "one load for all weeks": (
        HEAD + "[before]\nweekly_load = 1400\n",
        "before.weekly_load",
        10,
        "one number for each week",
    ),
    "unknown served_by": (
        HEAD + GOAL + 'served_by = ["x"]\n',
        "goal.1.served_by",
        14,
        "there is none yet",
    ),
    "no such day": (
        HEAD.replace("2026-01-05", '"2026-02-30"'),
        "year.first",
        3,
        "February has 28 days in 2026.",
    ),
    "a time for a day": (
        HEAD.replace("2026-01-05", "2026-01-05T10:00:00"),
        "year.first",
        3,
        "2026-01-05T10:00:00",
    ),
    "a day far off": (HEAD.replace("2026", "9999"), "year.first", 3, "1900 to 2199"),
    "a day long ago": (HEAD.replace("2026", "0001"), "year.first", 3, "1900 to 2199"),
    "no such month day": (
        HEAD + SEASON.replace("09-20", "02-30") + "chance = 1\n",
        "season.1.first",
        13,
        "month and day",
    ),
    "a date and a month day": (
        HEAD + SEASON.replace('"09-20"', "2026-09-20") + "chance = 1\n",
        "season.1",
        9,
        "two dates",
    ),
    "too few chances": (
        HEAD + SEASON + "chance = [0.5, 0.5]\n",
        "season.1.chance",
        15,
        "8 chances",
    ),
    "too many chances": (
        HEAD + SEASON + f"chance = {[0.5] * 9}\n",
        "season.1.chance",
        15,
        "found 9 chances",
    ),
    "months missing": (
        HEAD + SEASON + "chance = { october = 0.5 }\n",
        "season.1.chance",
        15,
        "september, november",
    ),
    "a month twice": (
        HEAD + SEASON + "chance = { oct = 0.5, october = 0.4 }\n",
        "season.1.chance",
        15,
        "october twice",
    ),
    "an unknown month": (HEAD + SEASON + "chance = { ju = 0.5 }\n", "season.1.chance", 15, "'ju'"),
    "chances above one": (
        HEAD + SEASON + 'chance = [0.5, 2, "x"]\n',
        "season.1.chance",
        15,
        "found 2, 'x'",
    ),
    "a chance that is no number": (
        HEAD + SEASON + "chance = nan\n",
        "season.1.chance",
        15,
        "0 to 1",
    ),
    "hours with a colon": (HEAD.replace("90", '"1:30"'), "climber.minutes.tuesday", 8, "1h30"),
    "hours as a fraction": (HEAD.replace("90", "1.5"), "climber.minutes.tuesday", 8, "found 1.5"),
    "more than a day": (HEAD.replace("90", '"25h"'), "climber.minutes.tuesday", 8, "1440"),
    "no minutes at all": (HEAD.replace("90", "0"), "climber.minutes", 7, "some time to train"),
    "an infinite load": (
        HEAD + "[before]\nweekly_load = [inf]\n",
        "before.weekly_load.1",
        10,
        "infinite",
    ),
    "hours in place of a load": (
        HEAD + '[before]\nweekly_load = ["8 hours"]\n',
        "before.weekly_load.1",
        10,
        "effort x minutes",
    ),
    "an infinite weight": (
        HEAD + "[rules.order]\nweight = inf\n",
        "rules.order.weight",
        10,
        "infinite",
    ),
    "three limits": (
        HEAD + "[rules.order]\nlimit = [1, 2, 3]\n",
        "rules.order.limit",
        10,
        "lowest and highest",
    ),
    "an old kind of given": (
        HEAD + '[before]\nlast_kind = "trip"\n',
        "before.last_kind",
        10,
        "strength",
    ),
    "a pin of a trip": (
        HEAD + '[[pin]]\nname = "p"\nkind = "trip"\nfirst = 2026-02-02\nlast = 2026-03-01\n',
        "pin.1.kind",
        11,
        "rest",
    ),
    "a pin outside": (
        HEAD + '[[pin]]\nname = "p"\nkind = "base"\nfirst = 2027-02-02\nlast = 2027-03-01\n',
        "pin.1.first",
        12,
        "2026-01-05",
    ),
    "a trip to nowhere": (
        HEAD + '[[trip]]\nname = "t"\nfirst = 2026-02-02\nlast = 2026-03-01\n',
        "trip.1",
        9,
        "climbing = false",
    ),
    "phases out of order": (
        HEAD + '[[injury]]\nname = "i"\npart = "finger"\nhappened = 2026-02-02\n'
        "easy_from = 2026-01-01\nbuilding_from = 2026-03-01\nfull_from = 2026-04-01\n",
        "injury.1",
        9,
        "clinician",
    ),
    "two ends": (HEAD.replace("52", "52\nlast = 2026-12-01"), "year", 2, "both `weeks` and `last`"),
    "no end": (HEAD.replace("weeks = 52\n", ""), "year", 2, "no end"),
    "too long": (HEAD.replace("52", "105"), "year", 2, "4 to 104 weeks"),
    "no section": (
        HEAD.replace("[year]\nfirst = 2026-01-05\nweeks = 52\n", ""),
        "year",
        None,
        "Write [year] on a line of its own",
    ),
    "a section in another, left out": (
        HEAD.replace("[climber.minutes]\ntuesday = 90\n", ""),
        "climber.minutes",
        5,
        "the table `[climber.minutes]`",
    ),
    "a day for minutes": (
        HEAD.replace("90", "2026-01-01"),
        "climber.minutes.tuesday",
        8,
        "found 2026-01-01;",
    ),
    "a list for a table": (
        HEAD.replace("[climber]", "[[climber]]"),
        "climber",
        5,
        "found a list;",
    ),
    "a misspelt key, told once": (
        HEAD + GOAL.replace("discipline", "disciplin"),
        "goal.1.disciplin",
        12,
        "'discipline'?",
    ),
    "quotes that are not closed": (
        HEAD + GOAL.replace('"7b"', '"7b'),
        "",
        13,
        "Close the quotes.",
    ),
    "missing key": (HEAD + GOAL.replace('grade = "7b"\n', ""), "goal.1.grade", 9, "found nothing"),
    "no grade": (HEAD + GOAL.replace("7b", "hard"), "goal.1.grade", 13, "7b+ (French)"),
    "newer schema": (
        HEAD.replace("schema = 1", "schema = 99") + "[[novelty]]\nx = 1\n",
        "schema",
        1,
        "update the program",
    ),
    "schema as text": (HEAD.replace("schema = 1", 'schema = "1"'), "schema", 1, "whole number"),
    "key twice": (HEAD + "tuesday = 60\n", "climber.minutes.tuesday", 9, "a second time"),
    "section twice": (HEAD + "[year]\nfirst = 2026-01-01\n", "year", 9, "a second time"),
    "syntax": (HEAD + "x = = 1\n", "", 9, "TOML"),
    "no such date in TOML": (HEAD.replace("2026-01-05", "2026-02-30"), "first", 3, "has 28 days"),
    "open quote": (HEAD + '[[goal]]\nname = "abc\n', "", 10, "TOML"),
}


@pytest.mark.parametrize("name", ONE)
def test_a_fault_is_told_once_by_key_and_line(name: str) -> None:
    text, key, line, says = ONE[name]
    fault = only(text)
    assert (fault.key, fault.line) == (key, line)
    assert says in str(fault)
    assert "nput should" not in str(fault), "the words of a library reached the climber"


WORDS_OF_A_LIBRARY = (
    "datetime.",
    "[{",
    "nput should",
    "unable to",
    "parse",
    "integer",
    "boolean",
    "Field required",
)


@pytest.mark.parametrize("name", ONE)
def test_no_fault_of_a_file_speaks_as_a_library_does(name: str) -> None:
    told = str(only(ONE[name][0]))
    assert not [words for words in WORDS_OF_A_LIBRARY if words in told]


class _Everything(BaseModel):
    whole: int = 0
    number: float = 0
    yes: bool = False
    day: date = date(2027, 1, 4)
    at: time = time(18)
    kind: Kind = Kind.BASE
    way: Literal["early", "late"] = "early"
    least: Annotated[int, Field(ge=1, le=800)] = 1
    words: tuple[str, ...] = ()


@pytest.mark.parametrize(
    ("key", "value", "wanted"),
    [
        ("whole", "soon", "a whole number"), ("whole", 1.5, "a whole number"),
        ("number", "much", "a number"), ("yes", "perhaps", "`true` or `false`"),
        ("day", "soon", "a day"), ("day", "2027-13-01", "a day"), ("at", "25:00", "a time of day"),
        ("kind", "x", "base, strength, performance, rest, trip, absence, injured or return"),
        ("way", "x", "early or late"), ("least", 900, "800 or less"), ("least", 0, "1 or more"),
        ("words", 3, "a list in [ ]"),
    ],
)  # fmt: skip
def test_what_a_model_finds_wrong_is_told_in_our_words(key: str, value: Any, wanted: str) -> None:
    with pytest.raises(ValidationError) as error:
        _Everything(**{key: value})
    (fault,) = (told(one) for one in error.value.errors())
    assert fault.wanted == wanted
    assert str(value) in fault.found and fault.do
