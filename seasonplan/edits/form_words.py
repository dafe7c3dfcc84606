"""The words of forms: a label and a line of help for everything that a year can say.

Knows no model: a test compares both.
"""

from __future__ import annotations

from collections.abc import Mapping

from seasonplan.days import WEEKDAYS

Words = tuple[str, str]  # label, help

# Places of the year file that are filled in as a whole, with the words of their heads.
SETTINGS: Mapping[str, Words] = {
    "climber": ("You", "who plans, and how you rate yourself"),
    "climber.minutes": ("Usual week", "time to train on each weekday"),
    "year": ("Days to plan", "the first day and how many weeks"),
    "before": ("What came before", "the weeks before the first day"),
    "sessions": ("Your sessions", "how they are filled in"),
}
# Sections of entries: the head of their list, and one of them.
SECTIONS: Mapping[str, Words] = {
    "goal": ("Goals", "a goal"),
    "season": ("Seasons", "a season"),
    "window": ("Weather windows", "a weather window"),
    "trip": ("Trips", "a trip"),
    "absence": ("Time away from training", "time away from training"),
    "injury": ("Injuries", "an injury"),
    "pin": ("Blocks you fixed", "a fixed block"),
    "place": ("Places", "a place"),
    "outing": ("Easy days out", "easy days out"),
    "forecast": ("Forecasts", "a forecast"),
    "session": ("Sessions moved or added", "a session"),
    "test": ("Tests", "a test"),
}
CHOICES: Mapping[str, tuple[str, ...]] = {"first_weekday": WEEKDAYS, "rock_days": WEEKDAYS}
GROUPS: Mapping[str, str] = {
    "demands": "What it asks of you, 1 little to 5 much; empty: as usual for its discipline",
    "level": "How you rate yourself, 1 weak to 5 strong",
    "good": "What makes a day good for you there",
    "records": "Records of past weather, a CSV file in your folder",
    "records.columns": "Which column of that file holds what",
    "records.units": "Its units",
    "qualities": "What it trains: shares that add up to 1",
    "stresses": "What it loads, 0 not at all to 3 hard",
    "dates": "Days of its return: your clinician's, or your own; empty: not known yet",
}
QUALITIES: Mapping[str, Words] = {
    "finger_strength": ("Finger strength", ""),
    "power": ("Power", ""),
    "power_endurance": ("Power endurance", ""),
    "endurance": ("Endurance", ""),
    "fitness": ("General fitness", ""),
    "movement": ("Movement", ""),
    "fingers": ("Fingers", ""),
    "elbows": ("Elbows", ""),
    "shoulders": ("Shoulders", ""),
    "skin": ("Skin", ""),
    "wrists": ("Wrists", ""),
    "back": ("Back", ""),
    "hips": ("Hips", ""),
    "knees": ("Knees", ""),
    "ankles": ("Ankles", ""),
    "whole_body": ("Whole body", ""),
}
_LEVELS = {"demands": "1 to 5", "level": "1 to 5", "qualities": "0 to 1", "stresses": "0 to 3"}

