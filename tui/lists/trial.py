"""A change of a rule or recipe tried: the year planned with it, beside what stands.

Plans in a thread; nothing is written before the climber keeps it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from seasonplan.edits import AnEdit, ChangeRule
from seasonplan.edits.filled import together
from seasonplan.explain.before_after import block_lines, goal_lines, summary
from seasonplan.explain.notes import bent_rules
from seasonplan.explain.rulebook import rule_cautions, session_lines
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import keep_points
from tui.bench import Bench
from tui.canvas import clean
from tui.hints import Hints
from tui.host import Host
from tui.jobs import Job

if TYPE_CHECKING:
    from seasonplan.planning.proposal import Proposal
    from seasonplan.planning.replan import NoPlan, Stopped

    Answer = Proposal | NoPlan | Stopped

CAUSE = "a rule tried"
Keep = Callable[[list[AnEdit]], bool]


class TrialScreen(Screen[bool]):
    """Answers True once the change is kept."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "accept", "Accept"),
        Binding("x,escape", "refuse", "Refuse", key_display="x"),
    ]

    def __init__(
        self, words: str, edits: Sequence[AnEdit], bench: Bench, keep: Keep, *, today: date
    ) -> None:
        super().__init__()
        self.words, self.edits, self.bench, self.today = words, list(edits), bench, today
        self._keep = keep
        codes = [edit.code for edit in edits if isinstance(edit, ChangeRule)]
        self.cautions = [text for code in codes for text in rule_cautions(code)]
        self.job: Job[Answer] = Job(self._work)
        self.answer: Answer | None = None
        self._told = False

    def compose(self) -> ComposeResult:
        from tui.year.sheet import YearSheet

        yield Static(
            Content.assemble(("Tried  ", "bold $accent"), (clean(self.words), "")), id="answer-head"
        )
        yield YearSheet(today=self.today, id="two-plans")
        with VerticalScroll(id="answer"):
            yield Static(id="answer-text", markup=False)
        yield Static(id="trial-line", markup=False)
        yield Hints()

    def on_mount(self) -> None:
        self.query_one("#two-plans").display = False
        self.query_one("#answer").focus()
        self.job.begin()
        self.set_interval(0.1, self._tick)
        self._tick()

    def on_unmount(self) -> None:
        self.job.end()

    # --- planning -----------------------------------------------------------------------------

    def _work(self, job: Job[Answer]) -> Answer:
        """The best plan of the year with the change; slow, and loads the solver."""
        from seasonplan.planning.proposal import Keep, propose
        from seasonplan.planning.replan import Provenance

        desk = self.bench.desk
        draft = together(desk.draft(), self.edits)
        assert desk.plan is not None
        return propose(
            draft.year,
            Provenance(
                CAUSE,
                self.app.stamp(),
                CAUSE,
                draft.text,
                desk.plan.current.ratings,
                desk.plan.current.done,
            ),
            previous=desk.plan,
            old_year=desk.year,
            today=self.today,
            keep=keep_points(Keep.LOW),
            taken=desk.taken,
            stop=job.stop,
        )

    def _tick(self) -> None:
        if self._told:
            return
        line = self.query_one("#trial-line", Static)
        line.display = not self.job.done
        if not self.job.done:
            line.update(Content.assemble(*_standing(self.job)))
            return
        self._told = True
        self.answer = self.job.answer
        self.query_one("#answer-text", Static).update(Content.assemble(*self._parts()))

    # --- words --------------------------------------------------------------------------------

    def _parts(self) -> Iterator[tuple[str, str]]:
        from seasonplan.planning.replan import NoPlan, Stopped

        answer = self.answer
        for text in self.cautions:
            yield f"! {text}\n\n", "bold"
        if self.job.error is not None:
            yield f"! That could not be found out: {clean(str(self.job.error))}\n", "$error"
        elif isinstance(answer, Stopped):
            yield "Stopped before any plan was found.\n", ""
        elif isinstance(answer, NoPlan):
            yield from self._no_plan(answer)
        elif answer is not None:
            yield from self._two_plans(answer)

    def _no_plan(self, answer: NoPlan) -> Iterator[tuple[str, str]]:
        from seasonplan.explain.noplan import sentences

        year = together(self.bench.desk.draft(), self.edits).year
        yield "! With this change there is no plan.\n", "bold $error"
        for text in sentences(answer.conflict, year, book=book_of(year)):
            yield f"\n{clean(text)}\n", ""

    def _two_plans(self, one: Proposal) -> Iterator[tuple[str, str]]:
        from tui.plans.before_after import told, two_plans
        from tui.year.sheet import YearSheet

        sheet = self.query_one(YearSheet)
        sheet.display = bool(one.blocks)
        sheet.show(two_plans(one))
        yield f"{clean(summary(one))}\n\n", "bold"
        if self.bench.desk.stale:
            yield "~ Your year changed since the plan; part of this comes from that.\n\n", "$accent"
        for head, lines in (
            ("What each goal wins or loses", goal_lines(one)),
            ("Blocks that change", block_lines(one)),
            ("Sessions that change", session_lines(one, self.bench.desk.recipes)),
            ("Preferences not met", bent_rules(one.findings, book=book_of(one.year))),
        ):
            yield from told(one, head, lines)
        yield "a accepts the change; r then plans anew with it. x leaves all as it was.", "$quiet"

    # --- answers ------------------------------------------------------------------------------

    def action_accept(self) -> None:
        """Write the change down."""
        if self._keep(self.edits):
            self.app.say("Accepted. r plans anew with it; u takes it back.")
            self.dismiss(True)

    def action_refuse(self) -> None:
        """Leave everything as it was."""
        self.dismiss(False)


def _standing(job: Job[Answer]) -> Iterator[tuple[str, str]]:
    """How the search stands."""
    yield " Planning with the change  ", "bold $accent"
    yield f"{job.seconds:.0f} s   x goes back", "$quiet"
