"""`seasonplan edit FOLDER VERB …`: a command for every edit there is, made from the registry.

The verbs are built when first asked for, so that other commands do not load them.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.options import Folder, Json, Plain, Today, a_day
from seasonplan.cli.whole_help import WholeHelp

if TYPE_CHECKING:
    from seasonplan.edits import EditForm, FieldForm

EXAMPLES = """Examples:

\b
  seasonplan edit my-year move strength-2 --days 7
  seasonplan edit my-year lengthen base-1 --days 7 --at start
  seasonplan edit my-year kind base-2 --kind strength --plan
  seasonplan edit my-year add absence name="Night shifts" \\
      first=2026-05-04 last=2026-05-10
  seasonplan edit my-year change night-shifts last=2026-05-17
  seasonplan edit my-year set climber.minutes.tuesday 1h30

Leave the folder out for the year in this folder. Comments and order of year.toml stay."""

OPTIONS = {"rpe": ("--effort", "--rpe")}  # as `log` has it; the diary's own word is taken, too
WORDS = ("block", "session", "entry", "section", "setting", "rule", "recipe", "value")


class Verbs(WholeHelp):
    """The verbs of the registry. The folder may be left out: `edit pin x` is `edit . pin x`."""

    def list_commands(self, ctx: Any) -> list[str]:
        return list(_commands())

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        return _commands().get(cmd_name)

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        if args and args[0] in _commands():
            args = [".", *args]
        return super().parse_args(ctx, args)


app = typer.Typer(cls=Verbs, no_args_is_help=True, rich_markup_mode=None)


@app.callback()
def edit(ctx: typer.Context, folder: Folder = Path()) -> None:
    """Change something: move a block, add a trip, skip a session, change a setting."""
    ctx.obj = folder


@cache
def _commands() -> dict[str, Any]:
    from seasonplan.edits import REGISTRY

    verbs = typer.Typer(rich_markup_mode=None)
    for form in REGISTRY:
        example = f"Example:\n\n\b\n  seasonplan edit my-year {form.example}"
        verbs.command(form.verb, help=form.help, epilog=example)(_command(form))
    group: Any = typer.main.get_group(verbs)
    return dict(group.commands)


def _command(form: EditForm) -> Callable[..., None]:
    """A function with the form's fields as its parameters, as Typer wants one."""

    def run(
        ctx: typer.Context, *, plan: bool, today: Any, plain: bool, as_json: bool, **said: Any
    ) -> None:  # fmt: skip
        from seasonplan.cli.edit_run import do

        do(ctx.obj, form, said, plan=plan, today=today, plain=plain, as_json=as_json)

    parameters = [
        _parameter("ctx", typer.Context),
        *(_of_field(field) for field in form.fields),
        _parameter("plan", Annotated[bool, _option("--plan", help="Plan anew at once.")], False),
        _parameter("today", Today, None),
        _parameter("plain", Plain, False),
        _parameter("as_json", Json, False),
    ]
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]  # Typer reads it
    run.__annotations__ = {one.name: one.annotation for one in parameters}
    return run


def _parameter(name: str, annotation: Any, default: Any = inspect.Parameter.empty) -> Any:
    kind = inspect.Parameter.KEYWORD_ONLY
    return inspect.Parameter(name, kind, annotation=annotation, default=default)


def _option(*names: str, **more: Any) -> Any:
    return typer.Option(*names, **more)


def _of_field(field: FieldForm) -> Any:
    """Ids and values are arguments in order, all else are options."""
    told_in_list = field.asks == "setting"  # without one there is a list of them
    absent = inspect.Parameter.empty if field.required and not told_in_list else None
    told = (field.help or field.label)[:1].upper() + (field.help or field.label)[1:] + "."
    if field.asks == "values":
        words = typer.Argument(metavar="KEY=VALUE...", help=told)
        return _parameter(field.name, Annotated[list[str] | None, words], None)
    if field.asks in WORDS:
        word = typer.Argument(metavar=field.name.upper(), help=told)
        return _parameter(field.name, Annotated[str | None, word], absent)
    kinds: dict[str, tuple[Any, str]] = {
        "whole number": (int, "NUMBER"), "number": (float, "NUMBER"), "day": (str, "DAY"),
        "time": (str, "HH:MM"),
    }  # fmt: skip
    if field.asks == "yes or no":
        flags = "--on/--off" if field.name == "on" else f"--{field.name}"
        return _parameter(field.name, Annotated[bool | None, _option(flags, help=told)], None)
    kind, sign = kinds.get(field.asks, (str, "|".join(field.choices) or field.name.upper()))
    more = {"metavar": sign} | (a_day(past=field.name == "on") if field.asks == "day" else {})
    option = _option(*OPTIONS.get(field.name, (f"--{field.name}",)), help=told, **more)
    return _parameter(field.name, Annotated[kind | None, option], absent)
