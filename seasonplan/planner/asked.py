"""Years searched before, kept for as long as the same is asked again.

Where only the price of changes or a rule on where blocks lie is another, the weeks, or the weeks
and the paths, serve once more. Bounded; for the whole process.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Ban
from seasonplan.planner.rock_day import Taken
from seasonplan.planner.search import PLACING, Search
from seasonplan.rules.statements import RuleBook
from seasonplan.year import Year

MOST_SEARCHES = 6  # a year is searched up to a few times before no week holds too much

_known: list[tuple[Asked, Search]] = []  # the newest first


@dataclass(frozen=True)
class Asked:
    """All that a search hangs on."""

    year: Year
    book: RuleBook
    ban: Ban | None
    accepted: Accepted | None
    taken: Taken
    caps: Mapping[date, float]

    def search(self, *, looser: Search | None = None) -> Search:
        """The search of it, from what is known of one like it where there is one; `looser` is the
        same with fewer or looser bounds."""
        for known, search in list(_known):
            rules = self._other_rules(known)
            if rules.issubset(PLACING) and self._alike(known):
                same = search.under(self.book) if rules else search
                keep = self.accepted.keep if self.accepted else 0.0
                return same if same.keep == keep else same.keeping(keep)
        if looser is not None:
            return looser.bounded(self.caps)
        return Search(
            self.year, book=self.book, ban=self.ban, accepted=self.accepted, taken=self.taken,
            caps=self.caps,
        )  # fmt: skip

    def keep(self, search: Search) -> None:
        """Keep a search, all of whose worths are worked out: other threads may read it."""
        _known.insert(0, (self, search))
        del _known[MOST_SEARCHES:]

    def _other_rules(self, known: Asked) -> set[str]:
        """Codes of the rules that are not the same."""
        return {
            rule.code
            for rule, other in zip(self.book, known.book, strict=True)
            if rule is not other and rule != other
        }

    def _alike(self, known: Asked) -> bool:
        """Whether all but rules and prices is the same."""
        mine, theirs = self.accepted, known.accepted
        return (
            (mine.same_but_price(theirs) if mine and theirs else mine is theirs)
            and self.ban == known.ban
            and self.caps == known.caps
            and self.taken == known.taken
            and all(
                getattr(self.year, field) == getattr(known.year, field)
                for field in Year.model_fields
                if field != "rules"
            )
        )
