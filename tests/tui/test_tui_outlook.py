"""What the year promises at a glance: headline, form of the goals, days on rock, free time."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from stage import bench, demo, main, opened, point, press, screen_text, sheet, slip
from textual.pilot import Pilot
from textual.widgets import Static

from seasonplan.body.form import FINGERS
from seasonplan.days import Span, day_month_text
from seasonplan.explain.words import percent_text
from seasonplan.plan import Block, Week
from seasonplan.vocabulary import Kind
from seasonplan.year.toml import read_year
from tui.year.draw_form import FLAG, RULE
from tui.year.draw_heights import _eighths
from tui.year.draw_plan import ROCK
from tui.year.headline import headline
from tui.year.lanes import Lane, Sheet, WeekTime, goal_days
from tui.year.named import without_ids
from tui.year.since import AS_BEFORE, NEARLY, since_plan

SIZES = ((80, 24), (120, 40), (160, 50))
ID = re.compile(r"\b(?:base|strength|performance|rest)-\d")
DEMOS = ("autumn-project", "mountain-summer", "trips-and-boulders")


def head(pilot: Pilot[int]) -> str:
    return " ".join(str(main(pilot).query_one("#headline", Static).content).split())


def shown(pilot: Pilot[int]) -> Sheet:
    found = sheet(pilot).sheet
    assert found is not None
    return found


def line_of(pilot: Pilot[int], lane: Lane) -> list[str]:
    """The lines of the first row of a lane, as drawn."""
    view = sheet(pilot)
    place = next(one for one in view._places() if shown(pilot).rows[one.number].lane is lane)
    return [view.render_line(place.top + n).text for n in range(place.lines)]


DAYS = [date(2027, 1, 4) + timedelta(days=number) for number in range(300)]


# --- the headline -----------------------------------------------------------------------------


async def test_the_headline_tells_of_days_on_rock_for_the_dearest_goal(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        chance = shown(pilot).dearest
        assert chance is not None and chance.goal.name == "The long traverse"
        days = shown(pilot).on_rock(chance)
        good = sum(chance.chances[day] for day in days)
        assert f"{len(days)} days on rock planned for The long traverse" in head(pilot)
        assert f"about {int(good + 0.5)} of them good" in head(pilot)
        assert "from 25 Sep" in head(pilot)
        assert "now: strength, fingers until 14 Mar" in head(pilot)
        assert "next: rest until 21 Mar" in head(pilot)


@pytest.mark.parametrize(("form", "told"), [
    (-0.01, "Form -1 % from 25 Sep"), (0.0, "Strongest from 25 Sep"),
    (0.04, "Strongest from 25 Sep"),
])  # fmt: skip
async def test_nobody_is_called_strongest_who_is_weaker_than_at_the_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, form: float, told: str
) -> None:
    """A year of form that falls at once and stays there: no four weeks of it are better."""
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        forms = shown(pilot).forms
        monkeypatch.setattr(type(forms), "on", lambda *_: form)
        monkeypatch.setattr(type(forms), "curve", lambda self, _: dict.fromkeys(DAYS, form))
        monkeypatch.setattr(type(forms), "measure", lambda *_: "form")
        assert headline(shown(pilot), date(2027, 2, 17), 300).startswith(told)


async def test_the_headline_changes_with_an_edit_and_back(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        before = head(pilot)
        point(pilot, "strength-1")
        await press(pilot, "right_square_bracket")
        assert "until 15 Mar" in head(pilot) and head(pilot) != before
        await press(pilot, "u")
        assert head(pilot) == before


async def test_less_rock_in_the_season_is_told_at_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        was = re.search(r"(\d+) days on rock", head(pilot))
        point(pilot, "performance-2")
        await press(pilot, *["left_square_bracket"] * 20)
        now = re.search(r"(\d+) days? on rock", head(pilot))
        assert was and now and int(now[1]) < int(was[1])


@pytest.mark.parametrize("width", [36, 60, 74, 114, 154])
@pytest.mark.parametrize("name", DEMOS)
def test_no_line_of_the_headline_is_longer_than_there_is_room(
    tmp_path: Path, name: str, width: int
) -> None:
    from tui.bench import Bench

    told = headline(Bench(demo(tmp_path, name)).sheet, date(2027, 2, 17), width)
    assert told and all(len(line) <= max(width, 36) for line in told.splitlines())


async def test_without_a_plan_the_headline_says_how_to_get_one(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()
    async with opened(folder) as pilot:
        assert head(pilot) == "No plan yet: press r to plan."


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ("", "now: Left elbow off, no day of return named"),
        (
            "easy_from = 2027-03-10\nbuilding_from = 2027-03-20\nfull_from = 2027-04-01\n",
            "now: Left elbow off until 9 Mar",
        ),
    ],
)
def test_days_off_are_told_by_what_hurts_and_an_end_only_where_one_is_named(
    tmp_path: Path, days: str, says: str
) -> None:
    hurt = '\n[[injury]]\nname = "Left elbow"\npart = "elbow"\nhappened = 2027-02-10\n'
    folder = demo(tmp_path)
    year = read_year((folder / "year.toml").read_text() + hurt + days, file="year.toml")
    off = Span(date(2027, 2, 10), min(year.injuries[0].easy_from, year.span.after))
    weeks = (Week(span=off),)
    block = Block(id="injured-1", kind=Kind.INJURED, span=off, weeks=weeks, entry="left-elbow")
    assert says in headline(Sheet(year, (block,)), date(2027, 2, 17), 160)


def test_a_goal_that_loses_all_its_days_is_told(tmp_path: Path) -> None:
    from tui.bench import Bench

    before = Bench(demo(tmp_path)).sheet
    text = (tmp_path / "autumn-project" / "year.toml").read_text()
    hurt = '\n[[injury]]\nname = "Left elbow"\npart = "elbow"\nhappened = 2027-02-10\n'
    after = Sheet(read_year(text + hurt, file="year.toml"), ())
    told = since_plan(before, after)
    assert AS_BEFORE not in told and after.almanac.opportunities == ()
    assert len(told) == len(before.almanac.opportunities)
    assert all("on rock → none, it has no day left" in one for one in told)


def test_a_goal_with_two_seasons_is_named_with_its_month(tmp_path: Path) -> None:
    from tui.bench import Bench

    bench = Bench(demo(tmp_path))
    text = (tmp_path / "autumn-project" / "year.toml").read_text()
    two_years = read_year(text.replace("weeks = 52", "weeks = 104"), file="year.toml")
    told = since_plan(bench.sheet, Sheet(two_years, bench.blocks))
    assert any(re.match("The long traverse, Sep 2027: .* → 0 days on rock", one) for one in told)


def test_a_goal_without_a_season_is_told_and_what_to_enter(tmp_path: Path) -> None:
    from tui.bench import Bench

    bench = Bench(demo(tmp_path))
    bare = bench.desk.year.with_fields(
        seasons=(),
        goals=[one.model_copy(update={"served_by": ()}) for one in bench.desk.year.goals],
    )
    assert "No day is for The long traverse yet: enter its season" in headline(
        Sheet(bare, bench.blocks), date(2027, 2, 17), 160
    )


# --- the form of the goals --------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_a_goal_has_a_flag_with_its_figure_on_its_days(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(demo(tmp_path), size=size) as pilot:
        for chance in shown(pilot).almanac.opportunities:
            change = shown(pilot).forms.on(chance)
            assert change is not None
            view = sheet(pilot)
            number = next(n for n, row in enumerate(shown(pilot).rows) if row.goal == chance.goal)
            place = next(one for one in view._places() if one.number == number)
            text = view.render_line(place.top).text
            column = view.margin + view.scale.column(goal_days(chance).first)
            assert text[column:].startswith(f"{FLAG} {percent_text(change)}")


async def test_finger_strength_is_told_where_it_is_what_lacks(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        goal = bench(pilot).desk.year.goals[0]
        assert shown(pilot).forms.measure(goal) == FINGERS
        assert FINGERS in screen_text(pilot)
        curve = shown(pilot).forms.curve(goal)
        assert curve[date(2027, 1, 4)] == pytest.approx(0.0)
        assert max(curve.values()) > 0.01


@pytest.mark.parametrize("size", SIZES)
async def test_one_rule_runs_down_to_the_flag_of_the_dearest_season(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(demo(tmp_path), size=size) as pilot:
        point(pilot, "base-2")
        await pilot.pause()
        view, chance = sheet(pilot), shown(pilot).dearest
        assert chance is not None
        column = view.margin + view.scale.column(goal_days(chance).first)
        lines = [view.render_line(n).text[column] for n in range(view.size.height)]
        flag = lines.index(FLAG)
        crossed = [sign for sign in lines[2:flag] if sign == RULE]
        assert len(crossed) >= (flag - 2) - 3  # a name or two may stand in its way
        others = [view.render_line(n).text.replace(RULE, "", 1) for n in range(flag)]
        assert not any(RULE in line for line in others)


@pytest.mark.parametrize("width", [80, 100, 120, 160])
@pytest.mark.parametrize("name", DEMOS)
async def test_the_season_that_matters_most_is_always_named(
    tmp_path: Path, name: str, width: int
) -> None:
    async with opened(demo(tmp_path, name), size=(width, 40)) as pilot:
        chance = shown(pilot).dearest
        assert chance is not None
        assert chance.spell.entry.name.split()[0] in screen_text(pilot)
        whole = re.split(r"\s{2,}|│|▒|▓|█|░|»", screen_text(pilot))
        assert any(chance.spell.entry.name.startswith(text.strip()) for text in whole if text)


# --- blocks -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [*SIZES, (40, 24)])
async def test_blocks_are_called_by_kind_never_by_id(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(demo(tmp_path), size=size) as pilot:
        for name in ("base-2", "strength-2", "performance-2", "rest-3"):
            point(pilot, name)
            await pilot.pause()
            assert not ID.search(screen_text(pilot))
            assert not ID.search(slip(pilot))


async def test_a_block_tells_its_emphasis_and_its_weeks(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        text = screen_text(pilot)
        assert "base, fingers" in text and "7 weeks" in text
        point(pilot, "base-2")
        await pilot.pause()
        assert "Base block, endurance" in slip(pilot) and "4 weeks" in slip(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_days_on_rock_bear_a_sign_that_the_legend_names(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(demo(tmp_path), size=size) as pilot:
        assert shown(pilot).rock_days
        assert ROCK in line_of(pilot, Lane.PLAN)[1]
        assert f"{ROCK} on rock" in str(main(pilot).query_one("#legend", Static).content)


async def test_each_day_on_rock_is_told_of_a_week(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        day = min(shown(pilot).rock_days)
        week = next(week for week in shown(pilot).times if day in week.span)
        mark = next(
            mark for row in shown(pilot).rows if row.lane is Lane.HOURS
            for mark in row.marks if mark.span == week.span
        )  # fmt: skip
        sheet(pilot).select(mark)
        await pilot.pause()
        assert day_month_text(day) in slip(pilot) and "On rock" in slip(pilot)


def test_an_id_in_a_sentence_becomes_kind_and_day(tmp_path: Path) -> None:
    from tui.bench import Bench

    blocks = Bench(demo(tmp_path)).blocks
    assert without_ids("a block you fixed is not kept (pin-base-2).", blocks).endswith("not kept.")
    told = without_ids("rest-2 moves. It stands after base-2; base-99 stays.", blocks)
    assert told == (
        "The rest block from 10 May moves. It stands after the base block from 17 May; "
        "base-99 stays."
    )
    told = without_ids("The session base-2/2027-05-17/route-volume-1 is left out.", blocks)
    assert told == "“Routes on the wall” of the week from Mon 17 May 2027 is left out."


# --- hours ------------------------------------------------------------------------------------


async def test_free_time_that_no_session_takes_is_told(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        week = next(one for one in shown(pilot).times if one.unused > 60)
        taken = sum(
            session.minutes
            for session in bench(pilot).sessions
            if session.day in week.span and not session.rock
        )
        assert week.unused == week.free - taken
        point(pilot, "week-1")
        await pilot.pause()
        assert "of the free time are not used" in slip(pilot)
        assert "h a week unused" in screen_text(pilot)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert "unused" not in screen_text(pilot)  # there is no room to say it whole
        await pilot.resize_terminal(99, 40)
        await pilot.pause()
        assert re.search(r"\d h a week ", screen_text(pilot)) and " unused " in screen_text(pilot)


def test_a_light_week_never_reaches_up_to_what_is_free() -> None:
    from seasonplan.days import Span

    span = Span(date(2027, 1, 4), date(2027, 1, 11))
    for planned in range(0, 901, 25):
        week = WeekTime(span, planned=planned, free=900, unused=0, load=0, light=True)
        full = WeekTime(span, planned=planned, free=900, unused=0, load=0)
        bar, line = _eighths(week, 60.0)
        assert bar < line and bar <= _eighths(full, 60.0)[0]


async def test_a_light_week_is_drawn_lower_than_the_one_before(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        pairs = [
            (before, light)
            for block in bench(pilot).blocks
            for before, light in zip(block.weeks, block.weeks[1:], strict=False)
            if light.deload and not before.deload and _whole(before) and _whole(light)
        ]
        assert len(pairs) > 2
        by_day = {day: week for week in shown(pilot).times for day in week.span.days()}
        for before, light in pairs:
            high, low = (by_day[one.span.first] for one in (before, light))
            assert _eighths(low, 60.0)[0] < _eighths(high, 60.0)[0]


def _whole(week: Week) -> bool:
    return week.span.length == 7


# --- words ------------------------------------------------------------------------------------


@pytest.mark.parametrize("page", ["1", "2", "3", "4"])
async def test_no_page_speaks_of_points_or_states(tmp_path: Path, page: str) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await press(pilot, page)
        text = screen_text(pilot)
        for gone in ("points", "of 100", "below the best", "delivered", "in the head"):
            assert gone not in text


def test_a_figure_is_never_broken_over_two_lines_of_a_narrow_window(tmp_path: Path) -> None:
    from tui.bench import Bench

    since = ("The long traverse: finger strength +4 % → +3 %", "A handful: 10 → 1 days on rock")
    shown = Bench(demo(tmp_path)).sheet
    for width in range(24, 40):
        lines = headline(shown, date(2027, 2, 17), width, since=since).splitlines()
        assert all(len(line) <= width for line in lines)
        assert any("+4 % → +3 %" in line for line in lines)
        assert any("10 → 1 days" in line for line in lines)


async def test_a_move_says_how_far_it_is_below_the_plan(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        await press(pilot, "p")
        assert AS_BEFORE in head(pilot) and "worth no less than the plan" in head(pilot)
        await press(pilot, "greater_than_sign")
        days = re.search(r"with form worth ([\d.]+) good days? on rock less than", head(pilot))
        found = bench(pilot).moved_worth
        assert days is not None and found is not None
        # a sure day for a goal of priority 1 is 3 points (shared/response.toml, worth.priority)
        assert float(days[1]) == pytest.approx((found[0] - found[1]) / 3, abs=0.05)
        assert found[1] == bench(pilot).desk.by_hand.score.points


def test_how_far_a_move_is_below_the_plan_hangs_on_no_share_of_the_year(tmp_path: Path) -> None:
    from tui.bench import Bench

    one = Bench(demo(tmp_path)).sheet
    as_told, told = since_plan(one, one, worth=(2.0, -0.1))
    assert told == "with form worth 0.7 good days on rock less than the plan"
    assert as_told == NEARLY, "which does not say that nothing changed beside a loss"
    assert since_plan(one, one, worth=(2.0, 2.1))[-1] == "worth no less than the plan"
    assert since_plan(one, one) == (AS_BEFORE,)
