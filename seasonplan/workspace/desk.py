"""The one stateful object: a climber's folder, opened, planned and changed. Both faces hold one."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, TypedDict
from uuid import UUID, uuid4

from seasonplan import edits
from seasonplan.errors import BadInput, ChangedOnDisk, Misuse, StaleProposal
from seasonplan.ical.taken import Minutes, with_busy
from seasonplan.plan import Plan, Revision
from seasonplan.planning import history, replan
from seasonplan.planning.others import other_years
from seasonplan.planning.proposal import Keep, Proposal, alternatives, fixed, propose
from seasonplan.rules.tables import keep_points
from seasonplan.workspace import store
from seasonplan.workspace.opened import Opened, digests_of
from seasonplan.year import Year

if TYPE_CHECKING:
    from seasonplan.planner.run import Progress


SAID = (  # on year and plan
    "standing", "_sessions_alone", "followed", "blocks", "by_hand", "taken_since",
)  # fmt: skip
RATED = ("rated", "_rating_digests", "tested", *SAID)  # what hangs on the year and the diary
DIARY = ("diary", "diary_shown", *RATED)  # on the diary


class _Standing(TypedDict):
    """What a proposal is made against."""

    previous: Plan
    old_year: Year
    today: date
    taken: Mapping[date, Sequence[Minutes]]


def _content(revision: Revision) -> tuple[object, ...]:
    """What makes a revision another one."""
    return revision.blocks, revision.sessions, revision.shortfalls, revision.year_digest


class Desk(Opened):
    """A folder, and all that can be done to it."""

    def make_plan(
        self,
        cause: str,
        *,
        stamp: datetime,
        calendar_key: UUID | None = None,
        today: date | None = None,
        on_progress: Callable[[Progress], None] | None = None,
        stop: threading.Event | None = None,
    ) -> replan.Planned | replan.NoPlan | replan.Stopped:
        """Plan the year and keep the plan as a new revision, if there is one.

        A plan equal to the current one makes no new revision; a surer proof of it is kept. With
        `today` what is over stays as it was, unless the whole year is over.
        """
        answer = replan.plan_year(
            self.year,
            self._cause(cause, stamp, today),
            previous=self.plan,
            calendar_key=calendar_key or uuid4(),
            today=self._while_it_lasts(today),
            taken=self.taken,
            on_progress=on_progress,
            stop=stop,
        )
        if isinstance(answer, replan.Planned):
            self._keep(self._merged(answer.plan))
        return answer

    def propose(
        self,
        cause: str,
        *,
        stamp: datetime,
        today: date,
        keep: Keep = Keep.MEDIUM,
        on_progress: Callable[[Progress], None] | None = None,
        stop: threading.Event | None = None,
    ) -> Proposal | replan.NoPlan | replan.Stopped:
        """The best plan near the accepted one, from today on; nothing is kept."""
        return propose(
            self.year,
            self._cause(cause, stamp, today),
            keep=keep_points(keep),
            on_progress=on_progress,
            stop=stop,
            **self._standing(today),
        )

    def alternatives(
        self, cause: str, *, stamp: datetime, today: date, stop: threading.Event | None = None
    ) -> list[Proposal]:
        """Other answers to the same news."""
        return alternatives(
            self.year, self._cause(cause, stamp, today), stop=stop, **self._standing(today)
        )

    def others(
        self, *, stamp: datetime, today: date, stop: threading.Event | None = None
    ) -> list[Proposal]:
        """Years nearly as good as the plan that differ most from it, each as a proposal."""
        cause = self._cause("another year, nearly as good", stamp, today)
        assert self.plan is not None, "a first plan is made, not proposed"
        return other_years(
            self.year, cause, previous=self.plan, today=today, taken=self.taken, stop=stop
        )

    def accept(self, proposal: Proposal, *, pinned: Sequence[str] = ()) -> Revision:
        """Keep a proposal; `pinned` are ids of its blocks to fix as they lie.

        Raises StaleProposal where the year or the plan is no longer what it was based on.
        """
        if self.plan is None or (proposal.base, proposal.year_digest) != (
            self.plan.current.number,
            self._meaning,
        ):
            raise StaleProposal
        draft = edits.Draft(self._year.text, self.year, proposal.plan)
        for edit in (*proposal.edits, *(edits.PinBlock(block=name) for name in pinned)):
            draft = edits.apply(draft, edit)
        year, busy = self._coming(draft.year, draft.text)
        told = (*self._busy_digests, *digests_of(proposal.after.ratings))
        meaning = with_busy(year.meaning, told)
        plan = fixed(proposal.plan, draft.year, year_digest=meaning, year_text=draft.text)
        based_on = self._year.digest, self._plan.digest if self._plan else None
        digests = store.save_both(self.folder, draft.text, plan, based_on=based_on)
        self._take(year, busy)
        self._hold(plan, digests[1])
        return plan.current

    def _cause(self, cause: str, stamp: datetime, today: date | None) -> replan.Provenance:
        return replan.Provenance(
            cause, stamp, self._meaning, self._year.text, self.ratings, self.done(today)
        )

    def _standing(self, today: date) -> _Standing:
        assert self.plan is not None, "a first plan is made, not proposed"
        return {
            "previous": self.plan,
            "old_year": self._planned_year(self.plan),
            "today": today,
            "taken": self.taken,
        }

    def _planned_year(self, plan: Plan) -> Year:
        """The year the plan was made of; the year as it is where that text can't be read now."""
        try:
            return edits.read(plan.current.year_text) if plan.current.year_text else self.year
        except BadInput:  # written by an older program
            return self.year

    def _merged(self, plan: Plan) -> Plan:
        """The plan to keep: the new revision, or the current one with what it is worth now, and of
        proofs of the same worth the surer one."""
        if self.plan is None:
            return plan
        old, new = self.plan.current, plan.current
        if _content(old) != _content(new):
            return plan
        proofs = (old.proof, new.proof) if old.score.points == new.score.points else (new.proof,)
        proof = max(proofs, key=lambda proof: (proof.optimal, proof.confirmed))
        # comments may have changed, and what was missed, which changes the form told
        fresh = {
            "proof": proof, "year_text": new.year_text, "done": new.done, "score": new.score,
            "others": new.others,
        }  # fmt: skip
        kept = Revision(**{name: getattr(old, name) for name in Revision.model_fields} | fresh)
        return Plan(calendar_key=plan.calendar_key, revisions=(*self.plan.revisions[:-1], kept))

    def _keep(self, plan: Plan) -> None:
        if plan == self.plan:
            return
        based_on = self._plan.digest if self._plan else None
        digest = store.save_plan(self.folder, plan, based_on=based_on)
        self._hold(plan, digest)

    # --- changes ------------------------------------------------------------------------------

    def change(self, *several: edits.AnEdit, today: date | None = None) -> edits.Draft:
        """Do edits as one and keep them on disk; the plan stays as it is until it is made anew.

        With `today` what is over can't be changed, unless the whole year is over. Raises
        EditRefused or BadInput for what cannot be, ChangedOnDisk or CannotWrite for what
        cannot be written; nothing is changed then. Rows that another program wrote into the diary
        meanwhile stay, and ours follow.
        """
        return self.change_between(*several, today=today)[1]

    def change_between(
        self,
        *several: edits.AnEdit,
        today: date | None = None,
        expecting: Callable[[edits.Draft], None] = lambda draft: None,
    ) -> tuple[edits.Draft, edits.Draft]:
        """Do edits as `change` does; what stood just before, and what stands now.

        `expecting` sees what stands just before, each time that it is read, and may raise.
        """

        def changed() -> tuple[edits.Draft, edits.Draft]:
            diary = self._diary_now()
            before = self.draft(today=today)
            expecting(before)
            after = edits.together(before, several)
            self._put(after, diary)
            return before, after

        return store.beside_others(changed, self.folder / store.DIARY_FILE)

    def put(self, text: str, diary: str, *, over: str) -> None:
        """Write another text of the year and another diary, as a step back does.

        `over` is the diary that is replaced; the same as `diary`, and it is left as it is on the
        disk. Raises BadInput, ChangedOnDisk or CannotWrite; nothing is changed then.
        """
        found = self._diary_now()
        if diary == over:
            diary = found.text
        elif found.text != over:
            raise ChangedOnDisk(str(self.folder / store.DIARY_FILE))
        self._put(edits.draft_of(text, diary=diary), found)

    def _diary_now(self) -> store.DiaryOnDisk:
        """The diary as it is on the disk now; what another program wrote there holds from now."""
        found = store.load_diary(self.folder)
        if found != self.__dict__.get("_diary"):
            self._keep_diary(found)
        return found

    def _keep_diary(self, diary: store.DiaryOnDisk) -> None:
        """Go on with another diary."""
        self._forget(*DIARY)
        self._diary = diary

    def _put(self, draft: edits.Draft, diary: store.DiaryOnDisk) -> None:
        """Write what differs in a draft, all or nothing."""
        year, busy = self._coming(draft.year, draft.text)
        other_year, other_diary = draft.text != self._year.text, draft.diary != diary.text
        based_on = self._year.digest, diary.digest
        if other_year and other_diary:
            store.save_with_diary(self.folder, draft.text, draft.diary, based_on=based_on)
        elif other_diary:
            store.save_diary(self.folder, draft.diary, based_on=diary.digest)
        elif other_year:
            store.save_year(self.folder, draft.text, based_on=self._year.digest)
        if other_diary:
            digest = store.digest_of(draft.diary.encode())
            self._keep_diary(store.DiaryOnDisk(draft.diary, digest))
        if other_year:
            self._take(year, busy)

    @property
    def edited(self) -> bool:
        """Whether the year says something, not in comments, that its plan was not made of."""
        text = self.plan.current.year_text if self.plan else ""
        return bool(text) and bool(edits.changes(text, self._year.text))

    def take_back(self) -> str:
        """The year as it was when its plan was made; what it said till now, which stays beside it.

        The plan stands. Raises ChangedOnDisk or CannotWrite; nothing is changed then.
        """
        assert self.plan is not None
        now, text, number = self._year, self.plan.current.year_text, self.plan.current.number
        year, busy = self._coming(edits.read(text), text)
        store.save_taken_back(self.folder, text, now.text, number, based_on=now.digest)
        self._take(year, busy)
        return now.text

    def bring_back(self) -> str | None:
        """The year as it was before `take_back`, if it was not changed since; None where nothing
        was taken back since this plan. What it said till now."""
        undone = store.load_undone(self.folder, self.plan.current.number) if self.plan else None
        now = self._year.text
        if undone is None or self.edited or undone == now:
            return None
        self._put(edits.draft_of(undone, diary=self._diary.text), self._diary)
        return now

    def undo(self, *, stamp: datetime, today: date | None = None) -> Revision:
        """Year and plan as they were before the last revision; that is a new revision.

        With `today` what is over stays, unless the whole year is. Raises EditRefused.
        """
        return self._travel(history.undo, stamp, today)

    def redo(self, *, stamp: datetime, today: date | None = None) -> Revision:
        """Year and plan as they were before the last undo; that is a new revision."""
        return self._travel(history.redo, stamp, today)

    def can_undo(self, *, today: date | None = None) -> bool:
        """Whether `undo` would not be refused as things stand."""
        if self.plan is None:
            return False
        try:
            self._stepped(history.undo, self.plan.current.stamp, today)
        except (edits.EditRefused, BadInput, Misuse):
            return False
        return True

    def _travel(self, step: history.Step, stamp: datetime, today: date | None) -> Revision:
        plan, (year, busy) = self._stepped(step, stamp, today)
        assert self._plan is not None
        based_on = self._year.digest, self._plan.digest
        digests = store.save_both(self.folder, year.text, plan, based_on=based_on)
        self._take(year, busy)
        self._hold(plan, digests[1])
        return plan.current

    def _stepped(
        self, step: history.Step, stamp: datetime, today: date | None
    ) -> tuple[Plan, tuple[store.YearOnDisk, tuple[store.BusyOnDisk, ...]]]:
        """Plan and year after a step, not yet written. Raises EditRefused, BadInput, Misuse."""
        history.refuse_if_edited(self.plan, self._year.text)
        assert self._plan is not None
        now = self._while_it_lasts(today)
        plan, text = step(self._plan.plan, stamp=stamp, today=now)
        coming = self._coming(edits.read(text), text)
        if now is not None:
            before = self._plan.plan.current
            replan.refuse_another_past(before, plan.current, coming[0].year, today=now)
        return plan, coming

    def _coming(
        self, year: Year, text: str
    ) -> tuple[store.YearOnDisk, tuple[store.BusyOnDisk, ...]]:
        """A year as it will be on disk, and its busy calendars. Raises BadInput.

        Calendars that were missing before forbid nothing that is not about them.
        """
        coming = store.YearOnDisk(year, text, store.digest_of(text.encode()))
        if self.busy_trouble is not None and year.sessions.busy == self.year.sessions.busy:
            return coming, ()
        try:
            return coming, store.load_busy(self.folder, coming)
        except BadInput as error:  # lines would be those of a text that nobody has seen
            raise BadInput(replace(fault, line=None) for fault in error.faults) from None

    def _take(self, year: store.YearOnDisk, busy: tuple[store.BusyOnDisk, ...]) -> None:
        """Go on with another year."""
        if year.year.sessions.busy != self.year.sessions.busy:
            self.busy_trouble = None
        self._year, self._busy = year, busy
        self._forget("_busy_digests", "busy", *RATED)

    def _hold(self, plan: Plan, digest: str) -> None:
        """Go on with another plan."""
        self._plan = store.PlanOnDisk(plan, digest)
        self._forget(*SAID)
