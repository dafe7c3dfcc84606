"""The cited tables of the project's `shared/` folder, read once. Knows no rule and no year."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import Field

from seasonplan.errors import Misuse
from seasonplan.vocabulary import Discipline, FrozenModel, Kind, Quality, Style, Verified


def shared_file(name: str) -> Path:
    """Where a file of `shared/` is: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).parent.parent
    for folder in (package / "_shared", package.parent / "shared"):
        if (folder / name).is_file():
            return folder / name
    raise Misuse(f"shared/{name} is not installed with seasonplan")


@cache
def table(name: str) -> dict[str, Any]:
    """The content of `shared/NAME.toml`."""
    return tomllib.loads(shared_file(f"{name}.toml").read_text(encoding="utf-8"))


class Source(FrozenModel):
    """Where a number comes from and how far that was checked."""

    cite: str
    says: str = ""
    verified: Verified

    @property
    def label(self) -> str:
        """One line; with how far it was checked, where there was something to check."""
        marks = {
            Verified.MEMORY: " (from memory, not looked up)",
            Verified.SECOND_HAND: " (quoted by others)",
            Verified.ABSTRACT: " (abstract read)",
            Verified.READ: " (text read)",
        }
        return self.cite + marks.get(self.verified, "")


@cache
def sources() -> dict[str, Source]:
    return {key: Source(**value) for key, value in table("sources").items()}


@cache
def caution(name: str) -> str:
    """The words of caution by that name."""
    return str(table("cautions")[name])


@cache
def light_holds() -> tuple[tuple[float, str], ...]:
    """Up to how many per cent of the own maximum which effort of 10 is told, the lightest first."""
    return tuple((float(upto), str(effort)) for upto, effort in table("effort")["holds"]["rows"])


class WeekShares(FrozenModel):
    """Shares of the week's load by kind of block and by what the week is for."""

    base: float
    strength: float
    performance: float
    rest: float
    light: float
    lead_in: float


@cache
def week_shares() -> WeekShares:
    return WeekShares(**table("blocks")["shares"])


class DaysOff(FrozenModel):
    """How training comes back after so many days off: shares of the first weeks, and limits."""

    days: int
    shares: tuple[float, ...]
    finger_days: tuple[int, ...]
    light_days: int = 0


def light_hangs_from() -> int:
    """After so many days off the first week has no hard hangs."""
    return min(row.days for row in days_off_table() if row.light_days)


@cache
def days_off_table() -> tuple[DaysOff, ...]:
    """From the fewest days off to the most."""
    rows = tuple(DaysOff(**row) for row in table("blocks")["days_off"]["rows"])
    return tuple(sorted(rows, key=lambda row: row.days))


def after_days_off(days: int) -> DaysOff | None:
    """How training comes back after so many days off; None after fewer than the least."""
    return next((row for row in reversed(days_off_table()) if days >= row.days), None)


def least_given_days() -> int:
    """Trips and absences shorter than this do not break a block."""
    return int(table("blocks")["given"]["least_days"])


class RockDayTable(FrozenModel):
    """How days on rock lie in a week and how long they are (hours, minutes, days)."""

    begins: dict[Discipline, int]
    ends: int
    least_minutes: int
    shortest_minutes: int
    project_minutes: int
    long_minutes: int
    longest_minutes: int
    in_a_row: int
    in_seven: tuple[int, ...]
    in_seven_away: int
    project_every: int
    project_every_away: int
    easy_share: float
    first_share: float
    load_share: float


@cache
def rock_day_table() -> RockDayTable:
    return RockDayTable(**{k: v for k, v in table("blocks")["rock_days"].items() if k != "sources"})


@cache
def usual_hours() -> dict[str, int]:
    """Hours of the day between which training falls where only an amount of time is known."""
    return dict(table("blocks")["usual_hours"])


class Fit(FrozenModel):
    """How far a week is filled, as shares of its aim, and at what effort."""

    full: float
    season_full: float
    over: float
    slack_load: float
    light_after: float
    light_least: float
    rock_share: float
    wished_share: float
    missing_rpe: float
    full_rpe: float
    own_length_rpe: float
    short_minutes: int
    long_minutes: int
    climb_keeps: float
    hard_climb_keeps: float
    more_climb_keeps: float
    few_wall_days: int
    project_days: int


class DayLimits(FrozenModel):
    """What one day holds."""

    most: int
    most_if_long: int
    long_minutes: int
    home_share: float
    short_hang_minutes: int
    hangs_before_tries: int
    hangs_before_tools: int
    easy_rpe: float
    eve_rpe: float
    eve_planned_rpe: float
    before_trips: int
    drains_from: float


class FingerLimits(FrozenModel):
    """Limits of finger work, in days, sessions a week and hard seconds.

    `new_shares`: of the own maximum, in the first weeks of who is new to such hangs, or comes back
    to them after an injury.
    """

    in_a_row: int
    in_a_row_short: int
    light_sessions: int
    young_light_sessions: int
    new_light_sessions: int
    hurt_light_sessions: int
    shorter: float
    kept_seconds: int
    after_trip_days: int
    after_trip_of_days: int
    new_shares: tuple[float, ...]


class RockLimits(FrozenModel):
    """Days on rock and the beginnings of seasons and trips."""

    usual_minutes: int
    away_load: float
    trip_without_goal: float
    short_spell_days: int
    opening_next_days: int
    opening_next_away: int
    opening_rise: float
    long_without_days: int
    opening_days: int
    short_season_days: int
    fresh_after_days: int
    led_rise: float
    mountain_weeks: int
    mountain_every_weeks: int
    mountain_minutes: int


