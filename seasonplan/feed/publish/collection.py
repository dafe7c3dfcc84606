"""Brings a CalDAV collection up to the plan: writes what changed, takes away what is gone.

Ours is what the kept list names; nothing else there is read or touched. Each step is noted, so
that after a broken connection the next run goes on. What a person moved there is left alone, and
what they added to an event of ours is carried over into what we write in its place.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Protocol

from seasonplan.feed.caldav.remote import Overtaken
from seasonplan.feed.private import Collection, Put
from seasonplan.ical.back import holds, times
from seasonplan.ical.carried import alarm_in, carried
from seasonplan.ical.ever import When

NOTE_EVERY = 25  # files written between two notes on the disk


class Place(Protocol):
    """What is asked of a collection; `Remote` is one."""

    def listing(self) -> dict[str, str]: ...
    def read(self, name: str) -> tuple[str, bytes] | None: ...
    def write(self, name: str, content: bytes, *, replaces: str | None) -> str: ...
    def delete(self, name: str, *, replaces: str) -> None: ...


@dataclass(slots=True)
class Report:
    """What was done, and by UID what was left alone: `moved` or `removed` there by a person,
    `foreign` where a file that is not ours has the name."""

    written: int = 0
    deleted: int = 0
    unchanged: int = 0
    moved: list[str] = field(default_factory=list)
    removed: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)


def file_of(uid: str) -> str:
    return f"{uid}.ics"


def publish(
    place: Place,
    files: Mapping[str, bytes],
    known: Collection,
    *,
    home: str,
    keep: Callable[[Collection], None],
    over: bool = False,
    ever: Callable[[], Mapping[str, Container[When]]] = dict,
    report: Report | None = None,
) -> Report:
    """Make the collection show `files` (by UID). `keep` is told what is ours there by now.

    With `over` what a person moved or removed there is put right again. `ever` has every time at
    which an event of ours was planned: where the list of what we wrote is lost, it tells who put
    an event there. Raises what `place` raises; all that was done until then is noted, and counted
    in `report`.
    """
    work = _Work(place, known, keep, home=home, over=over, ever=ever, report=report or Report())
    try:
        work.there = place.listing()
        work.intend(files)
        for uid in [uid for uid in work.ours if uid not in files]:
            work.take_away(uid)
        for uid in [uid for uid in files if uid in work.ours]:
            work.bring(uid, files[uid])
    finally:
        work.note()
    return work.report


def put_back(
    place: Place, files: Mapping[str, bytes], known: Collection, uids: Container[str], *,
    home: str, keep: Callable[[Collection], None],
) -> Report:  # fmt: skip
    """Put these events back as planned, and touch no other."""
    work = _Work(place, known, keep, home=home, over=True, ever=dict, report=Report())
    try:
        work.there = place.listing()
        for uid in files:
            if uid in uids and uid in work.ours:
                work.bring(uid, files[uid])
    finally:
        work.note()
    return work.report


class _Work:
    """One run of publishing."""

    def __init__(
        self,
        place: Place,
        known: Collection,
        keep: Callable[[Collection], None],
        *,
        home: str,
        over: bool,
        ever: Callable[[], Mapping[str, Container[When]]],
        report: Report,
    ) -> None:
        self._place, self._known, self._keep = place, known, keep
        self._home, self._over, self._ever, self.report = home, over, ever, report
        self.ours, self.there = dict(known.events), dict[str, str]()
        self._unnoted = 0

    def intend(self, files: Mapping[str, bytes]) -> None:
        """Note what will be ours before the first of it is written; nothing foreign ever is."""
        new = [uid for uid in files if uid not in self.ours]
        self.report.foreign += [uid for uid in new if self._is_foreign(uid)]
        self.ours |= {uid: Put() for uid in new if uid not in self.report.foreign}
        if new:
            self.note()

    def _is_foreign(self, uid: str) -> bool:
        """Whether a file of that name is there that does not hold our event.

        Our identities are made with a random key: what has one was written by us, and the list
        of it lost.
        """
        if file_of(uid) not in self.there:
            return False
        found = self._place.read(file_of(uid))
        return found is not None and not holds(found[1], uid)

    def note(self) -> None:
        self._unnoted = 0
        self._keep(Collection(**{**dict(self._known), "events": self.ours}))

    def take_away(self, uid: str) -> None:
        tag = self.there.get(file_of(uid))
        if tag is not None:
            try:
                self._place.delete(file_of(uid), replaces=tag)
            except Overtaken:  # the next run sees what it is now
                return
            self.report.deleted += 1
        del self.ours[uid]
        self._done_one()

    def bring(self, uid: str, content: bytes) -> None:
        """One event of the plan, by what is there of it."""
        put, tag = self.ours[uid], self.there.get(file_of(uid))
        if tag is None:
            if put.etag and not self._over:
                self.report.removed.append(uid)
            else:
                self._write(uid, content, None)
        elif tag == put.etag and _digest(content) == put.digest:
            self.report.unchanged += 1
        else:
            self._over_what_is_there(uid, content, tag)

    def _over_what_is_there(self, uid: str, content: bytes, tag: str) -> None:
        """A person's alarm or colour stays; what they moved is not overwritten."""
        found = self._place.read(file_of(uid))
        if found is None:
            self._write(uid, content, None)
            return
        (now, there), put = found, self.ours[uid]
        now = now or tag
        as_left = now == put.etag
        if not as_left and not self._over and self._moved(uid, content, there):
            self.report.moved.append(uid)
        elif not as_left and put.digest == _digest(content) and self._same(content, there):
            self.ours[uid] = Put(digest=put.digest, etag=now, alarm=put.alarm, when=put.when)
            self.report.unchanged += 1
        else:
            self._write(uid, content, now, there)

    def _same(self, content: bytes, there: bytes) -> bool:
        """Whether what is there has the time of ours."""
        return dict(times(there, self._home)) == dict(times(content, self._home))

    def _moved(self, uid: str, content: bytes, there: bytes) -> bool:
        """Whether a person moved it: whether it is not when we put it, nor when it is planned by
        now. Without our list: whether it never was planned so."""
        if self._same(content, there):
            return False
        when = dict(times(there, self._home)).get(uid)
        if self.ours[uid].when:
            return when is None or _when_text(when) != self.ours[uid].when
        return bool(self.ours[uid].digest) or when is None or when not in self._ever().get(uid, ())

    def _write(self, uid: str, content: bytes, replaces: str | None, there: bytes = b"") -> None:
        """Write ours, with what a person added to what is `there`."""
        whole = carried(content, there, wrote=self.ours[uid].alarm) if there else content
        try:
            tag = self._place.write(file_of(uid), whole, replaces=replaces)
        except Overtaken:
            self.report.moved.append(uid)
            return
        if not tag:  # not said where the server changed the text (RFC 4791 5.3.4)
            found = self._place.read(file_of(uid))
            tag = found[0] if found else ""
        when = dict(times(content, self._home)).get(uid)
        self.ours[uid] = Put(
            digest=_digest(content), etag=tag, alarm=alarm_in(content),
            when=_when_text(when) if when else "",
        )  # fmt: skip
        self.report.written += 1
        self._done_one()

    def _done_one(self) -> None:
        self._unnoted += 1
        if self._unnoted >= NOTE_EVERY:
            self.note()


def _when_text(when: When) -> str:
    """A time as it is kept: moments in UTC, whichever zone a server gives them back in."""
    return "/".join(
        (one.astimezone(UTC) if isinstance(one, datetime) else one).isoformat() for one in when
    )


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
