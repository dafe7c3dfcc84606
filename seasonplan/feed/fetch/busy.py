"""Busy calendars by subscription: fetched into a file of the folder, which the year names.

The year never holds the link, which is somebody's secret; the private file does. What came last
and could be read is kept whatever comes next: a page that says sorry is no free week.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path
from urllib.parse import urlsplit

from seasonplan.busy.calendar import read_busy
from seasonplan.days import Span, count_text
from seasonplan.errors import BadInput, CannotWrite, Fault
from seasonplan.feed.fetch.fetch import Fetched, FetchFailed, FetchLimits, Trust, fetch
from seasonplan.feed.private import Private, Subscription, change_private, load_private
from seasonplan.files.disk import write_output

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,60}")
LEAST_HOURS, MOST_HOURS = 1, 24  # between two looks, doubled after each failure; preferences


class Came(StrEnum):
    CHANGED = "changed"
    SAME = "same"
    KEPT = "kept"  # what came could not be used


@dataclass(frozen=True, slots=True)
class Outcome:
    """What fetching one calendar gave; `why` where the old one is kept."""

    file: str
    came: Came
    why: str = ""


def file_for(name: str) -> str:
    """The file a calendar is kept in. Raises BadInput for no plain name."""
    stem = name.removesuffix(".ics")
    if not _NAME.fullmatch(stem) or stem == "seasonplan":
        wanted = "small letters, digits and hyphens, such as work"
        raise BadInput([Fault("busy", "NAME", None, repr(name), wanted, "Choose another name.")])
    return f"{stem}.ics"


def masked(url: str) -> str:
    """A link with everything left out that is secret."""
    parts = urlsplit(url)
    scheme = "http" if parts.scheme.lower() == "http" else "https"  # webcal: is asked by https
    return f"{scheme}://{parts.hostname or '?'}/…"


def subscribe(folder: Path, name: str, subscription: Subscription) -> str:
    """Note where a calendar comes from; the file it will be in. Raises BadInput."""
    file = file_for(name)
    if file not in load_private(folder).busy and (folder / file).exists():
        found, do = f"{file}, which is there already", "Choose another name, or move the file."
        raise BadInput([Fault("busy", "NAME", None, found, "a name that is free", do)])
    _note(folder, file, subscription)
    return file


def unsubscribe(folder: Path, name: str) -> str:
    """Forget where a calendar comes from; its file stays. Raises BadInput."""
    file = file_for(name)
    known = load_private(folder).busy
    if file not in known:
        wanted = " or ".join(known) or "a calendar that is fetched (there is none)"
        raise BadInput([Fault("busy", "NAME", None, file, wanted, "Correct the name.")])
    change_private(
        folder,
        lambda kept: kept.with_fields(
            busy={name: one for name, one in kept.busy.items() if name != file}
        ),
    )
    return file


def due(subscription: Subscription, now: datetime) -> bool:
    """Whether it is time to look again: rarer after each failure."""
    if subscription.checked is None:
        return True
    hours = min(MOST_HOURS, LEAST_HOURS * 2 ** min(subscription.failures, 10))
    return now - subscription.checked >= timedelta(hours=hours)


def refresh(
    folder: Path, file: str, *, span: Span, time_zone: str, now: datetime,
    even_empty: bool = False, trust: Trust | None = None, limits: FetchLimits | None = None,
    password: str = "",
) -> Outcome:  # fmt: skip
    """Fetch one calendar and keep it if it can be read within `span`.

    A calendar without any event replaces one that had some only with `even_empty`. `password`
    is for a calendar on a server.
    """
    kept = load_private(folder)
    known = kept.busy[file]
    trust = Trust(
        allow_private=known.allow_private,
        authorities=trust.authorities if trust else None,
        resolve=trust.resolve if trust else None,
    )
    path = folder / file
    tags = {"etag": known.etag, "last_modified": known.last_modified}
    if not path.exists() or not path.stat().st_size:
        tags = {}  # nothing is there to be still good
    try:
        if known.caldav:
            got = Fetched(_from_server(known, kept, span, password), "", "")
        else:
            got = fetch(known.url, **tags, trust=trust, limits=limits)
        if got.content is None:
            _note(folder, file, _looked(known, now))
            return Outcome(file, Came.SAME)
        _usable(got.content, path, span, time_zone, even_empty=even_empty)
    except FetchFailed as no:
        _note(folder, file, _looked(known, now, failed=True))
        return Outcome(file, Came.KEPT, str(no))
    came = Came.SAME if path.exists() and path.read_bytes() == got.content else Came.CHANGED
    if came is Came.CHANGED:
        _keep(path, got.content)
    tags = {"etag": got.etag, "last_modified": got.last_modified}
    changed = {"changed": now} if came is Came.CHANGED else {}
    _note(folder, file, _with(_looked(known, now), **tags, **changed))
    return Outcome(file, came)


def _from_server(known: Subscription, kept: Private, span: Span, password: str) -> bytes:
    """The times of a calendar on a server, without the sessions that we put there ourselves."""
    from seasonplan.feed.caldav.trouble import Unreachable
    from seasonplan.feed.fetch.times import busy_file

    ours = {uid for collection in kept.collections.values() for uid in collection.events}
    try:
        return busy_file(
            known.url, user=known.user, password=password, ca=known.ca, span=span, without=ours
        )
    except Unreachable as no:
        raise FetchFailed(f"{no.why}. {no.do}".removesuffix(".")) from None


def _usable(
    content: bytes, path: Path, span: Span, time_zone: str, *, even_empty: bool
) -> None:  # fmt: skip
    """Raises FetchFailed where a calendar was cut off, cannot be read, or says that all is free
    at once."""
    if not _whole(content):
        raise FetchFailed("it was cut off: found no END:VCALENDAR at its end")
    try:
        read = read_busy(content, file=path.name, span=span, time_zone=time_zone).read
    except BadInput as no:
        raise FetchFailed(f"found {no.faults[0].found}") from None
    if read or even_empty or not path.exists():
        return
    had = _read_before(path, span, time_zone)
    if had:
        came = content.upper().count(b"BEGIN:VEVENT")
        now = f"none of its {count_text(came, 'event')} can be read" if came else "it has no event"
        raise FetchFailed(
            f"{now}, and {had} could be read before; --even-empty takes it all the same"
        )


def _whole(content: bytes) -> bool:
    """Whether a file ends where a calendar does; what may have followed is not missed silently."""
    return content.rstrip(b"\0\x1a \t\r\n").upper().endswith(b"END:VCALENDAR")


def _read_before(path: Path, span: Span, time_zone: str) -> int:
    """How many events of the calendar that is kept can be read."""
    try:
        return read_busy(path.read_bytes(), file=path.name, span=span, time_zone=time_zone).read
    except (BadInput, OSError):
        return 0


def _keep(path: Path, content: bytes) -> None:
    """Whole, and for its owner alone: others' appointments are in it."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None
    write_output(path, content)


def _looked(known: Subscription, now: datetime, *, failed: bool = False) -> Subscription:
    return _with(known, checked=now, failures=known.failures + 1 if failed else 0)


def _with(known: Subscription, **changes: object) -> Subscription:
    fields = {name: getattr(known, name) for name in Subscription.model_fields}
    return Subscription(**fields | changes)


def _note(folder: Path, file: str, subscription: Subscription) -> None:
    def noted(kept: Private) -> Private:
        return kept.with_fields(busy={**kept.busy, file: subscription})

    change_private(folder, noted)
