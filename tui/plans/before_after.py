"""Before and after: a proposal beside what stands, to be accepted, refused or pinned against."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from seasonplan.edits import AnEdit, EditRefused, PinBlock, ResizeBlock
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, StaleProposal
from seasonplan.explain.before_after import (
    block_lines,
    goal_lines,
    left_out_lines,
    moved_lines,
    reaches_back,
    summary,
    weeks_beside,
)
from seasonplan.explain.notes import bent_rules
from seasonplan.explain.rulebook import session_lines
from seasonplan.plan import Block, Session
from seasonplan.planning.proposal import Proposal, unlike
from tui.bench import Bench
from tui.canvas import clean
from tui.hints import Hints
from tui.host import Host
from tui.jobs import Job
from tui.year.draw_plan import CHANGED
from tui.year.lanes import Lane, Mark, Row, Sheet
from tui.year.named import block_title, without_ids
from tui.year.sheet import YearSheet
from tui.year.since import forms_since

STAYS = "To go back, take what you entered for days that are over out of the year, then press r."
REFUSALS = (StaleProposal, EditRefused, BadInput, ChangedOnDisk, CannotWrite)


@dataclass(frozen=True)
class TwoPlans(Sheet):
    """The year with two plans, one under the other; `blocks` are those after."""

    before: tuple[Block, ...] = ()
    before_sessions: tuple[Session, ...] = field(default=(), kw_only=True)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        old = Sheet(self.year, self.before, sessions=self.before_sessions)
        given = [row for row in super().rows if row.lane in (Lane.ROCK, Lane.AWAY)]
        was, now = (
            Row(Lane.PLAN, label, next(r for r in rows if r.lane is Lane.PLAN).marks)
            for label, rows in (("before", old.rows), ("after", super().rows))
        )
        return (*given, was, now)

    def block_of(self, mark: Mark) -> Block | None:
        """The block of the plan that the mark lies in: one with its days and name."""
        found = (block for block in (*self.blocks, *self.before) if block.id == mark.key)
        alike = (
            block
            for block in found
            if (block.span, block_title(block, self.year)) == (mark.span, mark.name)
        )
        return next(alike, None)


def two_plans(one: Proposal, blocks: tuple[Block, ...] | None = None) -> TwoPlans:
    """The two plans of a proposal; `blocks` stand in for those after."""
    after = one.after
    return TwoPlans(
        one.year, after.blocks if blocks is None else blocks, one.before.blocks,
        sessions=after.sessions, before_sessions=one.before.sessions,
    )  # fmt: skip


def told(one: Proposal, head: str, lines: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Lines about a proposal under a head, where there are any; blocks by kind and day."""
    blocks, other = one.before.blocks, one.after.blocks
    named = [f"{clean(without_ids(line, blocks, other=other))}\n" for line in lines]
    if named:
        yield f"{head}\n", "bold"
        yield "".join(named) + "\n", ""


def _changed(one: Proposal) -> frozenset[str]:
    """Ids of the blocks that a proposal moves, makes, takes out or gives another kind."""
    blocks = (block for change in one.blocks for block in (change.before, change.after))
    return frozenset(block.id for block in blocks if block is not None)


