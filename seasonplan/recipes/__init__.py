"""Session recipes: the standard ones, the climber's, and the weekly finger dose."""

from seasonplan.recipes.book import recipes, standard_recipes, troubles
from seasonplan.recipes.dose import (
    Sessions,
    finger_load,
    finger_range,
    finger_sessions,
    fingerboard_load,
)
from seasonplan.recipes.recipe import Recipe
from seasonplan.vocabulary import Spread
from seasonplan.year.recipe import Need, RecipeChange

__all__ = [
    "Need", "Recipe", "RecipeChange", "Sessions", "Spread", "finger_load", "finger_range",
    "finger_sessions", "fingerboard_load", "recipes", "standard_recipes", "troubles",
]  # fmt: skip
