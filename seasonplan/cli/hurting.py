"""What `today` and `week` tell of hurt parts: the cautions in force, as text and for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seasonplan.days import Span
    from seasonplan.injury import Caution
    from seasonplan.year import Year


def hurting_texts(year: Year, span: Span) -> list[str]:
    """The cautions of some days, each once; with the command where days are still to be named."""
    from seasonplan.injury import in_force_within

    return [_text(one) for one in in_force_within(year, span)]


def _text(one: Caution) -> str:
    if one.until is not None:
        return one.text
    return f"{one.text} When you know more: `seasonplan injury --change {one.entry}`."


def hurting_facts(year: Year, span: Span) -> list[dict[str, object]]:
    """The same for programs; `until` is null where nobody has named an end."""
    from seasonplan.injury import in_force_within

    return [one.model_dump(mode="json") for one in in_force_within(year, span)]
