"""Chances written into a year file: comments and order stay, provenance is kept and compared."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest
from open_records import place, record, seattle_bytes

from seasonplan.conditions import (
    Origin,
    forecast_edit,
    is_from_records,
    is_outdated,
    provenance,
    season_edit,
    study,
)
from seasonplan.edits import EditRefused, RemoveEntry, apply, draft_of
from seasonplan.vocabulary import Discipline
from seasonplan.workspace.studies import taking
from seasonplan.year import Season

YEAR = """\
# My year, with words of my own.
schema = 1

[year]
first = 2027-01-04
weeks = 52

[climber]
time_zone = "Europe/Vienna"
minutes = { saturday = 180 }

[[season]]          # the good one
name = "Cleft in autumn"
place = "Harrow Cleft"   # home
discipline = "sport"
first = "09-20"
last = "10-17"
note = "Ask Mira"
chance = 0.5        # my guess

# When I am away.
[[trip]]
name = "Isle of Orrin"
first = 2027-01-10   # Sunday
last = 2027-01-17
climbing = false

[[season]]
name = "Cleft in spring"
place = "Harrow Cleft"
discipline = "sport"
first = "04-01"
last = "04-28"
[season.chance]
april = 0.3

# The end.
"""
CHANCES = (0.31, 0.4, 0.42, 0.38)


def season(text: str = YEAR, name: str = "cleft-in-autumn") -> Season:
    return next(one for one in draft_of(text).year.seasons if one.id == name)


def taken(name: str = "cleft-in-autumn", text: str = YEAR, source: str = "records x") -> str:
    edit = season_edit(season(text, name), chances=CHANCES, chance_from=source)
    return apply(draft_of(text), edit).text


def test_a_seasons_chance_is_replaced_and_nothing_else() -> None:
    before, lines = YEAR.splitlines(), taken().splitlines()
    at = before.index("chance = 0.5        # my guess")
    assert lines[at : at + 2] == [
        "chance = [0.31, 0.4, 0.42, 0.38]        # my guess",
        'chance_from = "records x"',
    ]
    assert [*lines[:at], *lines[at + 2 :]] == [*before[:at], *before[at + 1 :]]


def test_taking_over_twice_changes_the_numbers_and_adds_no_line() -> None:
    again = taken(text=taken(), source="records y")
    assert again == taken(source="records y")


def test_a_chance_by_month_becomes_one_by_week() -> None:
    text = taken("cleft-in-spring")
    entry = tomllib.loads(text)["season"][1]
    assert entry["chance"] == list(CHANCES)
    assert entry["chance_from"] == "records x"
    assert text.startswith(YEAR[: YEAR.index("[season.chance]")]) and text.endswith("# The end.\n")


def test_a_byte_order_mark_and_other_line_ends_stay() -> None:
    text = taken(text="\ufeff" + YEAR.replace("\n", "\r\n"))
    assert text.startswith("\ufeff# My year") and "# my guess\r\nchance_from" in text


def seattle_study(cut: int | None = None):  # type: ignore[no-untyped-def]
    content = b"\n".join(seattle_bytes().splitlines()[:cut])
    return study(
        content, place(), discipline=Discipline.SPORT, file="year.toml", time_zone="Europe/Vienna"
    )


def test_an_unknown_season_and_one_without_records_are_refused_in_words() -> None:
    year = draft_of(YEAR).year
    with pytest.raises(EditRefused, match="cleft-in-autumn, cleft-in-spring"):
        taking("summer", [seattle_study()], year)
    with pytest.raises(EditRefused, match="No record here is of the season “Cleft in autumn”"):
        taking("cleft-in-autumn", [], year)


def test_a_season_tells_own_word_record_touched_record_and_outdated_record_apart() -> None:
    old, new = seattle_study(1000), seattle_study()

    def origin(text: str) -> Origin:
        return new.origin(season(text), draft_of(text).year.span)

    def after(of: object) -> str:
        year = draft_of(YEAR).year
        return apply(draft_of(YEAR), taking("cleft-in-autumn", [of], year)).text  # type: ignore[list-item]

    assert origin(YEAR) is Origin.OWN
    assert origin(after(new)) is Origin.TAKEN
    assert origin(after(old)) is Origin.OUTDATED
    line = next(one for one in after(new).splitlines() if one.startswith("chance = "))
    assert origin(after(new).replace(line, "chance = 0.9")) is Origin.TOUCHED


def test_provenance_tells_when_records_or_preference_have_changed() -> None:
    where = place()
    old, new = record(seattle_bytes()[:30_000], where), record(seattle_bytes(), where)
    source = provenance(old, known=900, good=100, meaning="2 to 15 °C")
    assert is_from_records(source) and not is_from_records("my own guess")
    assert "records.csv" in source and old.digest[:12] in source
    assert not is_outdated(source, old, meaning="2 to 15 °C")
    assert is_outdated(source, new, meaning="2 to 15 °C")
    assert is_outdated(source, old, meaning="0 to 15 °C")
    assert not is_outdated("my own guess", new, meaning="2 to 15 °C")


def forecast(text: str, *chances: float, discipline: Discipline = Discipline.SPORT) -> str:
    draft = draft_of(text)
    edit = forecast_edit(
        draft.year, place="Harrow Cleft", discipline=discipline, first=date(2027, 9, 20),
        chances=chances, chance_from="next.csv",
    )  # fmt: skip
    return apply(draft, edit).text


def test_a_forecast_comes_after_everything_and_a_new_one_takes_its_place() -> None:
    once = forecast(YEAR, 0.9, 0.234)
    assert once.startswith(YEAR)
    (one,) = draft_of(once).year.forecasts
    assert one.chances == (0.9, 0.23) and "takes the place" in one.note
    (other,) = draft_of(forecast(once, 0.1, 0.2, 0.3)).year.forecasts
    assert other.chances == (0.1, 0.2, 0.3) and other.id == one.id


def test_forecasts_of_two_disciplines_live_side_by_side_and_one_can_go() -> None:
    both = draft_of(forecast(forecast(YEAR, 0.5), 0.7, discipline=Discipline.BOULDER))
    assert len(both.year.forecasts) == 2
    gone = next(one for one in both.year.forecasts if one.discipline is Discipline.SPORT)
    left = apply(both, RemoveEntry(id=gone.id))
    assert [one.discipline for one in left.year.forecasts] == [Discipline.BOULDER]
    assert left.text.startswith(YEAR)
