"""`seasonplan show`: the year, readable in a terminal."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Folder, From, Json, Plain, Today, now_of
from seasonplan.cli.screen import Screen, tell_old, write_json

if TYPE_CHECKING:
    from seasonplan.days import Span
    from seasonplan.plan import Block, Shortfall
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan show my-year                       the whole year
  seasonplan show my-year --weeks 6             six weeks from today
  seasonplan show my-year --from 2026-09-01     week by week from that day
  seasonplan show my-year --load                load of weeks and blocks
  seasonplan show my-year --form                form up to each goal
  seasonplan show my-year --svg year.svg        a picture for a screen
  seasonplan show my-year --form --svg form.svg   the same as a picture
  seasonplan show my-year --plain | less        one fact on each line"""

Weeks = Annotated[
    int | None, typer.Option(min=1, max=110, metavar="N", help="Week by week, so many weeks.")
]
Svg = Annotated[
    Path | None,
    typer.Option(
        "--svg", metavar="FILE",
        help="Draw an SVG picture too: of the year, with --load or --form of these.",
    ),
]  # fmt: skip
Load = Annotated[
    bool, typer.Option("--load", help="Load, monotony, strain and change of load, in numbers.")
]
Form = Annotated[
    bool, typer.Option("--form", help="Predicted change of form for each goal, month by month.")
]


def show(
    folder: Folder = Path(),
    *,
    first: From = None,
    weeks: Weeks = None,
    load: Load = False,
    form: Form = False,
    svg: Svg = None,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Show the year with all that is in it."""
    from seasonplan.workspace.desk import Desk

    _refuse_both(load=load, form=form)
    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    now = now_of(desk.year, today)
    _narrate(desk, screen)
    part = _part(desk, first, weeks, now)
    if svg is not None:
        _draw(desk, svg, screen, what="load" if load else "form" if form else "year")
    if as_json:
        _write(desk, part, load=load, form=form)
    elif load:
        from seasonplan.cli.loads import draw_loads

        draw_loads(screen, desk, part=part or desk.year.span)
    elif form:
        from seasonplan.cli.forms import draw_forms

        draw_forms(screen, desk, part=part or desk.year.span)
    elif part is not None:
        _tell_weeks(desk, screen, part, now)
    else:
        _tell(desk, screen, now)


def _refuse_both(*, load: bool, form: bool) -> None:
    if load and form:
        raise typer.BadParameter(
            "found --load and --form; wanted one of them. Leave one out.", param_hint="--form"
        )


def _tell_weeks(desk: Desk, screen: Screen, part: Span, now: date) -> None:
    from seasonplan.cli.listing import tell_shortfalls
    from seasonplan.cli.weeks import draw_weeks

    draw_weeks(screen, desk.view(health=True), part=part, today=now)
    tell_shortfalls(screen, [one for one in _shortfalls(desk) if one.span.meet(part)])


def _draw(desk: Desk, path: Path, screen: Screen, *, what: str) -> None:
    """The year, its load or its form as a picture; injuries stay out of what may be passed on."""
    from seasonplan.cli.forms import forms_of
    from seasonplan.pictures.asked import picture
    from seasonplan.pictures.files import svg_file
    from seasonplan.workspace.store import write_output

    drawn = picture(what, desk.view(), forms=lambda: forms_of(desk))
    if drawn is None:
        raise typer.BadParameter(
            f"found no plan with {'goals' if what == 'form' else 'sessions'} to draw; wanted one. "
            "Run `seasonplan plan`.",
            param_hint="--svg",
        )
    write_output(path, svg_file(drawn, path))
    screen.narrate(f"{path}: written.")


def _narrate(desk: Desk, screen: Screen) -> None:
    from seasonplan.explain import notes

    tell_old(screen, desk)
    for text in notes.warnings(desk.year):
        screen.narrate(f"Note: {text}")


def _blocks(desk: Desk) -> tuple[Block, ...]:
    return desk.standing.blocks if desk.standing else ()


def _shortfalls(desk: Desk) -> tuple[Shortfall, ...]:
    return desk.plan.current.shortfalls if desk.plan else ()


def _part(desk: Desk, first: date | None, weeks: int | None, now: date) -> Span | None:
    """The days asked for, or None for the whole year. Raises BadParameter outside the year."""
    from seasonplan.days import Span, day_text, span_text

    if first is None and weeks is None:
        return None
    year = desk.year.span
    start = first or (now if now in year else year.first)
    after = start + timedelta(weeks=weeks) if weeks else max(year.after, start + timedelta(days=1))
    part = Span(start, after).meet(year)
    if part is None:
        raise typer.BadParameter(
            f"found {day_text(start)}; wanted a day of this year, {span_text(year)}. Correct it.",
            param_hint="--from",
        )
    return part


def _tell(desk: Desk, screen: Screen, now: date) -> None:
    from seasonplan.cli.listing import (
        tell_blocks,
        tell_left_out,
        tell_rock,
        tell_shortfalls,
        tell_worth,
    )
    from seasonplan.cli.wall import draw_wall
    from seasonplan.explain.words import span_text

    blocks, view = _blocks(desk), desk.view(health=True)
    name = desk.year.climber.name
    title = f"{name}'s year, " if name else ""
    if screen.plain:
        screen.say(f"{title}{span_text(desk.year.span)}.")
        if now in desk.year.span:
            screen.say(f"Today is {now}.")
    else:
        screen.say(f"{title}{span_text(desk.year.span)}", bold=True)
        draw_wall(screen, view, today=now, load=True)
    if blocks:
        tell_blocks(screen, desk.year, blocks)
    tell_rock(screen, view)
    if desk.standing:
        tell_worth(screen, desk.year, desk.standing)
        tell_shortfalls(screen, _shortfalls(desk))
        tell_left_out(screen, desk.year, desk.standing, since=now)
    screen.tell(desk.missed_lines(now))


def _write(desk: Desk, part: Span | None, *, load: bool, form: bool) -> None:
    from seasonplan.cli.machine import revision_facts, span_facts

    year = desk.year
    facts = revision_facts(desk.standing) if desk.standing else None
    if facts is not None and part is not None:
        wanted = {block.id for block in _blocks(desk) if block.span.meet(part)}
        facts["blocks"] = [block for block in facts["blocks"] if block["id"] in wanted]
        facts["sessions"] = [
            one for one in facts["sessions"] if date.fromisoformat(one["day"]) in part
        ]
    if facts is not None and load:
        from seasonplan.cli.loads import load_table

        facts["load"] = load_table(desk, part or year.span)
    if facts is not None and form:
        from seasonplan.cli.forms import form_table

        facts["form"] = form_table(desk)
    shown = desk.view(health=True).model_dump(mode="json", by_alias=True)
    write_json({**shown, **span_facts(part or year.span), "plan": facts})
