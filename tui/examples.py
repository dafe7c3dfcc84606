"""The example years that come with the program: inside the installed package, or beside it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from seasonplan.errors import CannotWrite
from seasonplan.workspace.store import DIARY_FILE


@dataclass(frozen=True, slots=True)
class Example:
    """An example year: the name of its folder, and what it is about."""

    name: str
    title: str
    more: str


EXAMPLES = (
    Example(
        "autumn-project",
        "A sport climber's autumn",
        "weak fingers, a spring to try in and one project when the cliff is best",
    ),
    Example(
        "mountain-summer",
        "Long routes in summer, hard pitches in autumn",
        "a weather window in July, a house to move",
    ),
    Example(
        "trips-and-boulders",
        "Two trips and a winter of boulders",
        "in the southern half of the world, weeks that begin on Sunday",
    ),
)


def folder_of(example: Example) -> Path | None:
    """Where an example is, or None where it was not installed."""
    here = Path(__file__).parent
    for folder in (here / "_examples", here.parent / "calendars_demo"):
        if (folder / example.name / "year.toml").is_file():
            return folder / example.name
    return None


def copy_into(example: Example, folder: Path) -> Path:
    """A copy of an example in a folder of its own under `folder`; one that is there is kept.

    Raises CannotWrite.
    """
    source = folder_of(example)
    target = folder / example.name
    if source is None:
        raise CannotWrite(str(target), "the example is not installed")
    if (target / "year.toml").exists():
        return target
    try:
        target.mkdir(parents=True, exist_ok=True)
        for name in ("year.toml", "plan.json", *_records(source)):
            if (source / name).is_file():
                shutil.copyfile(source / name, target / name)
    except OSError as error:
        raise CannotWrite(str(target), error.strerror or str(error)) from None
    return target


def _records(source: Path) -> list[str]:
    """The weather records beside an example; a diary somebody kept there stays."""
    return sorted(path.name for path in source.glob("*.csv") if path.name != DIARY_FILE)
