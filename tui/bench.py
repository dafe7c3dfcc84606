"""The desk as one sitting uses it: what stands now, what is broken, and steps back.

Every change is on disk at once, and what is typed in a form too, so there is never unsaved work.
Stateful; draws nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from seasonplan.edits import AnEdit, EditRefused, TextChange, changes
from seasonplan.explain.agenda import Agenda
from seasonplan.ical.taken import Minutes
from seasonplan.plan import Block, Session
from seasonplan.planning.history import track
from seasonplan.planning.known import as_known
from seasonplan.rules.findings import Finding
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from tui.forms.unfinished import Unfinished
from tui.year.lanes import Sheet

WRITTEN = (store.YEAR_FILE, store.DIARY_FILE)
FILES = (*WRITTEN, store.PLAN_FILE)


class _Texts(NamedTuple):
    year: str
    diary: str


class _Step(NamedTuple):
    """A change of this sitting: the texts before and after it."""

    before: _Texts
    after: _Texts

    @property
    def turned(self) -> _Step:
        """The step back."""
        return _Step(self.after, self.before)

    @property
    def written(self) -> list[str]:
        """The files that it wrote: another one that changed, another program did."""
        pairs = zip(WRITTEN, self.before, self.after, strict=True)
        return [name for name, before, after in pairs if before != after]


class Bench:
    """A folder, opened. `desk` is replaced when a file is read again."""

    def __init__(self, folder: Path, *, now: date | None = None) -> None:
        """Reads the folder. Raises BadInput with every fault of its files.

        With `now` no rule asks what was done before that day.
        """
        self.folder = folder
        self.now = now
        self.desk = Desk(folder)
        self.planning = False  # whether the planner is at work
        self.unfinished = Unfinished(folder)
        self._planned: tuple[int, Sheet] | None = None
        self._worth: tuple[int, float] | None = None
        self._back: tuple[tuple[int, str], bool] | None = None
        self._undone: list[_Step] = []
        self._since: tuple[tuple[str, str], tuple[TextChange, ...]] = (("", ""), ())
        self._done: list[_Step] = []
        self._seen = {name: _stamp(folder / name) for name in FILES}

    # --- what stands --------------------------------------------------------------------------

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The plan's blocks; after a change by hand, where the hand left them."""
        return self.desk.blocks

    @cached_property
    def sheet(self) -> Sheet:
        plan = self.desk.plan
        return Sheet(
            self.desk.year_as_tested, self.blocks, sessions=self.sessions, book=self.desk.recipes,
            done=plan.current.done if plan else {},
        )  # fmt: skip

    @property
    def as_planned_sheet(self) -> Sheet | None:
        """The year with the blocks and sessions of its plan, whatever a hand did since, and free
        and healthy on the days that its plan knew of.

        Kept while only blocks are moved: then nothing of it changes.
        """
        plan, desk = self.desk.plan, self.desk
        if plan is None:
            return None
        last, kept = plan.current, self._planned
        year = as_known(last, desk.year_as_tested).with_fields(pins=())
        if kept is None or (kept[0], kept[1].year) != (last.number, year):
            sheet = Sheet(
                year, last.blocks, sessions=last.sessions, book=desk.recipes, done=last.done
            )
            kept = self._planned = last.number, sheet
        return kept[1]

    @cached_property
    def moved_worth(self) -> tuple[float, float] | None:
        """Points of the plan and of what a hand made of it, where only blocks were moved.

        The plan's blocks are filled as those after a move are, so that only the move tells.
        After any other change the two would be worth of different years: None.
        """
        desk, since = self.desk, self.since_plan
        if not since or any(change.section != "pin" for change in since):
            return None
        assert desk.plan is not None
        number, year = desk.plan.current.number, desk.year_as_tested.with_fields(pins=())
        if self._worth is None or self._worth[0] != number:
            self._worth = number, desk.laid_out(year).score.points
        return self._worth[1], desk.by_hand.score.points

    @cached_property
    def sessions(self) -> tuple[Session, ...]:
        """The plan's sessions; after a change by hand, those that would fill its blocks."""
        desk = self.desk
        if desk.standing is None:
            return ()
        return desk.by_hand.sessions if desk.lags else desk.standing.sessions

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the checker says of what stands now; nothing is asked of what is over."""
        from seasonplan.checker import check

        plan, desk = self.desk.plan, self.desk
        if plan is None:
            return ()
        if desk.lags:
            return check(
                desk.year_as_tested,
                self.blocks,
                sessions=self.sessions,
                book=desk.book,
                today=self.now,
            )
        return desk.check(today=self.now)

    @cached_property
    def agenda(self) -> Agenda | None:
        desk = self.desk
        if desk.standing is None:
            return None
        return Agenda(
            desk.year, desk.standing, book=desk.recipes, tested=desk.tested, taken=desk.taken_since
        )

    @property
    def taken(self) -> Mapping[date, Sequence[Minutes]]:
        """Minutes that busy calendars take, as far as they can be read."""
        return {} if self.desk.busy_trouble else self.desk.taken

    @property
    def broken(self) -> tuple[Finding, ...]:
        return tuple(found for found in self.findings if found.strength == "hard")

    def today(self, now: date) -> date:
        """Today, or the nearest day of the year."""
        span = self.desk.year.span
        return max(span.first, min(now, span.last))

    # --- changes ------------------------------------------------------------------------------

    def change(self, *edits: AnEdit) -> None:
        """Do edits as one and keep them on disk. Raises what `Desk.change` raises; then all stays.

        One step back takes all of them back.
        """
        drafts = self.desk.change_between(*edits, today=self.now)
        self._did(_Step(*(_Texts(draft.text, draft.diary) for draft in drafts)))

    @property
    def can_step_back(self) -> bool:
        """Whether a change of this sitting can be taken back."""
        return bool(self._done)

    @property
    def has_plan_before(self) -> bool:
        """Whether a plan can be taken back: those taken back already do not count."""
        return self.desk.plan is not None and len(track(self.desk.plan).done) > 1

    @property
    def can_undo(self) -> bool:
        """Whether a change, one since the plan was made, or a plan can be taken back."""
        return self.can_step_back or bool(self.since_plan) or self._goes_back_a_plan

    @property
    def _goes_back_a_plan(self) -> bool:
        """Whether the plan before would not be refused, as where what is over would change."""
        if not self.has_plan_before:
            return False
        assert self.desk.plan is not None
        stands = self.desk.plan.current.number, self.desk.draft().text
        if self._back is None or self._back[0] != stands:
            self._back = stands, self.desk.can_undo(today=self.now)
        return self._back[1]

    @property
    def since_plan(self) -> tuple[TextChange, ...]:
        """How the year differs from when it was planned, by whomever."""
        plan = self.desk.plan
        if plan is None or not plan.current.year_text:
            return ()
        texts = plan.current.year_text, self.desk.draft().text
        if self._since[0] != texts:
            self._since = texts, changes(*texts)
        return self._since[1]

    def as_planned(self) -> str:
        """Take all back that was changed since the year was planned, as one step; what was done."""
        before = self._texts()
        self.desk.take_back()
        back = _Step(before, self._texts())
        self._undone.append(back.turned)
        self._forget(*back.written)
        return "The year is as it was planned."

    def _brought_back(self) -> bool:
        """Whether what an earlier sitting took back to the plan is there again."""
        before = self._texts()
        if self.desk.bring_back() is None:
            return False
        step = _Step(before, self._texts())
        self._done.append(step)
        self._forget(*step.written)
        return True

    def undo(self, *, stamp: datetime) -> str:
        """Take the last change back, or the last plan where there is none; what was done."""
        if self._done:
            back = self._put(self._done[-1].turned)
            self._done.pop()
            self._undone.append(back.turned)
            return "The last change is taken back."
        revision = self.desk.undo(stamp=stamp, today=self.now)
        self._forget(*FILES)
        return f"The plan before is back, as plan {revision.number}."

    def redo(self, *, stamp: datetime) -> str:
        """Do again what was taken back."""
        if self._undone:
            self._done.append(self._put(self._undone[-1]))
            self._undone.pop()
            return "The change is done again."
        if self._done:
            raise EditRefused("There is nothing to do again.", "It works after an undo.")
        if self._brought_back():
            return "The change is done again."
        revision = self.desk.redo(stamp=stamp, today=self.now)
        self._forget(*FILES)
        return f"The later plan is back, as plan {revision.number}."

    def planned(self) -> None:
        """A plan was made or accepted: steps back now go from plan to plan."""
        self._done.clear()
        self._undone.clear()
        self._forget(*FILES)

    def _texts(self) -> _Texts:
        draft = self.desk.draft()
        return _Texts(draft.text, draft.diary)

    def _did(self, step: _Step) -> None:
        self._done.append(step)
        self._undone.clear()
        self._forget(*step.written)

    def _put(self, step: _Step) -> _Step:
        """Write the texts after a step over those before it; never over somebody else's."""
        self.desk.put(step.after.year, step.after.diary, over=step.before.diary)
        self._forget(*step.written)
        return step

    # --- other programs -----------------------------------------------------------------------

    @property
    def changed_outside(self) -> bool:
        """Whether a file is no longer as we read or wrote it."""
        return any(_stamp(self.folder / name) != seen for name, seen in self._seen.items())

    def read_again(self) -> None:
        """Take what is on disk. Raises BadInput, and stays as it was then.

        Steps back stay where only the diary is another: they tread on nobody's rows.
        """
        self._seen = {name: _stamp(self.folder / name) for name in FILES}
        before, self.desk = self.desk, Desk(self.folder)
        if before.same_files(self.desk):
            self._forget(store.DIARY_FILE)
        else:
            self.planned()

    def _forget(self, *written: str) -> None:
        """Work everything out anew from the desk; these files are as we wrote them."""
        for name in ("sheet", "sessions", "findings", "agenda", "moved_worth"):
            self.__dict__.pop(name, None)
        self._seen |= {name: _stamp(self.folder / name) for name in written}


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
