"""What the calendar shows of a plan, what it leaves out, and what a new revision changes in it."""

from __future__ import annotations

import re
from datetime import date
from uuid import uuid5

import icalendar
import pytest
from test_ical import KEY, PLAN, YEAR, Read, calendar_of, icalendar_reads, revision, year_of

from seasonplan.days import Span
from seasonplan.ical import ALL, USUAL, Layer, calendar_bytes
from seasonplan.ical.labels import block_title
from seasonplan.injury import illness_of
from seasonplan.plan import Block, Plan, Week
from seasonplan.vocabulary import Kind


def _titled(raw: bytes, beginning: str) -> Read:
    (found,) = [event for event in icalendar_reads(raw) if event.title.startswith(beginning)]
    return found


# RFC 5545 3.8.2.7: OPAQUE blocks time; only days truly away from home do
def test_only_trips_make_the_climber_busy() -> None:
    for event in icalendar.Calendar.from_ical(calendar_of()).walk("VEVENT"):
        away = str(event["SUMMARY"]).startswith("Trip")
        assert event["TRANSP"] == ("OPAQUE" if away else "TRANSPARENT")
        assert event["X-MICROSOFT-CDO-BUSYSTATUS"] == ("BUSY" if away else "FREE")


def test_events_tell_chances_goals_places_and_notes() -> None:
    raw = calendar_of()
    assert _titled(raw, "Performance").description == (
        "Goal: Old project, 7b+, Karst\nclip high\nGoal: Slab; long, thin, 7a, Karst"
    )
    trip = _titled(raw, "Trip")
    assert trip.place == "West; cliffs"
    assert trip.description == (
        "Two good days\nChance of a good day: 60 %\nDiscipline: trad\nboat at six"
    )
    assert _titled(raw, "Weather").description.startswith("Chance of a good day, by week: 70 %\n")
    assert _titled(raw, "Absence").description == "Training time left: 50 %"
    season = next(event for event in icalendar_reads(raw) if event.first == date(2023, 11, 20))
    assert season.place == "Karst, north"
    assert season.description.startswith(
        "Chance of a good day: November 20 %, December 30 %, January 10 %, February 40 %\n"
    )


LAYER_TITLES = {
    Layer.BLOCKS: {"Base block", "Strength block", "Performance"},
    Layer.REST: {"Rest block"},
    Layer.INJURIES: {"Injured"},
    Layer.SEASONS: {"Season"},
    Layer.WINDOWS: {"Weather window"},
    Layer.TRIPS: {"Trip"},
    Layer.ABSENCES: {"Absence"},
    Layer.NOTES: set[str](),
    Layer.DIARY: set[str](),
    Layer.SESSIONS: set[str](),  # the plan here has none; see test_ical_sessions
}


@pytest.mark.parametrize("layer", Layer)
def test_each_layer_can_be_left_out_and_takes_nothing_else_along(layer: Layer) -> None:
    def titles(raw: bytes) -> set[str]:
        return {event.title.split(":")[0] for event in icalendar_reads(raw)}

    every = set().union(*LAYER_TITLES.values())
    assert titles(calendar_of(layers=ALL - {layer})) == every - LAYER_TITLES[layer]
    assert titles(calendar_of(layers=frozenset({layer}))) == LAYER_TITLES[layer]


def test_notes_can_be_left_out() -> None:
    for note in (b"clip high", b"boat at six", b"METHOD:CANCEL\\nb"):
        assert note in calendar_of().replace(b"\r\n ", b"")
    raw = calendar_bytes(year_of(), PLAN, layers=ALL - {Layer.NOTES})
    assert b"clip high" not in raw and b"boat at six" not in raw and raw.count(b"METHOD") == 1


# RFC 5545 3.8.1.3: CLASS is no protection, so health is not in the file unless it is asked for
def test_injuries_are_shown_only_when_asked_for_and_never_named() -> None:
    usual = calendar_bytes(year_of(), PLAN)
    assert usual == calendar_bytes(year_of(), PLAN, layers=USUAL)
    assert b"Injur" not in usual
    asked = calendar_of()
    assert _titled(asked, "Injured").description == "See a clinician."
    for word in (b"pulley", b"finger", b"secret"):
        assert word not in asked


def test_days_of_an_illness_are_time_off_not_an_injury() -> None:
    days = Span(date(2024, 6, 3), date(2024, 6, 24))
    ill = illness_of("Flu", days=days, year=year_of())
    block = Block(
        id="injured-1", kind=Kind.INJURED, span=days, weeks=(Week(span=days),), entry=ill.id
    )
    hurt = year_of().injuries[0]
    assert block_title(block, (), given_by=ill) == "Time off"
    assert block_title(block, (), given_by=hurt) == "Injured"


def _events(raw: bytes) -> dict[str, bytes]:
    """The bytes of each event by its UID."""
    found = re.findall(rb"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", raw, re.DOTALL)
    return {re.search(rb"UID:(\S+)", event)[1].decode(): event for event in found}  # type: ignore[index]


# RFC 5545 3.8.7.4: SEQUENCE moves on with each change, and with nothing else
def test_a_new_revision_changes_the_moved_event_alone() -> None:
    moved = Plan(calendar_key=KEY, revisions=(revision(1), revision(2, b3=1)))
    before, after = _events(calendar_of()), _events(calendar_of(moved))
    assert before.keys() == after.keys()
    changed = {uid for uid in before if before[uid] != after[uid]}
    assert changed == {str(uuid5(KEY, "b3"))}
    event = after[changed.pop()]
    assert b"SEQUENCE:1\r\n" in event and b"DTSTAMP:20240102T080000Z\r\n" in event


def test_a_revision_that_changes_nothing_changes_no_byte() -> None:
    again = Plan(calendar_key=KEY, revisions=(revision(1), revision(2)))
    assert calendar_of(again) == calendar_of()


# RFC 7986 5.3: a UID stays for life and holds nothing of user, host or domain
def test_a_trip_that_moves_keeps_its_uid_and_each_season_spell_has_its_own() -> None:
    trip = {**YEAR["trip"][0], "first": date(2024, 2, 20), "name": "Isles", "id": "isle"}  # type: ignore[dict-item,index]
    raw = calendar_of(trip=[trip])
    assert (
        _titled(raw, "Trip").uid
        == str(uuid5(KEY, "trip:isle"))
        == _titled(calendar_of(), "Trip").uid
    )
    spells = {event.uid for event in icalendar_reads(raw) if event.title == "Season: Karst"}
    assert spells == {str(uuid5(KEY, f"season:karst:{year}-11-20")) for year in (2023, 2024)}
