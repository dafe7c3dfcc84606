"""The autumn year, the plan made before anything happened, and what then happened: five cases.

Plans and proposals are made once and shared; they are frozen.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from uuid import UUID

from places import TESTS
from together import together

from seasonplan.edits import read
from seasonplan.explain import because
from seasonplan.plan import Plan, Revision
from seasonplan.planning.proposal import Proposal, propose
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import keep_points
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from seasonplan.year import Year

YEARS = TESTS / "years"
KEY = UUID("5a0c7c2e-0d1f-4a53-9d0e-6a6f2f4b1c22")
STAMP = datetime(2027, 1, 2, 12, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class News:
    """A case: the day it is told, how many days outside its own may change, and why so many."""

    today: date
    outside: int
    why: str


NEWS = {
    "finger-in-june": News(
        date(2027, 6, 10), 45,
        "After eight weeks of injury and return base comes before strength, so the 35 days of the "
        "August strength block become base; then a week of rest, because base may be 8 weeks.",
    ),
    "flu-in-the-lead-in": News(
        date(2027, 9, 15), 0, "Performing goes on after the flu as it was planned."
    ),
    "trip-a-week-later": News(
        date(2027, 3, 20), 21, "A week each of lead-in, rest and base goes with the trip."
    ),
    "window-ten-days-early": News(
        date(2027, 9, 2), 18,
        "Up to ten days of lead-in before the window, and up to eight weeks of performance from "
        "there, so that a week of rest falls into the season.",
    ),
    "job-crunch": News(date(2027, 5, 20), 0, "Half the hours are less of the same."),
}  # fmt: skip


def text_of(name: str) -> str:
    return (YEARS / f"{name}.toml").read_text(encoding="utf-8")


@cache
def year_of(name: str) -> Year:
    return read(text_of(name), file=f"tests/years/{name}.toml")


def occasion(name: str) -> Provenance:
    return Provenance(name, STAMP, "digest", text_of(name))


@together
def first_plan(name: str = "autumn") -> Plan:
    """The plan of a year before anything happened."""
    made = plan_year(year_of(name), occasion(name), previous=None, calendar_key=KEY)
    assert isinstance(made, Planned)
    return made.plan


def proposal(case: str, keep: str = "medium") -> Proposal:
    """The answer to one of the cases."""
    return proposal_at(case, keep_points(keep))


@together
def proposal_at(case: str, price: float) -> Proposal:
    """The same where a day changed today costs so many points."""
    name = f"autumn-{case}"
    answer = propose(
        year_of(name), occasion(name), previous=first_plan(), old_year=year_of("autumn"),
        today=NEWS[case].today, keep=price,
    )  # fmt: skip
    assert isinstance(answer, Proposal)
    return answer


@together
def reasons(case: str) -> tuple[because.Because, ...]:
    """Why each block of a proposal changes."""
    answer = proposal(case)
    return tuple(because.reasons(answer, book=book_of(answer.year)))


def planned(folder: Path, name: str = "autumn") -> Path:
    """A folder with a year and its accepted plan."""
    (folder / "year.toml").write_text(text_of(name), encoding="utf-8")
    last = first_plan(name).current
    told = {"year_digest": Desk(folder)._meaning, "year_text": text_of(name)}
    plan = Plan(calendar_key=KEY, revisions=(Revision(**{**dict(last), **told}),))
    store.save_plan(folder, plan, based_on=None)
    return folder


def told(folder: Path, case: str) -> Path:
    """The same folder after the climber wrote down what happened."""
    (folder / "year.toml").write_text(text_of(f"autumn-{case}"), encoding="utf-8")
    return folder


def whole(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {
        path.name: path.read_bytes()
        for path in folder.iterdir()
        if path.is_file() and path.suffix in (".toml", ".json", ".csv")
    }