class LoadLimits(FrozenModel):
    """How load steps up, and how much fits the free time."""

    steady_every: int
    held_below: float
    lost_below: float
    cut_below: float
    cut_weeks: int
    season_hung: float
    long_trip_days: int
    home_rest_days: int
    rise_weeks: int
    effort: float
    used: float
    least_minutes: int
    rock_effort: float
    rock_active: float


class BlockLimits(FrozenModel):
    """Lengths of blocks beside the rules."""

    power_endurance_weeks: int
    before_rock_days: int
    between_rock_days: int
    after_rock_days: int
    fill_days: int


class Older(FrozenModel):
    """From which age on a climber is treated with more care."""

    from_years: int
    rock_share: float


class OwnRecipes(FrozenModel):
    """What a climber's own recipe has where nothing is said."""

    spacing_hours: tuple[int, int, int, int]


class NewPlan(FrozenModel):
    """What a new plan costs in points, when a goal is reachable, what is nearly as good."""

    emphasis_share: float
    cut_price: float
    reachable: float
    near_share: float


class Again(FrozenModel):
    """After how many days a work begins again with its first step."""

    after_days: int
    barred_days: int


class Composing(FrozenModel):
    """Limits and preferences by which weeks are composed and plans compared.

    `same`: how often a week of a kind holds the same session, hangs apart.
    """

    fit: Fit
    same: dict[Kind, int]
    day: DayLimits
    fingers: FingerLimits
    rock: RockLimits
    load: LoadLimits
    block: BlockLimits
    older: Older
    own_recipes: OwnRecipes
    again: Again
    new_plan: NewPlan


@cache
def composing() -> Composing:
    """The numbers of `shared/weeks.toml`."""
    return Composing(**table("weeks"))


class ResponseTable(FrozenModel):
    """Constants of the response model, with units in their names."""

    tau_days: dict[Quality, float]
    most: dict[Quality, float]
    half: dict[Quality, float]
    load_a_second: float
    hard_from: float
    light_share: float
    usual_session_seconds: float
    headroom: dict[Quality, tuple[float, float, float, float, float]]
    default_rating: int
    start_mix: dict[Quality, float]
    fingers_from_climbing: float
    start_share: float
    start_rpe: float
    start_weeks: int = Field(ge=1)
    least_load: float
    doubted_load: float
    fatigue_tau_days: float
    fatigue_steps: float
    in_two_parts: float
    step: float
    step_days: float
    shortfall: tuple[tuple[float, float], ...]
    priority_worth: tuple[float, float, float]
    easy_day: float
    all_year: float
    beyond: float
    aside: float
    below: dict[Quality, float]
    load_step: float
    year_rise: float
    year_careful: float
    year_least: float
    ordinary: float
    off_a_week: float
    filled: float
    demands: dict[Discipline, dict[Quality, int]]
    style_demands: dict[Style, dict[Quality, int]]


@cache
def response_table() -> ResponseTable:
    raw = table("response")
    own = raw["own_rating"]
    return ResponseTable(
        tau_days={quality: raw["tau_days"][quality.value] for quality in Quality},
        most={quality: raw["most"][quality.value] for quality in Quality},
        half={quality: raw["half"][quality.value] for quality in Quality},
        load_a_second=raw["hangs"]["load_a_second"],
        hard_from=raw["hangs"]["hard_from"],
        light_share=raw["hangs"]["light_share"],
        usual_session_seconds=raw["hangs"]["usual_session_seconds"],
        headroom={quality: own["headroom_of"].get(quality, own["headroom"]) for quality in Quality},
        default_rating=own["default"],
        start_mix=raw["start"]["mix"],
        fingers_from_climbing=raw["start"]["fingers_from_climbing"],
        start_share=raw["start"]["share"],
        start_rpe=raw["start"]["rpe"],
        start_weeks=raw["start"]["weeks"],
        least_load=raw["start"]["least_load"],
        doubted_load=raw["start"]["doubted_load"],
        fatigue_tau_days=raw["fatigue"]["tau_days"],
        fatigue_steps=raw["fatigue"]["steps"],
        in_two_parts=raw["worth"]["in_two_parts"],
        step=raw["worth"]["step"],
        step_days=raw["worth"]["step_days"],
        shortfall=tuple(map(tuple, raw["worth"]["shortfall"])),
        priority_worth=tuple(raw["worth"]["priority"]),
        easy_day=raw["worth"]["easy_day"],
        all_year=raw["worth"]["all_year"],
        beyond=raw["worth"]["beyond"],
        aside=raw["worth"]["aside"],
        below={Quality(name): each for name, each in raw["worth"]["below"].items()},
        load_step=raw["load"]["step"],
        year_rise=raw["load"]["year"],
        year_careful=raw["load"]["year_careful"],
        year_least=raw["load"]["year_least"],
        ordinary=raw["load"]["ordinary"],
        off_a_week=raw["load"]["off_a_week"],
        filled=raw["load"]["filled"],
        demands=raw["demands"],
        style_demands=raw["style_demands"],
    )


def keep_points(level: str) -> float:
    """Points that a day changed today costs: high, medium or low."""
    return float(table("response")["keep"][level])
