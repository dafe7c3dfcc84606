"""Entries, settings, rules and recipes changed by edits; what is refused and what would work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from draft_maker import SESSION, YEAR, draft, lines_changed
from pydantic import TypeAdapter, ValidationError

from seasonplan.edits import (
    AddEntry,
    AnEdit,
    ChangeEntry,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
    Draft,
    Edit,
    EditRefused,
    MarkDone,
    MarkMissed,
    RemoveEntry,
    apply,
    changes,
    marked_by,
)
from seasonplan.edits.apply import DIARIES, TEXTS
from seasonplan.edits.kinds import RepeatAbsence, WriteRow
from seasonplan.edits.registry import UNION
from seasonplan.errors import BadInput
from seasonplan.vocabulary import BodyPart, Side

FIRST = date(2027, 2, 1)
NIGHTS = {"name": "Night shifts", "first": "2027-02-01", "last": "2027-02-05", "left": 0.5}


def done(edit: AnEdit, before: Draft | None = None) -> Draft:
    return apply(before or draft(), edit)


def no(edit: AnEdit, before: Draft | None = None) -> EditRefused:
    with pytest.raises(EditRefused) as refused:
        apply(before or draft(), edit)
    return refused.value


# --- the union ------------------------------------------------------------------------------


def test_every_edit_can_be_applied() -> None:
    assert {*UNION, WriteRow} == {*TEXTS, *DIARIES}  # a row of the diary has no verb here


def test_an_edit_goes_to_json_and_back() -> None:
    adapter: TypeAdapter[AnEdit] = TypeAdapter(Edit)
    edit = ChangeRule(code="base-length", limit=(3, 5))
    assert adapter.validate_json(adapter.dump_json(edit)) == edit
    with pytest.raises(ValidationError):
        adapter.validate_python({"do": "fly"})


def test_edits_cannot_be_changed() -> None:
    with pytest.raises(ValidationError):
        RemoveEntry(id="isle").id = "lake"  # type: ignore[misc]


def test_applying_leaves_the_draft_as_it_was() -> None:
    before = draft()
    kept = replace(before)
    after = done(AddEntry(section="absence", values=NIGHTS), before)
    assert before == kept
    assert after.plan is before.plan and after.text != before.text


# --- entries --------------------------------------------------------------------------------


def test_an_added_entry_is_in_the_year_with_dates_as_dates() -> None:
    after = done(AddEntry(section="absence", values=NIGHTS))
    (entry,) = after.year.absences
    assert (entry.id, entry.first, entry.left) == ("night-shifts", date(2027, 2, 1), 0.5)
    assert "first = 2027-02-01\n" in after.text
    assert lines_changed(YEAR, after.text)[0] == []


def test_time_away_that_comes_again_is_an_entry_for_each_time() -> None:
    last, until = FIRST + timedelta(2), date(2027, 3, 1)
    edit = RepeatAbsence(name="Nights", first=FIRST, last=last, weeks=2, until=until, left=0.5)
    found = done(edit).year.absences
    assert [one.first for one in found] == [FIRST, date(2027, 2, 15), until]
    assert {(one.span.length, one.left) for one in found} == {(3, 0.5)}
    listed = done(RepeatAbsence(name="School", days="8 feb to 12 feb 2027, 1 mar 2027"))
    assert [(one.first, one.last) for one in listed.year.absences] == [
        (date(2027, 2, 8), date(2027, 2, 12)), (until, until),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({}, "first: found nothing; wanted a day."),
        (
            {"first": date(2027, 2, 3), "last": date(2027, 2, 1), "weeks": 1},
            "the first day or later",
        ),
        ({"first": date(2027, 2, 1), "last": date(2027, 2, 3)}, "how many weeks lie between"),
        (
            {"first": date(2027, 2, 1), "last": date(2027, 2, 9), "weeks": 1},
            "before it comes again",
        ),
        ({"days": "8 feb to 40 feb"}, "found '8 feb to 40 feb'"),
    ],
)
def test_times_that_are_not_clear_are_refused(more: dict[str, object], says: str) -> None:
    assert says in no(RepeatAbsence(name="Nights", **more)).why


def test_a_second_entry_of_a_name_gets_an_id_of_its_own() -> None:
    lake = {"name": "Lake", "first": "2027-02-01", "last": "2027-02-02", "climbing": False}
    after = done(AddEntry(section="trip", values=lake))
    assert [trip.id for trip in after.year.trips] == ["isle", "lake", "lake-2"]


def test_every_further_entry_of_a_name_counts_on() -> None:
    lake = {"name": "Lake", "first": "2027-02-01", "last": "2027-02-02", "climbing": False}
    after = draft()
    for _ in range(3):
        after = done(AddEntry(section="trip", values=lake), after)
    assert [trip.id for trip in after.year.trips] == ["isle", "lake", "lake-2", "lake-3", "lake-4"]


def test_an_id_that_was_said_is_kept_and_none_is_written_where_the_name_makes_it() -> None:
    away = {"first": "2027-02-01", "last": "2027-02-02"}
    own = done(AddEntry(section="absence", values={"name": "Lake", "id": "my-lake", **away}))
    assert own.year.absences[0].id == "my-lake" and 'id = "my-lake"' in own.text
    assert "id =" not in done(AddEntry(section="absence", values={"name": "Move", **away})).text
    with pytest.raises(BadInput, match="found the id 'lake' twice"):
        done(AddEntry(section="absence", values={"name": "x", "id": "lake", **away}))


@pytest.mark.parametrize("values", [{"name": 3}, {"first": "2027-02-01", "last": "2027-02-02"}])
def test_an_entry_whose_name_is_no_text_or_missing_is_told_as_in_the_file(
    values: dict[str, object],
) -> None:
    with pytest.raises(BadInput, match=r"absence\.1\.name: found "):
        done(AddEntry(section="absence", values=values))


def test_what_was_said_of_nothing_is_not_written() -> None:
    after = done(AddEntry(section="absence", values=NIGHTS | {"note": None, "id": None}))
    assert "note" not in after.text and after.year.absences[0].id == "night-shifts"


def test_faults_of_an_added_entry_are_told_all_at_once_as_those_of_the_file() -> None:
    with pytest.raises(BadInput) as bad:
        done(AddEntry(section="absence", values={"name": "x", "fist": "2027-02-01", "left": 2}))
    told = [str(fault) for fault in bad.value.faults]
    assert [fault.key for fault in bad.value.faults] == [
        "absence.1.fist", "absence.1.last", "absence.1.left",
    ]  # fmt: skip
    assert "Did you mean 'first'?" in told[0]
    assert all(text.startswith("year.toml, absence.1.") for text in told)


def test_an_unknown_section_is_refused_with_the_known_ones() -> None:
    assert no(AddEntry(section="trips", values=NIGHTS)).would_work == "Did you mean trip?"
    assert "goal, season" in no(AddEntry(section="zzz", values=NIGHTS)).would_work


def test_a_changed_entry_changes_only_its_line() -> None:
    after = done(ChangeEntry(id="isle", values={"last": "2027-01-30"}))
    assert lines_changed(YEAR, after.text) == (["last = 2027-01-31"], ["last = 2027-01-30"])


def test_a_value_of_none_is_taken_out() -> None:
    after = done(ChangeEntry(id="long-crack", values={"served_by": None}))
    assert after.year.goals[0].served_by == ()
    assert "served_by" not in after.text


def test_an_entry_with_another_name_keeps_its_id() -> None:
    after = done(ChangeEntry(id="winter-sun", values={"name": "Cold sun"}))
    assert (after.year.seasons[0].name, after.year.seasons[0].id) == ("Cold sun", "winter-sun")
    assert after.year.goals[0].served_by == ("winter-sun", "isle")


def test_goals_follow_an_entry_with_another_id() -> None:
    after = done(ChangeEntry(id="winter-sun", values={"id": "sun"}))
    assert after.year.goals[0].served_by == ("sun", "isle")


def test_a_removed_entry_is_no_longer_named_by_goals_and_that_is_told() -> None:
    after = done(RemoveEntry(id="isle"))
    assert [trip.id for trip in after.year.trips] == ["lake"]
    assert after.year.goals[0].served_by == ("winter-sun",)
    found = changes(YEAR, after.text)
    assert [(one.how.value, one.section, one.about, one.key) for one in found] == [
        ("changed", "goal", "long-crack", "served_by"), ("removed", "trip", "isle", ""),
    ]  # fmt: skip


def test_only_goals_that_name_an_entry_follow_it() -> None:
    other = '[[goal]]\nname = "B"\nplace = "Karst"\ndiscipline = "sport"\ngrade = "7a"\n'
    named = other.replace("B", "C") + 'served_by = ["isle"]\n'
    before = draft(YEAR + other + named)
    changed = done(ChangeEntry(id="isle", values={"id": "far-isle"}), before)
    assert [goal.served_by for goal in changed.year.goals] == [
        ("winter-sun", "far-isle"), (), ("far-isle",),
    ]  # fmt: skip
    gone = done(RemoveEntry(id="isle"), before)
    assert [goal.served_by for goal in gone.year.goals] == [("winter-sun",), (), ()]
    assert gone.text.count("served_by") == 1


def test_an_id_and_other_things_change_at_once() -> None:
    after = done(ChangeEntry(id="isle", values={"id": "far", "name": "Far", "note": "x"}))
    trip = after.year.trips[0]
    assert (trip.id, trip.name, trip.note) == ("far", "Far", "x")
    assert after.year.goals[0].served_by == ("winter-sun", "far")


def test_an_unknown_entry_is_refused_with_the_nearest_one() -> None:
    for edit in (RemoveEntry(id="isel"), ChangeEntry(id="isel", values={"note": "x"})):
        refused = no(edit)
        assert "'isel'" in refused.why and refused.would_work == "Did you mean isle?"


def test_an_edit_that_contradicts_another_entry_changes_nothing() -> None:
    with pytest.raises(BadInput, match="chances"):
        done(ChangeEntry(id="winter-sun", values={"chance": [0.1, 0.2]}))
    with pytest.raises(BadInput, match="`last = 2027-01-20` before `first"):
        done(ChangeEntry(id="isle", values={"last": date(2027, 1, 20)}))


# --- settings -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("climber.minutes.tuesday", "1h30", 'tuesday = "1h30"'),
        ("climber.minutes.friday", 45, "friday = 45"),
        ("climber.time_zone", "America/Denver", 'time_zone = "America/Denver"'),
        ("climber.level.power", 4, "power = 4"),
        ("before.weekly_load", [900, 800.5], "weekly_load = [900, 800.5]"),
        ("sessions.spread", "few and long", 'spread = "few and long"'),
        ("sessions.alarm_minutes", 30, "alarm_minutes = 30"),
        ("year.weeks", 14, "weeks = 14"),
    ],
)
def test_a_setting_is_one_line(path: str, value: object, line: str) -> None:
    after = done(ChangeSetting(path=path, value=value))
    assert line in lines_changed(YEAR, after.text)[1]
    back = done(ChangeSetting(path=path), after) if path.split(".")[-1] not in YEAR else None
    assert back is None or back.year == draft().year


def test_a_year_has_one_end() -> None:
    after = done(ChangeSetting(path="year.last", value="2027-03-31"))
    assert after.year.horizon.weeks is None and after.year.span.last == date(2027, 3, 31)


@pytest.mark.parametrize(
    ("path", "would_work"),
    [
        ("climber.minutes.tusday", "Did you mean climber.minutes.tuesday?"),
        ("climber.time_zone.x", "Did you mean climber.time_zone?"),
        ("goal.1.name", "There are: year.first"),
        ("schema", "There are: year.first"),
        ("climber", "Did you mean climber.name?"),
        ("", "There are: year.first"),
    ],
)
def test_what_is_no_setting_is_refused(path: str, would_work: str) -> None:
    assert no(ChangeSetting(path=path, value=1)).would_work.startswith(would_work)


def test_a_setting_that_was_never_said_cannot_be_taken_back() -> None:
    assert "usual one already" in no(ChangeSetting(path="sessions.spread")).why


def test_a_required_setting_cannot_go() -> None:
    with pytest.raises(BadInput, match="time_zone: found nothing"):
        done(ChangeSetting(path="climber.time_zone"))


# --- rules and recipes ----------------------------------------------------------------------


def test_a_rule_is_switched_off_changed_and_as_delivered_again() -> None:
    off = done(ChangeRule(code="load-step", on=False))
    assert off.year.rules["load-step"].on is False
    changed = done(ChangeRule(code="base-length", limit=(4, 6.5), weight=2), off)
    assert "limit = [4, 6.5]\nweight = 2\n" in changed.text
    back = done(ChangeRule(code="base-length", reset=True), changed)
    assert back.year == off.year


def test_an_unknown_rule_or_a_limit_of_the_wrong_form_is_told_as_in_the_file() -> None:
    with pytest.raises(BadInput, match="Did you mean 'base-length'"):
        done(ChangeRule(code="base-lenth", on=False))
    with pytest.raises(BadInput, match="lowest and highest"):
        done(ChangeRule(code="base-length", limit=4))


@pytest.mark.parametrize(
    "edit",
    [
        ChangeRule(code="order"),
        ChangeRule(code="order", reset=True),
        ChangeRule(code="order", on=False, reset=True),
        ChangeRecipe(id="mobility"),
        ChangeEntry(id="isle", values={}),
        AddEntry(section="trip", values={}),
    ],
)
def test_an_edit_that_says_nothing_is_refused_with_words(edit: AnEdit) -> None:
    refused = no(edit)
    assert refused.why.endswith(".") and refused.would_work.endswith((".", "…"))


def test_a_recipe_is_changed_and_as_delivered_again() -> None:
    after = done(ChangeRecipe(id="mobility", values={"minutes": 20}))
    assert after.year.recipes["mobility"].minutes == 20
    assert done(ChangeRecipe(id="mobility", reset=True), after).year == draft().year


def test_a_recipe_with_a_fault_is_told_as_in_the_file() -> None:
    with pytest.raises(BadInput, match=r"add up to 0\.5"):
        done(ChangeRecipe(id="mobility", values={"qualities": {"movement": 0.5}}))


# --- diary ----------------------------------------------------------------------------------


def test_done_and_missed_go_into_the_diary_and_leave_the_year_alone() -> None:
    after = done(MarkDone(session=SESSION, rpe=3))
    after = done(MarkMissed(session=SESSION, note="ill"), after)
    assert after.text == YEAR
    rows = after.diary.splitlines()
    assert len(rows) == 3
    assert rows[1].startswith(f"2027-01-05,,done,{SESSION},mobility,,25,3")
    assert rows[2].startswith("2027-01-05,,missed,")


def test_what_hurt_is_written_with_how_much_or_not_at_all() -> None:
    after = done(MarkMissed(session=SESSION, part=BodyPart.ELBOW, side=Side.LEFT, pain=4))
    assert after.diary.splitlines()[1].endswith(",elbow,left,4,")
    for edit in (
        MarkDone(session=SESSION, pain=4),
        MarkMissed(session=SESSION, part=BodyPart.ELBOW),
    ):
        refused = no(edit)
        assert "Say both" in refused.would_work
    with pytest.raises(ValidationError):
        MarkDone(session=SESSION, part=BodyPart.ELBOW, pain=11)


def test_effort_that_nobody_rated_is_not_written_down() -> None:
    assert (
        done(MarkDone(session=SESSION))
        .diary.splitlines()[1]
        .startswith(f"2027-01-05,,done,{SESSION},mobility,,25,,")
    )


@pytest.mark.parametrize("edit", [MarkDone(session=SESSION), MarkMissed(session=SESSION)])
def test_a_mark_has_no_day_to_come(edit: MarkDone | MarkMissed) -> None:
    planned = date(2027, 1, 5)
    for today in (planned, planned + timedelta(days=3)):
        assert marked_by(draft(), edit, today=today).on == planned
    with pytest.raises(EditRefused, match="planned for Tue 5 Jan 2027, which is still to come"):
        marked_by(draft(), edit, today=planned - timedelta(days=3))
    said = type(edit)(session=SESSION, on=date(2027, 1, 7))
    assert marked_by(draft(), said, today=planned).on == date(2027, 1, 7)
    assert done(said).diary.splitlines()[1].startswith("2027-01-07,")


def test_a_session_that_is_not_planned_cannot_be_done() -> None:
    assert no(MarkDone(session=SESSION + "1")).would_work == f"Did you mean {SESSION}?"
    assert "no plan yet" in no(MarkDone(session=SESSION), replace(draft(), plan=None)).why
