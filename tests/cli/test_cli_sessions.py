"""Sessions in the exported calendar and in `check`: what is told, and what is kept private."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import icalendar
import pytest
from folder_maker import SESSIONS, YEAR, blocks, planned, session
from places import ROOT
from plan_maker import block, day, given
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain.sessions import effort_word, notes_by_session, session_note
from seasonplan.plan import Occasion, Score
from seasonplan.recipes import Step, session_text, standard_recipes, usual_text
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Emphasis, Kind, Phase
from seasonplan.workspace.desk import Desk
from seasonplan.year.toml import read_year

DOCS = ROOT / "seasonplan" / "docs"


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def exported(folder: Path, *options: str) -> list[Any]:
    """The timed events of the calendar."""
    ran = run("export", folder, "--out", "-", *options)
    assert ran.exit_code == Exit.FINE, ran.output
    events = icalendar.Calendar.from_ical(ran.stdout_bytes).walk("VEVENT")
    return [event for event in events if event["CATEGORIES"].to_ical() == b"Session"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


# --- the calendar ---------------------------------------------------------------------------


def test_every_session_is_exported_at_its_hours_with_a_note(folder: Path) -> None:
    events = exported(folder)
    assert len(events) == len(SESSIONS)
    first = events[0]
    assert str(first["DTSTART"].to_ical(), "ascii") == "20270105T180000"
    recipe = standard_recipes()["route-volume"]
    text = session_text(recipe, step=Step(), light=False, minutes=90, hangs=0)
    assert str(first["DESCRIPTION"]) == (
        f"{text.do}\n{text.this_week}\n"
        "90 minutes, 15 to warm up; hard, 6 of 10.\n"
        "Base block, to build endurance.\n"
        f"{recipe.caution}"
    )
    assert "{" not in str(first["DESCRIPTION"])
    trip = next(event for event in events if event["DTSTART"].params["TZID"] == "Atlantic/Madeira")
    assert "Trip “Isle”." in str(trip["DESCRIPTION"])


def test_a_session_says_what_its_block_trains_most(folder: Path) -> None:
    year = Desk(folder).year
    for kind, emphasis, told in (
        (Kind.BASE, Emphasis.FINGERS, "Base block, most of all for fingers."),
        (Kind.STRENGTH, Emphasis.POWER, "Strength block, most of all for power."),
        (Kind.PERFORMANCE, Emphasis.FINGERS, "Performance block, to climb what you trained for."),
    ):
        inside = block(kind, 0, 21, id="base-1", emphasis=emphasis)
        note = session_note(SESSIONS[0], standard_recipes()["route-volume"], inside, year)
        assert told in note


def test_sessions_can_be_left_out_and_leave_one_free(folder: Path) -> None:
    assert exported(folder, "--without", "sessions") == []
    assert {event["TRANSP"] for event in exported(folder)} == {"OPAQUE"}
    assert {event["TRANSP"] for event in exported(folder, "--free")} == {"TRANSPARENT"}


@pytest.mark.parametrize(
    ("wish", "options", "minutes"),
    [("", (), None), ("", ("--alarm", "45"), 45), ("20", (), 20), ("20", ("--alarm", "0"), 0)],
)
def test_alarms_follow_the_option_then_the_wish_of_the_year(
    tmp_path: Path, wish: str, options: tuple[str, ...], minutes: int | None
) -> None:
    year = YEAR + (f"\n[sessions]\nalarm_minutes = {wish}\n" if wish else "")
    events = exported(planned(tmp_path, year=year), *options)
    alarms = [alarm for event in events for alarm in event.walk("VALARM")]
    assert len(alarms) == (0 if minutes is None else len(SESSIONS))
    assert all(-alarm.decoded("TRIGGER").total_seconds() == 60 * (minutes or 0) for alarm in alarms)


def test_a_calendar_too_large_for_some_phones_is_pointed_out(tmp_path: Path) -> None:
    many = tuple(
        session(f"s{n}-{m}", "mobility", n, f"{m:02}:00", 20, rpe=2.0)
        for n in range(50) for m in range(21)
    )  # fmt: skip
    ran = run("export", planned(tmp_path, sessions=many))
    assert "only the first 1,000 events" in " ".join(ran.stderr.split())
    assert "1,000 events" not in run("export", tmp_path, "--without", "sessions").stderr


# RFC 5545 3.8.1.3: CLASS is no protection, so health is not in the file unless it is asked for
def test_sessions_tell_of_an_injury_only_when_injuries_are_asked_for(tmp_path: Path) -> None:
    hurt = f"""
