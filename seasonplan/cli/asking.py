"""Questions on stderr, asked again until the answer can be used: `ask`, and readers of answers."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from typing import Any, TypeVar

import typer
from pydantic import TypeAdapter, ValidationError

from seasonplan.cli.screen import complain
from seasonplan.edits.forms import Line, Takes
from seasonplan.year.entries import Day

Value = TypeVar("Value")


def ask(
    question: str,
    read: Callable[[str], Value],
    *,
    default: str = "",
    told: Callable[[Value, str], str] = lambda _value, _text: "",
) -> Value:
    """Ask until `read` takes the answer; an empty one is the default. Raises Abort at the end.

    `told` says what an answer was taken for, where the words do not say it themselves.
    Not typer.prompt: that writes a space to stdout for each question.
    """
    from seasonplan.edits.said import bare

    offered = f" [{default}]" if default else ""
    while True:
        typer.echo(f"{question}{offered}: ", err=True, nl=False)
        line = sys.stdin.readline()
        if not line:
            raise typer.Abort
        text = bare(line)
        try:
            found = read(text or default)
        except typer.BadParameter as error:
            complain(error.message, indent=2)
            continue
        if text and (meaning := told(found, text)):
            complain(f"that is {meaning}", indent=2)
        return found


def yes(question: str, *, default: str) -> bool:
    """Ask until the answer is yes or no."""

    def read(text: str) -> bool:
        if text.lower() not in ("y", "yes", "n", "no"):
            raise typer.BadParameter(f"found {text!r}; wanted yes or no. Write one of them.")
        return text.lower().startswith("y")

    return ask(f"{question} (yes, no)", read, default=default)


def one(read: Callable[[Any], Value]) -> Callable[[str], Value]:
    """A reader that turns our refusals into the prompt's own, so that it asks again."""

    def tried(text: str) -> Value:
        try:
            return read(text)
        except ValidationError as error:
            raise typer.BadParameter(faults_told(error)) from None
        except ValueError as error:
            raise typer.BadParameter(_refusal(error)) from None

    return tried


def a_day(
    today: date, *, past: bool = False, begins: date | None = None
) -> Callable[[str], date]:  # fmt: skip
    """A reader of a day in words; of an end from where it `begins` on."""
    from seasonplan.year.spoken import day_said, end_said

    takes: TypeAdapter[date] = TypeAdapter(Day)

    def said(text: str) -> date | None:
        if begins is not None:
            return end_said(text, first=begins, today=today)
        return day_said(text, today=today, past=past)

    return one(lambda text: takes.validate_python(said(text) or text))


def told_day(day: date | str | None, text: str) -> str:
    """The day that was meant, in full; nothing where it was written so."""
    return understood_as(Takes.DAY_OR_YEARLY, day, text)


def understood_as(takes: Takes, value: Any, text: str) -> str:
    from seasonplan.explain.entries import understood

    line = Line(key="", label="", help="", takes=takes)
    return "" if str(value) == text else understood(line, value, typed=text)


def _refusal(error: ValueError) -> str:
    message = getattr(error, "message", None)
    return _answered(str(message()) if callable(message) else str(error))


def faults_told(error: ValidationError, *, by: Callable[[Any], str] = lambda _loc: "") -> str:
    """Each fault on a line of its own, `by` what of the answer it is about."""
    from seasonplan.year.told import told

    faults = [(by(each["loc"]), told(each)) for each in error.errors()]
    return "\n".join(
        _answered(f"{about}found {f.found}; wanted {f.wanted}. {f.do}") for about, f in faults
    )


def _answered(text: str) -> str:
    """A fault as one answers a question: without the file's way of writing."""
    from seasonplan.edits.in_form import in_form

    return in_form(text, about="", lines=())
