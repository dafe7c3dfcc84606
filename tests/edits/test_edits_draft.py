"""A year as text: every fault with file, key and line; and an edit's faults without a line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from draft_maker import YEAR, blocks, draft, plan
from test_edits import done, no

from seasonplan.edits import (
    AddEntry,
    ChangeEntry,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
    EditRefused,
    MoveBlock,
    PinBlock,
    draft_of,
    read,
)
from seasonplan.edits.draft import with_text
from seasonplan.errors import BadInput
from seasonplan.recipes import standard_recipes

END = YEAR.count("\n")  # lines of the draft
SESSION = '[[session]]\nrecipe = "{recipe}"\nday = 2027-01-06\nstart = "18:00"\nminutes = 30\n'


def faults(more: str, *, file: str = "year.toml") -> list[tuple[str, int | None, str]]:
    """Key, line below the draft and text of each fault of the draft with more lines."""
    with pytest.raises(BadInput) as bad:
        read(YEAR + more, file=file)
    assert {fault.file for fault in bad.value.faults} == {file}
    return [(one.key, one.line and one.line - END, str(one)) for one in bad.value.faults]


# --- reading --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "key", "line", "says"),
    [
        ("[rules.ordr]\non = false\n", "rules.ordr", 1,
         "found the unknown rule 'ordr'; wanted the code of a rule. Did you mean 'order'?"),
        ("[rules.order]\nlimit = 3\n", "rules.order.limit", 2, "found 3; wanted no limit"),
        ("[rules.base-length]\n\nlimit = 5\n", "rules.base-length.limit", 3,
         "found 5; wanted lowest and highest, as `[3, 6]`."),
        ("[rules.base-length]\nlimit = [4, 2]\n", "rules.base-length.limit", 2, "found 4 to 2"),
        ("[rules.base-length]\nlimit = [13, 14]\n", "rules.base-length.limit", 2,
         "With this limit no base block fits your year."),
        ("[recipes.mobility]\nqualities = { movement = 0.5 }\n", "recipes.mobility.qualities", 2,
         "found shares that add up to 0.5; wanted shares that add up to 1."),
        (SESSION.format(recipe="mobilty"), "session.1.recipe", 2, "Did you mean 'mobility'?"),
        (SESSION.format(recipe="qqq"), "session.1.recipe", 2,
         "found 'qqq'; wanted a recipe there is, such as "),
        ('[[absence]]\nname = "x"\nid = "isle"\nfirst = 2027-02-01\nlast = 2027-02-02\n',
         "absence.1.id", 3, "found the id 'isle' twice"),
    ],
)  # fmt: skip
def test_a_fault_names_its_file_key_and_line(more: str, key: str, line: int, says: str) -> None:
    ((found, at, text),) = faults(more)
    assert (found, at) == (key, line)
    assert text.startswith(f"year.toml, line {END + line}, {key}: found ") and says in text


def test_a_session_of_a_recipe_that_is_switched_off_is_told() -> None:
    ((key, _, text),) = faults(
        "[recipes.mobility]\non = false\n" + SESSION.format(recipe="mobility")
    )
    assert key == "session.1.recipe"
    offered = text.partition("such as ")[2].partition(".")[0].split(", ")
    assert len(offered) == 3 and {*offered} <= standard_recipes().keys() - {"mobility"}


def test_faults_of_entries_rules_and_recipes_are_told_together_in_order_of_lines() -> None:
    found = faults(
        '[[absence]]\nname = "x"\n[rules.ordr]\non = false\n[recipes.mobility]\nminutes = "x"\n'
        "[[trip]]\nname = 3\nfirst = 2027-02-01\nlast = 2027-02-02\n"
    )
    assert [(key, line) for key, line, _ in found] == [
        ("absence.1.first", 1), ("absence.1.last", 1), ("rules.ordr", 3),
        ("recipes.mobility.minutes", 6), ("trip.3.name", 8),
    ]  # fmt: skip


def test_a_limit_that_fits_no_year_is_told_only_where_all_else_is_right() -> None:
    long = "[rules.base-length]\nlimit = [13, 14]\n"
    assert [key for key, _, _ in faults(long + "[rules.ordr]\non = false\n")] == ["rules.ordr"]


def test_the_file_is_named_as_it_was_given() -> None:
    ((_, _, text),) = faults("[climber\n", file="my-year/year.toml")
    assert text.startswith(f"my-year/year.toml, line {END + 1}: found a line that is not TOML")


def test_days_that_no_calendar_has_are_told_all_at_once() -> None:
    found = faults("[[absence]]\nfirst = 2027-02-30\nlast = 2027-04-31  # spring\n")
    assert [(key, line) for key, line, _ in found] == [("first", 2), ("last", 3)]
    assert "February has 28 days in 2027." in found[0][2]
    assert "found 2027-04-31; wanted a day of the calendar. April has 30 days." in found[1][2]


def test_a_recipe_by_its_former_name_is_the_one_that_took_its_place() -> None:
    """`maximal-hangs` became `fingerboard-long`; the file keeps what the climber wrote."""
    text = YEAR + SESSION.format(recipe="maximal-hangs") + SESSION.format(recipe="mobility")
    text = text.replace("2027-01-06", "2027-01-07", 1)
    before = draft_of(text)
    assert [one.recipe for one in before.year.fixed_sessions] == ["fingerboard-long", "mobility"]
    after = done(ChangeSetting(path="climber.name", value="Robin"), before)
    assert after.text.count("maximal-hangs") == 1
    assert after.year.fixed_sessions == before.year.fixed_sessions


# --- a draft --------------------------------------------------------------------------------


def test_the_blocks_of_a_draft_are_those_a_hand_left_else_the_plans() -> None:
    assert draft_of(YEAR).blocks == ()
    assert draft_of(YEAR, plan()).blocks == blocks()
    by_hand = replace(draft(), by_hand=blocks()[:2])
    assert by_hand.blocks == blocks()[:2]
    assert replace(draft(), by_hand=()).blocks == ()
    assert no(PinBlock(block="rest-1"), by_hand).would_work == "There are: base-1, trip-1."


def test_an_edit_keeps_the_diary_the_plan_the_hand_and_today() -> None:
    before = replace(draft_of(YEAR, plan(), diary="x\n"), by_hand=blocks(), today=date(2027, 1, 5))
    after = done(ChangeSetting(path="climber.name", value="Robin"), before)
    assert replace(after, text=before.text, year=before.year) == before


def test_the_same_text_is_the_same_draft() -> None:
    before = draft()
    assert with_text(before, YEAR) is before
    assert done(ChangeEntry(id="isle", values={"last": "2027-01-31"}), before) is before


@pytest.mark.parametrize(
    "edit",
    [
        AddEntry(section="absence", values={"name": "x"}),
        ChangeEntry(id="isle", values={"last": "soon", "first": "later"}),
        ChangeRule(code="ordr", on=False),
        ChangeRecipe(id="mobility", values={"rpe": 11}),
        ChangeSetting(path="year.weeks", value=2),
    ],
    ids=lambda edit: edit.do,
)
def test_the_faults_of_an_edit_have_no_line_for_nobody_has_seen_its_text(edit: object) -> None:
    before = draft()
    with pytest.raises(BadInput) as bad:
        done(edit, before)  # type: ignore[arg-type]
    for fault in bad.value.faults:
        assert fault.file == "year.toml" and fault.key and fault.line is None
        assert str(fault).startswith(f"year.toml, {fault.key}: found ")
    assert before.text == YEAR


def test_a_no_to_an_edit_is_one_sentence_of_why_and_one_of_what_works() -> None:
    refused = no(MoveBlock(block="base-1", days=0))
    assert isinstance(refused, EditRefused)
    assert str(refused) == f"{refused.why} {refused.would_work}"
    assert refused.why == "A move by 0 days changes nothing."
    assert refused.would_work == "To keep it there, pin the block."
