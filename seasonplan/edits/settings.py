"""Changes settings, rules and recipes: what the climber says of the whole year."""

from __future__ import annotations

from typing import Any

from seasonplan.edits import paper
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import known, set_or_drop
from seasonplan.edits.fields import is_setting, natural, settings
from seasonplan.edits.kinds import ChangeRecipe, ChangeRule, ChangeSetting


def setting(draft: Draft, edit: ChangeSetting) -> str:
    """The text with a setting changed, or without it for None."""
    place = tuple(edit.path.split("."))
    if not is_setting(place):
        raise EditRefused(
            f"There is no setting {edit.path!r}.", known(edit.path, list(settings()))
        )  # fmt: skip
    if edit.value is None and paper.value_at(draft.text, place) is None:
        raise EditRefused(f"{edit.path} is the usual one already.", "Say a value to change it.")
    text = draft.text
    if edit.value is not None and place in (("year", "weeks"), ("year", "last")):
        other = "last" if place[1] == "weeks" else "weeks"  # the year has one end
        text = set_or_drop(text, ("year", other), None)
    return set_or_drop(text, place, natural(edit.value, *place))


def rule(draft: Draft, edit: ChangeRule) -> str:
    """The text with a rule changed, or as delivered."""
    changes = {"on": edit.on, "limit": _whole(edit.limit), "weight": _whole(edit.weight)}
    said = {key: value for key, value in changes.items() if value is not None}
    return _changed(draft, ("rules", edit.code), said, reset=edit.reset)


def recipe(draft: Draft, edit: ChangeRecipe) -> str:
    """The text with a recipe changed, or as delivered. A value of None is taken out."""
    values = {
        key: natural(one, "recipes", edit.id, *key.split(".")) for key, one in edit.values.items()
    }
    return _changed(draft, ("recipes", edit.id), values, reset=edit.reset)


def _changed(
    draft: Draft, place: tuple[str, str], values: dict[str, Any], *, reset: bool
) -> str:  # fmt: skip
    before = paper.value_at(draft.text, place)
    if reset and values:
        raise EditRefused("A change and its taking back do not go together.", "Say one of them.")
    if reset:
        if before is None:
            raise EditRefused(f"{place[1]} is as by default already.", "Nothing is to be done.")
        return paper.drop(draft.text, place)
    if not values:
        raise EditRefused(f"Nothing was said to change of {place[1]}.", "Say what is to change.")
    text = draft.text
    for key, value in values.items():
        text = set_or_drop(text, (*place, *key.split(".")), value)
    return text


def _whole(value: Any) -> Any:
    """Numbers without a needless ".0"."""
    if isinstance(value, tuple):
        return [_whole(one) for one in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value
