"""Runs the planner beside the screen and brings its answer: a plan, a proposal or a conflict."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, Protocol

from seasonplan.edits import AnEdit
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.planning.replan import NoPlan, Planned, Stopped
from seasonplan.workspace.desk import Desk
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.host import Host
from tui.jobs import Job
from tui.search_line import NO_WAY

if TYPE_CHECKING:
    from seasonplan.planner.run import Progress
    from seasonplan.planning.proposal import Proposal

FIRST = "the first plan"
ANEW = "planned anew"
AROUND = "a block was moved, the rest rearranged"


def keep_question() -> Choose:
    """How much each change of the present plan costs."""
    return Choose(
        "Plan anew. How much of your plan is to stay?",
        (
            Choice("medium", "Most of it", "changes where that helps; near days stay if they can"),
            Choice("high", "As much as possible", "changes only what must change"),
            Choice("low", "As little as needed", "the best year counts, whatever moves"),
        ),
        about="Days before today stay as they were. You see it before it counts.",
    )


def _heard_by(job: Job[Any]) -> Callable[[Progress], None]:
    """Lets a job say that what stands in the way of every plan is looked for."""

    def heard(progress: Progress) -> None:
        job.stage = NO_WAY if progress.impossible else ""

    return heard


class Asking(Protocol):
    """The screen that asks for searches: what of it a search needs."""

    app: Host
    bench: Bench
    today: date

    def read_if_changed(self) -> None: ...
    def refill(self) -> None: ...
    def tell_search(self, job: Job[Any] | None) -> None: ...
    def point_at_plan(self) -> None: ...
    def action_undo(self) -> None: ...
    def change(self, *edits: AnEdit) -> bool: ...


class Planning:
    """One search at a time. Holds its screen's hands, not its owner's state."""

    def __init__(self, screen: Asking) -> None:
        self.screen = screen
        self.job: Job[Any] | None = None
        self._then: Callable[[Any], None] | None = None
        self._again: Callable[[], None] = self.first
        self._ways: dict[str, AnEdit] = {}
        self.writing = False  # whether the search itself keeps its plan on disk

    @property
    def running(self) -> bool:
        return self.job is not None

    def first(self) -> None:
        """Make the first plan and keep it."""
        self._again = self.first
        self.screen.read_if_changed()
        stamp, folder = self.screen.app.stamp(), self.screen.bench.folder

        def work(job: Job[Any]) -> object:
            return Desk(folder).make_plan(
                FIRST, stamp=stamp, stop=job.stop, on_progress=_heard_by(job)
            )

        self._begin(work, self._made)
        self.writing = True

    def anew(self, keep: str | None) -> None:
        """Find the best plan near the one there is, to be shown before it counts."""
        if keep is None:
            return
        self._again = lambda: self.anew(keep)
        self.screen.read_if_changed()
        stamp, folder = self.screen.app.stamp(), self.screen.bench.folder
        today = self.screen.today

        def work(job: Job[Any]) -> object:
            from seasonplan.planning.proposal import Keep

            return Desk(folder).propose(
                ANEW, stamp=stamp, today=today, keep=Keep(keep),
                stop=job.stop, on_progress=_heard_by(job),
            )  # fmt: skip

        self._begin(work, self._proposed)

    def around(self) -> None:
        """Plan the rest of the year around what was just put somewhere, and keep that."""
        self._again = self.around
        stamp, folder = self.screen.app.stamp(), self.screen.bench.folder
        today = self.screen.today

        def work(job: Job[Any]) -> object:
            return Desk(folder).make_plan(AROUND, stamp=stamp, today=today, stop=job.stop)

        self._begin(work, self._made_around)
        self.writing = True

    def others(self) -> None:
        """Find years nearly as good that differ most from the plan."""
        stamp, folder = self.screen.app.stamp(), self.screen.bench.folder
        today = self.screen.today

        def work(job: Job[Any]) -> object:
            return Desk(folder).others(stamp=stamp, today=today, stop=job.stop)

        self._begin(work, self._found_others)

    def end(self) -> None:
        """Stop the planner; a plan that is found by then still comes."""
        if self.job is not None:
            self.job.end()

    def _begin(self, work: Callable[[Job[Any]], object], then: Callable[[Any], None]) -> None:
        self.end()
        self.job, self._then, self.writing = Job(work), then, False
        self.job.begin()
        self.screen.tell_search(self.job)
        self.screen.bench.planning = True
        self.screen.refill()

    def tick(self) -> None:
        """Show how the search stands, and take its answer when it is there."""
        job, then = self.job, self._then
        if job is None or then is None:
            return
        if not job.done:
            self.screen.tell_search(job)
            return
        self.job, self._then, self.writing = None, None, False
        self.screen.tell_search(None)
        self.screen.bench.planning = False
        self.screen.refill()
        if job.error is None:
            then(job.answer)
        elif isinstance(job.error, (BadInput, ChangedOnDisk, CannotWrite)):
            self.screen.app.say(str(job.error), grave=True)
        else:
            raise job.error

    # --- answers ------------------------------------------------------------------------------

    def _made(self, answer: Planned | NoPlan | Stopped) -> None:
        if self._told_why_not(answer):
            return
        self.screen.bench.read_again()
        self.screen.point_at_plan()
        self.screen.refill()
        self.screen.app.say("Your plan is made. Arrows walk through it; w tells why.")

    def _made_around(self, answer: Planned | NoPlan | Stopped) -> None:
        if self._told_why_not(answer):
            return
        self.screen.bench.read_again()
        self.screen.refill()
        self.screen.app.say("The rest is rearranged around it. u takes it back.")

    def _proposed(self, answer: Proposal | NoPlan | Stopped) -> None:
        from seasonplan.explain.before_after import as_shown, nothing_changes

        if self._told_why_not(answer):
            return
        assert not isinstance(answer, (NoPlan, Stopped))
        stands = answer.before.done == answer.after.done
        if nothing_changes(answer) and stands and not self.screen.bench.desk.stale:
            self.screen.app.say("Nothing would change: the plan stands.")
            return
        now = self.screen.bench.desk.standing
        if now is not None and as_shown(answer, now):
            self._taken_over(answer)
            return
        from tui.plans.before_after import BeforeAfter

        self.screen.app.push_screen(BeforeAfter(answer, self.screen.bench), self._answered)

    def _taken_over(self, answer: Proposal) -> None:
        """Keep a plan that holds nothing new but what the climber did, and sees already."""
        from seasonplan.explain.before_after import OWN_SESSIONS
        from tui.plans.before_after import REFUSALS

        try:
            self.screen.bench.desk.accept(answer)
        except REFUSALS as error:
            self.screen.app.say(str(error), grave=True)
            return
        self.screen.bench.planned()
        self.screen.refill()
        self.screen.app.say(OWN_SESSIONS)

    def _found_others(self, found: list[Proposal]) -> None:
        """Show them under one another; the one that is chosen is looked at, then answered."""
        from seasonplan.explain.others_told import none_text
        from tui.plans.before_after import BeforeAfter
        from tui.plans.others import OtherYears

        def chosen(number: int | None) -> None:
            if number is not None:
                view = BeforeAfter(found[number], self.screen.bench)
                self.screen.app.push_screen(view, self._answered)

        none = none_text(self.screen.bench.desk.year, self.screen.today)
        self.screen.app.push_screen(OtherYears(found, none), chosen)

    def _answered(self, answer: str | None) -> None:
        """After the before-and-after view: accepted, refused, or something pinned."""
        if answer == "pinned":
            self.screen.refill()
            self.anew("medium")
            return
        self.screen.refill()
        if answer == "refused":
            self.screen.app.unsay()  # what was told of the proposal
            self.screen.app.say("Refused. Nothing was changed.")

    def _told_why_not(self, answer: object) -> bool:
        if isinstance(answer, Stopped):
            self.screen.app.say("Stopped before any plan was found; nothing was changed.")
            return True
        if isinstance(answer, NoPlan):
            from tui.plans.no_plan import no_plan_question

            question, self._ways = no_plan_question(answer, self.screen.bench)
            self.screen.app.push_screen(question, self._way_taken)
            return True
        return False

    def _way_taken(self, answer: str | None) -> None:
        """Do the change that was chosen, or undo the last one; then plan again."""
        from tui.plans.no_plan import BACK

        if answer == BACK:
            self.screen.action_undo()
        elif answer in self._ways and self.screen.change(self._ways[answer]):
            self._again()
