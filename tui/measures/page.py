"""The fifth page: each test with its tries, level and verdict; results, and a timer.

Decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from seasonplan.edits import EditRefused
from seasonplan.errors import BadInput
from seasonplan.explain.tested import rating_lines
from seasonplan.rules.tables import caution
from seasonplan.testing import (
    Judged,
    NotJudged,
    Study,
    Test,
    best_of,
    held_text,
    sentences,
    study_of,
    together,
    verdict,
)
from seasonplan.testing.verdicts import record_text, tries_text
from tui.bench import Bench
from tui.canvas import clean, padded, shortened
from tui.forms.result import RESULT
from tui.listing import Listing
from tui.lists.page import EDGE, ListPage, Parts
from tui.measures.draw import picture
from tui.measures.timer import TimerScreen
from tui.posts import Refused
from tui.spoken import spoken

TOGETHER = "together"
NAME_WIDTH = 26
NO_RESULT = "no result yet"
EMPTY = "No test yet. Press a to add one, or Enter on a usual test to write a result down."
LINES = (5, 9)  # of the picture: in a low window, else


class MeasuresPage(ListPage):
    """The list of tests, and beside it what the chosen one says."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c,enter", "change", "Write a result", key_display="Enter"),
        Binding("t", "timer", "Timer"),
        Binding("a", "add", "Add a test"),
    ]
    _study: Study | None = None
    _fault = ""

    # --- when it is worked out ----------------------------------------------------------------

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now: judge its tests, then list them."""
        desk = bench.desk
        self._study, self._fault = None, ""
        try:
            self._study = study_of(desk.year, desk.diary, day=self.today, blocks=desk.blocks)
        except BadInput as error:
            self._fault = str(error.faults[0])
        super().show(bench)

    # --- the list -----------------------------------------------------------------------------

    def lines(self, bench: Bench, view: Listing) -> Iterator[Option]:
        if self._study is None:
            yield view.head(Content.styled(" Tests", "bold"), key=TOGETHER, first=True)
            return
        yield view.head(Content.styled(" What they say together", "bold"), key=TOGETHER, first=True)
        yield view.head(Content.styled(" Your tests", "bold"))
        for number, one in enumerate(self._study.judged):
            yield self._option(f"series {number}", one.series.name, verdict(one))
        for test in self._untried(self._study):
            yield self._option(f"test {test.id}", test.name, NO_RESULT)
        yield view.head(Content.styled(" Usual tests", "bold"))
        for test in _usual(self._study):
            yield self._option(f"test {test.id}", test.name, test.unit)

    def _option(self, key: str, name: str, more: str) -> Option:
        wide = min(NAME_WIDTH, self.room // 2)
        head = f"   {padded(shortened(clean(name), wide), wide)}  "
        told = shortened(clean(more), self.room - len(head) - EDGE)
        return Option(Content.assemble(head, (told, "$quiet")), id=key)

    @staticmethod
    def _untried(study: Study) -> list[Test]:
        tried = {one.series.test.id for one in study.judged}
        return [test for test in study.tests if test.id not in tried]

    def _test(self, key: str) -> Test | None:
        """The test of a line."""
        if self._study is None:
            return None
        judged = self._judged(key)
        if judged is not None:
            return judged.series.test
        known = [*self._study.tests, *_usual(self._study)]
        return next((test for test in known if key == f"test {test.id}"), None)

    def _judged(self, key: str) -> Judged | None:
        how, _, number = key.partition(" ")
        if self._study is None or how != "series" or int(number) >= len(self._study.judged):
            return None
        return self._study.judged[int(number)]

    # --- what the chosen one says -------------------------------------------------------------

    def told(self, bench: Bench, key: str) -> Parts:
        if self._study is None:
            yield f"! {clean(self._fault)}\n", "$error"
            return
        one, test = self._judged(key), self._test(key)
        if one is not None:
            yield from self._series(one)
        elif test is not None:
            yield from _protocol(test)
        else:
            yield from self._together(self._study, bench)

    def _series(self, one: Judged) -> Parts:
        yield f"{clean(one.series.name)}\n\n", "bold $accent"
        width = self.query_one(".list-slip").scrollable_content_region.width
        yield from picture(one, width=width, lines=LINES[self.app.size.height >= 30])
        yield f"{TELLS}\n", "$quiet"
        for text in [*sentences(one), *record_text(one.series, best_of(one.series))]:
            yield f"\n{clean(spoken(text))}\n", ""
        yield "\nEvery try\n", "$quiet"
        for text in reversed(tries_text(one.series)):
            yield f"{clean(text)}\n", ""

    def _together(self, study: Study, bench: Bench) -> Parts:
        yield "What your tests say together\n", "bold $accent"
        if not study.judged:
            yield f"\n{EMPTY}\n", ""
        for text in together(study):
            yield f"\n{clean(spoken(text))}\n", ""
        plan = bench.desk.plan
        lines = rating_lines(plan.current, bench.desk.year) if plan is not None else []
        if lines:
            yield "\nWhat the plan goes by\n", "$quiet"
        for text in lines:
            yield f"{clean(spoken(text))}\n", ""
        yield f"\n{caution('general')}\n", "$quiet"

    # --- keys ---------------------------------------------------------------------------------

    def offers(self, action: str) -> bool:
        """Whether a key does something for the chosen line."""
        test = self._test(self.chosen)
        if action == "change":
            return test is not None
        return action != "timer" or (test is not None and test.timer is not None)

    def action_change(self) -> None:
        """Write down a result of the chosen test."""
        self._enter(self._test(self.chosen))

    def enter_result(self, test_id: str) -> None:
        """Write down a result of a test by its id."""
        tests = self._study.tests if self._study is not None else ()
        self._enter(next((test for test in tests if test.id == test_id), None))

    def _enter(self, test: Test | None) -> None:
        if test is None:
            self._refuse("No test is chosen.", "Choose one of the list first.")
        elif self._young and test.fingers:
            self._refuse(*held_text(NotJudged.YOUNG))
        else:
            self.open_form(f"{RESULT} {test.id}")

    def action_timer(self) -> None:
        """Time hangs and rests of the chosen test."""
        test = self._test(self.chosen)
        held = self._study.held if self._study else None
        if test is None or test.timer is None:
            self._refuse("There is nothing to time in it.", "Choose a test of hangs or pulls.")
        elif held is not None:
            self._refuse(*held_text(held))
        else:
            self.app.push_screen(TimerScreen(test))

    async def action_add(self) -> None:
        """Enter a test of your own, with its anchors."""
        await self.run_action("screen.open_form('new test')")

    @property
    def _young(self) -> bool:
        return self._study is not None and self._study.held is NotJudged.YOUNG

    def _refuse(self, why: str, would_work: str) -> None:
        self.post_message(Refused(EditRefused(why, would_work)))

    def open_form(self, key: str) -> None:
        """Open the form for a result. Raises EditRefused where the test is gone."""
        self.fill_in(key)


TELLS = "● a try  ○ hurt  ━ the level  ░ nine times in ten"


def _usual(study: Study) -> list[Test]:
    """The usual tests that the climber has no own of."""
    from seasonplan.testing import usual_tests

    mine = {test.usual for test in study.tests} | {one.series.test.id for one in study.judged}
    return [test for test in usual_tests().values() if test.id not in mine]


def _protocol(test: Test) -> Parts:
    yield f"{clean(test.name)}\n\n", "bold $accent"
    yield f"{clean(test.protocol)}\n", ""
    how = f"Measured in {test.unit}; takes some {test.minutes} minutes."
    yield f"\n{how} No result yet: Enter writes one.\n", ""
    if test.fingers:
        yield f"\n{caution('fingers')}\n", "$quiet"
