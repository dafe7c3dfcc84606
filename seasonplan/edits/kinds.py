"""Every change that can be made: one frozen union. Says what each asks for, not how it is done.

Docstrings, titles and descriptions here are what a person reads in help and forms.
"""

from __future__ import annotations

from datetime import date, time
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from seasonplan.diary import DiaryEntry
from seasonplan.edits.asks import (
    ADay,
    Asks,
    ATime,
    BlockId,
    ChangedValues,
    ChosenKind,
    EntryId,
    Section,
    SessionId,
    Values,
    Whole,
)
from seasonplan.vocabulary import BodyPart, FrozenModel, Side
from seasonplan.year.model import RuleLimit


class AnEdit(FrozenModel):
    """What all edits have. `title` is for menus, `example` what one would type."""

    title: ClassVar[str]
    example: ClassVar[str]
    do: str


# --- entries, settings, rules, recipes ----------------------------------------------------------


class AddEntry(AnEdit):
    """Enter a goal, season, window, trip, absence, injury or anything else of your year."""

    title: ClassVar[str] = "Add an entry"
    example: ClassVar[str] = (
        'add absence name="Night shifts" first=2026-05-04 last=2026-05-10 left=0.5'
    )
    do: Literal["add"] = "add"
    section: Section
    values: Values


class RepeatAbsence(AnEdit):
    """Enter time away that comes again: every so many weeks, or on the days of a list."""

    title: ClassVar[str] = "Add time away that comes again"
    example: ClassVar[str] = 'repeat --name "School holidays" --days "13 feb to 21 feb, 27 mar"'
    do: Literal["repeat"] = "repeat"
    name: Annotated[str, Asks.TEXT, Field(title="Name", description="what keeps you away")]
    first: Annotated[
        date | None, Asks.DAY, Field(title="First day", description="first day of the first time")
    ] = None
    last: Annotated[
        date | None, Asks.DAY, Field(title="Last day", description="last day of the first time")
    ] = None
    weeks: Annotated[
        int | None, Asks.WHOLE, Field(title="Weeks", description="2: every second week")
    ] = None
    until: Annotated[
        date | None, Asks.DAY, Field(title="Until", description="else to the end of your year")
    ] = None
    days: Annotated[
        str | None,
        Asks.TEXT,
        Field(title="Days", description="or a list, such as 13 feb to 21 feb, 27 mar"),
    ] = None
    left: Annotated[
        float | None,
        Asks.SHARE,
        Field(title="Time left", description="share of the usual time that is left, such as 30 %"),
    ] = None


class ChangeEntry(AnEdit):
    """Change some of what an entry says."""

    title: ClassVar[str] = "Change an entry"
    example: ClassVar[str] = "change night-shifts last=2026-05-17"
    do: Literal["change"] = "change"
    id: EntryId
    values: ChangedValues


class RemoveEntry(AnEdit):
    """Take an entry out, and every mention of it in goals."""

    title: ClassVar[str] = "Remove an entry"
    example: ClassVar[str] = "remove night-shifts"
    do: Literal["remove"] = "remove"
    id: EntryId


class ChangeSetting(AnEdit):
    """Change a setting, or let it be the usual one again."""

    title: ClassVar[str] = "Change a setting"
    example: ClassVar[str] = "set climber.minutes.tuesday 1h30"
    do: Literal["set"] = "set"
    path: Annotated[
        str, Asks.SETTING, Field(title="Setting", description="such as climber.minutes.tuesday")
    ]
    value: Annotated[
        Any, Asks.VALUE, Field(title="Value", description="left out: the usual one again")
    ] = None


