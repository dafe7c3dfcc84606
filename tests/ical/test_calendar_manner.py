"""How a calendar shows days, blocks, ways and what was done: choices of the year and of a road."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from calendar_edits import checked_edits
from folder_maker import SESSIONS, YEAR, blocks, demo_copy, planned, session
from plan_maker import day
from served import NOW, serving
from test_calendar_steady import exported, number, run

from seasonplan.cli.accepted import accepted
from seasonplan.cli.exits import Exit
from seasonplan.edits import ChangeSetting, read
from seasonplan.errors import BadInput
from seasonplan.feed.contents import Wish, files_by, part_bytes, shown_by
from seasonplan.feed.parts import Part
from seasonplan.ical import Layer
from seasonplan.ical.back import moved
from seasonplan.vocabulary import BlocksAs, Emphasis, Kind
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import diary_rows

DAYS = "\n[calendar]\none_event_a_day = true\n"
PLACES = """
[[place]]
name = "Karst"
latitude = 45.75
longitude = -13.8
travel_minutes = 50

[[place]]
name = "The Barn"
what = "wall"
latitude = 48.1234567
longitude = 16.0
travel_minutes = 20

[[place]]
name = "Home"
what = "home"
latitude = 48.2
longitude = 16.3
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path, year_text=YEAR)


def events(content: bytes, *, category: str = "Session") -> list[Any]:
    found = icalendar.Calendar.from_ical(content).walk("VEVENT")
    return [one for one in found if category in one["CATEGORIES"].cats]


def shown(folder: Path, **wish: Any) -> list[Any]:
    year, plan = accepted(folder)
    content = part_bytes(year, plan, Part.ALL, Wish(**wish), diary=diary_rows(folder))
    return events(content)


def day_event(found: list[Any], n: int) -> Any:
    return next(one for one in found if one["DTSTART"].dt.date() == day(n))


# --- a day as one event ------------------------------------------------------------------------


def test_a_training_day_is_one_event_with_a_list_and_one_alarm_before_the_first(
    folder: Path,
) -> None:
    found = shown(folder, days_as_one=True, alarm_minutes=30)
    assert len(found) == len({one.day for one in SESSIONS}) < len(SESSIONS)
    event = day_event(found, 2)
    assert str(event["SUMMARY"]) == "Light holds + Technique drills"
    assert (event["DTSTART"].dt.hour, event["DTEND"].dt.hour) == (18, 19)
    notes = str(event["DESCRIPTION"])
    assert notes.startswith("18:00-18:30 Light holds\n18:30-19:00 Technique drills\n")
    (alarm,) = event.walk("VALARM")
    assert alarm.decoded("TRIGGER") == timedelta(minutes=-30)


def test_the_event_of_a_day_keeps_its_identity_whatever_is_on_it(tmp_path: Path) -> None:
    folder = planned(tmp_path, year_text=YEAR + DAYS, year=YEAR + DAYS)
    first = exported(folder)
    from test_feed import replanned

    replanned(folder, sessions=(*SESSIONS[:1], *SESSIONS[2:]))
    second = exported(folder)
    assert first.keys() == second.keys()
    changed = {uid for uid in first if first[uid] != second[uid]}
    assert [number(second[uid]) for uid in changed] == [1]
    (uid,) = changed
    assert b"Technique drills\r\n" in second[uid] and b"Light holds" not in second[uid]


def test_a_day_with_a_long_pause_keeps_nobody_busy_all_day(tmp_path: Path) -> None:
    apart = (session("x", "mobility", 3, "07:00", 30), session("y", "mobility", 3, "18:00", 30))
    near = (session("x", "mobility", 4, "17:00", 30), session("y", "mobility", 4, "18:00", 30))
    found = shown(planned(tmp_path, sessions=(*apart, *near)), days_as_one=True)
    assert [str(one["TRANSP"]) for one in found] == ["TRANSPARENT", "OPAQUE"]


