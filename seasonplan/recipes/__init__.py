"""Session recipes: the standard ones, the climber's, and their texts."""

from seasonplan.recipes.book import present_id, recipes, standard_recipes, troubles
from seasonplan.recipes.recipe import Recipe
from seasonplan.recipes.text import (
    TEST_DAY,
    UNTESTED,
    WITH_WALL,
    HangLoad,
    Home,
    OwnMaximum,
    OwnTests,
    SessionText,
    Step,
    session_text,
    untested,
    usual_text,
)
from seasonplan.vocabulary import Spread
from seasonplan.year.recipe import Need, RecipeChange

__all__ = [
    "TEST_DAY", "UNTESTED", "WITH_WALL", "HangLoad", "Home", "Need", "OwnMaximum", "OwnTests",
    "Recipe", "RecipeChange", "SessionText", "Spread", "Step", "present_id", "recipes",
    "session_text", "standard_recipes", "troubles", "untested", "usual_text",
]  # fmt: skip
