"""A forecast narrows the next days; words and picture say what was found."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from datetime import date, timedelta

import pytest
from open_records import RECORDS, brussels, place, record, seattle, seattle_bytes

from seasonplan.conditions import (
    best_windows,
    fit,
    joined,
    marked_days,
    narrowed,
    out_of_sample,
    study,
    verdicts,
)
from seasonplan.conditions.sun import Wall, sun_spells
from seasonplan.days import Span
from seasonplan.errors import BadInput
from seasonplan.explain.conditions import (
    PREFERENCE,
    caution_texts,
    near_text,
    oddity_texts,
    outlook_text,
    proof_text,
    record_text,
    spells_text,
    years_text,
)
from seasonplan.pictures.chance import chance_picture
from seasonplan.pictures.chart import BAND, INK, PLOT
from seasonplan.pictures.svg import svg as written
from seasonplan.rules.tables import sources, table
from seasonplan.vocabulary import Discipline

TODAY = date(2016, 1, 1)


def next_days() -> dict[date, bool | None]:
    """A forecast for the six days after the record of Seattle ends."""
    where = place()
    past, ahead = record(seattle_bytes(), where), (RECORDS / "next-days.csv").read_bytes()
    found = verdicts(joined(past, record(ahead, where)), where.good[0], place=where)
    return {day: mark for day, mark in found.items() if day >= TODAY}


def test_the_first_forecast_day_knows_yesterdays_rain_from_the_record() -> None:
    assert list(next_days().values()) == [True, True, True, True, False, False]


def test_a_forecast_counts_less_the_further_it_looks() -> None:
    near = narrowed(fit(seattle()), next_days(), today=TODAY)
    assert near is not None and len(near.days) == 6
    weights = [day.weight for day in near.days]
    assert weights == sorted(weights, reverse=True)
    assert weights == table("conditions")["forecast"]["weight"][:6]
    fine, wet = near.days[0], near.days[5]
    assert fine.before < fine.chance == pytest.approx(0.9 + 0.1 * fine.before)
    assert wet.chance == pytest.approx(0.5 * wet.before)
    assert near.expected > near.before + 1 and near.matters


def test_days_without_a_forecast_keep_the_records_chance() -> None:
    climate = fit(seattle())
    gap = narrowed(climate, {TODAY + timedelta(days=3): True}, today=TODAY)
    assert gap is not None and len(gap.days) == 4
    assert [day.chance == day.before for day in gap.days] == [True, True, True, False]
    assert narrowed(climate, {TODAY - timedelta(days=1): True}, today=TODAY) is None
    assert narrowed(climate, {TODAY + timedelta(days=40): True}, today=TODAY) is None


def test_a_forecast_that_says_what_the_record_says_does_not_matter() -> None:
    never = fit(dict.fromkeys(seattle(), False))
    near = narrowed(never, {TODAY: False, TODAY + timedelta(days=1): False}, today=TODAY)
    assert near is not None and not near.matters
    assert "not enough" in near_text(near)


def test_good_and_bad_days_that_cancel_out_still_matter() -> None:
    climate = fit(dict.fromkeys(seattle(), True) | {TODAY - timedelta(days=1): False})
    half = {TODAY + timedelta(days=n): n % 2 == 0 for n in range(6)}
    near = narrowed(climate, half, today=TODAY)
    assert near is not None and near.matters


def test_a_calendar_of_good_days_is_a_forecast() -> None:
    spans = [Span(TODAY, TODAY + timedelta(days=2))]
    marks = marked_days(spans, last=TODAY + timedelta(days=3), today=TODAY)
    assert list(marks.values()) == [True, True, False, False]


def test_a_study_joins_record_good_and_source() -> None:
    where = place()
    found = study(
        seattle_bytes(), where, discipline=Discipline.SPORT, file="year.toml", time_zone="UTC"
    )
    assert found.name == "Harrow Cleft, sport"
    assert found.climate == fit(seattle())
    assert found.meaning in found.source and "204 of 1460 days good" in found.source
    assert found.near_marked([], today=TODAY) is None


def test_a_place_without_records_or_meaning_is_told_what_to_add() -> None:
    for where, wanted in (
        (place(records=None, good=[]), "place.records"),
        (place(good=[]), "place.good"),
    ):
        with pytest.raises(BadInput, match=wanted):
            study(seattle_bytes(), where, discipline=None, file="year.toml", time_zone="UTC")


def test_records_that_never_hold_all_that_good_asks_for_are_refused() -> None:
    content = b"date,temp_max,precipitation\n2024-01-01,5,0\n2024-01-03,5,0\n"
    with pytest.raises(BadInput, match="all that good asks for"):
        study(content, place(), discipline=None, file="year.toml", time_zone="UTC")


def test_a_chance_is_never_rounded_down_to_none() -> None:
    """A day without any chance would be no rock day, and cut the season in two."""
    climate = fit(dict.fromkeys(seattle(), False) | {date(2015, 1, 1): True})
    near = narrowed(climate, {TODAY: False}, today=TODAY)
    assert near is not None and near.days[0].chance < 0.005
    assert near.chances == (0.01,)


# --- words -----------------------------------------------------------------------------------


def test_good_is_called_a_preference_with_its_source() -> None:
    assert "preference, not measured friction" in PREFERENCE
    assert "no correlation" in sources()["amca-2012"].says


def test_a_short_record_and_a_hopeless_place_say_so() -> None:
    one = fit({day: mark for day, mark in seattle().items() if day.year == 2013})
    assert "about one year" in " ".join(caution_texts(one))
    assert "are few" in " ".join(caution_texts(fit(seattle())))
    assert not list(caution_texts(fit(brussels())))
    assert "No day of 1,461 known ones was good" in " ".join(
        caution_texts(fit(dict.fromkeys(seattle(), False)))
    )


def test_a_window_is_told_by_good_days_range_and_past_years() -> None:
    (best, *_) = best_windows(fit(seattle()), 42)
    text = outlook_text(best)
    assert "good days to expect" in text and "in eight years of ten" in text
    assert "in 2013" in text
    (long, *_) = best_windows(fit(brussels()), 42)
    assert "30 past years had" in outlook_text(long)


def test_years_and_the_test_on_years_left_out_are_told() -> None:
    assert "the fewest" in years_text(fit(seattle()))
    text = proof_text(out_of_sample(seattle()))
    assert "2012-2013" in text and "2014-2015" in text and "better" in text
    assert "two years or more" in proof_text(None)


def test_the_record_is_told_with_its_counts_and_oddities() -> None:
    where = place()
    found = record(seattle_bytes(), where)
    assert "1,461 days, 1,460 of them known, 204 good (14 %)" in record_text(found, fit(seattle()))
    assert list(oddity_texts(found)) == []
    holes = seattle_bytes().replace(b"2012/01/05,1.3", b"2012/01/05,T")
    cut = b"\n".join(line for line in holes.splitlines() if not line.startswith(b"2012/01/07"))
    told = list(oddity_texts(record(cut, where)))
    assert told == ["1 day has no row.", "1 trace of rain taken as none."]


def test_sun_is_told_in_local_hours() -> None:
    day, zone = date(2025, 6, 21), "Europe/Vienna"
    assert spells_text(sun_spells(Wall(47.2, 11.4, aspect=0), day, time_zone=zone)).count("to") == 2
    assert spells_text(()) == "never"


# --- picture ---------------------------------------------------------------------------------


def points_of(path: ET.Element) -> list[tuple[float, float]]:
    """The points of a drawn path."""
    pairs = re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path.attrib["d"])
    return [(float(x), float(y)) for x, y in pairs]


def test_the_picture_is_one_line_one_band_and_words() -> None:
    climate = fit(seattle())
    best = best_windows(climate, 42)
    svg = ET.fromstring(written(chance_picture(climate, title="Cleft & <more>", best=best)))
    space = "{http://www.w3.org/2000/svg}"
    assert svg.findtext(f"{space}title") == "Cleft & <more>"
    assert "December" in (svg.findtext(f"{space}desc") or "")
    paths = svg.findall(f"{space}path")
    drawn = {count: one for one in paths if (count := len(points_of(one))) in (365, 730)}
    points = points_of(drawn[365])
    assert all(
        PLOT.x <= x <= PLOT.right and PLOT.y <= y <= PLOT.bottom
        for one in drawn.values()
        for x, y in points_of(one)
    )
    assert drawn[730].attrib["fill"] == BAND and drawn[365].attrib["stroke"] == INK
    bars = [one.attrib["d"].count("M") for one in paths if one.findtext(f"{space}title")]
    assert sum(bars) == 4  # three windows, one of them over New Year
    heights = [y for _, y in points]
    assert min(heights) == heights[max(range(365), key=climate.chance.__getitem__)]
