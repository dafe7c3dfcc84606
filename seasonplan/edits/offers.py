"""Words that fit on a line of a form because of what else is in the year; others may fit too."""

from __future__ import annotations

from seasonplan.edits.draft import Draft
from seasonplan.edits.forms import Line
from seasonplan.recipes import recipes
from seasonplan.year.zones import known_zones


def offers(line: Line, about: str, draft: Draft) -> tuple[str, ...]:
    """What may be said on a line; `about` is the section or part of the form."""
    if line.choices:
        return line.choices
    year = draft.year
    if line.key == "place":
        named = [
            *(one.place for one in year.goals), *(one.place for one in year.seasons),
            *(one.place for one in year.windows), *(one.place for one in year.trips),
            *(one.name for one in year.places),
        ]  # fmt: skip
        return tuple(dict.fromkeys(filter(None, named)))
    if line.key == "served_by":
        served = [*(one.id for one in year.seasons), *(one.id for one in year.windows)]
        return (*served, *(one.id for one in year.trips if one.climbing))
    if line.key == "recipe":
        return tuple(recipes(year.recipes))
    if line.key == "session" and about == "session" and draft.plan is not None:
        return tuple(session.id for session in draft.sessions)
    return _zones() if line.key.endswith("time_zone") else ()


def _zones() -> tuple[str, ...]:
    return tuple(sorted(known_zones()))
