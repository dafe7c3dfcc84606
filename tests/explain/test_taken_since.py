"""A trip, days off or less time forbid home sessions as soon as they are entered, on every face.

The demo year has a week of June in which fingers are trained most, at home.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from folder_maker import YEAR, demo_copy, session
from hurt import hurt_text
from page_lines import lines
from places import ROOT
from stage import opened, slip, week, words
from test_harm import said
from week_stage import at_week

from seasonplan.cli.accepted import accepted
from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.explain.agenda import Agenda
from seasonplan.explain.sessions import ANEW
from seasonplan.explain.taken_since import taken_text
from seasonplan.feed.contents import Wish, contents_of
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.links import Pages
from seasonplan.feed.pages.page import page_body
from seasonplan.ical import ALL, USUAL, Layer
from seasonplan.ical.appointments import Appointment
from seasonplan.workspace.desk import Desk

NOW = datetime(2027, 6, 15, 10, tzinfo=UTC)
TODAY, WEEK = NOW.date(), Span(date(2027, 6, 14), date(2027, 6, 21))
DAY = ("--today", "2027-06-15")
WEDDING = '[[trip]]\nname = "Wedding"\nfirst = 2027-06-15\nlast = 2027-06-17\nclimbing = false\n'
ISLE = """\
[[trip]]
name = "Isle"
first = 2027-06-15
last = {last}
place = "Isle"
discipline = "sport"
"""
EXAMS = '[[absence]]\nname = "Exams"\nfirst = 2027-06-14\nlast = 2027-06-16\nleft = 0.5\n'
FINGER = hurt_text(
    "Ring finger", "finger", "2027-06-15", "2027-07-01", "2027-07-20", "2027-08-10"
)  # fmt: skip
OUT = "! Leave it out. You are away: it was planned before you entered “{}”."
LESS = "! Leave it out. You have less time: it was planned before you entered “Exams”."
FOUR_OUT = "This week was to train fingers most; 3 of its 7 sessions are left."


def entered(into: Path, more: str) -> Path:
    folder = demo_copy(into)
    (folder / "year.toml").write_text((folder / "year.toml").read_text() + f"\n{more}")
    return folder


def agenda_of(folder: Path) -> Agenda:
    desk = Desk(folder)
    assert desk.standing
    return Agenda(desk.year, desk.standing, book=desk.recipes, taken=desk.taken_since)


def told(agenda: Agenda) -> dict[tuple[int, str], str]:
    """What is said of the sessions of that week, by day and recipe."""
    here = (one for one in agenda.revision.sessions if one.day in WEEK)
    return {(one.day.day, one.recipe): agenda.harm_text(one) for one in here}


def events(folder: Path, layers: frozenset[Layer]) -> Iterator[Appointment]:
    wish = Wish(layers=layers)
    made = contents_of(*accepted(folder), wish=wish, now=NOW, seen={}, pages=Pages("http://a.b"))
    timed = Entries(made, Present(NOW))._events.values()
    yield from (e for e in timed if isinstance(e, Appointment) and e.start.date() in WEEK)


def page_of(folder: Path) -> list[str]:
    made = contents_of(*accepted(folder), wish=Wish(layers=ALL), now=NOW, seen={})
    html = page_body(made, Present(NOW), page_secret="s" * 32, base="http://a.b").content
    return lines(html.decode())


@pytest.mark.parametrize(("more", "name"), [(WEDDING, "Wedding"), (ISLE, "Isle")])
def test_on_a_new_trip_every_home_session_is_to_be_left_out(
    tmp_path: Path, more: str, name: str
) -> None:
    found = told(agenda_of(entered(tmp_path, more.format(last="2027-06-17"))))
    assert {day for (day, _), text in found.items() if text == OUT.format(name)} == {15, 16, 17}
    assert {text for (day, _), text in found.items() if day not in (15, 16, 17)} == {""}


def test_less_time_bars_what_no_longer_fits_and_that_alone(tmp_path: Path) -> None:
    """The first half of the free time of each day is left."""
    more = EXAMS.replace("2027-06-16", "2027-06-20")
    found = told(agenda_of(entered(tmp_path, more)))
    assert found.pop((19, "limit-bouldering")) == found.pop((20, "mobility")) == ""
    assert set(found.values()) == {LESS}


@pytest.mark.parametrize(("way", "fits"), [(5, True), (10, False)])
def test_the_way_to_the_wall_must_fit_too(way: int, fits: bool) -> None:
    """Half of 18:00 to 19:30 ends at 18:45; half an hour of routes from 18:10."""
    less = '[[absence]]\nname = "Exams"\nfirst = 2027-01-05\nlast = 2027-01-05\nleft = 0.5\n'
    there = YEAR.replace("birth_year", f"wall_travel_minutes = {way}\nbirth_year")
    year = read(f"{there}\n{less}")
    routes = session("a", "route-volume", 1, "18:10", 30)
    assert (taken_text(routes, year, since=year) == "") is fits


def test_less_time_bars_a_day_at_the_rock_that_is_too_long_for_it(tmp_path: Path) -> None:
    some = EXAMS.replace("2027-06-14", "2027-04-03").replace("2027-06-16", "2027-04-03")
    agenda = agenda_of(entered(tmp_path, some))
    out = [one for one in agenda.revision.sessions if agenda.harm_text(one)]
    assert [(one.day, one.minutes) for one in out] == [(date(2027, 4, 3), 240)]
    assert out[0].rock == "larchfold-spring" and agenda.harm_text(out[0]) == LESS


def test_easy_days_outside_the_seasons_keep_clear_of_any_absence(tmp_path: Path) -> None:
    folder = demo_copy(tmp_path, "half-an-hour")
    more = EXAMS.replace("2027-06-14", "2027-05-16").replace("2027-06-16", "2027-05-16")
    (folder / "year.toml").write_text((folder / "year.toml").read_text() + f"\n{more}")
    agenda = agenda_of(folder)
    out = [one for one in agenda.revision.sessions if agenda.harm_text(one)]
    assert [one.rock for one in out] == ["mountain-days"]


def test_a_session_put_on_the_trip_by_the_climber_is_theirs_to_do(tmp_path: Path) -> None:
    name = "strength-2/2027-06-14/antagonists-1"
    wish = f'[[session]]\nsession = "{name}"\nday = 2027-06-16\nstart = "08:00"\n'
    found = told(agenda_of(entered(tmp_path, f"{WEDDING}\n{wish}")))
    assert found[16, "antagonists"] == "" and found[15, "long-easy-climbing"]


def test_a_plan_that_knows_the_trip_bars_nothing_until_the_trip_moves(tmp_path: Path) -> None:
    folder = entered(tmp_path, ISLE.format(last="2027-06-24"))
    said("replan", str(folder), "--accept", *DAY)
    knows = agenda_of(folder)
    assert {knows.harm_text(one) for one in knows.revision.sessions} == {""}
    there = [one.day for one in knows.revision.sessions if one.rock == "isle"]
    assert min(there) < date(2027, 6, 18) < max(there)
    year = folder / "year.toml"
    year.write_text(year.read_text().replace("first = 2027-06-15", "first = 2027-06-18"))
    moved = agenda_of(folder)
    no_longer = [one for one in moved.revision.sessions if moved.harm_text(one)]
    assert {one.rock for one in no_longer} == {"isle"}
    assert {one.day for one in no_longer} == {day for day in there if day < date(2027, 6, 18)}
    changed = "! Leave it out. It was planned before you changed “Isle”."
    assert {moved.harm_text(one) for one in no_longer} == {changed}


def test_a_trip_without_climbing_is_called_a_trip_in_every_face(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING.replace("06-17", "06-24"))
    said("replan", str(folder), "--accept", *DAY)
    assert "Trip “Wedding” 15 to 24 Jun 2027" in page_of(folder)
    assert ': trip "Wedding", days 1 to 6 of 10' in said("week", str(folder), "--plain", *DAY)
    row = next(line for line in said("show", str(folder), *DAY).splitlines() if "15 Jun to" in line)
    assert row.endswith("load      -  “Wedding”")


def test_what_was_planned_on_days_of_a_trip_that_are_over_counts_no_more(tmp_path: Path) -> None:
    folder = entered(tmp_path, ISLE.format(last="2027-06-24"))
    said("replan", str(folder), "--accept", "--today", "2027-06-18")
    week = said("week", str(folder), "--plain", "--today", "2027-06-18")
    assert week.count('It was planned before you entered "Isle"') == 4
    assert "3 sessions" in week and "was to" not in week


def test_today_and_week_say_it_what_is_left_and_how_to_plan_anew(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING)
    plain = OUT.format("Wedding").replace("“", '"').replace("”", '"').rstrip(".")
    anew = ANEW.replace("replan", f"replan {folder}")
    today, week = (said(verb, str(folder), "--plain", *DAY) for verb in ("today", "week"))
    assert (today.count(plain), week.count(plain)) == (1, 4)
    assert (today.count(anew), week.count(anew)) == (1, 1)
    assert "Next: Sat 19 Jun 2027" in today and "on the wall, up" not in today
    assert FOUR_OUT in week and "3 sessions, 2 h 15 min" in week


def test_a_day_in_place_of_a_folder_is_in_no_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seen: `seasonplan replan 2027-06-16`."""
    monkeypatch.chdir(entered(tmp_path, WEDDING))
    assert ANEW in said("week", "2027-06-16", "--plain", *DAY)


