"""The pages of events in each manner of the calendar: days as one, the way, what was done."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest
from answered import A, B, C, answer, answering, page_of, uid
from folder_maker import SESSIONS, YEAR, planned
from page_lines import between, filled, lines
from served import NOW, SECRET, ask
from test_calendar_manner import PLACES
from test_feed_today import HURT, TUESDAY

from seasonplan.cli.accepted import accepted
from seasonplan.diary import parse
from seasonplan.feed.contents import Contents, Wish, contents_of
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.links import Pages
from seasonplan.feed.pages.answers import FORM
from seasonplan.feed.pages.entry_page import entry_page, month_page
from seasonplan.feed.pages.page import page_body
from seasonplan.feed.parts import Part
from seasonplan.ical import USUAL, Layer
from seasonplan.ical.happenings import Happening
from seasonplan.rules.tables import caution

DONE = "date,kind,session,minutes,rpe\n2027-01-05,done,a,85,7\n"
DAYS = Wish(days_as_one=True)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("plan"), year=YEAR + PLACES)


def made(folder: Path, wish: Wish = DAYS, diary: str = "") -> Contents:
    rows = parse(diary, file="diary.csv")
    pages = Pages("http://me.example")
    return contents_of(*accepted(folder), wish=wish, now=NOW, seen={}, diary=rows, pages=pages)


def day_uid(found: Contents, n: int) -> str:
    """The event of a day, as its link in the calendar names it."""
    from seasonplan.ical import events

    told = events(found.year, found.plan, manner=found.manner)
    starts = {str(one.uid): one for one in told if not isinstance(one, Happening)}
    wanted = SESSIONS[n].day
    return next(uid for uid, one in starts.items() if one.start.date() == wanted)


def page_lines(found: Contents, uid: str) -> list[str]:
    entry = Entries(found, Present(TUESDAY)).get(uid)
    assert entry
    return lines(entry_page(entry, home=False))


def test_the_event_of_a_day_with_one_session_leads_to_that_session(folder: Path) -> None:
    found = made(folder)
    entry = Entries(found, Present(TUESDAY)).get(day_uid(found, 0))
    assert entry and entry.uid == uid(A) and entry.session and not entry.parts


def test_such_a_day_is_answered_where_its_link_leads(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    with answering(folder, wish=DAYS) as served:
        url = served.url(Part.ALL).replace(Part.ALL.file, day_uid(served.shelf.contents(), 0))
        html = ask(url).content.decode()
        assert f'action="{uid(A)}"' in html and '<a href="#answer">Answer</a>' in html
        there = url.rpartition("/")[0] + "/" + uid(A)
        reply = ask(
            there, method="POST", body=filled(html, did="done"), content_type=FORM,
            origin=served.base,
        )  # fmt: skip
        assert reply.status == 303


def test_a_month_has_both_names_of_a_day_with_one_session_and_tells_it_once(folder: Path) -> None:
    found = made(folder)
    html = month_page(
        "January", Entries(found, Present(TUESDAY)).by_month()["2027-01.html"], today=TUESDAY.date()
    )
    assert f'id="{day_uid(found, 0)}"' in html and f'id="{uid(A)}"' in html
    assert lines(html).count("Routes on the wall") == 1
    assert html.count(f'id="{uid(B)}"') == html.count(f'id="{uid(C)}"') == 1


@pytest.mark.parametrize("wish", [DAYS, Wish()])
def test_what_was_done_looks_done_on_its_page_and_in_the_week(folder: Path, wish: Wish) -> None:
    found = made(folder, wish, DONE)
    told = page_lines(found, uid(A))
    assert "Done: Routes on the wall" in told and "Done: 85 minutes, effort 7 of 10." in told
    week = page_body(found, Present(TUESDAY), page_secret=SECRET, base="http://me.example")
    assert b"Routes on the wall</a>, hard 6/10. <b>done</b>" in week.content
    hidden = made(folder, wish.model_copy(update={"layers": USUAL - {Layer.DIARY}}), DONE)
    assert "Routes on the wall" in page_lines(hidden, uid(A))
    week = page_body(hidden, Present(TUESDAY), page_secret=SECRET, base="http://me.example")
    assert b"<b>done</b>" not in week.content


def test_without_the_diary_a_page_tells_that_it_was_answered_and_not_what(tmp_path: Path) -> None:
    wish = Wish(layers=USUAL - {Layer.DIARY})
    with answering(planned(tmp_path), wish=wish) as served:
        assert answer(served, did="done", effort="7").status == 303
        told = lines(page_of(served))
        week = lines(ask(served.page).content.decode())
    assert "In your diary: an answer, which is not shown here." in told
    assert not [line for line in [*told, *week] if "effort 7" in line or "done" in line.split()]


def test_a_page_says_where_a_session_is_and_when_to_leave(folder: Path) -> None:
    going = "The Barn. Leave at 17:40; there 18:00-19:30; back at 19:50."
    found = made(folder, Wish())
    assert going in page_lines(found, uid(A))
    today = page_body(found, Present(TUESDAY), page_secret=SECRET, base="http://me.example")
    assert going in between(lines(today.content.decode()), "Today, Tue 5 Jan", "This week")
    assert "The Barn." in page_lines(made(folder, Wish(way=False)), uid(A))


def test_the_page_of_a_block_gives_the_general_caution_once(folder: Path) -> None:
    found = made(folder)
    entry = next(
        one for one in Entries(found, Present(TUESDAY)).by_month()["2027-01.html"]
        if caution("general") in one.lines
    )  # fmt: skip
    assert page_lines(found, entry.uid).count(caution("general")) == 1


def test_a_trip_with_its_travel_days_has_days_to_rest_between(tmp_path: Path) -> None:
    isle = 'name = "Isle"\n'
    year = YEAR.replace(isle, f"{isle}travel_days = 1\n")
    week = datetime(2027, 2, 10, 10, tzinfo=UTC)
    made_ = made(planned(tmp_path, year=year), Wish())
    html = page_body(made_, Present(week), page_secret=SECRET, base="http://me.example").content
    told = [one for one in lines(html.decode()) if one.startswith("On the trip")]
    assert told.count("On the trip “Isle”: a day to travel.") == 2
    assert "On the trip “Isle”: a day to rest." in told


def test_what_is_over_is_not_to_be_left_out_any_more(tmp_path: Path) -> None:
    late = made(planned(tmp_path, year=YEAR + HURT), Wish())
    told: dict[int, int] = {}
    for day in (5, 7):
        now = Present(datetime(2027, 1, day, 10, tzinfo=UTC))
        html = page_body(late, now, page_secret=SECRET, base="http://me.example").content.decode()
        told[day] = between(lines(html), "This week", "Subscribe").count("! Leave it out.")
    assert told == {5: 3, 7: 0}


def test_the_link_of_an_event_that_is_no_more_says_so(folder: Path) -> None:
    with answering(folder) as served:
        for url in (served.page, served.url(Part.ALL).removesuffix(Part.ALL.file)):
            reply = ask(url + str(uuid4()))
            assert reply.status == 404 and reply.headers["content-type"].startswith("text/html")
            told = lines(reply.content.decode())
            assert "No longer planned" in told
            assert ("Today and this week" in told) == (url == served.page)
        stranger = ask(served.page.replace(SECRET, SECRET[::-1]) + str(uuid4()))
    assert stranger.content == b"Nothing is here.\n"


@pytest.mark.parametrize("part", [Part.ALL, Part.SESSIONS])
def test_the_page_of_a_session_on_a_trip_has_the_place_of_its_event(
    folder: Path, part: Part
) -> None:
    found = made(folder, Wish())
    entry = Entries(found, Present(TUESDAY), part).get(uid(SESSIONS[5]))
    assert entry and "Isle." in entry.lines
    content = found.parts[part].content.replace(b"\r\n ", b"").decode()
    event = next(one for one in content.split("BEGIN:VEVENT") if uid(SESSIONS[5]) in one)
    assert "LOCATION:Isle" in event
