"""The weather records of an open year, read behind the screen: one `Weather` for each lane.

Stateful: holds what was read last and the job that reads. Draws nothing and decides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from seasonplan.errors import BadInput, Fault
from seasonplan.explain.curve import Curve
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.studies import Subject
from seasonplan.year import Season
from tui.jobs import Job

if TYPE_CHECKING:
    from seasonplan.conditions import PlaceStudy

Asked = tuple[str, tuple[Subject, ...], tuple[tuple[int, int] | None, ...]]


@dataclass(frozen=True)
class Weather:
    """What is known of one place and discipline: nothing yet, a study, or what is wrong."""

    subject: Subject
    study: PlaceStudy | None = None
    faults: tuple[Fault, ...] = ()

    @property
    def reading(self) -> bool:
        return self.study is None and not self.faults

    @property
    def name(self) -> str:
        kind = self.subject.discipline
        return self.subject.place.name + (f", {kind.value}" if kind else "")

    @property
    def short_name(self) -> str:
        """The discipline first, for a narrow margin."""
        kind = self.subject.discipline
        return (f"{kind.value}, " if kind else "") + self.subject.place.name

    @cached_property
    def curve(self) -> Curve | None:
        """Chance and spread of each day of an ordinary year; None where no day was ever good."""
        if self.study is None or not self.study.climate.has_good_days:
            return None
        return Curve(self.study.climate.chance, self.study.spread)


class WeatherWatch:
    """Reads the records in a thread, and again when a file or what is asked of it changes."""

    def __init__(self) -> None:
        self.lanes: tuple[Weather, ...] = ()
        self._asked: Asked | None = None
        self._job: Job[tuple[Weather, ...]] | None = None
        self._begun = False

    def look(self, desk: Desk) -> bool:
        """Whether something is to be read that was not: `begin` then reads it."""
        asked = _asked(desk)
        if asked == self._asked:
            return False
        self._asked = asked
        self.end()
        known = {one.name: one.study for one in self.lanes}
        lanes = (Weather(subject) for subject in desk.subjects)
        self.lanes = tuple(replace(one, study=known.get(one.name)) for one in lanes)
        self._job = Job(lambda job: _read(desk, job)) if self.lanes else None
        return True

    def begin(self) -> None:
        """Read, once the first picture stands."""
        if self._job is not None and not self._begun:
            self._begun = True
            self._job.begin()

    def tick(self) -> bool:
        """Whether something was read since."""
        if self._job is None or not self._job.done:
            return False
        job = self._job
        self._job, self._begun = None, False
        if job.answer is None:
            self.lanes = tuple(
                Weather(one.subject, None, (_mishap(one, job.error),)) for one in self.lanes
            )
        else:
            self.lanes = job.answer
        return True

    def end(self) -> None:
        """Leave what is being read."""
        if self._job is not None:
            self._job.end()
        self._job, self._begun = None, False

    def of(self, season: Season) -> Weather | None:
        """The lane of the place and discipline of a season."""
        return next((one for one in self.lanes if one.subject.is_of(season)), None)


def _asked(desk: Desk) -> Asked:
    return desk.year.climber.time_zone, desk.subjects, desk.record_stamps


def _read(desk: Desk, job: Job[tuple[Weather, ...]]) -> tuple[Weather, ...]:
    """Everything that the lanes draw, worked out here so that the screen need not wait."""
    found = []
    for subject in desk.subjects:
        if job.stop.is_set():
            break
        try:
            one = Weather(subject, desk.study(subject))
        except BadInput as error:
            one = Weather(subject, None, tuple(error.faults))
        _ = one.curve, one.study and one.study.proof  # worked out here, kept there
        found.append(one)
    return tuple(found)


def _mishap(one: Weather, error: BaseException | None) -> Fault:
    """What the climber is told of a mistake of ours: never a crash."""
    file = one.subject.place.records.file if one.subject.place.records else one.name
    return Fault(
        file, "", None, f"a record that this program fails on ({error!r})", "one we can read",
        "Please report it.",
    )  # fmt: skip