class BeforeAfter(Screen[str]):
    """Answers with "accepted", "refused" or "pinned"."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "accept", "Accept"),
        Binding("x,escape", "refuse", "Refuse", key_display="x"),
        Binding("p", "pin", "Fix this block"),
        Binding("w", "why", "Why"),
        Binding("o", "others", "Other answers"),
        Binding("space,shift+down", "read(1)", "Read on below", show=False),
        Binding("shift+up", "read(-1)", "Read back below", show=False),
    ]

    def __init__(self, proposal: Proposal, bench: Bench) -> None:
        super().__init__()
        self.proposal, self.bench = proposal, bench
        self.pins: set[str] = set()
        self.answers = [proposal]
        self._job: Job[Any] | None = None
        self._then: Callable[[Any], None] | None = None
        self._reasons: dict[int, list[str]] = {}

    def compose(self) -> ComposeResult:
        yield Static(id="answer-head", markup=False)
        yield YearSheet(today=self.proposal.today, id="two-plans")
        with VerticalScroll(id="answer", can_focus=False), Horizontal(id="answer-columns"):
            yield Static(id="answer-text", markup=False)
            yield Static(id="answer-blocks", markup=False)
        yield Hints()

    def on_mount(self) -> None:
        self.set_interval(0.15, self._tick)
        self._fill()
        first = next((change.before for change in self.proposal.blocks if change.before), None)
        if first is not None:
            self._point(first)
        self.query_one(YearSheet).focus()

    def on_unmount(self) -> None:
        if self._job is not None:
            self._job.end()

    def _fill(self) -> None:
        """Show the answer that is being looked at."""
        one = self.proposal
        blocks = tuple(
            _fixed(block) if block.id in self.pins else block for block in one.after.blocks
        )
        self.query_one(YearSheet).show(two_plans(one, blocks), changed=_changed(one))
        label = f" ({one.label})" if one.label else ""
        count = f" {self.answers.index(one) + 1} of {len(self.answers)}"
        head = f"Before and after{count if len(self.answers) > 1 else ''}{label}  "
        self.query_one("#answer-head", Static).update(
            Content.assemble(
                (head, "bold $accent"),
                clean(summary(one)),
                (f"  {CHANGED} a block that changes" if _changed(one) else "", "$quiet"),
            )
        )
        self._tell()

    def _tell(self) -> None:
        self.query_one("#answer-text", Static).update(Content.assemble(*self._parts()))
        self.query_one("#answer-blocks", Static).update(Content.assemble(*self._blocks()))

    def _point(self, block: Block) -> None:
        sheet = self.query_one(YearSheet)
        assert sheet.sheet is not None
        before = next(row for row in sheet.sheet.rows if row.label == "before")
        sheet.select(next((mark for mark in before.marks if mark.key == block.id), None))

    def _parts(self) -> Iterator[tuple[str, str]]:
        one, number = self.proposal, self.answers.index(self.proposal)
        if self._job is not None:
            yield f"Planning again to find out… {self._job.seconds:.0f} s\n\n", "$accent"
        yield from self._told("Sessions left out", left_out_lines(one))
        yield from self._told("What each goal wins or loses", [*goal_lines(one), *self._forms()])
        yield from self._told("Why they change", self._reasons.get(number, []))
        yield from self._told(
            "Preferences not met", bent_rules(one.findings, book=self.bench.desk.book)
        )

    def _blocks(self) -> Iterator[tuple[str, str]]:
        """What is told of blocks; where none changes, of sessions."""
        one = self.proposal
        names = self.bench.desk.recipes
        sessions = () if one.blocks else (*moved_lines(one, names), *session_lines(one, names))
        yield from self._told("Sessions that change", sessions)
        yield from self._told("Blocks that change", block_lines(one))
        yield from self._told("Weeks that change: before, after", weeks_beside(one))

    def _forms(self) -> Iterator[str]:
        """The form of each goal on its days, before and after, where it changes."""
        one, book = self.proposal, self.bench.desk.recipes
        old, new = (
            Sheet(one.year, plan.blocks, sessions=plan.sessions, book=book, done=one.after.done)
            for plan in (one.before, one.after)
        )
        yield from forms_since(old, new)

    def _told(self, head: str, lines: Iterable[str]) -> Iterator[tuple[str, str]]:
        return told(self.proposal, head, lines)

    def action_read(self, by: int) -> None:
        """Turn what is told below."""
        told = self.query_one("#answer", VerticalScroll)
        (told.scroll_page_down if by > 0 else told.scroll_page_up)(animate=False)

    # --- answers ------------------------------------------------------------------------------

    def action_accept(self) -> None:
        """Make this the plan; what you fixed here stays fixed."""
        names = {block.id for block in self.proposal.after.blocks}
        try:
            kept = self.bench.desk.accept(self.proposal, pinned=sorted(self.pins & names))
        except REFUSALS as error:
            self.app.say(str(error), grave=True)
            return
        self.bench.planned()
        back = STAYS if reaches_back(self.proposal) else "u takes it back."
        self.app.say(f"Plan {kept.number} stands. {back}")
        self.dismiss("accepted")

    def action_refuse(self) -> None:
        """Keep what stands; nothing is changed."""
        self.dismiss("refused")

    def action_pin(self) -> None:
        """After: fix the block as it lies there. Before: keep it where it was, and plan again."""
        sheet = self.query_one(YearSheet)
        mark = sheet.selected
        if mark is None or mark.lane is not Lane.PLAN or not (mark.kind and mark.kind.chosen):
            self.app.say("Point at a block of your plan, before or after.", grave=True)
            return
        assert sheet.sheet is not None
        if sheet.sheet.rows[sheet.row].label == "after":
            self.pins ^= {mark.key}
            self._fill()
            return
        try:
            self.bench.change(self._kept(mark))
        except REFUSALS as error:
            self.app.say(str(error), grave=True)
            return
        self.dismiss("pinned")

    def _kept(self, mark: Mark) -> AnEdit:
        """The edit that keeps a block as it was before, though a change has moved it since."""
        now = next((block for block in self.bench.blocks if block.id == mark.key), None)
        if now is None or now.span == mark.span:
            return PinBlock(block=mark.key)
        return ResizeBlock(
            block=mark.key,
            first=mark.span.first if mark.span.first != now.span.first else None,
            last=mark.span.last if mark.span.last != now.span.last else None,
        )

    # --- asked on top -------------------------------------------------------------------------

    def action_why(self) -> None:
        """Plan again to find the reason of each change."""
        one, number, book = self.proposal, self.answers.index(self.proposal), self.bench.desk.book
        if number in self._reasons:
            return

        def work(_: Job[Any]) -> list[str]:
            from seasonplan.explain.because import lines, reasons

            return lines(one, reasons(one, book=book), book=book)

        def then(told: list[str]) -> None:
            self._reasons[number] = told
            self._tell()

        self._ask(work, then)

    def action_others(self) -> None:
        """Look for other answers to the same changes; then go from one to the next."""
        if len(self.answers) > 1:
            after = (self.answers.index(self.proposal) + 1) % len(self.answers)
            self.proposal = self.answers[after]
            self._fill()
            return
        stamp, today, desk = self.app.stamp(), self.proposal.today, self.bench.desk
        cause = self.proposal.after.cause

        def then(found: list[Proposal]) -> None:
            self.answers += unlike(found, shown=self.proposal)
            if len(self.answers) > 1:
                self.action_others()
            else:
                self.app.say("There is no other answer.")

        self._ask(
            lambda job: desk.alternatives(cause, stamp=stamp, today=today, stop=job.stop), then
        )

    def _ask(self, work: Callable[[Job[Any]], Any], then: Callable[[Any], None]) -> None:
        if self._job is not None:
            self.app.say("One question at a time: the planner is at work.")
            return
        self._job, self._then = Job(work), then
        self._job.begin()
        self._tell()

    def _tick(self) -> None:
        job, then = self._job, self._then
        if job is None or then is None:
            return
        if job.done:
            self._job = self._then = None
            if job.error is None:
                then(job.answer)
            else:
                self.app.say(f"That could not be found out: {job.error}", grave=True)
        self._tell()


def _fixed(block: Block) -> Block:
    """The block as one that was fixed."""
    return Block(**{name: getattr(block, name) for name in Block.model_fields} | {"pinned": True})
