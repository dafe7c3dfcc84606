"""The one private file of a folder: digests of addresses, what was published, whom we fetch from.

Readable by its owner alone (mode 600): the link of a busy calendar is a secret of somebody's.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError

from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk, Fault
from seasonplan.feed.address import Address
from seasonplan.feed.contents import Seen, Wish
from seasonplan.files.disk import digest_of, read_whole, write
from seasonplan.ical.shown import Shown
from seasonplan.vocabulary import FrozenModel

PRIVATE_FILE = "feed.json"
SCHEMA = 1
SERVED, EXPORTED = "serve", "export"
TRIES = 20
DO = "Restore it from a backup; or delete it and make a new address with `seasonplan serve`."


class Put(FrozenModel):
    """An event of ours in a collection: `digest` of what we wrote, `etag` the server gave, `alarm`
    the trigger of the alarm in it, `when` its time.

    Before it is written the first time all are empty: it may or may not be there.
    """

    digest: str = ""
    etag: str = ""
    alarm: str = ""
    when: str = ""


class Collection(FrozenModel):
    """A CalDAV collection that we publish to, what is shown there, every event of ours by UID.

    `ca` is the file of the authority that signs for the server, where it is not a usual one.
    """

    user: str = ""
    ca: str = ""
    wish: Wish = Wish()
    events: Mapping[str, Put] = Field(default_factory=dict)


class Hosted(FrozenModel):
    """A folder that we publish to, what is shown there, and the files that are ours.

    `url` is where the folder is to be had; empty where nobody said.
    """

    inside: str
    url: str = ""
    wish: Wish = Wish()
    files: tuple[str, ...] = ()


class Subscription(FrozenModel):
    """Where a busy calendar comes from. `url` is a secret of whoever gave it.

    With `caldav` it is a collection on a server, read as `user`; `ca` as for `Collection`.
    """

    url: str
    allow_private: bool = False
    caldav: bool = False
    user: str = ""
    ca: str = ""
    etag: str = ""
    last_modified: str = ""
    checked: datetime | None = None
    changed: datetime | None = None
    failures: int = 0


class Private(FrozenModel):
    """All that is kept. Collections are by address, folders by path, busy calendars by file.

    `shown` has what each calendar shows of each event: by address or path, or SERVED, or EXPORTED
    with the name of the file.
    """

    schema_version: int = Field(SCHEMA, ge=1, le=SCHEMA)
    address: Address | None = None
    seen: Mapping[str, Seen] = Field(default_factory=dict)
    collections: Mapping[str, Collection] = Field(default_factory=dict)
    folders: Mapping[str, Hosted] = Field(default_factory=dict)
    busy: Mapping[str, Subscription] = Field(default_factory=dict)
    shown: Mapping[str, Mapping[str, Shown]] = Field(default_factory=dict)

    def with_fields(self, **changes: Any) -> Private:
        return Private(**{name: getattr(self, name) for name in type(self).model_fields} | changes)


def keep_shown(folder: Path, road: str, shown: Mapping[str, Shown] | None) -> None:
    """Note what a calendar shows by now; None forgets it."""

    def changed(kept: Private) -> Private:
        rest = {one: known for one, known in kept.shown.items() if one != road}
        return kept.with_fields(shown=rest | ({road: dict(shown)} if shown is not None else {}))

    change_private(folder, changed)


def load_private(folder: Path) -> Private:
    """What is kept in a folder; nothing where nothing is. Raises BadInput."""
    return _read(folder / PRIVATE_FILE)[0]


def change_private(folder: Path, change: Callable[[Private], Private]) -> Private:
    """Keep what `change` makes of what is kept; tried again if somebody else was quicker."""
    path = folder / PRIVATE_FILE
    for _ in range(TRIES):
        before, digest = _read(path)
        after = change(before)
        if after == before:
            return before
        _make_private(path)
        content = after.model_dump_json(exclude_defaults=True, indent=1).encode() + b"\n"
        try:
            write(path, content, based_on=digest or digest_of(b""))
        except ChangedOnDisk:
            continue
        return after
    raise ChangedOnDisk(str(path))


def _read(path: Path) -> tuple[Private, str | None]:
    try:
        content = read_whole(path)
    except FileNotFoundError:
        return Private(), None
    except OSError as error:
        raise BadInput(
            [Fault(str(path), "", None, error.strerror or "?", "a file we may read", "Check it.")]
        ) from None
    if not content:
        return Private(), digest_of(b"")
    try:
        return Private.model_validate_json(content), digest_of(content)
    except ValidationError as error:  # says where, never what: values are secret
        places = [".".join(map(str, one["loc"][:1])) for one in error.errors()]
        raise BadInput(
            Fault(str(path), place, None, "something else", "what we wrote", DO)
            for place in dict.fromkeys(places)
        ) from None


def _make_private(path: Path) -> None:
    """An empty file for its owner alone, before anything is in it; one that others read is shut."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
        if path.stat().st_mode & 0o077:
            path.chmod(0o600)
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None
