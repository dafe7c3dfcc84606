"""What is being worked on: the climber's files as text, read; and the no to an edit.

Touches no disk.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from seasonplan import recipes
from seasonplan.errors import BadInput, did_you_mean
from seasonplan.plan import Block, Plan, Session
from seasonplan.rules import statements as rules
from seasonplan.year import FixedSession, Trouble, Year
from seasonplan.year.toml import changes_in, faults, read_year

YEAR_FILE = "year.toml"


@dataclass(frozen=True, slots=True)
class Draft:
    """A year as text and as read, the plan made of it, and the diary. Make it with `draft_of`.

    `by_hand` are the plan's blocks as changes since have left them; None where there were none.
    What lies before `today` can't be changed any more; None asks nothing of it. `held` are the
    plan's sessions as changes since have left them.
    """

    text: str
    year: Year
    plan: Plan | None = None
    diary: str = ""
    by_hand: tuple[Block, ...] | None = None
    today: date | None = None
    held: tuple[Session, ...] | None = None

    @property
    def sessions(self) -> tuple[Session, ...]:
        """The sessions as they stand now."""
        if self.held is not None:
            return self.held
        return self.plan.current.sessions if self.plan else ()

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The blocks as they stand now."""
        if self.by_hand is not None:
            return self.by_hand
        return self.plan.current.blocks if self.plan else ()


class EditRefused(Exception):
    """An edit that cannot be done: why, and what would work. Nothing was changed."""

    def __init__(self, why: str, would_work: str) -> None:
        self.why = why
        self.would_work = would_work
        super().__init__(f"{why} {would_work}")


def draft_of(text: str, plan: Plan | None = None, *, diary: str = "") -> Draft:
    """The draft of a text. Raises BadInput with every fault in it."""
    return Draft(text, read(text), plan, diary)


def read(text: str, *, file: str = YEAR_FILE) -> Year:
    """The year of a text, judged by rules and recipes too. Raises BadInput."""
    try:
        year = read_year(text, file=file)
    except BadInput as error:
        rule_changes, recipe_changes = changes_in(text)
        found = [*rules.troubles(rule_changes), *recipes.troubles(recipe_changes)]
        raise BadInput([*error.faults, *faults(found, text, file=file)]) from None
    found = [*rules.troubles(year.rules), *recipes.troubles(year.recipes)]
    if not found:
        found += [*rules.unfit(year), *_unknown_recipes(year)]
    if found:
        raise BadInput(faults(found, text, file=file))
    return _by_present_ids(year)


def _by_present_ids(year: Year) -> Year:
    """The year with its own sessions of recipes that have another name by now."""
    wishes = year.fixed_sessions
    if all(recipes.present_id(wish.recipe) == wish.recipe for wish in wishes):
        return year
    return year.with_fields(
        fixed_sessions=tuple(
            FixedSession(**{**dict(wish), "recipe": recipes.present_id(wish.recipe)})
            for wish in wishes
        )
    )


def _unknown_recipes(year: Year) -> Iterator[Trouble]:
    """Sessions that ask for a recipe there is not, or that is switched off."""
    book = recipes.recipes(year.recipes)
    for index, session in enumerate(year.fixed_sessions):
        if session.recipe and recipes.present_id(session.recipe) not in book:
            yield Trouble(
                ("session", index, "recipe"),
                repr(session.recipe),
                f"a recipe there is, such as {', '.join(list(book)[:3])}",
                did_you_mean(session.recipe, book, otherwise="Correct it.", quoted=True),
            )


def with_text(draft: Draft, text: str) -> Draft:
    """The draft with another text, read again.

    Lines are left out of the faults: they would be those of a text that nobody has seen.
    """
    if text == draft.text:
        return draft
    try:
        year = read(text)
    except BadInput as error:
        raise BadInput(replace(fault, line=None) for fault in error.faults) from None
    return replace(draft, text=text, year=year)
