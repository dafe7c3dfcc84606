"""The desk: what cannot be read again is never written, and steps back tread on nobody."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from stage import demo

from seasonplan.edits import AddEntry, ChangeSetting, MarkDone
from seasonplan.errors import BadInput, ChangedOnDisk
from seasonplan.plan import Proof
from seasonplan.planning import replan
from seasonplan.workspace.desk import Desk
from tui.bench import Bench

NOTE = AddEntry(
    section="absence",
    values={"name": "Nights", "first": date(2027, 6, 1), "last": date(2027, 6, 3)},
)


def test_a_busy_calendar_that_is_not_there_is_refused_before_anything_is_written(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    before = (folder / "year.toml").read_bytes()
    desk = Desk(folder)
    with pytest.raises(BadInput, match="work\\.ics") as caught:
        desk.change(ChangeSetting(path="sessions.busy", value=["work.ics"]))
    assert [fault.line for fault in caught.value.faults] == [None]  # no such line was ever seen
    assert (folder / "year.toml").read_bytes() == before
    assert desk.change(NOTE).year.entry("nights")  # the desk goes on as if nothing was asked


def test_several_edits_are_one_change_or_none(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    desk = Desk(folder)
    before = (folder / "year.toml").read_bytes()
    with pytest.raises(BadInput):
        desk.change(NOTE, ChangeSetting(path="year.weeks", value=900))
    assert (folder / "year.toml").read_bytes() == before
    desk.change(NOTE, ChangeSetting(path="climber.name", value="Ada"))
    assert desk.year.climber.name == "Ada" and desk.year.entry("nights")


def test_a_step_back_never_takes_back_what_another_program_wrote_in_the_diary(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    bench = Bench(folder)
    plan = bench.desk.plan
    assert plan is not None
    first, second = (one.id for one in plan.current.sessions[:2])
    bench.change(MarkDone(session=first, rpe=5, on=date(2027, 1, 5)))
    Desk(folder).change(MarkDone(session=second, rpe=6, on=date(2027, 1, 6)))
    with pytest.raises(ChangedOnDisk):
        bench.undo(stamp=plan.current.stamp)
    assert second in (folder / "diary.csv").read_text(encoding="utf-8")


def test_a_row_of_another_program_is_known_with_the_next_change(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    bench = Bench(folder)
    assert bench.desk.diary_shown == () and bench.desk.plan is not None
    session = bench.desk.plan.current.sessions[0].id
    Desk(folder).change(MarkDone(session=session, rpe=5, on=date(2027, 1, 5)))
    bench.change(NOTE)  # of the year alone
    assert [row.session for row in bench.desk.diary_shown] == [session]
    assert bench.desk.draft().diary == (folder / "diary.csv").read_text(encoding="utf-8")
    assert bench.changed_outside  # and that is still to be said
    bench.read_again()
    assert bench.can_step_back and not bench.changed_outside


@pytest.mark.parametrize("sure", [False, True])
def test_of_the_same_plan_found_again_the_surer_proof_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sure: bool
) -> None:
    desk = Desk(demo(tmp_path))
    assert desk.plan is not None
    old = desk.plan.current
    proof = Proof(optimal=True, gap=0.0, bound=0.0, confirmed=sure)
    found = old.model_copy(update={"number": 2, "proof": proof})
    plan = desk.plan.model_copy(update={"revisions": (*desk.plan.revisions, found)})
    monkeypatch.setattr(replan, "plan_year", lambda *_, **__: replan.Planned(plan, ()))
    desk.make_plan("again", stamp=old.stamp)
    assert desk.plan.current.number == 1
    assert desk.plan.current.proof.confirmed is (sure or old.proof.confirmed)
