"""The one stateful object: a climber's folder opened, read and changed. Both faces hold one."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict
from uuid import UUID, uuid4

from seasonplan import edits, history, replan, store
from seasonplan.arrange import arranged
from seasonplan.errors import BadInput, ChangedOnDisk, StaleProposal
from seasonplan.findings import Finding
from seasonplan.ical.busy import BusyReport, read_busy
from seasonplan.ical.taken import Minutes, meaning_of, taken_by_day, with_busy
from seasonplan.identity import all_ids
from seasonplan.plan import Block, Plan, Revision
from seasonplan.proposal import Keep, Proposal, alternatives, fixed, propose
from seasonplan.recipes import Recipe, recipes
from seasonplan.reference import keep_points
from seasonplan.rules import RuleBook, book_of
from seasonplan.studies import Subject, every_study, near_by, stamps_of, study_of, subjects_of
from seasonplan.vocabulary import Discipline
from seasonplan.year import Year

if TYPE_CHECKING:
    from seasonplan.conditions import Near, Study
    from seasonplan.planner.run import Progress


class _Standing(TypedDict):
    """What a proposal is made against."""

    previous: Plan
    old_year: Year
    today: date
    taken: Mapping[date, Sequence[Minutes]]


def _content(revision: Revision) -> tuple[object, ...]:
    """What makes a revision another one."""
    return revision.blocks, revision.sessions, revision.shortfalls, revision.year_digest


class Desk:
    """A folder with its year and, once made, its plan."""

    def __init__(self, folder: Path) -> None:
        """Reads the folder. Raises BadInput with every fault of its files."""
        self.folder = folder
        self._year = store.load_year(folder)
        self._plan = store.load_plan(folder)
        self._busy = store.load_busy(folder, self._year)

    @property
    def year(self) -> Year:
        return self._year.year

    @property
    def plan(self) -> Plan | None:
        return self._plan.plan if self._plan else None

    @property
    def book(self) -> RuleBook:
        return book_of(self.year)

    @property
    def recipes(self) -> dict[str, Recipe]:
        return recipes(self.year.recipes)

    @property
    def _meaning(self) -> str:
        """Digest of what the year says and of when its busy calendars are busy."""
        return with_busy(self._year.meaning, self._busy_digests)

    @cached_property
    def _busy_digests(self) -> tuple[str, ...]:
        return tuple(meaning_of(busy.content) for busy in self._busy)

    @property
    def stale(self) -> bool:
        """Whether the year or a busy calendar was changed after the plan was made."""
        return self.plan is not None and self.plan.current.year_digest != self._meaning

    @property
    def up_to_date(self) -> bool:
        """Whether the plan is of the year as it is, and proven the best."""
        return self.plan is not None and not self.stale and self.plan.current.proof.optimal

    @cached_property
    def busy(self) -> dict[str, BusyReport]:
        """What each busy calendar says, by file. Raises BadInput where one is refused."""
        return {
            busy.file: read_busy(
                busy.content,
                file=busy.file,
                span=self.year.span,
                time_zone=self.year.climber.time_zone,
            )
            for busy in self._busy
        }

    @property
    def taken(self) -> Mapping[date, Sequence[Minutes]]:
        """Minutes of each day that busy calendars take, where the climber lives."""
        return taken_by_day(span for report in self.busy.values() for span in report.spans)

    @property
    def daily_load(self) -> dict[date, float]:
        """Load (effort x minutes) of the sessions of each day, every day of the year."""
        daily = dict.fromkeys(self.year.span.days(), 0.0)
        for session in self.plan.current.sessions if self.plan else ():
            daily[session.day] = daily.get(session.day, 0.0) + session.rpe * session.minutes
        return daily

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """The plan's blocks; after changes since, as these left them."""
        if self.plan is None:
            return ()
        if not self.stale:
            return self.plan.current.blocks
        used = sorted(all_ids(self.plan))
        return arranged(self.year, self.plan.current.blocks, book=self.book, used=used)

    def block(self, block_id: str) -> Block | None:
        blocks = self.plan.current.blocks if self.plan else ()
        return next((block for block in blocks if block.id == block_id), None)

    def make_plan(
        self,
        cause: str,
        *,
        stamp: datetime,
        gap: float = 0.0,
        calendar_key: UUID | None = None,
        today: date | None = None,
        on_progress: Callable[[Progress], None] | None = None,
        stop: threading.Event | None = None,
    ) -> replan.Planned | replan.NoPlan | replan.Stopped:
        """Plan the year and keep the plan as a new revision, if there is one.

        A plan equal to the current one makes no new revision; a better proof of it is kept. With
        `today` what is over stays as it was, unless the whole year is over.
        """
        answer = replan.plan_year(
            self.year,
            self._cause(cause, stamp),
            previous=self.plan,
            calendar_key=calendar_key or uuid4(),
            today=self._while_it_lasts(today),
            taken=self.taken,
            gap=gap,
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
            self._cause(cause, stamp),
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
            self.year, self._cause(cause, stamp), stop=stop, **self._standing(today)
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
        meaning = with_busy(year.meaning, self._busy_digests)
        plan = fixed(proposal.plan, draft.year, year_digest=meaning, year_text=draft.text)
        based_on = self._year.digest, self._plan.digest if self._plan else None
        digests = store.save_both(self.folder, draft.text, plan, based_on=based_on)
        self._take(year, busy)
        self._hold(plan, digests[1])
        return plan.current

    def _cause(self, cause: str, stamp: datetime) -> replan.Occasion:
        return replan.Occasion(cause, stamp, self._meaning, self._year.text)

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
        """The plan to keep: the new revision, or the current one with the better proof."""
        if self.plan is None:
            return plan
        old, new = self.plan.current, plan.current
        if _content(old) != _content(new):
            return plan
        proof = min(old.proof, new.proof, key=lambda proof: (not proof.optimal, proof.gap))
        fresh = {"proof": proof, "year_text": new.year_text}  # comments may have changed
        kept = Revision(**{name: getattr(old, name) for name in Revision.model_fields} | fresh)
        return Plan(calendar_key=plan.calendar_key, revisions=(*self.plan.revisions[:-1], kept))

    def _keep(self, plan: Plan) -> None:
        if plan == self.plan:
            return
        based_on = self._plan.digest if self._plan else None
        digest = store.save_plan(self.folder, plan, based_on=based_on)
        self._hold(plan, digest)

    # --- changes ------------------------------------------------------------------------------

    def draft(self, *, today: date | None = None) -> edits.Draft:
        """What edits are applied to: the files as read, and the diary."""
        return self._draft(store.load_diary(self.folder).text, today)

    def _draft(self, diary: str, today: date | None) -> edits.Draft:
        now = self._while_it_lasts(today)
        return edits.Draft(self._year.text, self.year, self.plan, diary, self.blocks, now)

    def change(self, *several: edits.AnEdit, today: date | None = None) -> edits.Draft:
        """Do edits as one and keep them on disk; the plan stays as it is until it is made anew.

        With `today` what is over can't be planned otherwise, unless the whole year is over. Raises
        EditRefused or BadInput for what cannot be, ChangedOnDisk or CannotWrite for what
        cannot be written; nothing is changed then.
        """
        diary = store.load_diary(self.folder)
        before = self._draft(diary.text, today)
        after = edits.together(before, several)
        self._put(after, diary)
        return after

    def put(self, text: str, diary: str, *, over: str) -> None:
        """Write another text of the year and another diary, as a step back does.

        `over` is the diary that is replaced. Raises BadInput, ChangedOnDisk or CannotWrite.
        """
        found = store.load_diary(self.folder)
        if found.text != over:
            raise ChangedOnDisk(str(self.folder / store.DIARY_FILE))
        self._put(edits.draft_of(text, diary=diary), found)

    def _put(self, draft: edits.Draft, diary: store.DiaryOnDisk) -> None:
        """Write what a draft says otherwise; nothing where any of it could not be read again."""
        year, busy = self._coming(draft.year, draft.text)
        if draft.diary != diary.text:
            store.save_diary(self.folder, draft.diary, based_on=diary.digest)
        if draft.text != self._year.text:
            store.save_year(self.folder, draft.text, based_on=self._year.digest)
            self._take(year, busy)

    def undo(self, *, stamp: datetime) -> Revision:
        """Year and plan as they were before the last revision; that is a new revision."""
        return self._travel(history.undo, stamp)

    def redo(self, *, stamp: datetime) -> Revision:
        """Year and plan as they were before the last undo; that is a new revision."""
        return self._travel(history.redo, stamp)

    def _travel(self, step: history.Step, stamp: datetime) -> Revision:
        history.refuse_if_edited(self.plan, self._year.text)
        assert self._plan is not None
        plan, text = step(self._plan.plan, stamp=stamp)
        year, busy = self._coming(edits.read(text), text)
        based_on = self._year.digest, self._plan.digest
        digests = store.save_both(self.folder, text, plan, based_on=based_on)
        self._take(year, busy)
        self._hold(plan, digests[1])
        return plan.current

    def _coming(
        self, year: Year, text: str
    ) -> tuple[store.YearOnDisk, tuple[store.BusyOnDisk, ...]]:
        """A year as it will be on disk, and its busy calendars. Raises BadInput."""
        coming = store.YearOnDisk(year, text, store.digest_of(text.encode()))
        return coming, store.load_busy(self.folder, coming)

    def _take(self, year: store.YearOnDisk, busy: tuple[store.BusyOnDisk, ...]) -> None:
        """Go on with another year."""
        self._year, self._busy = year, busy
        self._forget("_busy_digests", "busy", "blocks")

    def _hold(self, plan: Plan, digest: str) -> None:
        """Go on with another plan."""
        self._plan = store.PlanOnDisk(plan, digest)
        self._forget("blocks")

    def _forget(self, *known: str) -> None:
        """What was worked out from the year or plan before."""
        for name in known:
            self.__dict__.pop(name, None)

    def check(self, *, today: date | None = None) -> tuple[Finding, ...]:
        """What the checker finds in the current plan, against the year as it is now.

        With `today` nothing is asked of what is over, unless the whole year is.
        """
        from seasonplan.checker import check, check_sessions

        assert self.plan is not None
        current = self.plan.current
        claimed = None if self.stale else current.score
        today = self._while_it_lasts(today)
        return (
            *check(self.year, current.blocks, book=self.book, claimed=claimed, today=today),
            *check_sessions(
                self.year,
                current.blocks,
                current.sessions,
                current.shortfalls,
                book=self.book,
                taken=self.taken,
                today=today,
            ),
        )

    def _while_it_lasts(self, today: date | None) -> date | None:
        """Today, or None once the year is over: then it is looked at whole."""
        return today if today is not None and today < self.year.span.after else None

    # --- weather ------------------------------------------------------------------------------

    @property
    def subjects(self) -> tuple[Subject, ...]:
        """Every place with weather records, with each discipline climbed there."""
        return subjects_of(self.year)

    @property
    def record_stamps(self) -> tuple[tuple[int, int] | None, ...]:
        """How the weather records stand on the disk: another value, and one was changed."""
        return stamps_of(self.folder, self.year)

    def study(self, subject: Subject) -> Study:
        """What its record says. Raises BadInput with every fault of the record."""
        return study_of(self.folder, self.year, subject)

    def studies(
        self, *, place: str | None = None, discipline: Discipline | None = None
    ) -> tuple[Study, ...]:
        """What all records say, or those of one place or discipline. Raises BadInput."""
        return every_study(self.folder, self.year, place=place, discipline=discipline)

    def near(self, forecast: Path, study: Study, *, today: date) -> Near | None:
        """What a forecast makes of the next days. Raises BadInput."""
        return near_by(forecast, study, self.year, today=today)
