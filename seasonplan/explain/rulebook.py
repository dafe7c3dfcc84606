"""A rule or recipe in words: what it asks, why, on what evidence, what was changed of it.

And what trying a change would do to the plan, beyond its blocks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from seasonplan.edits import ChangeRecipe
from seasonplan.explain.amounts import ends_text
from seasonplan.explain.words import join
from seasonplan.plan import Revision
from seasonplan.planning.proposal import Proposal
from seasonplan.recipes import Recipe, usual_text
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import Source, caution, response_table
from seasonplan.vocabulary import Quality

ON, OFF, CHANGED = "●", "○", "≠"
STRENGTHS = {"hard": "always holds", "soft": "preference"}
HEADS = {
    ("hard", "blocks"): "Always holds, for blocks",
    ("hard", "sessions"): "Always holds, for sessions",
    ("soft", "blocks"): "Preferences, for blocks",
    ("soft", "sessions"): "Preferences, for sessions",
}
RECIPES = "Recipes of sessions"
CARE = {  # rules that keep somebody from harm, with the words of `shared/cautions.toml`
    "injury-caps": ("injury",), "young-fingers": ("young",), "session-care": ("injury", "young"),
}  # fmt: skip


# --- rules ------------------------------------------------------------------------------------


def sign_of(*, on: bool, changed: bool) -> str:
    """One sign for off, changed or as delivered."""
    return OFF if not on else CHANGED if changed else ON


def standing_text(*, on: bool, changed: bool) -> str:
    """Such as "on", "off, changed by you"."""
    return f"{'on' if on else 'off'}{', changed by you' if changed else ''}"


def rule_standing(rule: Rule) -> str:
    """Such as "always holds, on", "preference, off, changed by you"."""
    return f"{STRENGTHS[rule.strength]}, {standing_text(on=rule.on, changed=rule.changed)}"


def strength_text(rule: Rule) -> str:
    """Whether it must hold, or what leaving it unmet costs."""
    if rule.hard:
        return "It always holds: no plan is made that breaks it."
    if not rule.weight:
        return (
            "A preference: where a plan does not meet it you are told; it costs the plan nothing."
        )
    return (
        "A preference: a plan may leave it unmet where that wins more. Each "
        f"{rule.per.partition(' (')[0]} counts against the plan as much as {_day_share(rule)} of a "
        "day on rock that is sure to be good, for a goal of priority 1."
    )


def _day_share(rule: Rule) -> str:
    """What a preference weighs, such as "1.7 %" of a sure day on rock."""
    return f"{100 * rule.weight / response_table().priority_worth[0]:.2g} %"


def limit_text(rule: Rule) -> str:
    """The limit with its unit; nothing where there is none."""
    return ends_text(rule.limit, rule)


def rule_facts(rule: Rule) -> Iterator[tuple[str, str]]:
    """Everything about a rule, each with its head."""
    yield "Asks", rule.statement
    yield "Why", rule.why
    yield "How strict", strength_text(rule)
    if rule.limit is not None:
        yield "Limit", f"{limit_text(rule)}."
    yield from (("Take care", text) for text in rule_cautions(rule.code))
    yield from _backing(rule.evidence.value, rule.cited())


def _backing(evidence: str, cited: tuple[Source, ...]) -> Iterator[tuple[str, str]]:
    yield "Evidence", f"{evidence}."
    for source in cited:
        says = f": {source.says}" if source.says else ""
        yield "Source", f"{source.label}{says}"


def rule_cautions(code: str) -> list[str]:
    """What to say wherever a rule that keeps somebody from harm is shown or changed."""
    return [caution(name) for name in CARE.get(code, ())]


def rule_change_text(before: Rule, after: Rule) -> str:
    """What differs between a rule and itself changed."""
    parts = []
    if before.on is not after.on:
        parts.append("switched on" if after.on else "switched off")
    if before.limit != after.limit:
        parts.append(f"limit {limit_text(before)}, now {limit_text(after)}")
    if before.weight != after.weight:
        parts.append(f"price {_day_share(before)}, now {_day_share(after)} of a sure day on rock")
    return f"“{before.title}”: {join(parts) if parts else 'as before'}."


# --- recipes ----------------------------------------------------------------------------------


def recipe_facts(recipe: Recipe) -> Iterator[tuple[str, str]]:
    """Everything about a recipe, each with its head."""
    said = usual_text(recipe)
    texts = {
        "Warm-up": " ".join(said.warm_up), "What to do": said.do, "When to stop": said.stop,
        "Wet or too warm": said.wet,
    }  # fmt: skip
    yield from ((head, words) for head, words in texts.items() if words)
    yield "How long", f"{recipe.minutes} min, {recipe.warm_up_minutes} of them warm-up."
    yield "How hard", f"{recipe.rpe:g} of 10."
    yield "Trains", _shares(recipe.qualities)
    loads = {name: level for name, level in recipe.stresses.items() if level}
    yield "Loads", ", ".join(f"{_plain(name)} {level} of 3" for name, level in loads.items())
    yield "Needs", ", ".join(need.value for need in recipe.needs)
    yield "In blocks", ", ".join(kind.value for kind in recipe.kinds)
    for text in recipe.cautions:
        yield "Take care", text
    yield from _backing(recipe.evidence.value, recipe.cited())


def recipe_change_text(name: str, edit: ChangeRecipe) -> str:
    """What an edit changes of a recipe."""
    if edit.reset:
        return f"“{name}”: default again."
    if "on" in edit.values:
        return f"“{name}”: {'switched off' if edit.values['on'] is False else 'switched on'}."
    said = join([_plain(key) for key in edit.values])
    return f"“{name}”: other {said}."


def _shares(shares: Mapping[Quality, float]) -> str:
    return ", ".join(f"{_plain(name)} {100 * part:.3g} %" for name, part in shares.items() if part)


def _plain(name: str) -> str:
    return str(name).replace("_", " ")


# --- trying a change --------------------------------------------------------------------------


def session_lines(proposal: Proposal, names: Mapping[str, Recipe]) -> Iterator[str]:
    """Sessions from today on of each recipe, where their number changes."""
    was, now = (_counts(one, proposal) for one in (proposal.before, proposal.after))
    for key in sorted({**was, **now}):
        if was[key] != now[key]:
            name = names[key].name if key in names else key
            yield f"{name}: {was[key]} → {now[key]} sessions."


def _counts(revision: Revision, proposal: Proposal) -> Counter[str]:
    return Counter(one.recipe for one in revision.sessions if one.day >= proposal.today)