def test_json_has_the_same_sentences(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING)
    day, week = (json.loads(said(one, str(folder), "--json", *DAY)) for one in ("today", "week"))
    assert day["sessions"][0]["leave_out"] == OUT.format("Wedding")
    assert day["anew"] == week["anew"] == ANEW and day["next"]["day"] == "2027-06-19"
    out = [one["leave_out"] for each in week["days"] for one in each["sessions"]]
    assert [text for text in out if text] == [OUT.format("Wedding")] * 4
    assert week["minutes"] == 135
    fresh = json.loads(said("week", str(demo_copy(tmp_path / "other")), "--json", *DAY))
    assert fresh["anew"] is None


async def test_the_terminal_marks_them_and_its_head_says_what_is_left(tmp_path: Path) -> None:
    async with opened(entered(tmp_path, WEDDING), today=TODAY, size=(160, 50)) as pilot:
        await at_week(pilot)
        assert FOUR_OUT in words(pilot)
        told = " ".join(slip(pilot).split())
        assert OUT.format("Wedding") in told
        assert "r makes a plan that goes by what you entered." in told
        assert "Warm up 2 min" not in told and "press-ups" not in told, "not how to do it"


async def test_the_terminal_tells_of_one_that_was_done_how_it_is_done(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING)
    done = "date,kind,session\n2027-06-15,done,strength-2/2027-06-14/long-easy-climbing-1\n"
    (folder / "diary.csv").write_text(done)
    async with opened(folder, today=TODAY, size=(160, 50)) as pilot:
        await at_week(pilot)
        week(pilot).action_session(-1)
        await pilot.pause()
        told = " ".join(slip(pilot).split())
    assert "Long easy climbing" in told and "Warm up" in told and "Leave it out" not in told


