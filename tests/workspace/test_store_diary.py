"""Year and diary are saved together, beside what other programs write meanwhile."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from stage import demo
from test_store_together import NIGHTS

from seasonplan.edits import ChangeSetting, MarkDone
from seasonplan.errors import ChangedOnDisk
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from tui.bench import Bench

# --- year and diary -------------------------------------------------------------------------


def first_session(desk: Desk) -> str:
    assert desk.plan is not None
    return desk.plan.current.sessions[0].id


def test_a_mark_in_the_diary_and_a_setting_are_one_change(tmp_path: Path) -> None:
    """The user saw: KeyError, and nothing more."""
    desk = Desk(demo(tmp_path))
    done = MarkDone(session=first_session(desk), rpe=5, on=date(2027, 1, 5))
    after = desk.change(done, ChangeSetting(path="climber.name", value="Ada"))
    assert after.year.climber.name == "Ada" and done.session in after.diary
    assert Desk(desk.folder).year.climber.name == "Ada"
    assert done.session in (desk.folder / "diary.csv").read_text()


def changed_under(desk: Desk) -> bytes:
    """Another program writes into the year after the desk read it."""
    path = desk.folder / "year.toml"
    path.write_bytes(path.read_bytes() + b"# theirs\n")
    return path.read_bytes()


def test_a_year_that_changed_leaves_the_diary_alone_too(tmp_path: Path) -> None:
    desk = Desk(demo(tmp_path))
    theirs = changed_under(desk)
    done = MarkDone(session=first_session(desk), rpe=5, on=date(2027, 1, 5))
    with pytest.raises(ChangedOnDisk, match=r"year\.toml"):
        desk.change(done, ChangeSetting(path="climber.name", value="Ada"))
    with pytest.raises(ChangedOnDisk, match=r"year\.toml"):
        desk.put(f"{desk._year.text}# ours\n", "date,kind,note\n", over="")
    assert not (desk.folder / "diary.csv").exists()
    assert (desk.folder / "year.toml").read_bytes() == theirs


def test_a_mark_in_the_diary_needs_no_year_that_stayed_as_it_was(tmp_path: Path) -> None:
    desk = Desk(demo(tmp_path))
    theirs = changed_under(desk)
    desk.change(MarkDone(session=first_session(desk), rpe=5, on=date(2027, 1, 5)))
    assert (desk.folder / "diary.csv").exists()
    assert (desk.folder / "year.toml").read_bytes() == theirs


def meanwhile(monkeypatch: pytest.MonkeyPatch, act: Callable[[], object]) -> None:
    """Something that another program does once, after we read and before we write."""
    left = [act]
    real = store.write_all

    def write_all(saves: Any) -> None:
        if left:
            left.pop()()
        real(saves)

    monkeypatch.setattr(store, "write_all", write_all)


def test_a_note_written_meanwhile_is_no_reason_to_refuse_a_mark_and_an_edit(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = Desk(demo(tmp_path))
    path = desk.folder / "diary.csv"
    meanwhile(monkeypatch, lambda: path.write_text("date,kind,note\n2027-01-02,note,theirs\n"))
    done = MarkDone(session=first_session(desk), rpe=5, on=date(2027, 1, 5))
    desk.change(done, NIGHTS)
    assert "theirs" in path.read_text() and done.session in path.read_text()
    assert Desk(desk.folder).year.entry("nights")


def test_a_step_back_in_the_year_leaves_rows_that_another_program_wrote_meanwhile(
    tmp_path: Path,
) -> None:
    bench = Bench(demo(tmp_path))
    assert bench.desk.plan is not None
    stamp = bench.desk.plan.current.stamp + timedelta(days=1)
    before = (bench.folder / "year.toml").read_text()
    bench.change(NIGHTS)
    changed = (bench.folder / "year.toml").read_text()
    row = "date,kind,note\n2027-01-02,note,theirs\n"
    (bench.folder / "diary.csv").write_text(row)
    assert bench.changed_outside
    bench.read_again()
    assert bench.undo(stamp=stamp) == "The last change is taken back."
    assert (bench.folder / "year.toml").read_text() == before
    assert bench.redo(stamp=stamp) == "The change is done again."
    assert (bench.folder / "year.toml").read_text() == changed
    assert (bench.folder / "diary.csv").read_text() == row


def test_a_step_back_that_cannot_be_written_can_be_asked_for_again(tmp_path: Path) -> None:
    bench = Bench(demo(tmp_path))
    assert bench.desk.plan is not None
    stamp = bench.desk.plan.current.stamp
    before = (bench.folder / "year.toml").read_bytes()
    bench.change(NIGHTS)
    ours = (bench.folder / "year.toml").read_bytes()
    changed_under(bench.desk)
    with pytest.raises(ChangedOnDisk):
        bench.undo(stamp=stamp)
    (bench.folder / "year.toml").write_bytes(ours)
    bench.undo(stamp=stamp)
    assert (bench.folder / "year.toml").read_bytes() == before


def test_who_marks_and_who_edits_at_the_same_time_are_never_refused(tmp_path: Path) -> None:
    """Two mark sessions of their own, one edits the year, each ten times and each at once."""
    folder = demo(tmp_path)
    plan = Desk(folder).plan
    assert plan is not None
    ids = [session.id for session in plan.current.sessions[:20]]
    together, refused = threading.Barrier(3), list[str]()

    def each(edits: list[Any]) -> None:
        together.wait(60)
        for edit in edits:
            try:
                Desk(folder).change(edit)
            except ChangedOnDisk as error:
                refused.append(str(error))

    marks = [MarkDone(session=one, rpe=5, on=date(2027, 1, 5)) for one in ids]
    names = [ChangeSetting(path="climber.name", value=f"Ada {number}") for number in range(10)]
    threads = [
        threading.Thread(target=each, args=(one,)) for one in (marks[::2], marks[1::2], names)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)
    assert refused == []
    diary = (folder / "diary.csv").read_text()
    assert all(diary.count(one) == 1 for one in ids)
    assert Desk(folder).year.climber.name == "Ada 9"