[[injury]]
name = "Torn pulley"
part = "finger"
happened = {day(49)}
easy_from = {day(50)}
building_from = {day(52)}
full_from = {day(56)}
"""
    back = given(Kind.RETURN, 49, 7, entry="torn-pulley", phase=Phase.EASY)
    back = back.model_copy(update={"id": "return-1"})
    sessions = (session("g", "return-fingers", 51, "18:00", 25, block="return-1", rpe=3.0),)
    folder = planned(tmp_path, year=YEAR + hurt, blocks=(*blocks()[:-1], back), sessions=sessions)
    words = re.compile("injur|hurt|pulley|return|builds back|doctor", re.IGNORECASE)
    (usual,) = exported(folder)
    assert not words.search(f"{usual['SUMMARY']} {usual['DESCRIPTION']}")
    assert usual["SUMMARY"] == "Session"
    (asked,) = exported(folder, "--with", "injuries")
    assert caution("injury") in str(asked["DESCRIPTION"])
    assert asked["SUMMARY"] == "Return-to-load finger work"


# --- notes ----------------------------------------------------------------------------------


def test_a_note_of_a_performance_block_names_its_goals(folder: Path) -> None:
    desk = Desk(folder)
    assert desk.plan is not None
    current = desk.plan.current
    block = current.blocks[2]
    occasion = Occasion(
        goal="long-crack", entry="winter-sun", span=block.span, possible=2, good_days=1
    )
    score = Score(occasions=(occasion,), costs=(), points=1)
    scored = type(current)(**{**dict(current), "score": score})
    notes = notes_by_session(scored, desk.year, book=desk.recipes, health=True)
    assert "Performance block, for “Long Crack”." in notes["e"]
    assert set(notes) == {one.id for one in SESSIONS}


@pytest.mark.parametrize(("born", "told"), [(2012, True), (1980, False)])
def test_finger_sessions_of_the_young_carry_their_caution(
    folder: Path, born: int, *, told: bool
) -> None:
    desk = Desk(folder)
    year = desk.year.with_fields(climber=desk.year.climber.model_copy(update={"birth_year": born}))
    note = session_note(SESSIONS[1], desk.recipes["fingerboard-often"], blocks()[0], year)
    assert (caution("young") in note) is told


@pytest.mark.parametrize(
    ("rpe", "word"),
    [(0, "rest"), (1, "very, very easy"), (2, "easy"), (2.5, "easy"), (3, "moderate"),
     (4, "somewhat hard"), (5.5, "hard"), (7, "very hard"), (9.5, "very hard"), (10, "maximal")],
)  # fmt: skip
def test_effort_is_told_in_words(rpe: float, word: str) -> None:
    """Foster's words as printed in J Sports Sci Med 5:289, table 1."""
    assert effort_word(rpe) == word


def test_notes_of_every_recipe_are_short_enough_for_a_phone(folder: Path) -> None:
    desk = Desk(folder)
    assert desk.plan is not None
    lengths = []
    for recipe in standard_recipes().values():
        if recipe.minutes:
            one = session("x", recipe.id, 1, "18:00", recipe.minutes, rpe=recipe.rpe)
            lengths.append(len(session_note(one, recipe, blocks()[0], desk.year)))
    assert len(lengths) > 20 and max(lengths) <= 1000 and sum(lengths) / len(lengths) <= 600


def test_the_event_of_a_day_on_rock_says_what_to_do_if_it_is_wet(folder: Path) -> None:
    on_rock = [event for event in exported(folder) if "Redpoint day" in event["SUMMARY"]]
    told = [str(one["DESCRIPTION"]) for one in on_rock]
    assert len(told) == 2 and all("Wet or too warm? " in one for one in told)
    wet = usual_text(standard_recipes()["redpoint-day"]).wet
    home, away = (one for one in sorted(told, key=lambda one: "Trip" in one))
    assert f"Wet or too warm? {wet}" in home
    assert "Another part of the rock" in away and wet not in away


# --- check ----------------------------------------------------------------------------------


def test_bent_preferences_are_summed_up_by_rule_unless_all_are_asked_for(tmp_path: Path) -> None:
    rests = [block(Kind.REST, 0, 9, id="rest-8"), block(Kind.REST, 14, 12, id="rest-9")]
    others = [block(Kind.BASE, 9, 5, id="base-1"), block(Kind.STRENGTH, 26, 2, id="strength-1")]
    long_rests = sorted((*rests, *others), key=lambda one: one.span)
    folder = planned(tmp_path, blocks=(*long_rests, *blocks()[2:]))
    findings = json.loads(run("check", folder, "--json").stdout)["findings"]
    soft = [found for found in findings if found["strength"] == "soft"]
    rules = {found["code"] for found in soft}
    assert len(soft) > len(rules) >= 1
    few = run("check", folder, "--plain").stdout
    every = run("check", folder, "--all", "--plain").stdout
    assert (
        len(re.findall(r'\n- ".+ is not met ', few)) == len(rules)
        and f"`seasonplan check {folder} --all`" in few
    )
    assert every.count("(a preference, not met)") == len(soft)
    assert "check --all" not in every


# --- what the guide says -------------------------------------------------------------------


def test_what_the_guide_writes_into_a_year_can_be_read(tmp_path: Path) -> None:
    pages = [page.read_text(encoding="utf-8") for page in sorted(DOCS.glob("*.md"))]
    snippets = re.findall(r"```toml\n(.*?)```", "\n".join(pages), re.DOTALL)
    assert any("[sessions]" in snippet for snippet in snippets)
    assert any("[place.records]" in snippet for snippet in snippets)
    for snippet in snippets:
        year = read_year(f"{YEAR}\n{snippet}", file="guide")
        if "[sessions]" in snippet:
            assert year.sessions.busy == ("work.ics",) and year.sessions.alarm_minutes == 30


def test_the_exit_codes_of_help_and_guide_are_those_there_are() -> None:
    readme = (DOCS / "commands.md").read_text(encoding="utf-8")
    shown = run("--help").stdout
    for text in (readme, shown):
        told = " ".join(text.split())
        said = told[told.index("0 fine") :].partition("stopped")[0]
        assert [int(number) for number in re.findall(r"\d+", said)] == sorted(Exit)
        assert "3 no plan is possible" in told