def test_event_and_page_say_it_too_where_trips_are_told(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING)
    out = [one for one in events(folder, USUAL) if one.title.startswith("Leave out: ")]
    assert len(out) == 4 and all(one.description.endswith(ANEW) for one in out)
    assert all(one.description.startswith(OUT.format("Wedding")) for one in out)
    page = page_of(folder)
    assert OUT.format("Wedding") in page and FOUR_OUT in page


def test_an_event_that_may_not_say_why_names_the_week_that_does(tmp_path: Path) -> None:
    folder = entered(tmp_path, WEDDING)
    quiet = [e for e in events(folder, USUAL - {Layer.TRIPS}) if e.title.startswith("Leave")]
    for event in quiet:
        day = f"{event.start:%Y-%m-%d}"
        assert event.description.startswith(
            f"! Leave it out as it stands here: `seasonplan week {day}` says why.\n"
        )
        assert OUT.format("Wedding").rstrip(".") in said("week", str(folder), day, *DAY).replace(
            "\n            ", " "
        )
    assert len(quiet) == 4


async def test_a_week_with_a_hurt_finger_is_not_said_to_train_fingers(tmp_path: Path) -> None:
    folder = entered(tmp_path, FINGER)
    gone = "This week was to train fingers most; 2 of its 7 sessions are left."
    assert gone in said("week", str(folder), "--plain", *DAY)
    assert gone in page_of(folder)
    async with opened(folder, today=TODAY, size=(160, 50)) as pilot:
        await at_week(pilot)
        assert gone in words(pilot) and "trains fingers most" not in words(pilot)


def test_a_week_that_keeps_its_sessions_is_told_as_planned(tmp_path: Path) -> None:
    assert "This week trains fingers most." in page_of(demo_copy(tmp_path))
    assert "was to" not in said("week", str(tmp_path / "autumn-project"), "--plain", *DAY)


def test_no_plan_that_knows_its_year_lacks_time_for_a_session_at_home() -> None:
    """Judged with every trip and absence taken for new."""
    seen = 0
    for folder in sorted((ROOT / "calendars_demo").iterdir()):
        if (folder / "plan.json").exists():
            desk = Desk(folder)
            assert desk.standing
            for one in desk.standing.sessions:
                assert taken_text(one, desk.year, since=desk.year) == ""
                seen += 1
    assert seen > 500, "sessions really looked at"


def test_days_that_are_over_and_were_taken_before_a_new_plan_count_no_more(tmp_path: Path) -> None:
    folder = entered(tmp_path, EXAMS.replace("0.5", "0").replace("Exams", "Storm"))
    week = said("week", str(folder), "--plain", "--today", "2027-06-18")
    assert week.count('It was planned before you entered "Storm"') == 3
    assert "4 sessions" in week and "4 of its 7 sessions are left" in week
