"""Sessions that an injury or days off forbid, entered since the plan was made, as a phone has them.

The calendar still holds them, as the plan does; each says that it must be left out.
"""

from __future__ import annotations

from pathlib import Path

from folder_maker import SESSIONS, YEAR, planned
from hurt import hurt_text
from page_lines import lines
from plan_maker import day
from served import NOW
from test_feed_today import TUESDAY

from seasonplan.cli.accepted import accepted
from seasonplan.diary import parse
from seasonplan.explain.sessions import ANEW
from seasonplan.feed.contents import Contents, Wish, contents_of, files_by, shown_by
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.links import Pages
from seasonplan.feed.pages.entry_page import month_page
from seasonplan.ical import ALL, USUAL, Layer, session_uid
from seasonplan.ical.appointments import Appointment

FINGER = hurt_text(
    "Ring finger", "finger", "2027-01-05", "2027-01-20", "2027-02-10", "2027-03-01", side="left"
)
KNEE = hurt_text("Knee", "knee", "2027-01-05", "2027-01-06", "2027-01-07", "2027-01-08")
COLD = '\n[[absence]]\nname = "A cold"\nfirst = 2027-01-05\nlast = 2027-01-06\n'
REASON = (
    "! Leave it out. Your left finger is off until Tue 19 Jan 2027, not back in full until Tue 9 "
    "Feb 2027; this session loads it hard."
)
SEE_HOME = "! Leave it out as it stands here: `seasonplan week {:%Y-%m-%d}` says why."


def entered(folder: Path, more: str, *, before: str = "") -> Path:
    """A plan of the year with `before`, to which `more` was entered after it was made."""
    (folder / "plan.json").unlink(missing_ok=True)
    planned(folder, year=YEAR + before, year_text=YEAR + before)
    (folder / "year.toml").write_text(YEAR + before + more, encoding="utf-8")
    return folder


def made(folder: Path, wish: Wish, diary: str = "") -> Contents:
    rows, pages = parse(diary, file="diary.csv"), Pages("http://me.example")
    return contents_of(*accepted(folder), wish=wish, now=NOW, seen={}, diary=rows, pages=pages)


def told(folder: Path, wish: Wish, diary: str = "") -> dict[str, Appointment]:
    """The events at hours, by what they are called without what is said before it."""
    found = made(folder, wish, diary)
    entries = Entries(found, Present(TUESDAY))._events.values()
    timed = [one for one in entries if isinstance(one, Appointment)]
    return {one.title.rpartition(": ")[2]: one for one in timed}


def test_its_event_says_so_in_its_title_and_why_and_not_how_to_do_it(tmp_path: Path) -> None:
    event = told(entered(tmp_path, FINGER), Wish(layers=ALL))["Light holds"]
    assert event.title == "Leave out: Light holds"
    assert event.description == f"{REASON}\n30 minutes, 4 to warm up; hard, 5 of 10.\n{ANEW}"


def test_without_the_layer_of_injuries_it_says_so_and_not_why(tmp_path: Path) -> None:
    for event in told(entered(tmp_path, FINGER), Wish(layers=USUAL)).values():
        assert "finger" not in event.description.replace("fingers", "")
        if event.title.startswith("Leave out"):
            assert event.description.startswith(f"{SEE_HOME.format(event.start)}\n")
    assert {one.title for one in told(tmp_path, Wish(layers=USUAL)).values()} == {
        "Leave out: Routes on the wall", "Leave out: Light holds", "Leave out: Technique drills",
        "Leave out: Limit bouldering", "Leave out: Redpoint day",
    }  # fmt: skip