def test_the_choice_of_the_year_needs_no_new_plan_and_a_road_may_differ(folder: Path) -> None:
    each = exported(folder)
    Desk(folder).change(ChangeSetting(path="calendar.one_event_a_day", value=True))
    assert not Desk(folder).stale
    days = exported(folder)
    assert len(days) == len(each) - 1 and exported(folder, "--each").keys() == each.keys()
    with serving(folder) as served:
        assert len(events(served.get(served.url(Part.SESSIONS)).content)) == len(SESSIONS) - 1
    with serving(folder, wish=Wish(days_as_one=False)) as served:
        assert len(events(served.get(served.url(Part.SESSIONS)).content)) == len(SESSIONS)
    target = folder / "web"
    target.mkdir()
    for options, count in (((), 5), (("--each",), 6), ((), 6), (("--days",), 5),
        (("--each",), 6), (("--as-year",), 5),
    ):  # fmt: skip
        assert run("publish", folder, "--folder", target, *options).exit_code == Exit.FINE
        (file,) = target.glob("*/sessions.ics")
        assert len(events(file.read_bytes())) == count


def test_an_edit_of_the_calendar_asks_for_no_plan_and_none_complains_of_sums(
    tmp_path: Path,
) -> None:
    """A thousand lines said that the plan contradicts itself."""
    folder = demo_copy(tmp_path)
    ran = run("edit", folder, "set", "calendar.blocks", "weeks")
    assert ran.output == "calendar.blocks is now weeks.\n"
    told = " ".join(run("edit", folder, "set", "climber.name", "Ada").output.split())
    assert "contradicts" not in told and "to let the plan follow" in told


def test_days_that_were_sessions_before_are_taken_back_where_those_were_shown(
    folder: Path,
) -> None:
    each = exported(folder)
    exported(folder, "--days")
    assert run("export", folder, "--days", "--cancelled-since", 1).exit_code == Exit.FINE
    gone = events((folder / "cancelled.ics").read_bytes())
    assert {str(one["UID"]) for one in gone} < each.keys() and len(gone) == len(SESSIONS)


# --- blocks ------------------------------------------------------------------------------------


def titles(folder: Path, shape: BlocksAs) -> dict[str, tuple[date, date]]:
    year, plan = accepted(folder)
    content = part_bytes(year, plan, Part.BLOCKS, Wish(blocks=shape))
    found = icalendar.Calendar.from_ical(content).walk("VEVENT")
    return {str(one["SUMMARY"]): (one["DTSTART"].dt, one["DTEND"].dt) for one in found}


def test_blocks_are_whole_or_on_their_first_day_or_a_line_for_each_week(tmp_path: Path) -> None:
    trained = blocks()[0].model_copy(update={"emphasis": Emphasis.ENDURANCE})
    folder = planned(tmp_path, blocks=(trained, *blocks()[1:]))
    assert titles(folder, BlocksAs.WHOLE)["Base: endurance"] == (day(0), day(21))
    first = titles(folder, BlocksAs.FIRST_DAY)
    assert first["Base: endurance"] == (day(0), day(1))
    assert {end - begin for begin, end in first.values()} == {timedelta(days=1)}
    weeks = titles(folder, BlocksAs.WEEKS)
    for n in range(3):
        begins = day(7 * n)
        line = weeks[f"Base: endurance, week {n + 1} of 3"]
        assert line == (begins, begins + timedelta(days=1))
    assert weeks["Strength block"] == (day(21), day(22))


def test_a_season_names_what_is_kept_up_beside_it(tmp_path: Path) -> None:
    one = blocks()[2].model_copy(update={"emphasis": Emphasis.FINGERS})
    assert one.kind is Kind.PERFORMANCE
    found = titles(planned(tmp_path, blocks=(*blocks()[:2], one)), BlocksAs.WHOLE)
    assert "Performance block; fingers kept" in found


def test_the_event_of_a_block_keeps_its_identity_in_every_shape(folder: Path) -> None:
    whole, first = exported(folder), exported(folder, "--blocks", "first day")
    assert whole.keys() == first.keys()
    assert whole.keys() < exported(folder, "--blocks", "weeks").keys()


# --- what was done -----------------------------------------------------------------------------

HEAD = "date,kind,session,minutes,rpe,note\n"


def logged(folder: Path, *rows: str) -> None:
    (folder / "diary.csv").write_text(HEAD + "".join(f"{one}\n" for one in rows), encoding="utf-8")


