"""Entries of a new year file that are examples: ready to be switched on, all names invented."""

from __future__ import annotations

from datetime import date, timedelta


def examples(first: date) -> str:
    """An entry of each sort that hangs on days, for a year that begins so."""
    return _away(first) + _own(first) + _hurt(first) + _places(first)


def _away(first: date) -> str:
    """Good spells, days away."""
    return f"""\
# A dated spell that should be good, for example from a forecast.
#[[window]]
#name = "Dry week"
#place = "Harrow Cleft"
#discipline = "sport"
#first = {_day(first, 20)}
#last = {_day(first, 20, 5)}
#chance = 0.8

# Days away from home. Not climbing there? Then climbing = false, without place and discipline.
#[[trip]]
#name = "Isle of Orrin"
#first = {_day(first, 26, 5)}
#last = {_day(first, 28, 1)}
#place = "Orrin"
#discipline = "trad"
#chance = 0.6

# Time that work, family or anything else takes; left is the share of your minutes that stays.
#[[absence]]
#name = "Family week"
#first = {_day(first, 8)}
#last = {_day(first, 8, 6)}
#left = 0

"""


def _own(first: date) -> str:
    """What the climber wants to do and test on some days."""
    return f"""\
# Easy days on rock or in the mountains that you wish outside the seasons: one in so many weeks.
#[[outing]]
#name = "Easy days out"
#discipline = "sport"
#first = {_day(first, 2)}
#last = {_day(first, 18)}
#weeks = 2
#minutes = 240

# A test of yours; `seasonplan tests --usual` lists the usual ones that it may be like.
#[[test]]
#name = "Hang on the edge"
#like = "edge-hang"
#grip = "half crimp"

# A block that you fix yourself: base, strength, performance or rest, on just these days. emphasis
# is what it trains most: fingers, power, endurance, power endurance, movement or general fitness.
#[[pin]]
#name = "Quiet week at the lake"
#kind = "rest"
#first = {_day(first, 14)}
#last = {_day(first, 14, 6)}

"""


def _hurt(first: date) -> str:
    """An injury."""
    return f"""\
# Something hurt, and the days on which its steps begin: yours (named_by = "own"), or better your
# clinician's (named_by = "clinician"). Left out: no days named yet, and it stays off until then.
# part: finger, wrist, elbow, shoulder, back, hip, knee, ankle, skin or other.
#[[injury]]
#name = "Sore elbow"
#part = "elbow"
#side = "left"
#happened = {_day(first, 0, -14)}
#easy_from = {_day(first, 0, -4)}
#building_from = {_day(first, 1)}
#full_from = {_day(first, 3)}

"""


def _places(first: date) -> str:
    """A place, and a forecast for it."""
    return f"""\
# Where a place is, how far from home (minutes, one way), which way its wall faces (0 north, 90
# east), and what a good day is for you there. With records of past weather, `seasonplan
# conditions` works out the chances from these; latitude and longitude may else be left out.
# what = "wall" is where you train, "home" is home.
#[[place]]
#name = "Harrow Cleft"
#latitude = 47.6
#longitude = 14.2
#travel_minutes = 75
#aspect = 10
#[[place.good]]
#temperature = [2, 15]
#rain_below = 1
#dry_days_before = 1

# A forecast: the chance of a good day for each of the next days, in place of the season's.
#[[forecast]]
#name = "Cold and dry"
#place = "Harrow Cleft"
#discipline = "sport"
#first = {_day(first, 4)}
#chances = [0.8, 0.9, 0.7]
"""


def _day(first: date, weeks: int, days: int = 0) -> date:
    return first + timedelta(weeks=weeks, days=days)
