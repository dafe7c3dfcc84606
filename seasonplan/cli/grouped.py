"""Options that several commands take together: declared once, handed over as one value."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, get_type_hints

Command = Callable[..., None]


def grouped(**groups: Callable[..., Any]) -> Callable[[Command], Command]:
    """A command of which each parameter named here is made from the options of its group.

    A group is a function, or a class, whose parameters are options as Typer reads them.
    """
    options = {name: _parameters(make) for name, make in groups.items()}

    def of(command: Command) -> Command:
        own = _parameters(command, but=groups.keys())
        shown = [one for mine in own for one in options.get(mine.name, [mine])]

        def run(**said: Any) -> None:
            made = {
                name: groups[name](**{one.name: said.pop(one.name) for one in many})
                for name, many in options.items()
            }
            command(**said, **made)

        run.__name__, run.__doc__ = command.__name__, command.__doc__
        run.__signature__ = inspect.Signature(shown)  # type: ignore[attr-defined]  # Typer reads it
        run.__annotations__ = {one.name: one.annotation for one in shown}
        return run

    return of


def _parameters(make: Callable[..., Any], but: Any = ()) -> list[inspect.Parameter]:
    """The parameters with their annotations read, all to be said by name; `but` stay unread."""
    found = inspect.signature(make).parameters.values()
    written = {one.name: one.annotation for one in found if one.name not in but}
    scope = vars(inspect.getmodule(make))
    read = get_type_hints(SimpleNamespace(__annotations__=written), scope, include_extras=True)
    kind = inspect.Parameter.KEYWORD_ONLY
    return [one.replace(kind=kind, annotation=read.get(one.name)) for one in found]
