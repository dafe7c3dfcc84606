"""The questions of a first year on one page, checked while they are answered."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from pydantic import TypeAdapter, ValidationError
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from seasonplan import store
from seasonplan.days import WEEKDAYS
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.vocabulary import Discipline
from seasonplan.year import Goal, Horizon, Routine, Season
from seasonplan.year.entries import Day, DayOrYearly, known_zone
from seasonplan.year.fresh import USUAL_MINUTES, Answers, next_monday, usual_zone, year_text
from seasonplan.year.grade import Grade
from seasonplan.year.toml import read_year
from tui.hints import Hints
from tui.unfinished import KEY, Typed, Unfinished

if TYPE_CHECKING:
    from tui.app import SeasonApp

DISCIPLINES = tuple(one.value for one in Discipline)
SEASON = ("season-first", "season-last", "chance")
GOAL = ("goal", "place", "discipline", "grade")


@dataclass(frozen=True, slots=True)
class Field:
    """One line: its id, label, hint, and what reads it (raising ValueError)."""

    key: str
    label: str
    hint: str
    read: Callable[[str], Any]
    usual: str = ""


def _one(adapter: Callable[[Any], Any]) -> Callable[[str], Any]:
    """A reader whose refusals are one plain sentence."""

    def read(text: str) -> Any:
        try:
            return adapter(text)
        except ValidationError as error:
            raise ValueError(error.errors()[0]["msg"].removeprefix("Value error, ")) from None

    return read


def _optional(read: Callable[[str], Any]) -> Callable[[str], Any]:
    return lambda text: read(text) if text else None


def _minutes(text: str) -> Any:
    said = int(text) if text.isdigit() else text or 0
    return Routine.model_validate({WEEKDAYS[0]: said, WEEKDAYS[1]: 1})  # one day alone may be 0


def _weeks(text: str) -> int:
    if not text.isdigit():
        raise ValueError("wanted a number of weeks, such as 52")
    Horizon(first=date(2001, 1, 1), weeks=int(text))
    return int(text)


def _chance(text: str) -> float:
    """A share from 0 to 1, or a number of percent."""
    bare = text.replace(",", ".").removesuffix("%").strip()
    try:
        value = float(bare) / (100 if "%" in text or float(bare) > 1 else 1)
    except ValueError:
        raise ValueError("wanted such as 0.4 or 40 %") from None
    if not 0 <= value <= 1:
        raise ValueError("wanted 0 to 100 %")
    return value


def fields(zone: str, first: date) -> tuple[Field, ...]:
    """All lines but the weekdays."""
    return (
        Field("name", "Your name", "may stay empty", str),
        Field("zone", "Time zone", "such as Europe/Vienna", _one(known_zone), zone),
        Field("first", "First day to plan", "such as 2027-01-04",
              _one(TypeAdapter(Day).validate_python), str(first)),
        Field("weeks", "How many weeks", "4 to 104", _one(_weeks), "52"),
        Field("goal", "What do you train for?", "its name; may stay empty", str),
        Field("place", "Where is it?", "the name of the place", str),
        Field("discipline", "What sort?", "sport, trad, boulder, …", _one(_discipline), "sport"),
        Field("grade", "How hard?", "7b+, 5.12c, IX-, 26, V7",
              _one(_optional(TypeAdapter(Grade).validate_python))),
        Field("season-first", "Rock is good from", "09-12, or a whole date",
              _one(_optional(TypeAdapter(DayOrYearly).validate_python))),
        Field("season-last", "until", "10-31",
              _one(_optional(TypeAdapter(DayOrYearly).validate_python))),
        Field("chance", "Chance of a good day", "40 %: four days in ten", _chance, "40 %"),
    )  # fmt: skip


def _discipline(text: str) -> Discipline:
    if text.lower() not in DISCIPLINES:
        raise ValueError(f"wanted {', '.join(DISCIPLINES)}")
    return Discipline(text.lower())


class BeginScreen(Screen[bool]):
    """Writes a year file; answers True once it is written."""

    app: SeasonApp
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "write", "Write it and plan", priority=True),
        Binding("escape", "leave", "Back"),
        # before the line sees them, so that fast fingers write into the next line
        Binding("enter,down,tab", "app.focus_next", "Next line", show=False, priority=True),
        Binding("up,shift+tab", "app.focus_previous", "Line before", show=False, priority=True),
    ]

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        zone = usual_zone()
        self.fields = fields(zone, next_monday(self.app.today(zone)))
        self._kept = Unfinished(folder)
        self._first: dict[str, str] = {}

    def compose(self) -> ComposeResult:
        yield Static(
            Content.assemble(
                ("Your year  ", "bold $accent"),
                ("Enter goes on, Ctrl+S writes it down and plans. All of it can be changed later.",
                 "$quiet"),
            ),
            id="begin-head",
        )  # fmt: skip
        with VerticalScroll(id="begin", can_focus=False):
            for field in self.fields[:4]:
                yield from self._line(field)
            yield Static("Minutes you can train on a usual day: 90, 1h30, or 18:00-19:30",
                         classes="begin-text")  # fmt: skip
            yield Static(id="weekday-names", markup=False)
            with Horizontal(id="weekdays"):
                for day in WEEKDAYS:
                    usual = str(USUAL_MINUTES.get(day, ""))
                    yield Input(usual, id=f"day-{day}", compact=True)
            for field in self.fields[4:]:
                yield from self._line(field)
        yield Static(id="begin-says", markup=False)
        yield Hints()

    def _line(self, field: Field) -> ComposeResult:
        with Horizontal(classes="begin-line"):
            yield Static(field.label, classes="begin-label", markup=False)
            suggest = SuggestFromList(DISCIPLINES) if field.key == "discipline" else None
            yield Input(field.usual, id=f"in-{field.key}", compact=True, suggester=suggest)
            yield Static(field.hint, id=f"hint-{field.key}", classes="begin-hint", markup=False)

    def on_mount(self) -> None:
        names = "".join(f"{day[:3].capitalize():<9}" for day in WEEKDAYS)
        self.query_one("#weekday-names", Static).update(names)
        self._first = {str(line.id): line.value for line in self.query(Input)}
        typed = self._kept.all().get(KEY)
        for name, words in typed.words.items() if typed else ():
            for line in self.query(f"#{name}").results(Input):
                line.value = words
        self.query_one("#in-name").focus()

    # --- checking -----------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        self._check(event.input)
        self._keep_aside()

    def _keep_aside(self) -> None:
        """What is typed by now into a file of the folder, should the terminal die."""
        changed = {
            str(line.id): line.value
            for line in self.query(Input)
            if line.value != self._first.get(str(line.id))
        }
        turn, kept = self._kept.turn(), self._kept
        typed = Typed(title="Your year", words=changed)

        def work() -> None:
            if changed:
                with suppress(OSError):  # then nothing is kept; writing it down will say why
                    kept.folder.mkdir(parents=True, exist_ok=True)
            kept.keep(KEY, typed, turn=turn)

        self.run_worker(work, thread=True, group="keeping")

    def _check(self, line: Input) -> bool:
        """Say at once what is wrong with a line."""
        key = (line.id or "").partition("-")[2]
        if (line.id or "").startswith("day-"):
            told = self._wrong(_minutes, line.value)
            self.query_one("#begin-says", Static).update(
                Content.styled(f"! {key.capitalize()}: {told}", "$error") if told else ""
            )
        else:
            field = next(field for field in self.fields if field.key == key)
            told = self._wrong(field.read, line.value) if line.value or field.usual else ""
            self.query_one(f"#hint-{key}", Static).update(
                Content.styled(f"! {told}", "$error") if told else field.hint
            )
        line.set_class(bool(told), "-wrong")
        return not told

    @staticmethod
    def _wrong(read: Callable[[str], Any], text: str) -> str:
        try:
            read(text.strip())
        except ValueError as error:
            message = getattr(error, "message", None)
            return str(message()) if callable(message) else _plain(error)
        return ""

    def _value(self, key: str) -> Any:
        field = next(field for field in self.fields if field.key == key)
        return field.read(self.query_one(f"#in-{key}", Input).value.strip())

    # --- writing ------------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Back, without writing; what is typed here is still there next time."""
        self.dismiss(False)

    def action_write(self) -> None:
        """Write the year and make the first plan."""
        line = self.focused or self
        line.call_later(self._write)  # after the keys that the line has not seen yet

    def _write(self) -> None:
        for line in self.query(Input):
            if not self._check(line):
                line.focus()
                return
        missing = self._missing()
        if missing:
            self._say(missing[1])
            self.query_one(f"#in-{missing[0]}").focus()
            return
        try:
            text = year_text(self._answers())
            read_year(text, file=store.YEAR_FILE)
            self.folder.mkdir(parents=True, exist_ok=True)
            store.write(self.folder / store.YEAR_FILE, text.encode(), based_on=None)
        except (BadInput, CannotWrite, ChangedOnDisk, ValueError) as error:
            self._say(_plain(error) if isinstance(error, ValueError) else str(error))
        except OSError as error:
            self._say(f"{self.folder}: {error.strerror}")
        else:
            self._kept.drop(KEY)
            self.dismiss(True)

    def _missing(self) -> tuple[str, str] | None:
        """The first line that what is said makes needed, and what to say of it."""
        filled = {
            key for key in (*GOAL, *SEASON) if self.query_one(f"#in-{key}", Input).value.strip()
        }
        if "goal" in filled:
            for key, told in (("place", "Where is it?"), ("grade", "How hard is it?")):
                if key not in filled:
                    return key, f"! {told} A goal needs it."
        if ("season-first" in filled) is not ("season-last" in filled):
            key = "season-last" if "season-first" in filled else "season-first"
            return key, "! The rock needs a first and a last day."
        if "season-first" in filled and "place" not in filled:
            return "place", "! Where is that rock?"
        return None

    def _say(self, text: str) -> None:
        self.query_one("#begin-says", Static).update(Content.styled(text, "$error"))

    def _answers(self) -> Answers:
        minutes = {}
        for day in WEEKDAYS:
            said = self.query_one(f"#day-{day}", Input).value.strip()
            if said:
                minutes[day] = int(said) if said.isdigit() else said
        return Answers(
            self._value("zone"), self._value("first"), self._value("weeks"),
            name=self._value("name"), minutes=minutes, goal=self._goal(), season=self._season(),
        )  # fmt: skip

    def _goal(self) -> Goal | None:
        if not self._value("goal"):
            return None
        return Goal(
            name=self._value("goal"), place=self._value("place"), priority=1,
            discipline=self._value("discipline"), grade=self._value("grade"),
        )  # fmt: skip

    def _season(self) -> Season | None:
        if self._value("season-first") is None:
            return None
        place = self._value("place")
        return Season(
            name=f"Season at {place}", place=place, discipline=self._value("discipline"),
            first=self._value("season-first"), last=self._value("season-last"),
            chance=self._value("chance"),
        )  # fmt: skip


def _plain(error: Exception) -> str:
    if isinstance(error, ValidationError):
        return error.errors()[0]["msg"].removeprefix("Value error, ")
    return str(error)
