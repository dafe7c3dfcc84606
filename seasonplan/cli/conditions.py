"""`seasonplan conditions`: what past weather says of a place, and what the next days bring."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Folder, Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault
from seasonplan.vocabulary import Discipline

if TYPE_CHECKING:
    from seasonplan.conditions import Near, Study
    from seasonplan.days import Span
    from seasonplan.store import YearOnDisk
    from seasonplan.year import Year
    from seasonplan.year.place import Place

EXAMPLES = """Examples:

\b
  seasonplan conditions my-year                        every place with records
  seasonplan conditions my-year --place "Harrow Cleft" --weeks 4
  seasonplan conditions my-year --svg chance.svg       a picture, for one place
  seasonplan conditions my-year --take cleft-autumn    its chances into year.toml
  seasonplan conditions my-year --forecast next.csv    what the next days change
  seasonplan conditions my-year --forecast good.ics --accept

A forecast is a CSV file in the form of the records, or a calendar (.ics) whose
events are the days that will be good."""

PlaceName = Annotated[str | None, typer.Option("--place", metavar="NAME", help="Only this place.")]
Kind = Annotated[Discipline | None, typer.Option(help="Only this discipline.")]
Weeks = Annotated[int, typer.Option(min=1, max=52, help="Length of the best windows.")]
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
    from seasonplan import clock
    from seasonplan.cli import conditions_out as out
    from seasonplan.store import YEAR_FILE, load_year

    screen = Screen.here(plain=plain)
    on_disk = load_year(folder)
    year = on_disk.year
    now = today or clock.today(year.climber.time_zone)
    studies = _studies(folder, year, place, discipline)
    if svg is not None or forecast is not None:
        _only_one(studies, "--svg" if svg is not None else "--forecast")
    near = _near(forecast, studies[0], year, today=now) if forecast is not None else None
    text = _taken(on_disk, studies, take or [], file=str(folder / YEAR_FILE))
    if near is not None and forecast is not None and accept:
        text = _accepted(text, near, studies[0], source=f"forecast {forecast.name}")
    if as_json:
        write_json({"places": [out.facts(each, year, weeks=weeks, near=near) for each in studies]})
    else:
        for each in studies:
            out.tell(screen, each, year, weeks=weeks, today=now)
        if near is not None:
            out.tell_near(screen, near, year, studies[0], forecast=str(forecast), accepted=accept)
    if svg is not None:
        _draw(svg, studies[0], weeks=weeks, screen=screen)
    _write(folder, on_disk, text, screen)


def _studies(
    folder: Path, year: Year, name: str | None, discipline: Discipline | None
) -> list[Study]:
    """A study of each place and discipline asked for. Raises BadInput with every fault."""
    from seasonplan.conditions import place_records, study
    from seasonplan.store import YEAR_FILE

    file = str(folder / YEAR_FILE)
    found, faults = [], []
    for place in _places(year, name, file=file):
        for kind in _disciplines(year, place, discipline):
            try:
                path = folder / place_records(place, file=file).file
                found.append(
                    study(_bytes(path), place, discipline=kind, file=file,
                          time_zone=year.climber.time_zone)
                )  # fmt: skip
            except BadInput as error:
                faults += [fault for fault in error.faults if fault not in faults]
    if faults:
        raise BadInput(faults)
    return found


def _places(year: Year, name: str | None, *, file: str) -> list[Place]:
    chosen = [
        place for place in year.places
        if (place.records is not None if name is None else name in (place.name, place.id))
    ]  # fmt: skip
    if chosen:
        return chosen
    known = ", ".join(place.name for place in year.places)
    found = "no place with records" if name is None else f"no place {name!r}"
    wanted = f"one of {known}" if known and name else "a [[place]] with [place.records]"
    do = "Correct the name." if known and name else "See the guide on weather records."
    raise BadInput([Fault(file, "place", None, found, wanted, do)])


def _disciplines(year: Year, place: Place, wanted: Discipline | None) -> list[Discipline | None]:
    """What is climbed there by seasons and goals, or the one asked for."""
    if wanted is not None:
        return [wanted]
    entries = (*year.seasons, *year.goals)
    used = [entry.discipline for entry in entries if entry.place == place.name]
    meant = [good.discipline for good in place.good if good.discipline is not None]
    return list(dict.fromkeys([*used, *meant])) or [None]


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        found = "no file" if isinstance(error, FileNotFoundError) else error.strerror or "no file"
        do = "Put it there, or correct the name."
        raise BadInput([Fault(str(path), "", None, found, "a file we may read", do)]) from None


def _only_one(studies: list[Study], option: str) -> None:
    if len(studies) > 1:
        names = "; ".join(each.name for each in studies)
        raise typer.BadParameter(
            f"found {len(studies)} ({names}); wanted one. Add --place or --discipline.",
            param_hint=option,
        )


def _near(path: Path, study: Study, year: Year, *, today: date) -> Near | None:
    """What the forecast file makes of the next days. Raises BadInput."""
    from seasonplan.conditions import place_records, read_record

    content = _bytes(path)
    zone = study.place.time_zone or year.climber.time_zone
    if path.suffix.lower() == ".ics":
        return study.near_marked(_good_spans(content, path, zone, today), today=today)
    how = place_records(study.place, file=str(path))
    return study.near(read_record(content, how, file=str(path), time_zone=zone), today=today)


def _good_spans(content: bytes, path: Path, zone: str, today: date) -> list[Span]:
    from datetime import timedelta

    from seasonplan.days import Span
    from seasonplan.ical.busy import read_busy

    near = Span(today, today + timedelta(days=31))
    report = read_busy(content, file=str(path), span=near, time_zone=zone)
    ends = [(span.start.date(), (span.end - timedelta(seconds=1)).date()) for span in report.spans]
    return [Span.through(first, last) for first, last in ends]


def _draw(path: Path, study: Study, *, weeks: int, screen: Screen) -> None:
    from seasonplan.conditions import best_windows, chance_svg
    from seasonplan.store import write_output

    if path.is_file() and path.read_bytes().lstrip()[:4] not in (b"", b"<svg"):
        found = "a file that is no SVG picture"
        raise BadInput([Fault(str(path), "", None, found, "a picture or no file",
                              "Choose another name.")])  # fmt: skip
    best = best_windows(study.climate, 7 * weeks)
    write_output(path, chance_svg(study.climate, title=study.name, best=best).encode())
    screen.narrate(f"{path}: written.")


def _taken(on_disk: YearOnDisk, studies: list[Study], take: list[str], *, file: str) -> str:
    """The text of the year file with the chances of those seasons. Raises BadInput."""
    from seasonplan.conditions import weekly, with_season_chance

    text, year = on_disk.text, on_disk.year
    for name in take:
        season = next((each for each in year.seasons if each.id == name), None)
        if season is None:
            known = ", ".join(each.id for each in year.seasons) or "none yet"
            do = "Correct the id, or enter the season first."
            raise BadInput([Fault(file, "season", None, f"no season {name!r}",
                                  f"the id of a season ({known})", do)])  # fmt: skip
        own = [each for each in studies if _fits(each, season.place, season.discipline)]
        spell = next(iter(season.spells(year.span)), None)
        if not own or spell is None:
            raise BadInput([Fault(file, "season", None, f"{name!r}, which no study here is of",
                                  "a season of a place with records, in this year",
                                  "Correct the place or discipline of the season.")])  # fmt: skip
        text = with_season_chance(
            text, name, chances=weekly(own[0].climate, spell), chance_from=own[0].source, file=file
        )
    return text


def _accepted(text: str, near: Near, study: Study, *, source: str) -> str:
    """The text of the year file with a forecast. Raises BadParameter without a discipline."""
    from seasonplan.conditions import with_forecast

    if study.discipline is None:
        raise typer.BadParameter(
            "found no discipline climbed there; wanted one. Add --discipline.",
            param_hint="--accept",
        )
    return with_forecast(
        text, place=study.place.name, discipline=study.discipline, first=near.days[0].day,
        chances=near.chances, chance_from=source,
    )  # fmt: skip


def _fits(study: Study, place: str, discipline: Discipline) -> bool:
    return study.place.name == place and study.discipline in (discipline, None)


def _write(folder: Path, on_disk: YearOnDisk, text: str, screen: Screen) -> None:
    from seasonplan.store import YEAR_FILE, write
    from seasonplan.year.toml import read_year

    if text == on_disk.text:
        return
    path = folder / YEAR_FILE
    read_year(text, file=str(path))  # what we write must be a year, or nothing is written
    write(path, text.encode(), based_on=on_disk.digest)
    screen.narrate(f"{path}: changed. Run `seasonplan plan` to plan with it.")