def summaries(found: list[Any]) -> set[str]:
    return {str(one["SUMMARY"]) for one in found}


def test_what_was_done_or_missed_says_so_and_no_other_event_changes(folder: Path) -> None:
    before = exported(folder)
    logged(folder, f"{day(1)},done,a,85,7,felt sick", f"{day(2)},missed,b,,,")
    after = exported(folder)
    changed = {uid for uid in before if before[uid] != after[uid]}
    assert len(changed) == 2 and {number(after[uid]) for uid in changed} == {1}
    found = {str(one["SUMMARY"]): one for one in shown(folder)}
    done = found["Done: Routes on the wall"]
    assert str(done["DESCRIPTION"]).startswith("Done: 85 minutes, effort 7 of 10.\n")
    assert "felt sick" not in str(done["DESCRIPTION"]) and "STATUS" not in done
    assert "Missed: Light holds" in found and "Technique drills" in found
    assert exported(folder) == after
    logged(folder, f"{day(1)},done,a,85,7,felt sick")
    third = exported(folder)
    assert [number(third[uid]) for uid in third if third[uid] != after[uid]] == [2]


def test_a_session_of_a_day_to_come_is_not_told_as_missed(folder: Path) -> None:
    logged(folder, f"{day(0)},missed,b,,,")
    assert not any("Missed" in one for one in summaries(shown(folder)))


def test_a_day_as_one_event_tells_how_much_of_it_was_done(folder: Path) -> None:
    logged(folder, f"{day(2)},done,b,30,5,")
    event = day_event(shown(folder, days_as_one=True), 2)
    assert str(event["SUMMARY"]) == "Done 1 of 2: Light holds + Technique drills"
    assert str(event["DESCRIPTION"]).startswith("18:00-18:30 Done: Light holds\n")
    logged(folder, f"{day(2)},done,b,30,5,", f"{day(2)},done,c,30,5,")
    event = day_event(shown(folder, days_as_one=True), 2)
    assert str(event["SUMMARY"]) == "Done: Light holds + Technique drills"


def test_the_diary_can_be_left_out_and_a_server_that_runs_follows_it(folder: Path) -> None:
    from seasonplan.cli.accepted import marks
    from seasonplan.feed.contents import Shelf

    logged(folder, f"{day(1)},done,a,85,7,")
    kept = Wish().layers - {Layer.DIARY}
    assert not any("Done" in one for one in summaries(shown(folder, layers=kept)))
    shelf = Shelf(
        lambda: accepted(folder), lambda: marks(folder / "diary.csv"), wish=Wish(),
        now=lambda: NOW, diary=lambda: diary_rows(folder),
    )  # fmt: skip
    for rows, done in (((), 0), ((f"{day(1)},done,a,85,7,",), 1)):
        logged(folder, *rows)
        content = shelf.contents().parts[Part.SESSIONS].content
        assert sum("Done" in one for one in summaries(events(content))) == done
    (folder / "diary.csv").write_text("half a row", encoding="utf-8")
    assert events(shelf.contents().parts[Part.SESSIONS].content)


# --- places and ways ---------------------------------------------------------------------------


def at_places(tmp_path: Path, **more: Any) -> Path:
    rock = session(
        "r", "redpoint-day", 29, "10:00", 240, block="performance-1", rock="winter-sun",
        role="project",
    )  # fmt: skip
    year = YEAR + PLACES
    return planned(tmp_path, year=year, year_text=year, sessions=(*SESSIONS[:3], rock, SESSIONS[5]))


def test_a_session_its_alarm_and_its_busy_time_hold_the_way(tmp_path: Path) -> None:
    folder = at_places(tmp_path)
    wall, home, _, rock, away = shown(folder, alarm_minutes=30)
    hours = {
        str(one["LOCATION"]): f"{one['DTSTART'].dt:%H:%M}-{one['DTEND'].dt:%H:%M}"
        for one in (wall, home, rock, away)
    }
    assert hours == {
        "The Barn": "17:40-19:50", "Home": "18:00-18:30", "Karst": "09:10-14:50",
        "Isle": "09:00-13:00",
    }  # fmt: skip
    assert str(wall["DESCRIPTION"]).startswith(
        "Leave at 17:40; there 18:00-19:30; back at 19:50.\n"
    )
    assert wall.walk("VALARM")[0].decoded("TRIGGER") == timedelta(minutes=-30)
    assert str(wall["TRANSP"]) == "OPAQUE"


