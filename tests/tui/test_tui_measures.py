"""The page of tests: what it draws and says, the form for a result, the timer by the second."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from filling import fill, form, judged
from folder_maker import YEAR, blocks, planned, session
from hurt import hurt_text
from stage import bench, main, opened, press, screen_text, told, until, words
from testing_stage import on, tries, year
from textual.pilot import Pilot
from textual.widgets import Static

from seasonplan.diary import parse
from seasonplan.testing import study_of, usual_tests
from seasonplan.testing.protocols import Rhythm
from seasonplan.year import OwnTest
from tui.forms.screen import FormScreen
from tui.measures.clockwork import READY_SECONDS, Doing, held, standing
from tui.measures.draw import BAND, DOT, HURT, LINE, picture
from tui.measures.page import MeasuresPage
from tui.measures.timer import TimerScreen, figures

TODAY = date(2027, 2, 17)
TESTS = """
[[test]]
name = "Edge hang"
like = "edge-hang"
anchors = { 1 = -15, 5 = 45 }

[[test]]
name = "Long link"
like = "linked-moves"
"""
DIARY = """\
date,kind,what,value,unit
2027-01-08,weight,,68,kg
2027-01-08,test,Edge hang,8,kg
2027-01-08,test,Edge hang,9,kg
2027-02-13,weight,,68,kg
2027-02-13,test,Edge hang,12,kg
"""


def folder(into: Path, *, more: str = "", text: str = YEAR) -> Path:
    climbing = session("a", "route-volume", 1, "18:00", 90)
    planned(into, year=text + TESTS + more, sessions=(climbing,), blocks=blocks())
    (into / "diary.csv").write_text(DIARY, encoding="utf-8")
    return into


def slip(pilot: Pilot[int]) -> str:
    view = main(pilot).query_one(MeasuresPage).query_one(".list-words")
    return " ".join(str(view.content).split())  # type: ignore[attr-defined]


# --- the picture ----------------------------------------------------------------------------------


def drawn(results: dict[int, float | tuple[float, ...]], *, hurt: bool = False) -> list[str]:
    own = OwnTest(name="Pull", like="edge-pull")
    entries = {}
    if hurt:
        entries["injuries"] = (
            {"name": "Finger", "part": "finger", "happened": on(20), "easy_from": on(30),
             "building_from": on(40), "full_from": on(50)},
        )  # fmt: skip
    study = study_of(year(own, **entries), tries("Pull", results), day=on(200))
    (one,) = study.judged
    return "".join(text for text, _ in picture(one, width=40, lines=7)).splitlines()


def test_tries_are_dots_and_the_level_a_line_in_its_band() -> None:
    lines = drawn({0: (40, 42), 30: 41, 60: 44})
    text = "\n".join(lines[:-1])
    assert text.count(DOT) == 4 and LINE in text and BAND in text
    assert lines[-1].split("  ")[0].strip() == "" and lines[-1].endswith("5 Mar")
    assert lines[-1].strip().startswith("4 Jan")
    assert all(len(line) <= 40 for line in lines)
    # the best try lies above the worst, the later one to the right of the earlier
    high, low = (next(n for n, line in enumerate(lines) if DOT in line),
                 max(n for n, line in enumerate(lines[:-1]) if DOT in line))  # fmt: skip
    assert high < low and lines[high].rindex(DOT) > lines[low].rindex(DOT)


def test_days_in_an_injury_are_drawn_as_not_judged() -> None:
    text = "\n".join(drawn({0: 40, 25: 30, 60: 41}, hurt=True))
    assert text.count(DOT) == 2 and text.count(HURT) == 1


def test_one_day_and_one_value_can_be_drawn_and_no_room_draws_nothing() -> None:
    assert sum(line.count(DOT) for line in drawn({0: 40})) == 1
    (one,) = study_of(year(), tries("Finger pull", {0: 40}), day=on(1)).judged
    assert not list(picture(one, width=12, lines=7))


# --- the timer ------------------------------------------------------------------------------------

TRIES = Rhythm(hang_seconds=10, rest_seconds=180, rounds=3)


@pytest.mark.parametrize(
    ("rhythm", "after", "doing", "number", "shown"),
    [
        (TRIES, 0.0, Doing.READY, 1, "0:10"),
        (TRIES, 9.9, Doing.READY, 1, "0:01"),
        (TRIES, 10.0, Doing.HANG, 1, "0:10"),
        (TRIES, 19.5, Doing.HANG, 1, "0:01"),
        (TRIES, 20.0, Doing.REST, 2, "3:00"),
        (TRIES, 199.0, Doing.REST, 2, "0:01"),
        (TRIES, 200.0, Doing.HANG, 2, "0:10"),
        (TRIES, 399.0, Doing.HANG, 3, "0:01"),
        (TRIES, 400.0, Doing.OVER, 3, "0:00"),
        (TRIES, 9999.0, Doing.OVER, 3, "0:00"),
        (Rhythm(hang_seconds=7, rest_seconds=3, rounds=0), 110.5, Doing.HANG, 11, "0:07"),
        (Rhythm(hang_seconds=0, rest_seconds=0, rounds=1), 71.9, Doing.HANG, 1, "1:01"),
    ],
)
def test_the_timer_knows_what_is_done_at_every_second(
    rhythm: Rhythm, after: float, doing: Doing, number: int, shown: str
) -> None:
    now = standing(rhythm, after)
    assert (now.doing, now.number, figures(now, rhythm)) == (doing, number, shown)


def test_a_test_until_failure_tells_how_long_it_was_held() -> None:
    until_failure = Rhythm(hang_seconds=7, rest_seconds=3, rounds=0)
    assert held(until_failure, READY_SECONDS + 83.0) == 83.0
    assert held(until_failure, 3.0) == 0.0 == held(TRIES, 100.0)


def test_every_usual_test_of_hangs_has_a_rhythm_as_its_protocol_says() -> None:
    """Seconds and numbers of the rhythm stand in the words of the protocol."""
    timed = {key: test for key, test in usual_tests().items() if test.timer is not None}
    assert set(timed) == {"edge-pull", "edge-hang", "long-hang", "repeated-hangs", "all-out"}
    for key in ("repeated-hangs", "all-out"):
        rhythm, words_of = timed[key].timer, timed[key].protocol
        assert rhythm is not None and f"{rhythm.hang_seconds} s" in words_of
        assert f"{rhythm.rest_seconds} s off" in words_of
    assert "24 pulls" in timed["all-out"].protocol and timed["all-out"].timer.rounds == 24  # type: ignore[union-attr]


async def test_the_timer_follows_its_clock_however_seldom_it_is_drawn(tmp_path: Path) -> None:
    now = [100.0]
    async with opened(folder(tmp_path), today=TODAY, size=(40, 24)) as pilot:
        screen = TimerScreen(usual_tests()["edge-hang"], clock=lambda: now[0])
        pilot.app.push_screen(screen)
        await pilot.pause()
        assert "Space starts it" in screen_text(pilot) and not screen.elapsed
        await press(pilot, "space")
        now[0] += 15.0
        screen.tick()
        await pilot.pause()
        assert "Hang" in screen_text(pilot) and "1 of 3" in screen_text(pilot)
        await press(pilot, "space")
        now[0] += 600.0  # stopped: the time stands
        assert screen.elapsed == 15.0 and "stopped" in screen_text(pilot)
        await press(pilot, "space", "b")
        now[0] += 6.0
        screen.tick()
        await pilot.pause()
        assert "Rest" in screen_text(pilot) and "bell on" in screen_text(pilot)
        await press(pilot, "0")
        assert screen.elapsed == 0.0 and "Get ready" in screen_text(pilot)
        await press(pilot, "escape")
        assert pilot.app.screen is main(pilot)


# --- the page -------------------------------------------------------------------------------------


async def test_the_page_tells_of_each_test_and_takes_a_result(tmp_path: Path) -> None:
    async with opened(folder(tmp_path), today=TODAY, size=(120, 40)) as pilot:
        await press(pilot, "5")
        assert "Edge hang" in words(pilot) and "Long link no result yet" in words(pilot)
        assert "probably held back by" in slip(pilot)
        await press(pilot, "down")
        said = slip(pilot)
        assert DOT in said and "since Fri 8 Jan 2027" in said and "it takes" in said
        assert "Next test: from" in said and "Your best day: 80 kg with your body" in said
        assert "13 Feb 2027: 12 kg, body 68.0 kg" in said
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, FormScreen)
        beside = " ".join(str(form(pilot).query_one("#form-words", Static).content).split())
        assert "half crimp, 7 to 10 s" in beside and "Last Edge hang: 12 kg" in beside
        await fill(pilot, "tries", "14, 13.5")
        await fill(pilot, "happened", "today")
        await fill(pilot, "weight", "67.5")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: pilot.app.screen is main(pilot))
        rows = parse((tmp_path / "diary.csv").read_text(encoding="utf-8"), file="diary.csv")
        assert [(row.date, row.kind.value, row.value) for row in rows[-3:]] == [
            (TODAY, "weight", 67.5), (TODAY, "test", 14.0), (TODAY, "test", 13.5),
        ]  # fmt: skip
        assert "17 Feb 2027: 14, 13.5 kg, body 67.5 kg" in slip(pilot)
        assert bench(pilot).desk.stale  # what tests say changed since the plan
        await press(pilot, "u")
        assert (tmp_path / "diary.csv").read_text(encoding="utf-8") == DIARY


async def test_a_form_for_a_result_says_what_is_missing_and_wrong(tmp_path: Path) -> None:
    async with opened(folder(tmp_path), today=TODAY, size=(120, 40)) as pilot:
        await press(pilot, "5", "down", "enter")
        await fill(pilot, "tries", "heavy")
        await fill(pilot, "happened", "tomorrow")
        await press(pilot, "ctrl+s")
        await judged(pilot, "tries", "wanted numbers. Such as 42, 43.5, 42.")
        await fill(pilot, "tries", "42")
        await press(pilot, "ctrl+s")
        await judged(pilot, "happened", "wanted today or before. Log it when it is done.")


async def test_the_page_is_told_at_forty_columns(tmp_path: Path) -> None:
    async with opened(folder(tmp_path), today=TODAY, size=(40, 24)) as pilot:
        await press(pilot, "5", "down")
        assert "5 Tests" in screen_text(pilot).splitlines()[0]
        assert "Edge hang" in words(pilot) and DOT in slip(pilot)


async def test_nothing_is_timed_while_something_is_hurt(tmp_path: Path) -> None:
    hurt = hurt_text(
        "Left finger", "finger", "2027-02-10", "2027-03-01", "2027-03-10", "2027-03-20"
    )
    async with opened(folder(tmp_path, more=hurt), today=TODAY, size=(120, 40)) as pilot:
        await press(pilot, "5", "down", "t")
        assert pilot.app.screen is main(pilot)
        assert "While something is hurt no test is judged" in told(pilot)
        assert "Not judged now." in slip(pilot)


async def test_no_finger_test_is_entered_or_timed_under_age(tmp_path: Path) -> None:
    young = YEAR.replace("birth_year = 1990", "birth_year = 2012")
    async with opened(folder(tmp_path, text=young), today=TODAY, size=(120, 40)) as pilot:
        await press(pilot, "5", "down", "enter")
        assert pilot.app.screen is main(pilot)
        assert "Under 18 no test is judged here" in told(pilot)
        await press(pilot, "down", "enter")  # a link of moves loads no finger to the most
        assert isinstance(pilot.app.screen, FormScreen)
