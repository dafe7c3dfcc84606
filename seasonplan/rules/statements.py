"""The rule book: what each rule asks, why, on what evidence. Enforces and judges nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Literal

from pydantic import model_validator

from seasonplan.errors import did_you_mean
from seasonplan.rules.tables import Source, sources, table
from seasonplan.vocabulary import Evidence, FrozenModel
from seasonplan.year import RuleChange, Trouble, Year

Limit = float | tuple[float, float] | None
_ONE = re.compile(r"(?<![\d.])1 (year|week|day)s\b")
_UNIT_DAYS = {"days": 1, "weeks": 7}


class Rule(FrozenModel):
    """One rule as it stands for this climber. Soft rules cost `weight` points for each `per`.

    `about` says what it judges: where blocks lie, or the sessions that fill them.
    """

    code: str
    head: str
    asks: str
    why: str
    evidence: Evidence
    sources: tuple[str, ...]
    strength: Literal["hard", "soft"]
    about: Literal["blocks", "sessions"] = "blocks"
    limit: Limit = None
    unit: str = ""
    weight: float = 0.0
    per: str = ""
    on: bool = True
    changed: bool = False

    @model_validator(mode="before")
    @classmethod
    def _known_sources(cls, values: Any) -> Any:
        unknown = set(values.get("sources", ())) - set(sources())
        if unknown:
            raise ValueError(f"rule {values.get('code')}: unknown sources {sorted(unknown)}")
        return values

    @property
    def hard(self) -> bool:
        return self.strength == "hard"

    @property
    def number(self) -> float:
        """The one limit of a rule that has one."""
        assert isinstance(self.limit, (int, float))
        return float(self.limit)

    @property
    def range(self) -> tuple[float, float]:
        """Lowest and highest of a rule that has two limits."""
        assert isinstance(self.limit, tuple)
        return self.limit

    @property
    def title(self) -> str:
        """The rule in a line, with its numbers in."""
        return self._filled(self.head)

    @property
    def statement(self) -> str:
        """What the rule asks, with its numbers in."""
        return self._filled(self.asks)

    def _filled(self, text: str) -> str:
        if isinstance(self.limit, tuple):
            text = text.format(low=self.limit[0], high=self.limit[1])
        else:
            text = text.format(limit=self.limit)
        return _ONE.sub(r"1 \1", text)

    def cited(self) -> tuple[Source, ...]:
        return tuple(sources()[key] for key in self.sources)


class RuleBook:
    """All rules by code. `active(code)` is the rule, or None where it is switched off."""

    def __init__(self, rules: Mapping[str, Rule]) -> None:
        self._rules = dict(rules)

    def __iter__(self) -> Iterator[Rule]:
        return iter(self._rules.values())

    def __getitem__(self, code: str) -> Rule:
        return self._rules[code]

    def __contains__(self, code: str) -> bool:
        return code in self._rules

    def active(self, code: str) -> Rule | None:
        rule = self._rules[code]
        return rule if rule.on else None

    def without(self, *codes: str) -> RuleBook:
        """This book with some rules switched off."""
        return self._with({code: {"on": False} for code in codes})

    def with_limit(self, code: str, limit: Limit) -> RuleBook:
        """This book with one limit changed."""
        return self._with({code: {"limit": limit}})

    def _with(self, changes: Mapping[str, Mapping[str, Any]]) -> RuleBook:
        return RuleBook(
            {
                code: Rule(**{**dict(rule), **changes[code], "changed": True})
                if code in changes
                else rule
                for code, rule in self._rules.items()
            }
        )


@cache
def standard_book() -> RuleBook:
    """The rules as `shared/rules.toml` has them."""
    return RuleBook({code: Rule(code=code, **raw) for code, raw in table("rules").items()})


def troubles(changes: Mapping[str, RuleChange]) -> list[Trouble]:
    """What is wrong with the climber's rule changes: unknown codes, limits of the wrong form."""
    book, found = standard_book(), []
    for code, change in changes.items():
        if code not in book:
            codes = [rule.code for rule in book]
            do = did_you_mean(code, codes, otherwise="See `seasonplan rules`.", quoted=True)
            found.append(
                Trouble(("rules", code), f"the unknown rule {code!r}", "the code of a rule", do)
            )
        else:
            found += _limit_troubles(book[code], change)
    return found


def _limit_troubles(rule: Rule, change: RuleChange) -> list[Trouble]:
    if change.limit is None:
        return []
    place = ("rules", rule.code, "limit")
    ends = change.limit if isinstance(change.limit, tuple) else (change.limit,)
    said = " to ".join(f"{end:g}" for end in ends)
    if rule.limit is None:
        return [Trouble(place, said, "no limit: this rule has none", "Remove it.")]
    pair = isinstance(rule.limit, tuple)
    if pair is not isinstance(change.limit, tuple):
        wanted = "lowest and highest, as `[3, 6]`" if pair else "one number"
        return [Trouble(place, said, wanted, f"The unit is {rule.unit}.")]
    if min(ends) <= 0 or list(ends) != sorted(ends):
        return [Trouble(place, said, "numbers above 0, lowest first", "Correct it.")]
    return []


def unfit(year: Year) -> list[Trouble]:
    """Changed lengths of blocks that no block of this year can have."""
    book, days, found = standard_book(), year.span.length, []
    for code, change in year.rules.items():
        unit = _UNIT_DAYS.get(book[code].unit)
        if isinstance(change.limit, tuple) and unit and change.limit[0] * unit > days:
            kind = code.removesuffix("-length")
            found.append(
                Trouble(
                    ("rules", code, "limit"), f"{change.limit[0]:g} {book[code].unit} at least",
                    f"at most the {days // unit} {book[code].unit} of your year",
                    f"With this limit no {kind} block fits your year.",
                )
            )  # fmt: skip
    return found


def book_of(year: Year) -> RuleBook:
    """The rule book as this climber changed it. Codes must be known (see `troubles`)."""
    changes = {
        code: {key: value for key, value in dict(change).items() if value is not None}
        for code, change in year.rules.items()
    }
    return standard_book()._with(changes)
