"""`seasonplan conditions`: what past weather says of a place, and what the next days bring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Folder, Json, Plain, Today, now_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.cli.where import anew
from seasonplan.vocabulary import Discipline

if TYPE_CHECKING:
    from datetime import date

    from seasonplan.conditions import Near, PlaceStudy
    from seasonplan.edits import AnEdit
    from seasonplan.workspace.desk import Desk
    from seasonplan.year import Year

EXAMPLES = """Examples:

\b
  seasonplan conditions my-year                        all places with records
  seasonplan conditions my-year --place "Harrow Cleft" --weeks 4
  seasonplan conditions my-year --svg chance.svg       a picture of one place
  seasonplan conditions my-year --take cleft-autumn    its chances taken over
  seasonplan conditions my-year --forecast next.csv    what next days change
  seasonplan conditions my-year --forecast good.ics --accept

A forecast is a CSV file in the form of the records, or a calendar (.ics) whose
events are the days that will be good."""

PlaceName = Annotated[str | None, typer.Option("--place", metavar="NAME", help="Only this place.")]
Kind = Annotated[Discipline | None, typer.Option(help="Only this discipline.")]
Weeks = Annotated[int, typer.Option(min=1, max=52, metavar="N", help="Length of the best windows.")]
Svg = Annotated[Path | None, typer.Option(metavar="FILE", help="Write the year as an SVG picture.")]
Take = Annotated[
    list[str] | None,
    typer.Option(metavar="SEASON", help="Write the chances into this season; may be repeated."),
]
ForecastFile = Annotated[
    Path | None, typer.Option("--forecast", metavar="FILE", help="A forecast of the next days.")
]
Accept = Annotated[bool, typer.Option("--accept", help="Write the forecast into year.toml.")]


def conditions(
    folder: Folder = Path(),
    *,
    place: PlaceName = None,
    discipline: Kind = None,
    weeks: Weeks = 6,
    svg: Svg = None,
    take: Take = None,
    forecast: ForecastFile = None,
    accept: Accept = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Learn from weather records how likely good days are."""
    from seasonplan.cli import conditions_out as out
    from seasonplan.cli.edit_run import refusals
    from seasonplan.workspace.desk import Desk

    screen, desk = Screen.here(plain=plain), Desk(folder)
    year, studies = desk.year, desk.studies(place=place, discipline=discipline)
    now = now_of(year, today)
    if svg is not None or forecast is not None:
        _only_one(studies, "--svg" if svg is not None else "--forecast")
    near = _near(desk, forecast, studies[0], screen, today=now) if forecast is not None else None
    with refusals():
        edits = list(_edits(year, studies, take or [], near if accept else None, forecast))
    if as_json:
        write_json({"places": [out.facts(each, year, weeks=weeks, near=near) for each in studies]})
    else:
        for each in studies:
            out.tell(screen, each, year, weeks=weeks, today=now)
        if near is not None:
            out.tell_near(screen, near, year, studies[0], forecast=str(forecast), accepted=accept)
    if svg is not None:
        _draw(svg, studies[0], weeks=weeks, screen=screen)
    with refusals():
        _change(desk, edits, screen)


def _near(
    desk: Desk, forecast: Path, study: PlaceStudy, screen: Screen, *, today: date
) -> Near | None:
    """What a forecast makes of the next days; where it is about none of them that is told."""
    from seasonplan.explain.conditions import no_near_text

    near = desk.near(forecast, study, today=today)
    if near is None:
        screen.narrate(no_near_text(forecast.name, today))
    return near


def _only_one(studies: Sequence[PlaceStudy], option: str) -> None:
    if len(studies) > 1:
        names = "; ".join(each.name for each in studies)
        raise typer.BadParameter(
            f"found {len(studies)} ({names}); wanted one. Add --place or --discipline.",
            param_hint=option,
        )


def _edits(
    year: Year, studies: Sequence[PlaceStudy], take: Sequence[str], near: Near | None,
    forecast: Path | None,
) -> Iterator[AnEdit]:  # fmt: skip
    """What is asked for, as edits. Raises EditRefused where that cannot be."""
    from seasonplan.workspace.studies import accepting, taking

    for season in take:
        yield taking(season, studies, year)
    if near is not None and forecast is not None:
        yield accepting(near, studies[0], year, source=f"forecast {forecast.name}")


def _change(desk: Desk, edits: Sequence[AnEdit], screen: Screen) -> None:
    from seasonplan.workspace.store import YEAR_FILE

    before = desk.draft().text
    for edit in edits:
        desk.change(edit)
    if desk.draft().text != before:
        path = desk.folder / YEAR_FILE
        command = anew(planned=desk.plan is not None)
        screen.narrate(f"{path}: changed. Run {command} to plan with it.")


def _draw(path: Path, study: PlaceStudy, *, weeks: int, screen: Screen) -> None:
    from seasonplan.conditions import best_windows
    from seasonplan.pictures.chance import chance_picture
    from seasonplan.pictures.files import svg_file
    from seasonplan.workspace.store import write_output

    best = best_windows(study.climate, 7 * weeks)
    picture = chance_picture(study.climate, title=study.name, best=best)
    write_output(path, svg_file(picture, path))
    screen.narrate(f"{path}: written.")