class ChangeRule(AnEdit):
    """Switch a rule on or off, change its limit or weight, or take all that back."""

    title: ClassVar[str] = "Change a rule"
    example: ClassVar[str] = "rule base-length --limit 4,6"
    do: Literal["rule"] = "rule"
    code: Annotated[str, Asks.RULE, Field(title="Rule", description="code of a rule")]
    on: Annotated[bool | None, Asks.YES_NO, Field(title="On", description="whether it counts")] = (
        None
    )
    limit: Annotated[
        RuleLimit | None,
        Asks.LIMIT,
        Field(title="Limit", description="a number, or lowest and highest"),
    ] = None
    weight: Annotated[
        float | None,
        Asks.NUMBER,
        Field(title="Weight", description="how much it costs where it is not met"),
    ] = None
    reset: Annotated[
        bool, Asks.YES_NO, Field(title="By default again", description="take all changes back")
    ] = False


class ChangeRecipe(AnEdit):
    """Change a session recipe, add one of yours, or take all that back."""

    title: ClassVar[str] = "Change a recipe"
    example: ClassVar[str] = "recipe mobility minutes=20"
    do: Literal["recipe"] = "recipe"
    id: Annotated[str, Asks.RECIPE, Field(title="Recipe", description="id of a recipe")]
    values: ChangedValues = Field(default_factory=dict)
    reset: Annotated[
        bool, Asks.YES_NO, Field(title="By default again", description="take all changes back")
    ] = False


# --- blocks -------------------------------------------------------------------------------------


class MoveBlock(AnEdit):
    """Move a block by some days; it then stays where you put it."""

    title: ClassVar[str] = "Move a block"
    example: ClassVar[str] = "move strength-2 --days 7"
    do: Literal["move"] = "move"
    block: BlockId
    days: Annotated[
        Whole, Field(title="Days", description="how far; below 0 is earlier", ge=-800, le=800)
    ]


class ResizeBlock(AnEdit):
    """Give a block another first or last day; it then stays so."""

    title: ClassVar[str] = "Change the days of a block"
    example: ClassVar[str] = "resize strength-2 --first 2026-05-04 --last 2026-05-31"
    do: Literal["resize"] = "resize"
    block: BlockId
    first: Annotated[
        date | None, Asks.DAY, Field(title="First day", description="new first day")
    ] = None
    last: Annotated[date | None, Asks.DAY, Field(title="Last day", description="new last day")] = (
        None
    )


class SplitBlock(AnEdit):
    """Cut a block in two: from a day on it is of another kind."""

    title: ClassVar[str] = "Split a block"
    example: ClassVar[str] = "split strength-2 --day 2026-05-18 --kind rest"
    do: Literal["split"] = "split"
    block: BlockId
    day: Annotated[ADay, Field(title="Day", description="first day of the second part")]
    kind: ChosenKind


class JoinBlocks(AnEdit):
    """Make one block of two neighbours; it is of the first one's kind."""

    title: ClassVar[str] = "Join two blocks"
    example: ClassVar[str] = "join base-1 strength-1"
    do: Literal["join"] = "join"
    first: BlockId
    second: BlockId


class ChangeKind(AnEdit):
    """Make a block one of another kind, on the same days."""

    title: ClassVar[str] = "Change the kind of a block"
    example: ClassVar[str] = "kind base-2 --kind strength"
    do: Literal["kind"] = "kind"
    block: BlockId
    kind: ChosenKind


class PinBlock(AnEdit):
    """Keep a block just as it is, whatever is planned later."""

    title: ClassVar[str] = "Fix a block"
    example: ClassVar[str] = "pin performance-1"
    do: Literal["pin"] = "pin"
    block: BlockId


class UnpinBlock(AnEdit):
    """Let a block you fixed be planned freely again."""

    title: ClassVar[str] = "Free a block"
    example: ClassVar[str] = "unpin performance-1"
    do: Literal["unpin"] = "unpin"
    block: BlockId


# --- sessions -----------------------------------------------------------------------------------


SessionMinutes = Annotated[
    int | None,
    Asks.WHOLE,
    Field(title="Minutes", description="left out: its usual length", ge=1, le=1440),
]


