"""Every form by its key: the one door to the forms, and the plain ones of entries and settings."""

from __future__ import annotations

from dataclasses import replace

from seasonplan.edits import AddEntry, AnEdit, Draft
from seasonplan.edits.entries import place_of
from seasonplan.edits.filled import adding, changing, lists_at, said_at, setting
from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.edits.forms import entry_lines, setting_lines
from seasonplan.explain.entries import entry_title
from seasonplan.year.model import ENTRY_FIELDS
from tui.forms.about import ILL, About
from tui.forms.diary import log_form
from tui.forms.illness import new_illness
from tui.forms.injury import new_injury, old_injury
from tui.forms.law import about_law
from tui.forms.repeated import repeated
from tui.forms.result import new_result


def about_of(draft: Draft, key: str) -> About:
    """The form of a key: "new goal", "goal ID", "set climber.minutes", "rule CODE", "recipe ID",
    "result TEST", "log pain", "again", or "ill".

    Raises EditRefused where what it is about is not there.
    """
    how, _, name = key.partition(" ")
    if how in ("rule", "recipe"):
        about = about_law(draft, how, name)
    elif how == "log":
        about = log_form(draft, name)
    elif how == "again":
        about = repeated(draft)
    elif how == ILL:
        about = new_illness(draft)
    elif how == "result":
        about = new_result(draft, name)
    elif how == "set":
        about = part_of_settings(draft, name)
    else:
        about = new_entry(draft, name) if how == "new" else old_entry(draft, name)
    return replace(about, key=key)


def new_entry(draft: Draft, section: str) -> About:
    """A form for one more entry of a section; "goal ID" is a goal at that season or window."""
    if section == "injury":
        return new_injury(draft)
    section, _, at = section.partition(" ")
    lines = entry_lines(section)
    rock = draft.year.entry(at) if at else None
    count = len(getattr(draft.year, ENTRY_FIELDS[section]))
    return About(
        title=f"Enter {SECTIONS[section][1]}",
        section=section,
        place=(section, count),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=lambda values: adding(section, values) or [_empty(section)],
        begun={key: str(getattr(rock, key)) for key in ("place", "discipline")} if rock else {},
    )


def _empty(section: str) -> AnEdit:
    """The edit of an empty form, so that reading it says what is missing."""
    return AddEntry(section=section, values={"note": ""})


def old_entry(draft: Draft, entry_id: str) -> About:
    """A form for an entry there is. Raises EditRefused where there is none."""
    section, index = place = place_of(draft.year, entry_id)
    if section == "injury":
        return old_injury(draft, index)
    lines = entry_lines(section, lists=lists_at(draft, place))
    before = said_at(draft, place, lines)
    return About(
        title=f"Change “{entry_title(draft.year.entry(entry_id), draft.year)}”",
        section=section,
        place=place,
        lines=lines,
        before=before,
        make=lambda values: changing(entry_id, before, values),
    )


def part_of_settings(draft: Draft, part: str) -> About:
    """A form for a part of the settings, such as "climber.minutes"."""
    place = tuple(part.split("."))
    lines = setting_lines(part)
    before = said_at(draft, place, lines)
    title, more = SETTINGS[part]
    return About(
        title=f"{title}: {more}",
        section=part,
        place=place,
        lines=lines,
        before=before,
        make=lambda values: setting(part, before, values),
    )