def test_places_have_their_coordinates_and_home_has_none(tmp_path: Path) -> None:
    content = b"\n".join(exported(at_places(tmp_path)).values())
    # RFC 5545 3.8.1.6: latitude, then longitude, six decimals
    assert set(re.findall(rb"\nGEO:([^\r]+)", content)) == {b"48.123457;16", b"45.75;-13.8"}
    assert b"LOCATION:Home" in content
    year, plan = accepted(tmp_path)
    told = part_bytes(year, plan, Part.ROCK, Wish())
    assert [one["GEO"].latitude for one in events(told, category="Season")] == [45.75]


def test_without_the_way_a_session_is_at_its_own_hours(tmp_path: Path) -> None:
    wall, *_ = shown(at_places(tmp_path), way=False)
    assert f"{wall['DTSTART'].dt:%H:%M}-{wall['DTEND'].dt:%H:%M}" == "18:00-19:30"
    assert "Leave at" not in str(wall["DESCRIPTION"])


def test_nobody_goes_home_between_two_sessions_at_one_wall(tmp_path: Path) -> None:
    """The events touch no other; hours apart one does go home, and nothing reads as moved."""
    text = YEAR + PLACES
    stays = session("c", "technique-drills", 1, "19:35", 30)
    later = session("e", "technique-drills", 1, "22:00", 30)
    folder = planned(tmp_path, year=text, year_text=text, sessions=(SESSIONS[0], stays, later))
    first, second, third = shown(folder)
    hours = [f"{one['DTSTART'].dt:%H:%M}-{one['DTEND'].dt:%H:%M}" for one in (first, second, third)]
    assert hours == ["17:40-19:30", "19:35-20:25", "21:40-22:50"]
    assert str(first["DESCRIPTION"]).startswith("Leave at 17:40; there 18:00-19:30.\n")
    assert str(second["DESCRIPTION"]).startswith("There 19:35-20:05; back at 20:25.\n")
    year, plan = accepted(folder)
    files = files_by(year, plan, Wish(), {})
    assert moved(year, plan, files, manner=Wish().manner(year, ())) == []


def test_another_way_changes_the_events_of_that_place_alone(tmp_path: Path) -> None:
    folder = at_places(tmp_path)
    year, plan = accepted(folder)
    before = shown_by(year, plan, Wish(), before={}, now=NOW)
    places = tuple(
        one.model_copy(update={"travel_minutes": 65}) if one.name == "Karst" else one
        for one in year.places
    )
    there = year.model_copy(update={"places": places})
    after = shown_by(there, plan, Wish(), before=before, now=datetime(2027, 2, 1, tzinfo=UTC))
    assert sum(before[uid] != after[uid] for uid in before) == 1


def test_a_trip_tells_its_days_on_the_way(tmp_path: Path) -> None:
    year = YEAR.replace('place = "Isle"', 'place = "Isle"\ntravel_days = 1')
    told, plan = accepted(planned(tmp_path, year=year, year_text=year))
    (trip,) = events(part_bytes(told, plan, Part.ROCK, Wish()), category="Trip")
    assert "On the way: 8 Feb 2027, and 14 Feb 2027." in str(trip["DESCRIPTION"])
    assert str(trip["TRANSP"]) == "OPAQUE"


def test_a_trip_that_is_all_way_is_refused_with_its_line() -> None:
    with pytest.raises(BadInput) as no:
        read(YEAR.replace('place = "Isle"', 'place = "Isle"\ntravel_days = 4'))
    (fault,) = no.value.faults
    assert "`travel_days = 4` each way on a trip of 7 days" in fault.found and fault.line == 30


# --- many edits --------------------------------------------------------------------------------


def test_no_edit_of_many_changes_a_byte_of_an_event_that_shows_the_same(tmp_path: Path) -> None:
    """Three dozen edits drawn at random; `tests/benchmarks/edits.py` draws a thousand."""
    same, changed = checked_edits(at_places(tmp_path), count=36, seed=17)
    assert same > 300 and changed > 30
