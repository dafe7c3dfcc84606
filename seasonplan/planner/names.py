"""Which session of a week filled anew is which of the old one, so that wishes and phones follow it.

Knows where sessions were, not why.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from itertools import count

from seasonplan.plan import Session
from seasonplan.planner.standing import Item

ALIKE: tuple[Callable[[Item, Session], bool], ...] = (  # the most alike first
    lambda use, old: (use.day, use.start) == (old.day, old.minute),
    lambda use, old: use.day == old.day,
    lambda use, old: True,
)


class Names:
    """Ids of sessions by the places where the planner last put them."""

    def __init__(self, homes: Sequence[Session]) -> None:
        self._homes: dict[str, list[Session]] = defaultdict(list)
        for one in homes:
            self._homes[one.id.rpartition("-")[0]].append(one)

    def of(self, week: str, uses: Sequence[Item], *, used: Set[str]) -> list[str]:
        """An id for each use of a week ("strength-1/2027-02-08"), none of those `used`.

        A use is the old session of its recipe at the same day and hour, else of the same day,
        else the next in order; what is more than there was gets a number of its own.
        """
        found: dict[int, str] = {}
        for recipe in dict.fromkeys(use.recipe.id for use in uses):
            name = f"{week}/{recipe}"
            own = {n: use for n, use in enumerate(uses) if use.recipe.id == recipe}
            left = [one for one in self._homes[name] if one.id not in used]
            found |= _paired(own, left)
            taken = {*used, *found.values(), *(one.id for one in self._homes[name])}
            fresh = (new for n in count(1) if (new := f"{name}-{n}") not in taken)
            found |= {n: next(fresh) for n in own if n not in found}
        return [found[n] for n in range(len(uses))]


def _paired(own: Mapping[int, Item], homes: Iterable[Session]) -> dict[int, str]:
    """Old ids for as many uses as there are: those alike first, in order of days."""
    found: dict[int, str] = {}
    left = sorted(homes, key=lambda one: (one.day, one.start, one.id))
    in_order = sorted(own.items(), key=lambda item: (item[1].day, item[1].start))
    for alike in ALIKE:
        for n, use in in_order:
            same = None if n in found else next((one for one in left if alike(use, one)), None)
            if same is not None:
                found[n] = same.id
                left.remove(same)
    return found
