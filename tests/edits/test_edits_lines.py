"""Every line has words and every sort a form."""

from __future__ import annotations

from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.edits.forms import (
    Line,
    entry_lines,
    lines_of,
    recipe_lines,
    rule_lines,
    setting_lines,
)
from seasonplan.edits.in_form import in_form
from seasonplan.injury import Hurt
from seasonplan.year import Year
from seasonplan.year.model import ENTRY_FIELDS

# --- the models -------------------------------------------------------------------------------


def every_line() -> list[Line]:
    found = [*rule_lines(), *recipe_lines(), *lines_of(Hurt, "injury")]
    for section in ENTRY_FIELDS:
        found += entry_lines(section)
    for part in SETTINGS:
        found += setting_lines(part)
    return found


def test_every_line_of_every_form_has_words() -> None:
    lines = every_line()
    assert len(lines) > 100
    assert not [line.key for line in lines if not line.help or not line.label]


def test_no_section_and_no_setting_is_forgotten() -> None:
    assert set(SECTIONS) == set(ENTRY_FIELDS)
    named = {field.alias or name for name, field in Year.model_fields.items()}
    parts = {part.partition(".")[0] for part in SETTINGS}
    assert named == {*SECTIONS, *parts, "rules", "recipes", "schema"}
    minutes = {f"minutes.{line.key}" for line in setting_lines("climber.minutes")}
    assert len(minutes) == 7


# Faults of each sort that a form can meet, as the file writes them.
SAID = (
    ("Write `[3, 6]`.", "rule", "Write 3, 6."),
    ('Write `"18:30"`.', "session", "Write 18:30."),
    ("`true` or `false`", "trip", "yes or no"),
    ("`easy_from` and `full_from`", "injury", "“Light load from” and “Everything from”"),
    ("`rain_below = 1`", "place", "“Rain below: 1”"),
    ("`least_minutes`", "recipe", "“Shortest”"),
    ("See `seasonplan rules`.", "rule", "See `seasonplan rules`."),
)


def test_what_the_file_writes_is_told_by_labels_and_as_one_types_it() -> None:
    for text_of_file, about, told in SAID:
        assert in_form(text_of_file, about=about, lines=()) == told
