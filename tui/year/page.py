"""The first page: the sheet, the slip under it, and the keys that change what is pointed at."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from seasonplan.edits import AnEdit, Draft, EditRefused
from seasonplan.explain.entries import chance_text
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from tui.bench import Bench
from tui.posts import Around, Refused, Said
from tui.slip_view import SlipView
from tui.words import Words
from tui.year import hands
from tui.year.carrying import NOT_HELD
from tui.year.chances import can_take, season_at, taken, taken_text
from tui.year.costs import Costs
from tui.year.headline import headline
from tui.year.keys import IN_LIST, KEYS
from tui.year.kinds import other_kinds
from tui.year.lanes import Mark, Sheet
from tui.year.legend import Legend
from tui.year.letting_go import AS_IT_STOOD, REARRANGED, rest_question
from tui.year.narrow import YearList, held_line
from tui.year.prices import Prices
from tui.year.sheet import YearSheet
from tui.year.since import since_plan
from tui.year.slips import whole_slip
from tui.year.strip import Priced
from tui.year.weather import WeatherWatch


class YearPage(Vertical):
    """The year, and what is pointed at."""

    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self, keep: Callable[[AnEdit], bool], *, today: date) -> None:
        super().__init__(id="year")
        self._keep = keep  # at once: the next key finds what this one did
        self.today = today
        self.bench: Bench | None = None
        self._costs = Costs(today)
        self._prices = Prices(today)
        self._weather = WeatherWatch()

    def compose(self) -> ComposeResult:
        yield Words(id="headline", markup=False)
        yield YearSheet(today=self.today, id="sheet", carries=True)
        yield YearList(today=self.today, carry=self._carry, pick=self._pick)
        yield Legend(id="legend")
        yield SlipView(id="slip-view")

    def on_mount(self) -> None:
        self.set_interval(0.15, self._tick)

    def on_unmount(self) -> None:
        self._weather.end()
        self._costs.end()
        self._prices.end()

    @property
    def sheet(self) -> YearSheet:
        return self.query_one(YearSheet)

    @property
    def carries(self) -> bool:
        """Whether a block is in the hand, on this page as it is shown."""
        holding = self.sheet.holding
        return self.display and holding is not None and holding.by_keys

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now."""
        self.bench = bench
        names = frozenset(name for found in bench.broken for name in found.blocks)
        self._weather.look(bench.desk)
        sheet = bench.sheet.with_weather(self._weather.lanes)
        self.sheet.show(sheet, broken=names, planning=bench.planning)
        self.query_one(YearList).show(sheet, self.sheet.selected)
        self._tell_lines()
        self.tell()
        self.call_after_refresh(self._weather.begin)

    def on_resize(self) -> None:
        self.call_after_refresh(self._tell_lines)

    def _tell_lines(self) -> None:
        """The headline above the sheet and the signs below it."""
        self._tell_signs()
        self._tell_headline()

    def _tell_headline(self) -> None:
        if self.sheet.sheet is None:
            return
        line = self.query_one("#headline", Static)
        room = line.content_size.width or self.size.width - 4
        strip = self.sheet.holding.strip if self.sheet.holding else None
        if strip is not None and self.query_one(YearList).display:
            line.update(held_line(strip))
            return
        at_work = self._bench.planning
        before = self._bench.as_planned_sheet if self._bench.desk.stale else None
        worth = self._bench.moved_worth
        since = since_plan(before, self._bench.sheet, worth=worth) if before is not None else ()
        line.update(headline(self._shown, self.today, max(20, room), since=since, planning=at_work))

    def on_year_sheet_resized(self) -> None:
        self._tell_signs()

    def _tell_signs(self) -> None:
        if self.sheet.sheet is not None:
            listed = self.query_one(YearList).display
            self.query_one(Legend).tell(self.sheet, self._shown, today=self.today, listed=listed)

    def point_at(self, key: str) -> None:
        """Point at the block, or whatever else has that id."""
        rows = self.sheet.sheet.rows if self.sheet.sheet else ()
        found = (mark for row in rows for mark in row.marks if mark.key == key)
        self.sheet.select(next(found, self.sheet.selected))

    def point_at_plan(self) -> None:
        """Next time it is shown, point at the block of today."""
        self.sheet.selected = None

    def focus_sheet(self) -> None:
        narrow = self.query_one(YearList)
        self.screen.set_focus(narrow if narrow.display else self.sheet)  # before the next key

    # --- the slip -----------------------------------------------------------------------------

    def on_carrying_picked(self, event: YearSheet.Picked) -> None:
        self.query_one(YearList).point_at(event.mark)
        self._tell_lines()
        self.tell()

    def _pick(self, mark: Mark) -> None:
        if mark != self.sheet.selected:
            self.sheet.select(mark)

    def tell(self) -> None:
        """Tell of what is pointed at."""
        mark, bench = self.sheet.selected, self.bench
        self.screen.refresh_bindings()
        if mark is None or bench is None:
            return
        cost = self._costs.of(mark, bench)
        self.query_one(SlipView).tell(whole_slip(mark, bench, self._shown, cost=cost))

    def action_why(self) -> None:
        """Ask what moving the block, or leaving it out, would cost."""
        mark, bench = self.sheet.selected, self.bench
        if mark is None or bench is None or not self._costs.of(mark, bench):
            return
        self.query_one(SlipView).turn_to_cost()
        self._costs.ask(mark, bench)
        self.tell()

    def _tick(self) -> None:
        self._look_at_weather()
        self._price()
        if self._costs.tick():
            self.tell()

    def _look_at_weather(self) -> None:
        """Draw what was read of the records since; read them again where they were changed."""
        if self.bench is None:
            return
        if self._weather.look(self.bench.desk):
            self._weather.begin()
        if self._weather.tick():
            self.sheet.renew(self.bench.sheet.with_weather(self._weather.lanes))
            self._tell_signs()
            self.tell()

    def action_read(self, by: int) -> None:
        """Turn the slip."""
        slip = self.query_one(SlipView)
        (slip.scroll_page_down if by > 0 else slip.scroll_page_up)(animate=False)

    # --- changes by hand ----------------------------------------------------------------------

    def on_carrying_grabbed(self, event: YearSheet.Grabbed) -> None:
        """Work out what each date would cost, and show it as soon as it is there."""
        if self.bench is not None:
            self._prices.ask(event.mark, self.bench)
            self._price()
            self._tell_lines()

    def action_hold(self) -> None:
        """Take the block up in the list: its prices are told above it."""
        if self.sheet.can_be_held:
            self.sheet.action_hold()
        else:
            self.post_message(Refused(EditRefused(NOT_HELD, "Go to one of them in the list.")))

    def action_leave_it(self) -> None:
        """Leave the block where it was."""
        self.sheet.action_leave_it()

    def _carry(self, by: int) -> bool:
        """Carry what is held to its next place, or with 0 let it go; whether anything is held."""
        if not self.carries:
            return False
        if by:
            self.sheet.carry_on(by)
            self._tell_headline()
        else:
            self.sheet.let_go()
        return True

    def _price(self) -> None:
        """Hand over the prices of the block that is held, once they are known."""
        holding = self.sheet.holding
        if self.bench is None or holding is None or holding.known or not holding.can_be_priced:
            return
        known, held = self._prices.held(holding.mark, self.bench)
        if known:
            year = self.bench.desk.year
            self.sheet.price(Priced.of(held, holding.hold, year) if held else None)
            self._tell_headline()

    def on_carrying_dragged(self, event: YearSheet.Dragged) -> None:
        """Where the year can be planned around it, ask what becomes of the rest."""
        self._tell_signs()

        def put(mark: Mark) -> AnEdit:
            return hands.put(mark, event.span, draft=self._draft, block=self._block(mark))

        if not event.possible:
            self._want(put, event.mark)
            return

        def chosen(answer: str | None) -> None:
            if answer == AS_IT_STOOD:
                self._want(put, event.mark)
            elif answer == REARRANGED:
                self._want(put, event.mark, around=True)

        self.app.push_screen(rest_question(event.mark, event.span, event.place), chosen)

    def action_move(self, days: int) -> None:
        """Move what is pointed at; what is held by keys is only carried."""
        if self.sheet.carry(days):
            self._tell_headline()
            return
        self._by_hand(hands.moved, days)

    def action_end(self, days: int) -> None:
        """Move its last day."""
        self._by_hand(hands.stretched, days, at_start=False)

    def action_start(self, days: int) -> None:
        """Move its first day."""
        self._by_hand(hands.stretched, days, at_start=True)

    def action_pin(self) -> None:
        """Fix the block where it stands."""
        self._by_hand(hands.pinned)

    def action_free(self) -> None:
        """Free the block that is fixed."""
        self.action_pin()

    def action_chances(self) -> None:
        """Take the weather record's chances over into the season."""
        mark, shown = self.sheet.selected, self._shown
        found = season_at(mark, shown) if mark else None
        was = chance_text(found[0].chance) if found else ""
        self._want(lambda mark: taken(mark, shown))
        if found:
            self.call_later(self._tell_taken, found[0].id, was)

    def _tell_taken(self, season_id: str, was: str) -> None:
        """Say which chances a season has from its record, once it has them."""
        if told := taken_text(self._bench.desk.year.entry(season_id), was):
            self.post_message(Said(told))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether a key does something here."""
        mark = self.sheet.selected
        if action in IN_LIST:
            return self.query_one(YearList).display and self.carries is (action == "leave_it")
        if action in ("pin", "free"):
            return (mark is not None and mark.pinned) is (action == "free")
        if action != "chances":
            return True
        return True if mark and self.sheet.sheet and can_take(mark, self._shown) else None

    def offers(self, action: str) -> bool:
        """Whether a key does something for what is pointed at; else no line offers it."""
        mark, bench = self.sheet.selected, self.bench
        if mark is None or bench is None:
            return False
        action = action.partition("(")[0]
        if self.carries:
            return action in ("move", "leave_it")
        if action == "why":
            return bool(self._costs.of(mark, bench)) and not bench.desk.lags
        if action in ("hold", "pin", "free"):
            return self.sheet.can_be_held and hands.is_ahead(mark, action, self.today)
        if action in ("move", "end"):
            return mark.dated and hands.is_ahead(mark, action, self.today)
        return True

    def action_remove(self) -> None:
        """Take out what is pointed at."""
        self._by_hand(hands.removed)

    def action_join(self) -> None:
        """Join the block with the one after it."""
        marks = self.sheet.sheet.rows[self.sheet.row].marks if self.sheet.sheet else ()

        def wanted(mark: Mark) -> AnEdit:
            at = marks.index(mark) + 1
            after = marks[at] if at < len(marks) else None
            return hands.joined(mark, after, draft=self._draft)

        self._want(wanted)

    def action_kind(self) -> None:
        """Choose another kind for the block."""
        self._with_kind(
            "Which kind of block?",
            lambda mark, kind: hands.other_kind(mark, kind, draft=self._draft),
        )

    def action_split(self) -> None:
        """Cut the block in two; the second part is of another kind."""
        self._with_kind(
            "Cut in two near its middle. Which kind is the second part?",
            lambda mark, kind: hands.split(
                mark, kind, draft=self._draft, week_begins=self._bench.desk.year.climber.week_begins
            ),
        )

    def _with_kind(self, question: str, wanted: Callable[[Mark, Kind], AnEdit]) -> None:
        mark = self.sheet.selected
        try:
            asked = other_kinds(question, mark)
        except EditRefused as refusal:
            self.post_message(Refused(refusal))
            return

        def chosen(answer: str | None) -> None:
            if answer is not None:
                self._want(lambda mark: wanted(mark, Kind(answer)))

        self.app.push_screen(asked, chosen)

    def _by_hand(self, hand: Callable[..., AnEdit], *days: int, **more: bool) -> None:
        """Do to what is pointed at what a hand does."""
        self._want(
            lambda mark: hand(mark, *days, draft=self._draft, block=self._block(mark), **more)
        )

    def _want(
        self, wanted: Callable[[Mark], AnEdit], mark: Mark | None = None, *, around: bool = False
    ) -> None:
        mark = mark or self.sheet.selected
        if mark is None or self.bench is None:
            return
        try:
            edit = wanted(mark)
        except EditRefused as refusal:
            self.post_message(Refused(refusal))
            return
        if around:
            self.post_message(Around(edit))
        else:
            self._keep(edit)

    @property
    def _bench(self) -> Bench:
        assert self.bench is not None
        return self.bench

    @property
    def _shown(self) -> Sheet:
        assert self.sheet.sheet is not None
        return self.sheet.sheet

    @property
    def _draft(self) -> Draft:
        return self._bench.desk.draft()

    def _block(self, mark: Mark) -> Block | None:
        return self._bench.sheet.block(mark.key)
