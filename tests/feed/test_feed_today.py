"""What the page says first: today, tomorrow, this week; and what each event's own page says."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import uuid4

import pytest
from folder_maker import SESSIONS, YEAR, planned
from hurt import hurt_text
from page_lines import between, lines
from plan_maker import given
from served import NOW, SECRET, ask, serving
from test_clients import folder as nasty_folder

from seasonplan import ical
from seasonplan.cli.accepted import accepted
from seasonplan.feed.contents import Contents, Wish, contents_of
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.links import Pages
from seasonplan.feed.pages.entry_page import entry_page, month_page
from seasonplan.feed.pages.page import page, page_body
from seasonplan.feed.pages.style import STYLE
from seasonplan.feed.parts import Part
from seasonplan.ical import ALL, USUAL, Layer, session_uid
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year.toml import read_year

BASE = "http://me.example:8642"
TUESDAY = datetime(2027, 1, 5, 10, tzinfo=UTC)
GENERAL = caution("general")
HURT = hurt_text(
    "Ring finger", "finger", "2026-12-20", "2027-01-20", "2027-02-10", "2027-03-01",
    side="left", named_by="clinician",
)  # fmt: skip


def contents(folder: Path, layers: frozenset[Layer] = USUAL) -> Contents:
    made = accepted(folder)
    return contents_of(*made, wish=Wish(layers=layers), now=NOW, seen={}, pages=Pages(BASE))


def shown(folder: Path, present: Present, layers: frozenset[Layer] = USUAL) -> list[str]:
    made = contents(folder, layers)
    body = page_body(made, present, page_secret=SECRET, base=BASE)
    return lines(body.content.decode())


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("plan"))


def test_the_page_begins_with_today_and_tomorrow(folder: Path) -> None:
    told = shown(folder, Present(TUESDAY))
    assert told[:2] == ["Climbing year", "Subscribe · The year"]
    assert between(told, "Today, Tue 5 Jan", "This week") == [
        "Today, Tue 5 Jan",
        "Base block, week 1 of 3.",
        "18:00-19:30 Routes on the wall",
        "90 minutes, 15 to warm up; hard, 6 of 10. With: wall, partner.",
        "6 routes, each tried once with full attention, turns with your partner as the rest.",
        "Step 1: Routes two grades under your best; clip without hurry.",
        "Step by step",
        "Take care",
        "Check each other's knot and belay before every route.",
        "Tomorrow, Wed 6 Jan",
        "Base block, week 1 of 3.",
        "18:00-18:30 Light holds",
        "30 minutes, 4 to warm up; hard, 5 of 10. With: hangboard.",
        "10 holds on two grips, feet loaded, 30 to 60 s between.",
        "Step 1: 10 holds of 10 s at 40 % of your maximum; learn how much the feet must take.",
        "Step by step",
        "18:30-19:00 Technique drills",
        "30 minutes, 7 to warm up; somewhat hard, 4 of 10. With: wall.",
        "2 drills on easy ground, 10 min each, one thing at a time: this week's first, then silent "
        "feet, straight arms, slow moves, the same moves three ways. Rest before you get tired.",
        "Step 1: Silent feet: every foothold is looked at until the foot stands.",
        "Step by step",
        "Take care",
        "Light means light: at most effort 3 of 10; below that the dose is yours. An addition to "
        "hard work: at 60 % maximal force did not rise in a four-week trial. Once a day at first, "
        "one day in seven without any finger work. Who did this and gained chose it themselves, "
        "so it is no proof.",
        "Fresh head, easy holds.",
    ]


def test_then_comes_this_week(folder: Path) -> None:
    told = shown(folder, Present(TUESDAY))
    assert between(told, "This week", "A phone that subscribes at a tap") == [
        "This week",
        "This week builds endurance.",
        "Mon 4 Jan", "Rest day.",
        "Tue 5 Jan", "18:00-19:30 Routes on the wall, hard 6/10.",
        "Wed 6 Jan", "18:00-18:30 Light holds, hard 5/10.",
        "18:30-19:00 Technique drills, somewhat hard 4/10.",
        "Thu 7 Jan", "Rest day.",
        "Fri 8 Jan", "Rest day.",
        "Sat 9 Jan", "Rest day.",
        "Sun 10 Jan", "Rest day.",
        "Subscribe",
    ]  # fmt: skip


def test_then_come_the_ways_to_subscribe_by_kind_of_phone_and_last_the_year(folder: Path) -> None:
    told = shown(folder, Present(TUESDAY))
    rest = told[told.index("A phone that subscribes at a tap") :]
    headings = [
        "A phone that subscribes at a tap", "A phone that takes a link", "A calendar on the web",
        "Another phone", "The year", "The blocks in words",
    ]  # fmt: skip
    assert [line for line in rest if line in headings] == headings
    buttons = between(rest, headings[0], headings[1])
    assert buttons == [
        headings[0], "Climbing year", "Everything in one calendar.",
        "Training blocks", "What each stretch of weeks is for.",
        "Climbing sessions", "What to do, at its hour.",
        "Seasons and trips", "When the rock is good, and when you are away.",
    ]  # fmt: skip
    links = between(rest, headings[1], headings[2])
    assert sum(line.endswith(".ics") for line in links) == 4 and len(links) == 2 + 8
    assert between(rest, headings[2], headings[3])[1:] == [
        "A calendar on the web fetches from its own servers, which cannot reach your home "
        "network: publish to a place that they reach, with seasonplan publish.",
        "A calendar asks again when it likes: most within hours, some once a day. Reminders are "
        "often left out of subscribed calendars: set them in the phone.",
        "These links are secret: who has one can read that calendar. If one gets out, make new "
        "ones: seasonplan serve --new-address.",
    ]
    assert rest[rest.index(headings[5]) :] == [
        headings[5], "Block Days", "Base block 4 to 24 Jan 2027",
        "Strength block 25 to 31 Jan 2027", "Performance block 1 to 7 Feb 2027",
        "Trip “Isle” 8 to 14 Feb 2027", "Absence “Fair” 15 to 21 Feb 2027",
        "Rest block 22 to 28 Feb 2027", "Form and load", GENERAL,
    ]  # fmt: skip


def test_the_page_of_a_session_has_the_whole_how_to(folder: Path) -> None:
    made = contents(folder)
    with serving(folder) as served:
        uid = session_uid(made.plan.calendar_key, SESSIONS[0])
        reply = served.get(served.page + uid)
        told = lines(reply.content.decode())
        assert "script-src" not in reply.headers["content-security-policy"]
    assert reply.status == 200 and "form" not in reply.content.decode().partition("<body>")[2]
    assert told[:8] == [
        "Today and this week", "Routes on the wall", "Tue 5 Jan 2027, 18:00-19:30",
        "90 minutes, 15 to warm up; hard, 6 of 10. With: wall, partner.",
        "Warm up", "5 min: get the pulse up, then shoulders and wrists.",
        "10 min: one very easy route, then one easy one.",
        "Do",
    ]  # fmt: skip
    assert "New this week" in told and told[told.index("When to stop") + 1].startswith("Two falls")
    assert told[told.index("Why") + 1] == "Base block, to build endurance."
    assert told[-3:-1] == ["Take care", "Check each other's knot and belay before every route."]


@pytest.mark.parametrize(
    ("now", "first", "second"),
    [
        # Vienna is an hour ahead of UTC in winter
        (datetime(2027, 1, 4, 22, 59, tzinfo=UTC), "Today, Mon 4 Jan", "Tomorrow, Tue 5 Jan"),
        (datetime(2027, 1, 4, 23, 0, tzinfo=UTC), "Today, Tue 5 Jan", "Tomorrow, Wed 6 Jan"),
    ],
)
def test_the_day_turns_at_midnight_where_the_climber_is(
    folder: Path, now: datetime, first: str, second: str
) -> None:
    told = shown(folder, Present(now))
    assert first in told and second in told


def test_a_new_day_is_told_to_who_has_the_page_of_the_day_before(folder: Path) -> None:
    clock = [TUESDAY]
    with serving(folder, now=lambda: clock[0]) as served:
        before = served.get(served.page)
        said = {
            "if_none_match": before.headers["etag"],
            "if_modified_since": before.headers["last-modified"],
        }
        assert served.get(served.page, **said).status == 304
        clock[0] = TUESDAY.replace(day=6)
        for name in said:
            assert served.get(served.page, **{name: said[name]}).status == 200


def test_outside_the_year_the_page_says_so_and_names_what_comes_next(folder: Path) -> None:
    told = shown(folder, Present(datetime(2026, 12, 1, tzinfo=UTC)))
    early = [line for line in told if "your year has not begun. It runs from Mon 4 Jan" in line]
    assert early == [told[3]] and early[0].startswith("Tue 1 Dec 2026")
    assert "Next: Tue 5 Jan 2027, 18:00-19:30, Routes on the wall." in told
    assert "This week" not in told
    after = shown(folder, Present(datetime(2027, 6, 1, tzinfo=UTC)))
    assert not [line for line in after if line.startswith("Next")]


# --- what to mind -----------------------------------------------------------------------------


def test_an_injury_that_may_be_shown_is_told_with_what_is_not_yet(tmp_path: Path) -> None:
    folder = planned(tmp_path, year=YEAR + HURT)
    told = shown(folder, Present(TUESDAY), ALL)
    today = between(told, "Today, Tue 5 Jan", "Tomorrow, Wed 6 Jan")
    assert today[2] == "Not yet" and today[3].startswith(
        "Left finger, off until Tue 19 Jan 2027. Not yet: anything that loads the hurt part."
    )
    assert today[4] == caution("injury")
    warned = next(line for line in today if line.startswith("! Leave it out."))
    assert "Your left finger is off until Tue 19 Jan 2027" in warned
    assert not [line for line in today if "Step by step" in line], "nobody is told how to do it"
    assert told.count("! Leave it out.") == 3, "in the week, too"
    made = contents(folder, ALL)
    entry = Entries(made, Present(TUESDAY)).get(session_uid(made.plan.calendar_key, SESSIONS[0]))
    assert entry and entry.not_yet == tuple(today[3:5]) and entry.session
    assert entry.session.refusal == warned and not entry.session.steps


def test_without_their_layer_nothing_tells_of_an_injury_but_that_it_must_be_left_out(
    tmp_path: Path,
) -> None:
    parts = (given(Kind.INJURED, 0, 56, entry="ring-finger", phase=Phase.OFF),)
    folder = planned(tmp_path, year=YEAR + HURT, blocks=parts, sessions=())
    quiet = planned_text(folder)
    for word in ("finger", "Injur", "injur", "physiotherapist about", "Not yet", "off until"):
        assert word not in quiet.replace(GENERAL, "")
    (tmp_path / "two").mkdir()
    late = planned(tmp_path / "two", year=YEAR + HURT)
    told = shown(late, Present(TUESDAY))
    assert "! Leave it out as it stands here: seasonplan week 2027-01-05 says why." in told
    assert "Left finger" not in "".join(told) and caution("injury") not in told


def planned_text(folder: Path) -> str:
    return "\n".join(shown(folder, Present(TUESDAY)))


def test_what_was_hurt_since_the_plan_was_made_counts_at_once(folder: Path) -> None:
    hurt = read_year(YEAR + HURT, file="year.toml").injuries
    before = shown(folder, Present(TUESDAY), ALL)
    after = shown(folder, Present(TUESDAY, injuries=hurt), ALL)
    assert "Not yet" not in before and "Not yet" in after
    assert len([line for line in after if line.startswith("! Leave it out. Your left")]) == 3


def test_who_is_young_or_did_not_say_is_told_what_that_means(tmp_path: Path) -> None:
    found = []
    unsaid = "No year of birth is entered. If you are under 18: hard or daily finger loading, hangs"
    for born in ("birth_year = 1990\n", "birth_year = 2011\n", ""):
        (tmp_path / f"of {born[-5:-1]}").mkdir()
        year = YEAR.replace("birth_year = 1990\n", born)
        folder = planned(tmp_path / f"of {born[-5:-1]}", year=year)
        told = shown(folder, Present(datetime(2027, 1, 26, tzinfo=UTC)))
        found.append((caution("young") in told, any(unsaid in line for line in told)))
    assert found == [(False, False), (True, False), (False, True)]


@pytest.mark.parametrize(
    ("layer", "day", "words"),
    [
        (Layer.SESSIONS, 5, ["Routes on the wall", "Light holds", "Step by step"]),
        (Layer.BLOCKS, 5, ["Base block"]),
        (Layer.TRIPS, 40, ["Isle"]),
        (Layer.ABSENCES, 47, ["Fair"]),
        (Layer.SEASONS, 32, ["Karst"]),
    ],
)
def test_what_is_left_out_of_the_calendars_is_left_out_of_the_page(
    folder: Path, layer: Layer, day: int, words: list[str]
) -> None:
    present = Present(datetime.fromordinal(date(2026, 12, 31).toordinal() + day).astimezone(UTC))
    whole = "\n".join(shown(folder, present))
    less = "\n".join(shown(folder, present, USUAL - {layer}))
    for word in words:
        assert word in whole and word not in less


# --- links ------------------------------------------------------------------------------------


def test_every_event_of_every_calendar_links_to_its_entry_under_the_same_secret(
    folder: Path,
) -> None:
    with serving(folder) as served:
        for part in Part:
            content = served.get(served.url(part)).content.replace(b"\r\n ", b"").decode()
            links = re.findall(r"\r\nURL:(\S+)", content)
            titles = re.findall(r"\r\nSUMMARY:([^\r]+)", content)
            assert len(links) == content.count("BEGIN:VEVENT") > 1
            secret = served.url(part).split("/")[3]
            assert all(link.startswith(f"{served.base}/{secret}/") for link in links)
            for link, title in list(zip(links, titles, strict=True))[:4]:
                html = served.get(link).content.decode()
                assert title.replace("\\,", ",") in lines(html)
                assert "./" not in html, "who has the link of a calendar is not led to the page"


def test_a_calendar_has_no_entry_of_what_it_does_not_show(folder: Path) -> None:
    made = contents(folder)
    uid = session_uid(made.plan.calendar_key, SESSIONS[0])
    with serving(folder) as served:
        found = {part: ask(served.url(part).replace(part.file, uid)).status for part in Part}
        assert served.get(served.page + uid[:-1]).status == 404
    assert found == {Part.ALL: 200, Part.SESSIONS: 200, Part.BLOCKS: 404, Part.ROCK: 404}


def test_an_event_that_holds_a_whole_day_leads_to_each_of_its_sessions(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = contents(folder)
    single = {str(one.uid): one for one in ical.events(made.year, made.plan)}
    first, second = (session_uid(made.plan.calendar_key, one) for one in SESSIONS[1:3])
    day = replace(single[first], uid=uuid4(), title="Wednesday")  # type: ignore[type-var]
    monkeypatch.setattr("seasonplan.feed.entries.events", lambda *_, **__: [day])
    entries = Entries(made, Present(TUESDAY))
    entry = entries.get(str(day.uid))
    assert entry and [part.uid for part in entry.parts] == [first, second]
    html = entry_page(entry, home=False)
    assert re.findall(r'<a class="go" href="([^"]+)"', html) == [first, second]
    assert entries.get(first) and entries.get(second), "which have pages of their own"
    (month,) = entries.by_month().values()
    whole = month_page("January", month, today=TUESDAY.date())
    assert f'id="{day.uid}"' in whole and f'id="{second}"' in whole and "Fresh head" in whole


def test_the_address_is_no_change_of_an_event_and_to_have_one_is_a_single_one(
    folder: Path,
) -> None:
    year, plan = accepted(folder)
    known: list[dict[str, int]] = []
    shown_before = None
    for pages in (None, Pages("http://a.example"), Pages("http://b.example"), Pages("https://c")):
        made = contents_of(
            year, plan, wish=Wish(), now=NOW, seen={}, before=shown_before, pages=pages
        )
        shown_before = made.shown
        known.append({uid: one.sequence for uid, one in made.shown.items()})
    assert set(known[0].values()) == {0} and set(known[1].values()) == {1}
    assert known[1] == known[2] == known[3]


def test_a_page_that_is_written_once_names_days_and_not_today(folder: Path) -> None:
    made = contents(folder)
    links = [(part, f"../x/{part.file}") for part in Part]
    entries = Entries(made, Present(TUESDAY))
    told = lines(page(made, entries, today=date(2027, 1, 5), links=links))
    assert told[2] == "From Tue 5 Jan 2027"
    assert not [line for line in told if line.startswith(("Today", "Tomorrow"))]
    assert (
        "This page was written on Tue 5 Jan 2027 and knows no other day. Publish again to "
        + ("bring it up to date.")
        in told
    )
    assert "Mon 18 Jan" in told and "Tue 19 Jan" not in told


def test_nothing_that_a_person_wrote_becomes_markup_on_any_page(nasty_folder: Path) -> None:
    made = contents(nasty_folder, ALL)
    for now in (NOW, replace_day(made)):
        present = Present(now)
        entries = Entries(made, present)
        pages = [page_body(made, present, page_secret=SECRET, base=BASE).content.decode()]
        found_all = [one for month in entries.by_month().values() for one in month]
        for found in found_all[:60]:
            pages.append(entry_page(found, home=True, written="<b>", token="x"))
        for html in pages:
            assert "<script" not in html and "<img" not in html and "<b>" not in html


def replace_day(made: Contents) -> datetime:
    first = made.plan.current.sessions[0].day
    return replace(Present(NOW), now=datetime(first.year, first.month, first.day, tzinfo=UTC)).now
