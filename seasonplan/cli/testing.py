"""`seasonplan tests`: what the climber's tests say, and how the usual tests are done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Folder, Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault

if TYPE_CHECKING:
    from seasonplan.testing import Judged, Study

EXAMPLES = """Examples:

\b
  seasonplan tests my-year                      every test: a gain, or chance?
  seasonplan tests my-year --test "Edge hang"   only this one, with every try
  seasonplan tests my-year --test "Edge hang" --svg hang.svg
  seasonplan tests --usual                      how usual tests are done

\b
  seasonplan log my-year test "Edge hang" 12.5 kg       write a try down
  seasonplan log my-year weight 68.4                    and your weight
  seasonplan log my-year import tests.csv --set kind=test --map date=Day \\
    --map what=Test --map value=Result --map unit=Unit   older ones

Several tries on a day are one test: log each. A test of your own is [[test]] in
year.toml, with its name, quality and unit, or `like` a usual one."""

OneTest = Annotated[str | None, typer.Option("--test", metavar="NAME", help="Only this test.")]
Svg = Annotated[Path | None, typer.Option(metavar="FILE", help="Draw one test as an SVG picture.")]
Usual = Annotated[bool, typer.Option("--usual", help="List the usual tests instead.")]


def tests(
    folder: Folder = Path(),
    *,
    test: OneTest = None,
    svg: Svg = None,
    usual: Usual = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Judge your tests: is a gain real, what holds you back, when to test again."""
    from seasonplan.cli import testing_out as out

    screen = Screen.here(plain=plain)
    if usual:
        out.tell_usual(screen, as_json=as_json)
        return
    study = _study(folder, today)
    shown = _named(study, test)
    if as_json:
        write_json(out.facts(study, shown))
    else:
        out.tell(screen, study, shown, every_try=test is not None)
    if svg is not None:
        _draw(svg, shown, screen)


def _study(folder: Path, today: date | None) -> Study:
    from seasonplan.cli.log_book import opened
    from seasonplan.testing import study_of

    book = opened(folder, today)
    try:
        return study_of(book.desk.year, book.entries, day=book.today, blocks=book.desk.blocks)
    except BadInput as error:  # the tests know the file by its name alone
        raise BadInput(
            Fault(str(folder / f.file), f.key, f.line, f.found, f.wanted, f.do)
            for f in error.faults
        ) from None


def _named(study: Study, name: str | None) -> Sequence[Judged]:
    """The series of one test, by its name or id, or one series; all where none is named."""
    if name is None:
        return study.judged
    folded = name.casefold()
    exact = [one for one in study.judged if folded == one.series.name.casefold()]
    found = exact or [
        one
        for one in study.judged
        for test in (one.series.test,)
        if folded in (test.name.casefold(), test.id)
    ]
    if not found:
        there = "; ".join(dict.fromkeys(one.series.name for one in study.judged)) or "no test yet"
        raise typer.BadParameter(
            f"found {name!r}; wanted a test of the diary ({there}). Correct it.",
            param_hint="--test",
        )
    return found


def _draw(path: Path, shown: Sequence[Judged], screen: Screen) -> None:
    from seasonplan.pictures.files import svg_file
    from seasonplan.pictures.series import series_picture
    from seasonplan.workspace.store import write_output

    if len(shown) != 1:
        names = "; ".join(one.series.name for one in shown) or "no test yet"
        raise typer.BadParameter(
            f"found {len(shown)} ({names}); wanted one. Add --test with its name.",
            param_hint="--svg",
        )
    write_output(path, svg_file(series_picture(shown[0]), path))
    screen.narrate(f"{path}: written.")
