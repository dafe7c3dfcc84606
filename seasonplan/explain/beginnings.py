"""What is told of beginnings: who is new to climbing, and a trip with no rock in the weeks before.

Asks the year alone; whom the plan takes for new is `body.newcomer`.
"""

from __future__ import annotations

from datetime import timedelta

from seasonplan.body.almanac import almanac_of
from seasonplan.body.newcomer import is_new, weak_fingers
from seasonplan.days import Span, day_text
from seasonplan.explain.words import entry_name, number_text
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Discipline
from seasonplan.year import Trip, Year

WEEKS_BEFORE, WISHED_WEEKS = 8, 4  # looked at for rock; in which days are proposed (preference)
EVE_DAYS = 3  # before a trip that are kept fresh


def new_note(year: Year) -> list[str]:
    """What the plan leaves out for who is new to climbing, and how to say that one is not."""
    if not is_new(year, year.span.first):
        return []
    learning = table("menus")["learning"]
    return [
        "By your entries you are new to climbing: movement rated 1, or movement and fingers "
        f"{learning['up_to']} or less, no hard finger session named for the weeks before, less "
        f"than {number_text(learning['new_below'])} a week. Fingers take longer than muscles to "
        "get used to it, so in the first year the plan holds drills, easy climbing and light "
        "holds: no hard hangs, no finger test, nothing at the limit indoors. If you have climbed "
        "for years, rate yourself again (`climber.level`), against those who climb what you aim at."
    ]


def weak_note(year: Year) -> list[str]:
    """How long the hangs of weak fingers that never hung stay light, and why."""
    if is_new(year, year.span.first) or not weak_fingers(year):
        return []
    weeks = table("menus")["fingers"]["weeks_if_weak"]
    return [
        "Your fingers are rated low or not at all (`climber.level`), did no hard session before, "
        f"and you climbed little: in the first {weeks} weeks holds are light, then hard hangs "
        "begin with a short session. So many weeks are a preference, no medical threshold; "
        "fingers take longer than muscles to get used to it. Who did hang says so: "
        "`seasonplan edit set before.hard_finger_sessions`."
    ]


def trips_note(year: Year) -> list[str]:
    """Climbing trips with no day on rock in the eight weeks before, and how to wish some."""
    bare = [trip for trip in year.trips if trip.climbing and not _has_rock_before(trip, year)]
    return [_trip_text(trip, year) for trip in bare]


def _has_rock_before(trip: Trip, year: Year) -> bool:
    """Whether days with rock lie shortly before a trip, or too few of those days in the year."""
    before = Span(trip.first - timedelta(weeks=WEEKS_BEFORE), trip.first)
    if trip.discipline is Discipline.MOUNTAIN or before.meet(year.span) != before:
        return True
    wished = (day for one in year.outings for day in one.span.days())
    days = {*almanac_of(year).rock_days, *wished} - {*trip.span.days()}
    return any(day in before for day in days)


def _trip_text(trip: Trip, year: Year) -> str:
    first = trip.first - timedelta(weeks=WISHED_WEEKS)
    last = trip.first - timedelta(days=1 + EVE_DAYS)
    of = (trip.discipline or Discipline.SPORT).value
    return (
        f"No rock lies in the {WEEKS_BEFORE} weeks before {entry_name(year, trip.id)} "
        f"({day_text(trip.first)}), so its first days are short. A day or two on easy rock before "
        "prepare skin, feet and head; if any is good enough, wish them: `seasonplan edit add "
        f'outing name="Before the trip" discipline={of} first={first} last={last} weeks=2`.'
    )
