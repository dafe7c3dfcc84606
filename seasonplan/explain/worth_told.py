"""What a difference is worth, in good days on rock: one scale for form, rock and preferences.

A year may be worth little or much, so no share of it is told: a share of little looks large.
"""

from __future__ import annotations

from seasonplan.explain.words import number_text
from seasonplan.rules.tables import response_table

SMALL_DAYS = 0.05  # good days on rock: less is told as none
TENTH, LEAST = 0.095, 0.005  # days from which one decimal, and two, tell enough
WITH_FORM = (
    "“With form” and “form worth” count all that changes in good days for a goal of priority 1: "
    "form by what it is worth on those days, preferences not met, and days for other goals or easy "
    "ones for less."
)


def in_days(points: float) -> str:
    """Points as good days on rock: "0.4", "0.03", "under 0.01"."""
    days = abs(points) / response_table().priority_worth[0]
    if days >= TENTH:
        return number_text(days)
    return f"{days:.2f}" if days >= LEAST else "under 0.01"


def days_text(number: str) -> str:
    """Such as "1 good day on rock"."""
    return f"{number} good day{'' if number == '1' else 's'} on rock"


def all_told(points: float) -> str:
    """Such as "0.4 good days on rock, with form": rock and form in one figure."""
    return f"{days_text(in_days(points))}, with form"


def amount_told(good_days: float, points: float) -> str:
    """Such as "1.2 good days on rock, with form worth 1.5"; both are above 0 or next to nothing."""
    if good_days < SMALL_DAYS:
        return f"form worth {days_text(in_days(points))}"
    days = number_text(good_days)
    return f"{days_text(days)}, with form worth {in_days(points)}"


def difference_told(good_days: float, points: float) -> str:
    """Such as "costs 1.2 good days on rock, with form worth 1.5"; less is below 0."""
    rock = days_text(number_text(abs(good_days)))
    if good_days <= -SMALL_DAYS < 0 < points:
        return f"costs {rock}, yet with form brings {in_days(points)}"
    if points < 0 < SMALL_DAYS <= good_days:
        return f"brings {rock} more, yet with form costs {in_days(points)}"
    if points < 0:
        return f"costs {amount_told(-good_days, -points)}"
    return f"would bring {amount_told(good_days, points)}"
