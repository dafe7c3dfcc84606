"""What the climber wishes: of sessions (spread, what there is, alarms) and of calendars."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from seasonplan.vocabulary import BlocksAs, FrozenModel, Spread
from seasonplan.year.entries import YesNo
from seasonplan.year.recipe import Need

USUAL_NEEDS = (Need.HANGBOARD, Need.WALL, Need.WEIGHTS, Need.PARTNER)


OTHER_WORDS = {
    "little and often": Spread.LIGHT.value,  # as older year files say it
    "light": Spread.LIGHT.value,
    "short and hard": Spread.SHORT_AND_HARD.value,
}


def _in_todays_words(value: Any) -> Any:
    return OTHER_WORDS.get(value, value) if isinstance(value, str) else value


Split = Annotated[Spread, BeforeValidator(_in_todays_words)]


class SessionWishes(FrozenModel):
    """How sessions are filled in.

    `spread_for` names a kind of block or the id of one; `has` is what there is to train on;
    `busy` names calendar files of busy time, from the folder of the year; `busy_margin_minutes`
    are kept clear around each appointment in them, and with `tentative_is_free` what is not
    certain takes no time.
    """

    spread: Split = Spread.FEW_AND_LONG
    spread_for: dict[str, Split] = Field(default_factory=dict)
    has: tuple[Need, ...] = USUAL_NEEDS
    busy: tuple[str, ...] = ()
    busy_margin_minutes: Annotated[int, Field(ge=0, le=240, strict=True)] = 0
    tentative_is_free: YesNo = False
    alarm_minutes: Annotated[int, Field(ge=0, le=1440)] | None = None

    def spread_in(self, block_id: str, kind: str) -> Spread:
        """The spread for one block: its own, else that of its kind, else the usual one."""
        return self.spread_for.get(block_id, self.spread_for.get(kind, self.spread))


class CalendarWishes(FrozenModel):
    """How calendars show the plan; nothing of it asks for another plan.

    `way`: the way to wall and rock and back is part of a session's event.
    """

    one_event_a_day: YesNo = False
    blocks: BlocksAs = BlocksAs.WHOLE
    way: YesNo = True