_SHARED: Mapping[str, Words] = {
    "name": ("Name", "what you call it"),
    "id": ("Short name", "made from the name; other entries name it by this"),
    "note": ("Note", "anything else"),
    "place": ("Place", "where it is"),
    "discipline": (
        "Discipline",
        "sport, trad, boulder, multipitch, mountain, ice, dry tooling as ice",
    ),
    "first": ("First day", "20 sep, next friday, march, in three weeks"),
    "last": ("Last day", "this day counts too"),
    "chance": ("Chance of a good day", "40 %, or 40; one a week; or september 40 %, october 60 %"),
    "chance_from": ("Where it comes from", "a remark on the chance"),
    "time_zone": ("Time zone", "a city or a country: Vienna, Japan; or Europe/Vienna"),
    **{day: (day.capitalize(), "90, 1h30, or hours as 18:00-19:30") for day in WEEKDAYS},
}
_OWN: Mapping[str, Words] = {
    "year.first": ("First day to plan", "2027-01-04, next monday"),
    "year.weeks": ("How many weeks", "4 to 104"),
    "year.last": ("Or the last day", "in place of the weeks"),
    "climber.name": ("Your name", "may stay empty"),
    "climber.first_weekday": ("Your weeks begin on", "a weekday"),
    "climber.birth_year": ("Year of birth", "under 18 some finger training needs a specialist"),
    "climber.rock_days": ("Days for the rock", "weekdays; empty: every day with minutes"),
    "climber.rock_minutes": ("Time at the rock", "minutes a day there; empty: its free time"),
    "climber.rock_travel_minutes": ("Way to the rock", "minutes, one way"),
    "climber.wall_travel_minutes": ("Way to the wall", "minutes, one way"),
    "before.weekly_load": ("Load of the last weeks", "effort (0 to 10) x minutes, oldest first"),
    "before.last_kind": ("The last block was", "base, strength, performance or rest"),
    "before.days_since_rest": ("Days since rest", "since the last rest block"),
    "before.hard_finger_sessions": ("Hard finger sessions", "a week, in the last twelve weeks"),
    "before.hung_daily": ("Hung daily before", "yes or no: on most days of those weeks"),
    "sessions.spread": ("Finger training", "few and long; short and hard, often; light, often"),
    "sessions.spread_for": ("Other for some blocks", "such as strength few and long"),
    "sessions.has": ("What you can train on", "names with commas between"),
    "sessions.busy": ("Busy calendars", ".ics files in your folder"),
    "sessions.alarm_minutes": ("Alarm before each", "minutes; empty: none"),
    "goal.grade": ("Grade", "7b+, 5.12c, IX-, 26, 7A, V7, WI4, M6 or D7"),
    "goal.priority": ("Priority", "1 matters most, 3 least"),
    "goal.style": ("Style", "redpoint: worked until it goes; onsight: not tried before"),
    "goal.served_by": ("Only at", "seasons, windows, trips; empty: all at its place"),
    "season.first": ("First day", "september every year, 12 sep every year, or 2027-09-12"),
    "season.last": ("Last day", "31 oct every year; this day counts too"),
    "trip.climbing": ("You climb there", "yes or no"),
    "trip.place": ("Place", "where you climb; needed if you climb"),
    "trip.discipline": ("Discipline", "needed if you climb"),
    "trip.time_zone": ("Time zone there", "empty: as at home"),
    "absence.left": ("Time that is left", "share of your minutes: 0 %, 50 %"),
    "pin.kind": ("Kind of block", "base, strength, performance or rest"),
    "pin.emphasis": ("What it trains most", "fingers, power, endurance, …; empty: the best"),
    "outing.weeks": ("One in so many weeks", "1 to 12"),
    "outing.minutes": ("How long", "minutes"),
    "injury.part": ("What hurts", "finger, wrist, elbow, shoulder, back, …"),
    "injury.side": ("Side", "left, right, both or none"),
    "injury.severity": ("How bad", "mild, moderate, severe or unknown"),
    "injury.happened": ("Day it happened", "yesterday, last monday, 2027-05-30"),
    "injury.easy_from": ("Light load from", "yours, or better your clinician's day"),
    "injury.building_from": ("More load from", "between the two others"),
    "injury.full_from": ("Everything from", "yours, or better your clinician's day"),
    "injury.grade": ("Grade of the pulley", "I to IV, after an examination; else empty"),
    "injury.cleared": ("A clinician named them", "yes or no; no: your own days"),
    "injury.healed": ("Healed, full load since", "the day; empty: not yet"),
    "injury.named_by": ("Who named the days", "clinician, table or own"),
    "place.latitude": ("Latitude", "degrees, north above 0"),
    "place.longitude": ("Longitude", "degrees, east above 0"),
    "place.aspect": ("The wall faces", "degrees: 0 north, 90 east, 180 south"),
    "place.steepness": ("Steepness", "90 upright, less a slab, more an overhang"),
    "place.time_zone": ("Time zone there", "empty: as at home"),
    "place.good.discipline": ("For", "a discipline; empty: all"),
    "place.good.temperature": ("Temperature", "lowest and highest: 2 to 15"),
    "place.good.highest_dew_point": ("Dew point below", "°C, or with its unit"),
    "place.good.highest_humidity": ("Humidity below", "percent, 0 to 100"),
    "place.good.highest_wind": ("Wind below", "m/s, or with its unit: 30 km/h"),
    "place.good.rain_below": ("Rain below", "mm a day still count as dry"),
    "place.good.dry_days_before": ("Dry days before", "0 to 14"),
    "place.good.hours": ("Good hours needed", "with hourly records"),
    "place.good.shade_hours": ("Hours of shade", "on the wall"),
    "place.good.sun_hours": ("Hours of sun", "on the wall"),
    "place.records.file": ("File", "its name"),
    "place.records.only": ("Only rows where", "a column and its value: station A12"),
    "place.records.missing": ("Missing is written", "marks of a missing value"),
    "place.records.date_form": ("Form of dates", "such as %d.%m.%Y; empty: 2027-01-04"),
    "place.records.time_zone": (
        "Zone of its hours", "empty: of the place; one time all year: Etc/GMT-1, +01:00"
    ),
    "place.records.columns.day": ("Day", "for daily records: its column, or several"),
    "place.records.columns.time": ("Hour", "for hourly records: its column"),
    "place.records.columns.highest": ("Highest temperature", "of the day"),
    "place.records.columns.lowest": ("Lowest temperature", "of the day"),
    "place.records.columns.temperature": ("Temperature", "of the hour, or the day's mean"),
    "place.records.columns.dew_point": ("Dew point", "column"),
    "place.records.columns.humidity": ("Humidity", "column"),
    "place.records.columns.rain": ("Rain", "column"),
    "place.records.columns.wind": ("Wind", "column"),
    "place.records.units.temperature": ("Temperature in", "C or F"),
    "place.records.units.rain": ("Rain in", "mm or in"),
    "place.records.units.wind": ("Wind in", "m/s, km/h, mph or kn"),
    "forecast.chances": ("Chances", "one for each day: 80 %, 90 %, 70 %"),
    "session.name": ("Name", "may stay empty"),
    "session.session": ("Planned session", "its name in the plan, to move or skip it"),
    "session.recipe": ("Or a new one", "a recipe of the rule book, such as mobility"),
    "session.day": ("Day", "2027-09-20, tomorrow, next friday"),
    "session.start": ("Begins at", "18:30"),
    "session.minutes": ("Minutes", "how long"),
    "session.skip": ("Leave it out", "yes or no"),
    "test.like": ("As the usual test", "its id, such as edge-hang; empty: one of your own"),
    "test.quality": ("Tests", "the quality it tells of"),
    "test.unit": ("Unit", "kg, s, cm, moves, ..."),
    "test.protocol": ("How it is done", "the same each time"),
    "test.grip": ("Edge or grip", "another one begins a new series"),
    "test.since": ("Done like this since", "earlier results are another series"),
    "test.better": ("Better is", "more or less"),
    "test.error": ("Usual error", "per cent from day to day; cm for lengths"),
    "test.anchors": ("What results mean", "by the ratings 1 to 5: 1 20, 5 60"),
    "test.worth_having": ("Worth having", "the least gain in four weeks, as the error"),
    "test.minutes": ("Minutes", "how long it takes"),
    "test.ten_percent": ("Ten per cent more", "least, likely, most grade steps: 0, 1, 2"),
    "diary.part": ("Where", "finger, elbow, shoulder, …"),
    "diary.side": ("Side", "left, right, both or none"),
    "diary.pain": ("How bad", "0 none to 10 the worst"),
    "diary.what": ("What", "its name; for a test the same each time"),
    "diary.value": ("Result", "a number, such as 32.5"),
    "diary.unit": ("Unit", "kg, s, reps, …"),
    "diary.minutes": ("How long", "90, 1h30"),
    "diary.rpe": ("How hard", "effort, 0 to 10"),
    "diary.date": ("Day", "today, yesterday, last monday"),
    "diary.note": ("Note", "in your words"),
    "rule.on": ("Counts", "yes or no"),
    "rule.limit": ("Limit", "a number, or lowest and highest: 3 to 6"),
    "rule.weight": ("Price", "how much it costs where it is not met"),
    "recipe.on": ("Counts", "yes or no"),
    "recipe.short": ("Short name", "at most 9 letters; empty: from the name"),
    "recipe.kinds": ("In blocks", "base, strength, performance, rest, …"),
    "recipe.minutes": ("Minutes", "its usual length, warm-up counted"),
    "recipe.warm_up_minutes": ("Of it warm-up", "minutes"),
    "recipe.least_minutes": ("Shortest", "minutes"),
    "recipe.most_minutes": ("Longest", "minutes"),
    "recipe.rpe": ("Effort", "0 to 10"),
    "recipe.needs": ("Needs", "rock, wall, board, hangboard, weights, …"),
    "recipe.spacing_hours": ("Hours apart", "from the next that loads the same hard"),
    "recipe.order": ("Order in a day", "0 first to 4 last"),
    "recipe.max_fingers": ("Maximal finger work", "yes or no"),
    "recipe.disciplines": ("For", "disciplines; empty: all"),
    "recipe.do": ("What to do", "in your words"),
    "recipe.caution": ("Take care", "what is shown beside it"),
    "recipe.evidence": ("Evidence", "trial, review, model, common practice, preference"),
    "recipe.sources": ("Sources", "keys of sources; your-own"),
}  # fmt: skip


def label_of(about: str, key: str) -> Words:
    """Label and help of a line; the key itself and nothing where there are no words for it."""
    parts = [part for part in key.split(".") if not part.isdigit()]
    own = _OWN.get(".".join((about.rpartition(".")[2] or about, *parts)))
    own = own or _OWN.get(f"{about}.{parts[-1]}") or _SHARED.get(parts[-1])
    if own is not None:
        return own
    if len(parts) > 1 and parts[-1] in QUALITIES:
        return QUALITIES[parts[-1]][0], _LEVELS.get(parts[-2], "")
    return parts[-1].replace("_", " ").capitalize(), ""
