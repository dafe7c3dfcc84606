"""The load follows what was done: weeks missed in part hold it or lower it, and that is told."""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from draft_maker import KEY
from page_lines import lines, unbroken
from spring import SPRING, STAMP, Spring, row
from typer.testing import CliRunner

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import Training, body_of, mornings, trainings
from seasonplan.body.worth import weights
from seasonplan.checker import check, loads
from seasonplan.cli.accepted import accepted
from seasonplan.cli.answering import present_of
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain.missed import load_text
from seasonplan.feed.contents import Wish, contents_of
from seasonplan.feed.pages.page import page_body
from seasonplan.ical import ALL, Layer
from seasonplan.plan import Block, Loads, Revision, Week
from seasonplan.planner.accepted import LOOK_BACK_WEEKS
from seasonplan.planning.proposal import Keep, Proposal
from seasonplan.recipes import standard_recipes
from seasonplan.rules.statements import book_of, standard_book
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from seasonplan.year.toml import read_year

TODAY = date(2026, 4, 27)  # a Monday, after two whole weeks of strength
THURSDAY = date(2026, 4, 30)  # of the week that then began
FIRST, SECOND, AHEAD = date(2026, 4, 13), date(2026, 4, 20), date(2026, 5, 4)
RECIPES = standard_recipes()
# away a week earlier, a season a week later: the week from 27 April is light, that from 4 May not
A_WEEK_ON = SPRING
for old, new in (("2026-05-18", "2026-05-25"), ("2026-06-14", "2026-06-21"),
                 ("2026-03-30", "2026-03-23"), ("2026-04-05", "2026-03-29")):  # fmt: skip
    A_WEEK_ON = A_WEEK_ON.replace(old, new)


@pytest.fixture(scope="module")
def spring(tmp_path_factory: pytest.TempPathFactory) -> Spring:
    folder = tmp_path_factory.mktemp("missed") / "year"
    folder.mkdir()
    (folder / "year.toml").write_text(A_WEEK_ON, encoding="utf-8")
    desk = Desk(folder)
    desk.make_plan("first", stamp=STAMP, calendar_key=KEY)
    assert desk.plan is not None
    return Spring(folder, desk.plan)


GONE = {FIRST: (0, 2), SECOND: (0, 2, 5)}  # which sessions of each week are missed


def five_missed(spring: Spring) -> list[str]:
    """Two sessions of the first week, which leave 3/4 to 1/2 of it; three of the second, which
    leave less."""
    return [row(spring.week(week)[n], "missed") for week, gone in GONE.items() for n in gone]


def proposed(desk: Desk, today: date = TODAY) -> Proposal:
    answer = desk.propose("weeks passed", stamp=STAMP, today=today, keep=Keep.MEDIUM)
    assert isinstance(answer, Proposal)
    return answer


@pytest.fixture(scope="module")
def silent(spring: Spring, tmp_path_factory: pytest.TempPathFactory) -> Proposal:
    """What is proposed to who keeps no diary."""
    return proposed(spring.desk(tmp_path_factory.mktemp("silent") / "year"))


