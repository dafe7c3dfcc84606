"""Planning beside the screen: progress, stop, before and after, and leaving in the middle."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from stage import (
    PATIENCE_SECONDS,
    TODAY,
    asked,
    bench,
    demo,
    main,
    moved,
    opened,
    planned,
    pointed,
    press,
    screen_text,
    sheet,
    slip,
    told,
    until,
    words,
)
from week_stage import at_week

from seasonplan.explain.before_after import OWN_SESSIONS
from seasonplan.plan import Plan, Revision
from seasonplan.planning.proposal import Proposal
from seasonplan.planning.replan import Stopped
from seasonplan.workspace.desk import Desk
from tui.plans.before_after import BeforeAfter
from tui.year.lanes import Lane


class Patient:
    """Stands for the planner: waits to be stopped."""

    def __init__(self) -> None:
        self.begun = threading.Event()
        self.stopped = threading.Event()

    def __call__(self, *_: Any, stop: threading.Event, **__: Any) -> Stopped:
        self.begun.set()
        stop.wait(PATIENCE_SECONDS)
        self.stopped.set()
        return Stopped()


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch) -> Patient:
    planner = Patient()
    monkeypatch.setattr(Desk, "propose", planner)
    return planner


# --- the first plan ---------------------------------------------------------------------------


async def test_a_first_plan_is_made_kept_and_pointed_at(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()
    async with opened(folder) as pilot:
        assert "no plan yet: r plans" in words(pilot)
        await press(pilot, "r")
        await until(pilot, lambda: bench(pilot).desk.plan)
        assert "✓ plan 1 stands" in words(pilot)
        assert TODAY in pointed(pilot).span and pointed(pilot).lane is Lane.PLAN
        assert Desk(folder).plan == bench(pilot).desk.plan


async def test_no_plan_is_told_with_its_ways_out(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()
    year = folder / "year.toml"
    pins = "".join(
        f'\n[[pin]]\nname = "Pin {n}"\nkind = "strength"\n'
        f"first = 2027-0{n}-01\nlast = 2027-0{n}-28\n"
        for n in (4, 5)
    )
    year.write_text(year.read_text() + pins + '\n[[pin]]\nname = "Too long"\nkind = "rest"\n'
                    "first = 2027-09-01\nlast = 2027-10-30\n")  # fmt: skip
    async with opened(folder) as pilot:
        await press(pilot, "r")
        await until(pilot, lambda: "There is no plan" in words(pilot))
        assert "Too long" in words(pilot)
        await press(pilot, "escape")
        assert not (folder / "plan.json").exists()


# --- before and after -------------------------------------------------------------------------


async def test_an_accepted_proposal_is_the_plan(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        screen = await asked(pilot)
        text = words(pilot)
        assert "Before and after" in text and "Blocks that change" in text
        assert "What each goal wins or loses" in text
        await press(pilot, "a")
        assert bench(pilot).desk.plan.current.blocks == screen.proposal.after.blocks  # type: ignore[union-attr]
        assert "✓ plan 2 stands" in words(pilot)
        assert Desk(bench(pilot).folder).plan == bench(pilot).desk.plan


async def test_undo_after_accepting_brings_back_plan_and_year(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        before = bench(pilot).desk.plan.current.blocks  # type: ignore[union-attr]
        await moved(pilot)
        await asked(pilot)
        await press(pilot, "a", "u")
        assert bench(pilot).desk.plan.current.blocks == before  # type: ignore[union-attr]
        assert bench(pilot).desk.year.pins == ()
        await press(pilot, "U")
        assert bench(pilot).desk.year.pins


async def test_undo_is_not_promised_where_what_is_over_stays(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a") as file:
        file.write('\n[[injury]]\nname = "Elbow"\npart = "elbow"\nhappened = 2027-02-16\n')
    async with opened(folder, size=(120, 50)) as pilot:
        await asked(pilot)
        await press(pilot, "a")
        assert "Plan 2 stands. To go back" in told(pilot) and "u takes it" not in told(pilot)
        now = bench(pilot).desk.plan
        assert not main(pilot).offers("undo") and "u Undo" not in words(pilot)
        await press(pilot, "u")
        assert bench(pilot).desk.plan == now and "what is over stays" in told(pilot)


async def test_a_refused_proposal_changes_nothing(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        before = (bench(pilot).folder / "plan.json").read_bytes()
        await asked(pilot)
        await press(pilot, "x")
        assert (bench(pilot).folder / "plan.json").read_bytes() == before
        assert "r plans anew" in words(pilot)
        assert "Refused. Nothing was changed." in told(pilot)


async def test_a_block_of_the_answer_can_be_fixed_as_it_lies(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        screen = await asked(pilot)
        await press(pilot, "down")
        after = screen.query_one("#two-plans").selected  # type: ignore[attr-defined]
        if not after.kind.chosen or after.pinned:
            await press(pilot, "right")
            after = screen.query_one("#two-plans").selected  # type: ignore[attr-defined]
        await press(pilot, "p")
        assert screen.pins == {after.key}
        await press(pilot, "a")
        assert any(pin.span == after.span for pin in bench(pilot).desk.year.pins)


async def test_a_block_can_be_kept_where_it_was_and_the_plan_asked_again(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        first = await asked(pilot)
        kept = next(
            change.before
            for change in first.proposal.blocks
            if change.before and change.before.kind.chosen and change.before.id != "rest-2"
            and not change.before.span.meet(bench(pilot).desk.year.pins[0].span)
        )  # fmt: skip
        first._point(kept)
        await press(pilot, "p")
        await until(
            pilot,
            lambda: (
                pilot.app.screen is not first
                and (
                    isinstance(pilot.app.screen, BeforeAfter) or "There is no plan" in words(pilot)
                )
            ),
        )
        assert any(pin.span == kept.span for pin in bench(pilot).desk.year.pins)


async def test_a_proposal_that_something_overtook_is_not_accepted(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        screen = await asked(pilot)
        bench(pilot).undo(stamp=pilot.app.stamp())  # type: ignore[attr-defined]
        await press(pilot, "a")
        assert pilot.app.screen is screen
        assert bench(pilot).desk.plan.current.number == 1  # type: ignore[union-attr]
        assert told(pilot)


async def test_a_search_begun_right_after_another_program_wrote_can_be_accepted(
    tmp_path: Path,
) -> None:
    """A proposal was refused as overtaken: it was of the new file, the screen still of the old."""
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        year = bench(pilot).folder / "year.toml"
        year.write_text(
            year.read_text() + '\n[[absence]]\nname = "Flood"\nfirst = 2027-05-03\n'
            "last = 2027-05-20\n"
        )
        await asked(pilot)
        await press(pilot, "a")
        assert "✓ plan 2 stands" in words(pilot)


async def test_what_is_over_breaks_no_rule_of_an_accepted_plan(tmp_path: Path) -> None:
    """An injury cuts a block short; the accepted plan was shown as broken because of its past."""
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        year = bench(pilot).folder / "year.toml"
        year.write_text(
            year.read_text() + '\n[[injury]]\nname = "Sore finger"\npart = "finger"\n'
            "happened = 2027-02-15\neasy_from = 2027-03-01\nbuilding_from = 2027-03-15\n"
            "full_from = 2027-04-05\n"
        )
        await asked(pilot)
        await press(pilot, "a")
        assert bench(pilot).broken == ()
        assert "✓ plan 2 stands" in words(pilot)


async def test_sessions_that_one_changed_are_taken_over_without_a_question(tmp_path: Path) -> None:
    async with opened(planned(tmp_path)) as pilot:
        await at_week(pilot)
        await press(pilot, "x", "r", "enter")
        await until(pilot, lambda: OWN_SESSIONS in told(pilot))
        assert "✓ plan 2 stands" in words(pilot)
        assert not bench(pilot).desk.stale


async def test_it_is_said_when_the_plan_stands(tmp_path: Path) -> None:
    async with opened(planned(tmp_path)) as pilot:
        await press(pilot, "r", "enter")
        await until(pilot, lambda: "the plan stands" in told(pilot))
        assert not isinstance(pilot.app.screen, BeforeAfter)


# --- while it runs ----------------------------------------------------------------------------


async def test_an_answer_with_the_same_blocks_and_other_sessions_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    propose = Desk.propose

    def one_less(desk: Desk, *said: Any, **more: Any) -> Any:
        found = propose(desk, *said, **more)
        assert isinstance(found, Proposal) and not found.blocks
        less = Revision(**{**dict(found.after), "sessions": found.after.sessions[:-1]})
        plan = Plan(
            calendar_key=found.plan.calendar_key, revisions=(*found.plan.revisions[:-1], less)
        )
        return replace(found, plan=plan)

    monkeypatch.setattr(Desk, "propose", one_less)
    async with opened(planned(tmp_path)) as pilot:
        await press(pilot, "r", "enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, BeforeAfter))
        assert "No block changes." in words(pilot)
        assert "Sessions that change" in words(pilot)


async def test_that_it_plans_is_shown_and_keys_still_answer(
    tmp_path: Path, patient: Patient
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "r", "enter")
        await until(pilot, lambda: "Planning" in words(pilot))
        assert "Esc stops; nothing is changed then" in words(pilot)
        await press(pilot, "right")
        assert pointed(pilot).key == "rest-1"
        await press(pilot, "2", "1", "full_stop")
        assert bench(pilot).desk.year.pins
        await press(pilot, "escape")
        await until(pilot, lambda: "nothing was changed" in told(pilot))
        assert patient.stopped.is_set()


async def test_keys_answer_beside_the_real_planner(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        await press(pilot, "r", "enter")
        while main(pilot).planning.running:
            before = pointed(pilot)
            await press(pilot, "right" if before.key != "base-4" else "home")
            if not isinstance(pilot.app.screen, BeforeAfter):
                assert pointed(pilot) != before
        await until(pilot, lambda: isinstance(pilot.app.screen, BeforeAfter))


async def test_a_second_search_is_not_begun_beside_the_first(
    tmp_path: Path, patient: Patient
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "r", "enter", "r")
        assert "The planner is at work" in told(pilot)
        await press(pilot, "escape")


async def test_leaving_stops_the_planner(tmp_path: Path, patient: Patient) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "r", "enter")
        assert patient.begun.wait(PATIENCE_SECONDS)
        await press(pilot, "q")
    assert patient.stopped.wait(PATIENCE_SECONDS)


async def test_a_failure_of_the_files_during_a_search_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await moved(pilot)
        (folder / "plan.json").write_text("{")
        await press(pilot, "r", "enter")
        await until(pilot, lambda: "ends too early" in told(pilot))
        assert sheet(pilot).sheet is not None
        assert "Rest block" in slip(pilot) and screen_text(pilot)


def test_the_program_ends_though_a_search_goes_on(tmp_path: Path) -> None:
    """A real terminal and the real planner: q ends the process while it plans."""
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()
    ours, theirs = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-c", f"from datetime import date; from pathlib import Path; import tui; "
         f"raise SystemExit(tui.run(Path({str(folder)!r}), today=date.fromisoformat('{TODAY}')))"],
        cwd=ROOT, stdin=theirs, stdout=theirs, stderr=theirs,
        env={**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"},
    )  # fmt: skip
    reader = threading.Thread(target=_drain, args=(ours, seen := bytearray()), daemon=True)
    reader.start()
    _wait_for(seen, b"no plan yet")
    os.write(ours, b"r")
    _wait_for(seen, b"Planning")
    os.write(ours, b"q")
    assert child.wait(PATIENCE_SECONDS) == 0
    os.close(theirs)


def _drain(source: int, seen: bytearray) -> None:
    while True:
        try:
            seen += os.read(source, 65536)
        except OSError:
            return


def _wait_for(seen: bytearray, text: bytes) -> None:
    pause = threading.Event()
    for _ in range(int(PATIENCE_SECONDS * 20)):
        if text in seen:
            return
        pause.wait(0.05)
    raise AssertionError(f"{text!r} was never shown: {bytes(seen[-500:])!r}")


async def test_the_answer_is_read_on_with_the_same_keys_as_the_year(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await moved(pilot)
        screen = await asked(pilot)
        assert "What each goal wins or loses" in words(pilot)
        answer = screen.query_one("#answer")
        await press(pilot, "space")
        assert answer.scroll_y > 0
        await press(pilot, "shift+up")
        assert answer.scroll_y == 0


async def test_a_wide_window_tells_goals_and_blocks_side_by_side(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        await moved(pilot)
        await asked(pilot)
        lines = screen_text(pilot).splitlines()
        head = next(line for line in lines if "What each goal wins or loses" in line)
        assert "Blocks that change" in head
        assert "Weeks that change: before, after" in words(pilot)
        assert "points" not in words(pilot)


async def test_a_narrow_window_tells_both_answers(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 24)) as pilot:
        await moved(pilot)
        await asked(pilot)
        last = screen_text(pilot).splitlines()[-1]
        assert "a Accept" in last and "x Refuse" in last
        assert "What each goal wins or loses" in words(pilot)