class MoveSession(AnEdit):
    """Put a session on another day or at another time, or give it another length."""

    title: ClassVar[str] = "Move a session"
    example: ClassVar[str] = "move-session base-1/2026-05-04/mobility-1 --day 2026-05-06"
    do: Literal["move-session"] = "move-session"
    session: SessionId
    day: Annotated[date | None, Asks.DAY, Field(title="Day", description="new day")] = None
    start: Annotated[time | None, Asks.TIME, Field(title="Start", description="as 18:30")] = None
    minutes: SessionMinutes = None


class SkipSession(AnEdit):
    """Leave one session out."""

    title: ClassVar[str] = "Skip a session"
    example: ClassVar[str] = "skip base-1/2026-05-04/mobility-1"
    do: Literal["skip"] = "skip"
    session: SessionId


class AddSession(AnEdit):
    """Add a session on a day and at a time of your choice."""

    title: ClassVar[str] = "Add a session"
    example: ClassVar[str] = "add-session mobility --day 2026-05-06 --start 18:30"
    do: Literal["add-session"] = "add-session"
    recipe: Annotated[str, Asks.RECIPE, Field(title="Recipe", description="id of a recipe")]
    day: Annotated[ADay, Field(title="Day", description="the day")]
    start: Annotated[ATime, Field(title="Start", description="as 18:30")]
    minutes: SessionMinutes = None


class FreeSession(AnEdit):
    """Let a session you moved or skipped be planned freely again, or drop one you added."""

    title: ClassVar[str] = "Free a session"
    example: ClassVar[str] = "free-session base-1/2026-05-04/mobility-1"
    do: Literal["free-session"] = "free-session"
    session: SessionId


DayDone = Annotated[
    date | None,
    Asks.DAY,
    Field(title="Day", description="left out: the planned day, if that is over"),
]


HurtPart = Annotated[
    BodyPart | None, Asks.PART, Field(title="What hurt", description="the part that hurt, if any")
]
HurtSide = Annotated[Side, Asks.SIDE, Field(title="Side", description="which side of it")]
HowBad = Annotated[
    float | None,
    Asks.NUMBER,
    Field(title="Pain", description="0 to 10; wants a part", ge=0, le=10),
]


class AMark(AnEdit):
    """What can be said of any session that is over. A part and how much it hurts go together."""

    session: SessionId
    on: DayDone = None
    note: Annotated[str, Asks.TEXT, Field(title="Note", description="a remark")] = ""
    part: HurtPart = None
    side: HurtSide = Side.NONE
    pain: HowBad = None


class MarkDone(AMark):
    """Write down that a session was done, how long and how hard."""

    title: ClassVar[str] = "Mark a session done"
    example: ClassVar[str] = "done base-1/2026-05-04/mobility-1 --minutes 50 --effort 6"
    do: Literal["done"] = "done"
    minutes: Annotated[
        int | None,
        Asks.WHOLE,
        Field(title="Minutes", description="left out: as planned", ge=0, le=1440),
    ] = None
    rpe: Annotated[
        float | None,
        Asks.NUMBER,
        Field(title="Effort", description="0 to 10; left out: not rated", ge=0, le=10),
    ] = None


class MarkMissed(AMark):
    """Write down that a session did not happen."""

    title: ClassVar[str] = "Mark a session missed"
    example: ClassVar[str] = "missed base-1/2026-05-04/mobility-1"
    do: Literal["missed"] = "missed"


class WriteRow(AnEdit):
    """Write a row into the diary: pain, a test, weight, a note, or something else that was done."""

    title: ClassVar[str] = "Write into the diary"
    example: ClassVar[str] = ""  # no verb: `seasonplan log` has its own words
    do: Literal["row"] = "row"
    row: DiaryEntry


Edit = Annotated[
    AddEntry | RepeatAbsence | ChangeEntry | RemoveEntry | ChangeSetting | ChangeRule | ChangeRecipe
    | MoveBlock | ResizeBlock | SplitBlock | JoinBlocks | ChangeKind | PinBlock | UnpinBlock
    | MoveSession | SkipSession | AddSession | FreeSession | MarkDone | MarkMissed,
    Field(discriminator="do"),
]  # fmt: skip