@pytest.fixture(scope="module")
def missed(spring: Spring, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """The folder of who missed five sessions in two weeks."""
    return spring.desk(tmp_path_factory.mktemp("five") / "year", *five_missed(spring))


@pytest.fixture(scope="module")
def lower(missed: Desk) -> Proposal:
    return proposed(missed)


def load_of(revision: Revision, first: date) -> float:
    return sum(week.load for b in revision.blocks for week in b.weeks if week.span.first == first)


def bytes_of(revision: Revision) -> str:
    """Blocks with their weeks, and sessions, as they are written."""
    return revision.model_dump_json(include={"blocks", "sessions", "score", "done"})


def run(*arguments: object) -> Any:
    words = [str(one) for one in arguments]
    return CliRunner().invoke(app, words, env={"COLUMNS": "80", "NO_COLOR": None})


# --- as planned, and more -----------------------------------------------------------------------


def test_weeks_done_as_planned_leave_the_plan_as_it_is(
    spring: Spring, silent: Proposal, tmp_path: Path
) -> None:
    rows = [row(one, "done", minutes=one.minutes) for one in spring.sessions if one.day < TODAY]
    assert len(rows) > 20
    answer = proposed(spring.desk(tmp_path / "year", *rows))
    assert bytes_of(answer.after) == bytes_of(silent.after)
    assert answer.after.done == {}


def test_more_than_planned_lifts_no_week_above_its_step(
    spring: Spring, silent: Proposal, tmp_path: Path
) -> None:
    more = [f"{FIRST + timedelta(n)},done,,,Bouldering,120,8\n" for n in range(14)]
    answer = proposed(spring.desk(tmp_path / "year", *more))
    assert bytes_of(answer.after) == bytes_of(silent.after)


def test_a_single_missed_session_changes_nothing_and_is_not_told(
    spring: Spring, silent: Proposal, tmp_path: Path
) -> None:
    least = min(spring.week(FIRST), key=lambda one: one.load)
    desk = spring.desk(tmp_path / "year", row(least, "missed"))
    assert desk.missed_lines(TODAY) == [] and not desk.behind(TODAY)
    assert bytes_of(proposed(desk).after) == bytes_of(silent.after)


# --- missed -------------------------------------------------------------------------------------


def test_five_missed_sessions_lower_the_weeks_to_come(
    spring: Spring, silent: Proposal, lower: Proposal
) -> None:
    # by hand: the share of each week is the load of what was not missed over that of the week
    shares = {
        first: sum(one.load for n, one in enumerate(spring.week(first)) if n not in gone)
        / sum(one.load for one in spring.week(first))
        for first, gone in GONE.items()
    }
    assert 0.5 <= shares[FIRST] < 0.75 and shares[SECOND] < 0.5
    assert lower.after.done == {day: round(share, 2) for day, share in shares.items()}
    assert load_of(lower.after, AHEAD) < load_of(silent.after, AHEAD)
    weeks = {w.span.first for b in silent.after.blocks for w in b.weeks if w.span.first >= TODAY}
    loads = [[load_of(one.after, first) for first in sorted(weeks)] for one in (lower, silent)]
    assert sum(loads[0]) < sum(loads[1]) and max(loads[0]) < max(loads[1])  # light weeks move


def test_the_next_week_is_at_most_a_tenth_above_the_fullest_that_was_done(
    spring: Spring, lower: Proposal
) -> None:
    # shared/rules.toml, missed-weeks: 1.1; loads of whole weeks by hand, as they were done
    before = [
        sum(s.load for s in spring.week(first)) * lower.after.done.get(first, 1.0)
        for first in (TODAY - timedelta(weeks=n) for n in range(1, 9))
    ]
    usual = body_of(read_year(SPRING, file="year.toml")).usual  # before the year
    assert load_of(lower.after, AHEAD) <= 1.1 * 1.005 * max(*before, usual)


def test_what_is_over_stays_as_it_was(spring: Spring, lower: Proposal) -> None:
    was, now = (
        [one for one in sessions if one.day < TODAY]
        for sessions in (spring.sessions, lower.after.sessions)
    )
    assert was == now
    weeks = [
        [week for b in blocks for week in b.weeks if week.span.after <= TODAY]
        for blocks in (spring.plan.current.blocks, lower.after.blocks)
    ]
    assert weeks[0] == weeks[1]


def test_a_plan_that_knows_of_it_stands(missed: Desk, tmp_path: Path) -> None:
    shutil.copytree(missed.folder, tmp_path / "year")
    desk = Desk(tmp_path / "year")
    assert desk.behind(THURSDAY)
    kept = desk.accept(proposed(desk, THURSDAY))
    again = Desk(tmp_path / "year")
    assert not again.behind(THURSDAY) and again.up_to_date
    assert not [one for one in again.check(today=THURSDAY) if one.strength == "hard"]
    assert not again.behind(again.year.span.after)  # nothing goes on after the year
    answer = proposed(again, THURSDAY)
    assert bytes_of(answer.after) == bytes_of(kept)
    assert "The plan goes on from what you did" in " ".join(again.missed_lines(THURSDAY))
    ran = run("replan", again.folder, "--today", THURSDAY, "--look")
    assert ran.exit_code == Exit.FINE and "There is nothing to accept" in ran.stderr


def test_with_the_rule_off_loads_rise_as_planned(
    spring: Spring, silent: Proposal, tmp_path: Path
) -> None:
    desk = spring.desk(tmp_path / "year", *five_missed(spring))
    text = (desk.folder / "year.toml").read_text(encoding="utf-8")
    (desk.folder / "year.toml").write_text(f"{text}\n[rules.missed-weeks]\non = false\n")
    answer = proposed(Desk(desk.folder))
    assert answer.after.blocks == silent.after.blocks
    assert answer.after.sessions == silent.after.sessions


# --- the checker, by itself -----------------------------------------------------------------------


def test_the_checker_tells_a_plan_that_goes_on_as_if_nothing_was_missed(
    silent: Proposal, lower: Proposal
) -> None:
    year = silent.year

    def found(
        revision: Revision, done: Mapping[date, float], today: date = TODAY
    ) -> dict[date, float | None]:
        told = check(
            year, revision.blocks, sessions=revision.sessions, book=book_of(year), today=today,
            done=done,
        )  # fmt: skip
        return {one.span.first: one.found for one in told if one.code == "missed-weeks"}

    little = {FIRST: 0.1, SECOND: 0.4}  # as much as 10 days off: then 0.5 and 0.75 of the load
    most = max(load_of(silent.after, FIRST - timedelta(weeks=back)) for back in range(1, 7))
    told = found(silent.after, little)
    assert told[AHEAD] == pytest.approx(load_of(silent.after, AHEAD) / (0.75 * most))
    assert told[TODAY] == pytest.approx(load_of(silent.after, TODAY) / (0.5 * most))
    assert TODAY not in found(silent.after, little, TODAY + timedelta(days=2))  # half of it is over
    assert found(silent.after, {}) == {}
    assert found(lower.after, lower.after.done) == {}


def test_planner_and_checker_hold_loads_against_what_was_done_for_as_long() -> None:
    limits = composing().load
    assert (limits.rise_weeks, LOOK_BACK_WEEKS) == (loads.MISSED_WEEKS, loads.LOOK_BACK_WEEKS)
    assert limits.lost_below == loads.MISSED_IN_MOST
    asks = standard_book()["missed-weeks"].asks
    assert (limits.rise_weeks, limits.held_below, limits.lost_below) == (4, 0.75, 0.5)
    assert "less than three quarters" in asks and "less than half" in asks
    assert "in the four weeks after" in asks


# --- told -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("command", ["today", "week", "show"])
def test_five_missed_sessions_are_told_with_figures(missed: Desk, command: str) -> None:
    ran = run(command, missed.folder, "--today", TODAY)
    told = unbroken(ran.stdout)
    assert ran.exit_code == Exit.FINE, ran.output
    first, second = (100 * share for share in missed.done(TODAY).values())
    assert "You missed 5 of 12 sessions in the last two weeks (7 without a word in" in told
    assert f"you did {first:.0f} % of the load of the week from 13 Apr and {second:.0f} %" in told
    assert "goes on from what you did." in told


def test_the_proposal_says_what_was_done_and_what_the_next_week_holds_then(
    silent: Proposal, lower: Proposal, missed: Desk
) -> None:
    ran = run("replan", missed.folder, "--today", TODAY, "--look")
    told = unbroken(ran.stdout)
    assert "By your diary you did" in told and "the load goes on from there" in told
    was, now = (round(load_of(one.after, AHEAD)) for one in (silent, lower))
    assert f"The week from 4 May holds a load of {now}, {was} before." in told


def test_logging_a_missed_session_says_what_follows(spring: Spring, tmp_path: Path) -> None:
    desk = spring.desk(tmp_path / "year", *five_missed(spring)[:1])
    other = spring.week(FIRST)[4]
    ran = run("log", desk.folder, "missed", other.id, "--today", other.day)
    assert ran.exit_code == Exit.FINE, ran.output
    assert "it counts for the load once this week is over, on 20 Apr." in unbroken(ran.stdout)


def test_who_missed_nothing_else_for_days_is_asked_about_illness(
    spring: Spring, tmp_path: Path
) -> None:
    all_week = [row(one, "missed") for one in spring.week(SECOND)]
    told = spring.desk(tmp_path / "year", *all_week).missed_lines(TODAY)
    assert "`seasonplan ill`" in told[-1] and len(told) == 2


def test_a_short_week_that_a_normal_one_followed_is_over(spring: Spring, tmp_path: Path) -> None:
    gone = [row(spring.week(FIRST)[n], "missed") for n in GONE[FIRST]]
    (told,) = spring.desk(tmp_path / "year", *gone).missed_lines(TODAY)
    assert "the week after that went about as planned, so the plan stands" in told


# --- in the terminal ------------------------------------------------------------------------------


def test_the_terminal_says_in_its_head_that_sessions_were_missed(missed: Desk) -> None:
    from tui.bench import Bench
    from tui.standing import standing

    assert standing(Bench(missed.folder, now=TODAY)) == "~ sessions missed: r plans anew"
    assert "stands" in standing(Bench(missed.folder, now=FIRST))  # before these weeks


def test_the_terminal_names_its_keys_in_place_of_commands(spring: Spring, tmp_path: Path) -> None:
    from tui.spoken import spoken

    all_week = [row(one, "missed") for one in spring.week(SECOND)]
    told = [spoken(one) for one in spring.desk(tmp_path / "year", *all_week).missed_lines(TODAY)]
    assert not [one for one in told if "`" in one]
    assert "r plans anew and goes on from what you did" in told[0]


def test_the_form_told_counts_what_was_done(lower: Proposal) -> None:
    """Of a week done to 60 % as much counts in the model as is 60 % of its dose and load."""
    year, after = lower.year, lower.after
    assert set(after.done) == {FIRST, SECOND}
    almanac, body = Almanac(year), body_of(year)
    planned = trainings(after.blocks, after.sessions, RECIPES)
    shares = [after.done.get(one.span.first, 1.0) for one in planned]
    done = [
        replace(one, dose=tuple(part * share for part in one.dose), load=one.load * share)
        for one, share in zip(planned, shares, strict=True)
    ]
    (chance,) = almanac.opportunities
    days = {one.day for one in after.sessions if one.rock and one.day in chance.chances}
    good = sum(chance.chances[day] for day in days)

    def told(weeks: Sequence[Training]) -> float:
        at = mornings(year, weeks, body)
        forms = (chance.chances[d] * at[d].form(weights(chance.goal), body) for d in days)
        return sum(forms) / good

    (occasion,) = after.score.occasions
    assert occasion.form == pytest.approx(told(done))
    assert occasion.form < told(planned)


def test_the_page_on_a_phone_says_of_missed_sessions_what_the_command_line_says(
    missed: Desk,
) -> None:
    when = datetime.combine(THURSDAY, datetime.min.time(), UTC)
    known = present_of(missed.folder, diary=True, tell=pytest.fail)()
    present = replace(known, now=when)
    told = missed.missed_lines(THURSDAY)
    assert told and not present_of(missed.folder, diary=False, tell=pytest.fail)().rows
    for layers, says in ((ALL, True), (ALL - {Layer.DIARY}, False)):
        shown = contents_of(
            *accepted(missed.folder), wish=Wish(layers=layers), now=when, seen={}, pages=None
        )
        html = page_body(shown, present, page_secret="s" * 43, base="").content.decode()
        text = " ".join(lines(html)).replace("`", "")
        assert all((line.replace("`", "") in text) is says for line in told)


@pytest.mark.parametrize(
    ("aim", "more", "says"),
    [
        (
            0.95,
            20.0,
            "is to hold a load of 95, 100 before; its sessions, which are whole, come to ",
        ),
        (0.95, 0.0, "come to as much as before."),
        (1.0, 20.0, "holds a load of "),
    ],
)
def test_a_week_that_is_to_hold_less_and_comes_to_more_says_both(
    spring: Spring, aim: float, more: float, says: str
) -> None:
    def with_first(revision: Revision, week: Week) -> Revision:
        blocks = tuple(
            Block(
                **{**dict(b), "weeks": tuple(week if w.span == week.span else w for w in b.weeks)}
            )
            for b in revision.blocks
        )
        return Revision(**{**dict(revision), "blocks": blocks})

    now = spring.plan.current
    first = next(w for b in now.blocks for w in b.weeks if w.span.first == AHEAD)
    was = Week(**{**dict(first), "aim": 100.0, "deload": False})
    loads = {**dict(first.loads), "fitness": first.loads.fitness + more}
    then = Week(**{**dict(was), "aim": 100.0 * aim, "loads": Loads(**loads)})
    after = with_first(now, then).model_copy(update={"done": {SECOND: 0.5}})
    told = load_text(with_first(now, was), after, today=AHEAD)
    assert says in told
    assert more == 0.0 or f"{then.load:.0f}, {was.load:.0f} before." in told


def test_weeks_after_missed_ones_are_filled_to_their_aim_and_no_further(lower: Proposal) -> None:
    coming = [
        week
        for block in lower.after.blocks
        for week in block.weeks
        if block.kind in (Kind.BASE, Kind.STRENGTH)
        and 0 <= (week.span.first - TODAY).days < 7 * composing().load.rise_weeks
    ]
    assert coming
    assert all(week.load <= week.aim + 0.5 for week in coming), [(w.load, w.aim) for w in coming]
