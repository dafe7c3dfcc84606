"""What `today` and `week` tell of hurt parts: the cautions in force, as text and for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seasonplan.days import Span
    from seasonplan.year import Year


def hurting_facts(year: Year, span: Span) -> list[dict[str, object]]:
    """The same for programs; `until` is null where nobody has named an end."""
    from seasonplan.injury import in_force_within

    return [one.model_dump(mode="json") for one in in_force_within(year, span)]
