"""A climber's folder as it was read: year, plan, busy calendars, and what follows from them.

Changes nothing and plans nothing; `desk` does that.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from seasonplan import edits
from seasonplan.body.almanac import Almanac
from seasonplan.body.response import as_tested
from seasonplan.busy.calendar import BusyReport
from seasonplan.diary import DiaryEntry, Did, Followed, counted, followed, parse
from seasonplan.errors import BadInput
from seasonplan.ical.taken import Taken, meaning_of, with_busy
from seasonplan.identity import all_ids
from seasonplan.injury import is_young
from seasonplan.plan import Block, Plan, Revision
from seasonplan.planning.history import of_old_model
from seasonplan.planning.moot import that_matter
from seasonplan.recipes import UNTESTED, OwnTests, Recipe, recipes, untested
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import Discipline, Quality
from seasonplan.workspace import busy_time, store
from seasonplan.workspace.studies import (
    Subject,
    every_study,
    near_by,
    stamps_of,
    study_of,
    subjects_of,
)
from seasonplan.year import Year

if TYPE_CHECKING:
    from seasonplan.conditions import Near, PlaceStudy
    from seasonplan.planner.fill import Filled
    from seasonplan.testing import Rated
    from seasonplan.testing.study import Study as TestStudy
    from seasonplan.views import YearView


UNKNOWN = "unknown"  # stands for busy calendars that cannot be had: no plan is of them


def digests_of(ratings: Mapping[Quality, float]) -> tuple[str, ...]:
    """A digest of each rating by tests; nothing where no test tells one."""
    return tuple(f"{quality}={ratings[quality]}" for quality in Quality if quality in ratings)


class Opened:
    """A folder with its year and, once made, its plan."""

    def __init__(self, folder: Path) -> None:
        """Reads the folder. Raises BadInput with every fault of year and plan.

        A busy calendar that cannot be had is told by `busy_trouble`: the plan can still be read.
        """
        self.folder = folder
        self._year = store.load_year(folder)
        self._plan = store.load_plan(folder)
        self._busy: tuple[store.BusyOnDisk, ...] = ()
        self.busy_trouble: BadInput | None = None
        try:
            self._busy = store.load_busy(folder, self._year)
        except BadInput as error:
            self.busy_trouble = error

    @property
    def year(self) -> Year:
        return self._year.year

    @property
    def plan(self) -> Plan | None:
        return self._plan.plan if self._plan else None

    def same_files(self, other: Opened) -> bool:
        """Whether year and plan hold the same, to the byte."""
        plans = [one._plan.digest if one._plan else None for one in (self, other)]
        return plans[0] == plans[1] and self._year.digest == other._year.digest

    @property
    def book(self) -> RuleBook:
        return book_of(self.year)

    @property
    def recipes(self) -> dict[str, Recipe]:
        return recipes(self.year.recipes)

    @property
    def _meaning(self) -> str:
        """Digest of what the year says and of when its busy calendars are busy."""
        return with_busy(self._year.meaning, self._told_digests)

    @property
    def _told_digests(self) -> tuple[str, ...]:
        return (*self._busy_digests, *self._rating_digests)

    @cached_property
    def _rating_digests(self) -> tuple[str, ...]:
        try:
            return digests_of(self.ratings)
        except BadInput:
            return (UNKNOWN,)

    @cached_property
    def _busy_digests(self) -> tuple[str, ...]:
        if self.busy_trouble is not None:
            return (UNKNOWN,)
        return tuple(meaning_of(busy.content) for busy in self._busy)

    @cached_property
    def rated(self) -> Mapping[Quality, Rated]:
        """The ratings that the climber's tests give; the planner goes by them.

        Raises BadInput where the diary, which is read for them alone, is faulty.
        """
        if not any(test.anchors for test in self.year.tests):
            return {}
        from seasonplan.testing.ratings import ratings_by_tests

        return ratings_by_tests(self.year, self.diary)

    @cached_property
    def _diary(self) -> store.DiaryOnDisk:
        return store.load_diary(self.folder)

    @cached_property
    def diary(self) -> tuple[DiaryEntry, ...]:
        """The rows of the diary. Raises BadInput."""
        return parse(self._diary.text, file=str(self.folder / store.DIARY_FILE))

    @cached_property
    def diary_shown(self) -> tuple[DiaryEntry, ...]:
        """The rows for who only shows them; none where the diary cannot be read, which is told to
        whoever writes in it."""
        try:
            return self.diary
        except BadInput:
            return ()

    @cached_property
    def followed(self) -> tuple[Followed, ...]:
        """How far the training weeks of the plan were done, by the diary. Raises BadInput."""
        now = self.standing
        if now is None:
            return ()
        weeks = Almanac(self.year).weeks()
        return followed(now.blocks, now.sessions, self.diary, weeks=weeks, recipes=self.recipes)

    def done(self, today: date | None) -> dict[date, float]:
        """The weeks missed in part that change the load: the share done of each, by first day.

        Raises BadInput where the diary is faulty.
        """
        now = self._while_it_lasts(today)
        if self.plan is None or now is None:
            return {}
        return counted(self.followed, known=self.plan.current.done, today=now)

    def behind(self, today: date) -> bool:
        """Whether weeks were missed in part of which the plan knows nothing yet."""
        if self.plan is None or self._while_it_lasts(today) is None:
            return False
        try:
            return self.done(today) != self.plan.current.done
        except BadInput:
            return False

    def missed_lines(self, today: date) -> list[str]:
        """What to say of sessions missed lately; nothing of a diary that cannot be read."""
        from seasonplan.explain.missed import told_on

        now = self.standing
        if now is None or today not in self.year.span:
            return []
        try:
            return told_on(today, now, self.diary, self.followed)
        except BadInput:
            return []

    @cached_property
    def tested(self) -> OwnTests:
        """What the words of sessions tell of the climber's tests; nothing of a faulty diary."""
        try:
            if not self.year.tests and all(row.kind is not Did.TEST for row in self.diary):
                return untested(young=is_young(self.year, self.year.span.first))
            from seasonplan.testing.in_sessions import in_sessions

            return in_sessions(self.year, self.diary)
        except BadInput:
            return UNTESTED

    @property
    def ratings(self) -> dict[Quality, float]:
        """The ratings alone. Raises BadInput where the diary is faulty."""
        return {quality: self.rated[quality].rating for quality in Quality if quality in self.rated}

    @property
    def year_as_tested(self) -> Year:
        """The year with the ratings that tests give; as planned where the diary is faulty."""
        try:
            ratings = self.ratings
        except BadInput:
            ratings = self.plan.current.ratings if self.plan else {}
        return as_tested(self.year, ratings)

    @property
    def stale(self) -> bool:
        """Whether the year, a busy calendar or what tests say changed after the plan was made."""
        return self.plan is not None and self.plan.current.year_digest != self._meaning

    @cached_property
    def _sessions_alone(self) -> bool:
        """Whether nothing changed after the plan was made but what is said of sessions."""
        if self.plan is None or not self.stale:
            return False
        from seasonplan.planning.known import said_then

        then = said_then(self.plan.current)
        as_planned = self.year.model_copy(update={"fixed_sessions": then})
        meaning = store.YearOnDisk(as_planned, "", "").meaning
        return self.plan.current.year_digest == with_busy(meaning, self._told_digests)

    @property
    def lags(self) -> bool:
        """Whether the plan is older than the year in what a change of sessions does not tell:
        those show at once (`standing`), all else when it is planned anew."""
        return self.stale and not self._sessions_alone

    @cached_property
    def standing(self) -> Revision | None:
        """The plan with what was said of sessions since: what faces show. None without a plan."""
        if self.plan is None or not self.stale:
            return self.plan.current if self.plan else None
        from seasonplan.planning.since import revision_now

        return revision_now(self.plan, self.year)

    @property
    def shown_plan(self) -> Plan | None:
        """The plan with those changes as one revision more: what calendars show."""
        if self.plan is None or not self.stale:
            return self.plan
        from seasonplan.planning.since import plan_now

        return plan_now(self.plan, self.year)

    @property
    def up_to_date(self) -> bool:
        """Whether the plan is of the year as it is, and proven the best."""
        return self.plan is not None and not self.stale and self.plan.current.proof.optimal

    @property
    def older(self) -> bool:
        """Whether an older version made the plan, which counted its weeks in another way."""
        return self.plan is not None and of_old_model(self.plan.current)

    @cached_property
    def busy(self) -> dict[str, BusyReport]:
        """What each busy calendar says, by file. Raises BadInput where one is refused."""
        if self.busy_trouble is not None:
            raise self.busy_trouble
        return busy_time.reports(self.year, self._busy)

    @property
    def taken(self) -> Taken:
        """Minutes of each day that busy calendars take, where the climber lives."""
        return busy_time.minutes(self.year, self.busy)

    @cached_property
    def taken_since(self) -> Taken:
        """The same where the plan may know nothing of them, as far as they can be read."""
        try:
            return self.taken if self.stale and self.busy_trouble is None else {}
        except BadInput:
            return {}

    @property
    def daily_load(self) -> dict[date, float]:
        """Load (effort x minutes that count) of the sessions of each day, every day of the year."""
        daily = dict.fromkeys(self.year.span.days(), 0.0)
        for session in self.standing.sessions if self.standing else ():
            daily[session.day] = daily.get(session.day, 0.0) + session.load
        return daily

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """The plan's blocks; after changes since, as these left them."""
        if self.standing is None:
            return ()
        return self.by_hand.blocks if self.lags else self.standing.blocks

    @cached_property
    def by_hand(self) -> Filled:
        """The plan's blocks as changes since left them, with the sessions that would fill them."""
        return self.laid_out(self.year_as_tested)

    def laid_out(self, year: Year) -> Filled:
        """The plan's blocks in a year that may fix or give other days, and what would fill them."""
        from seasonplan.planning.arrange import arranged_plan

        assert self.plan is not None, "a plan is there to be changed"
        used = sorted(all_ids(self.plan))
        return arranged_plan(
            year, self.plan.current.blocks, book=self.book, used=used,
            done=self.plan.current.done,
        )  # fmt: skip

    def block(self, block_id: str) -> Block | None:
        blocks = self.plan.current.blocks if self.plan else ()
        return next((block for block in blocks if block.id == block_id), None)

    def draft(self, *, today: date | None = None) -> edits.Draft:
        """What edits are applied to: the files as read, and the diary."""
        now, diary = self._while_it_lasts(today), self._diary.text
        held = self.standing.sessions if self.standing else None
        return edits.Draft(self._year.text, self.year, self.plan, diary, self.blocks, now, held)

    def check(self, *, today: date | None = None) -> tuple[Finding, ...]:
        """What the checker finds in the current plan, against the year as it is now.

        With `today` nothing is asked of what is over, unless the whole year is; and nothing of
        what an older version counted in another way.
        """
        from seasonplan.checker import asked_of_older, check

        now = self.standing
        assert now is not None
        told = not self.stale and not self.older  # what it says of its worth still holds
        found = check(
            self.year_as_tested, now.blocks, sessions=now.sessions, book=self.book,
            claimed=now.score if told else None, proof=now.proof if told else None,
            today=self._while_it_lasts(today), over=today, done=now.done,
        )  # fmt: skip
        found = that_matter(found, self.year, now.sessions) + self.sessions_found(today)
        return tuple(filter(asked_of_older, found)) if self.older else found

    def sessions_found(self, today: date | None) -> tuple[Finding, ...]:
        """What the checker finds in the sessions as they stand; nothing without a plan."""
        from seasonplan.checker import check_sessions

        now, taken = self.standing, {} if self.busy_trouble else self.taken
        return check_sessions(
            self.year, now.blocks, now.sessions, now.shortfalls, book=self.book, taken=taken,
            today=self._while_it_lasts(today),
        ) if now else ()  # fmt: skip

    def _while_it_lasts(self, today: date | None) -> date | None:
        """Today, or None once the year is over: then it is looked at whole."""
        return today if today is not None and today < self.year.span.after else None

    def view(self, *, study: TestStudy | None = None, health: bool = False) -> YearView:
        """The year with its plan, as every face shows it; injuries only where asked for."""
        from seasonplan.views import year_view

        return year_view(self.year, self.standing, study=study, stale=self.lags, health=health)

    # --- weather ------------------------------------------------------------------------------

    @property
    def subjects(self) -> tuple[Subject, ...]:
        """Every place with weather records, with each discipline climbed there."""
        return subjects_of(self.year)

    @property
    def record_stamps(self) -> tuple[tuple[int, int] | None, ...]:
        """How the weather records stand on the disk: another value, and one was changed."""
        return stamps_of(self.folder, self.year)

    def study(self, subject: Subject) -> PlaceStudy:
        """What its record says. Raises BadInput with every fault of the record."""
        return study_of(self.folder, self.year, subject)

    def studies(
        self, *, place: str | None = None, discipline: Discipline | None = None
    ) -> tuple[PlaceStudy, ...]:
        """What all records say, or those of one place or discipline. Raises BadInput."""
        return every_study(self.folder, self.year, place=place, discipline=discipline)

    def near(self, forecast: Path, study: PlaceStudy, *, today: date) -> Near | None:
        """What a forecast makes of the next days. Raises BadInput."""
        return near_by(forecast, study, self.year, today=today)

    # --- for who changes it ---

    def _forget(self, *known: str) -> None:
        """What was worked out from the year or plan before."""
        for name in known:
            self.__dict__.pop(name, None)
