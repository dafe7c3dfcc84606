"""What the climber changes of a recipe, or a whole one of theirs. Knows no recipe there is."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field

from seasonplan.vocabulary import Discipline, Evidence, FrozenModel, Kind, Quality, Tissue


class Need(StrEnum):
    """What must be there for a session."""

    ROCK = "rock"
    WALL = "wall"
    HOME_WALL = "home wall"
    BOARD = "board"
    HANGBOARD = "hangboard"
    WEIGHTS = "weights"
    DAYLIGHT = "daylight"
    PARTNER = "partner"
    NOTHING = "nothing"


SHORT = 9  # letters of a short name

Minutes = Annotated[int, Field(ge=0, le=1440)]
Rpe = Annotated[float, Field(ge=0, le=10)]
Stress = Annotated[int, Field(ge=0, le=3)]
Part = Annotated[float, Field(ge=0, le=1)]
Hours = Annotated[float, Field(ge=0, le=336)]
Text = Annotated[str, Field(max_length=2000)]


class RecipeChange(FrozenModel):
    """What the climber changed of a recipe, or a recipe of theirs."""

    on: bool | None = None
    name: Annotated[str, Field(min_length=1, max_length=1000)] | None = None
    short: Annotated[str, Field(min_length=1, max_length=SHORT)] | None = None
    kinds: tuple[Kind, ...] | None = None
    qualities: dict[Quality, Part] | None = None
    minutes: Minutes | None = None
    warm_up_minutes: Minutes | None = None
    least_minutes: Minutes | None = None
    most_minutes: Minutes | None = None
    rpe: Rpe | None = None
    stresses: dict[Tissue, Stress] | None = None
    needs: tuple[Need, ...] | None = None
    spacing_hours: Hours | None = None
    order: Annotated[int, Field(ge=0, le=4)] | None = None
    max_fingers: bool | None = None
    disciplines: tuple[Discipline, ...] | None = None
    do: Text | None = None
    caution: Text | None = None
    evidence: Evidence | None = None
    sources: tuple[str, ...] | None = None

    @property
    def said(self) -> dict[str, Any]:
        """Only what was changed, `on` left out."""
        return {
            field: value
            for field, value in dict(self).items()
            if value is not None and field != "on"
        }
