"""Sessions that the climber moved, skipped or added. Knows no plan and no recipe.

Either `session` names a planned one, with what is changed of it, or `recipe` asks for a new one.
"""

from __future__ import annotations

import re
from datetime import time
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, model_validator

from seasonplan.year.entries import Day, Entry, YesNo
from seasonplan.year.ids import slug
from seasonplan.year.refusal import refuse, shown

_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::00)?")


def _clock(value: Any) -> Any:
    """A time of day from a TOML time or text such as "18:30"; seconds and zones are refused."""
    if isinstance(value, str) and (match := _CLOCK.fullmatch(value)):
        return time(int(match[1]), int(match[2]))
    if type(value) is time and value == time(value.hour, value.minute):
        return value
    raise refuse(found=shown(value), wanted="a time of day", do='Write it as `"18:30"`.')


Clock = Annotated[time, BeforeValidator(_clock)]


class FixedSession(Entry):
    """One session as the climber wants it. The id is that of the session, or recipe and day."""

    name: str = Field("", max_length=1000)
    id: str = Field("", pattern=r"^[a-z0-9][a-z0-9/-]*$")
    session: str = Field("", pattern=r"^([a-z0-9][a-z0-9/-]*)?$")
    recipe: str = Field("", max_length=1000)
    day: Day | None = None
    start: Clock | None = None
    minutes: Annotated[int, Field(ge=1, le=1440, strict=True)] | None = None
    skip: YesNo = False

    @model_validator(mode="before")
    @classmethod
    def _id_from_name(cls, values: Any) -> Any:
        """A planned session keeps its id; an added one is named by its recipe and day."""
        if not isinstance(values, dict) or values.get("id"):
            return values
        made = values.get("session") or slug(f"{values.get('recipe', '')} {values.get('day', '')}")
        return {**values, "id": str(made)}

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        if bool(self.session) is bool(self.recipe):
            raise refuse(
                found="both `session` and `recipe`"
                if self.session
                else "no `session` and no `recipe`",
                wanted="one of them",
                do="Name a planned one as `session`, or as `recipe` what a new one holds.",
            )
        if self.session:
            self._changes_one()
        else:
            self._adds_one()
        return self

    def _changes_one(self) -> None:
        changed = (self.day, self.start, self.minutes) != (None, None, None)
        if changed is self.skip:
            raise refuse(
                found="a skipped session with another day, time or length"
                if changed
                else "no change",
                wanted="`day`, `start` or `minutes`; or `skip = true`",
                do="Say what is to change, or remove the entry.",
            )

    def _adds_one(self) -> None:
        missing = [name for name in ("day", "start", "minutes") if getattr(self, name) is None]
        if missing or self.skip:
            raise refuse(
                found="`skip = true`"
                if self.skip
                else ", ".join(f"no `{name}`" for name in missing),
                wanted="`day`, `start` and `minutes` of the new session",
                do='Write for example `day = 2026-04-07`, `start = "18:30"`, `minutes = 60`.',
            )