def test_the_first_days_hold_no_session_and_the_rest_of_the_plan_the_same_bytes(
    tmp_path: Path,
) -> None:
    """Three days, `first` in shared/injuries.toml (common practice, no source)."""
    before, wish = planned(tmp_path, year_text=YEAR), Wish(layers=ALL)
    was = files_by(*accepted(before), wish, {})
    now = files_by(*accepted(entered(tmp_path, KNEE)), wish, {})
    key = accepted(before)[1].calendar_key
    other = {uid for uid in was if was[uid] != now[uid]}
    sessions = {session_uid(key, one) for one in SESSIONS[:3]}
    assert all(b"SUMMARY:Leave out: " in now[uid] for uid in sessions)
    (block,) = other - sessions
    assert sessions < other and b"What you entered since takes 3 of its 3 sessions" in now[block]


def test_days_off_forbid_them_and_their_name_is_told_where_absences_are(tmp_path: Path) -> None:
    folder = entered(tmp_path, COLD)
    why = "! Leave it out. It was planned before you entered “A cold”."
    assert told(folder, Wish(layers=USUAL))["Light holds"].description.startswith(why)
    quiet = told(folder, Wish(layers=ALL - {Layer.ABSENCES}))["Light holds"]
    assert quiet.title == "Leave out: Light holds" and "cold" not in quiet.description
    assert told(folder, Wish())["Limit bouldering"].title == "Limit bouldering"


def test_a_plan_that_knows_the_injury_says_nothing_of_the_kind(tmp_path: Path) -> None:
    year, plan = accepted(entered(tmp_path, "", before=FINGER))
    assert not Wish().manner(year, plan=plan).refused


def test_what_was_done_is_done_and_not_to_be_left_out(tmp_path: Path) -> None:
    diary = "date,kind,session,minutes,rpe\n2027-01-06,done,b,30,5\n"
    event = told(entered(tmp_path, FINGER), Wish(layers=ALL), diary)["Light holds"]
    assert event.title == "Done: Light holds" and "Leave" not in event.description


def test_a_day_as_one_event_says_how_many_of_its_sessions(tmp_path: Path) -> None:
    days = Wish(layers=ALL, days_as_one=True)
    (both,) = (one for one in told(entered(tmp_path, FINGER), days) if "Technique" in one)
    assert told(tmp_path, days)[both].title == "Leave out: Light holds + Technique drills"
    at_the_knee = hurt_text("Knee", "knee", "2027-01-02", "2027-01-20", "2027-02-10", "2027-03-01")
    some = told(entered(tmp_path, at_the_knee), days)[both]
    assert some.title == "Leave out 1 of 2: Light holds + Technique drills"
    assert "18:30-19:00 Leave out: Technique drills" in some.description


def test_a_phone_takes_it_for_a_change_of_these_events_and_their_block_alone(
    tmp_path: Path,
) -> None:
    was = shown_by(*accepted(planned(tmp_path, year_text=YEAR)), Wish(), before={}, now=NOW)
    now = shown_by(*accepted(entered(tmp_path, KNEE)), Wish(), before=was, now=NOW)
    risen = {uid for uid in was if now[uid].sequence == was[uid].sequence + 1}
    key = accepted(tmp_path)[1].calendar_key
    sessions = {session_uid(key, one) for one in SESSIONS[:3]}
    assert sessions < risen and len(risen - sessions) == 1
    assert {uid for uid in was if now[uid] != was[uid]} == risen


def test_a_published_page_knows_what_was_entered_and_warns_of_no_day_that_is_over(
    tmp_path: Path,
) -> None:
    found = made(entered(tmp_path, FINGER), Wish(layers=ALL))
    month = Entries(found, Present(TUESDAY)).by_month()["2027-01.html"]
    pages = [lines(month_page("January", month, today=day(n))) for n in (1, 2, 3)]
    assert [page.count(REASON) for page in pages] == [1, 1, 0]
    warned = [sum(line.startswith("! Leave") for line in page) for page in pages]
    assert warned == [4, 3, 1], "one of them is to come, on 26 Jan"
    key = found.plan.calendar_key
    titles = {entry.uid: entry.title for entry in month}
    assert titles[session_uid(key, SESSIONS[1])] == "Leave out: Light holds"
