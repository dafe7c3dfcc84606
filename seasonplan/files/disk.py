"""Whole files, read and written safely, never over somebody else's change. Knows no format.

Write: lock, compare digests with what was read, write a file beside each, flush it to disk,
rename, flush the folder. A crash at any byte leaves each file old or new, whole; several files of
one folder that are written together are finished by whoever opens the folder next.
"""

from __future__ import annotations

import hashlib
import os
import stat
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple

from filelock import FileLock, Timeout

from seasonplan.errors import CannotWrite, ChangedOnDisk
from seasonplan.files import journal

LOCK_SECONDS = 10
# What may stand where a file is wanted; reading it might never end.
_NO_FILES = {
    stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket",
    stat.S_IFCHR: "a device", stat.S_IFBLK: "a device",
}  # fmt: skip


class NotAFile(OSError):
    """A folder, pipe or device where a file is wanted; `strerror` says which."""


class Save(NamedTuple):
    """A file to write, and the digest of what it should hold by now (None: no file)."""

    path: Path
    content: bytes
    based_on: str | None


class _Part(NamedTuple):
    """What a file will hold, written beside it."""

    path: Path
    real: Path  # where links lead
    part: Path


def digest_of(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def read_whole(path: Path) -> bytes:
    """A whole file. Raises OSError; NotAFile for what is none, without waiting for it."""
    _refuse_no_file(path.stat().st_mode)
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        _refuse_no_file(os.fstat(file.fileno()).st_mode)  # it may be another by now
        return file.read()


def _refuse_no_file(mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise NotAFile(None, _NO_FILES.get(stat.S_IFMT(mode), "no file"))


def write(path: Path, content: bytes, *, based_on: str | None) -> None:
    """Replace a file, whole, if its content still has the digest `based_on` (None: no file).

    Raises ChangedOnDisk or CannotWrite; in both cases the old file stands untouched.
    """
    write_all([Save(path, content, based_on)])


def write_all(saves: Sequence[Save]) -> None:
    """Replace several files of one folder in this order, all of them or none.

    Nothing is renamed before all digests are right and all contents safe on the disk. What a
    crash between two renames leaves undone `finish` does.
    """
    paths = [save.path for save in saves]
    (folder,) = {path.parent for path in paths}
    finish(folder)
    with _all_locked(paths):
        for save in saves:
            with _telling(save.path):
                if _digest_on_disk(save.path) != save.based_on:
                    raise ChangedOnDisk(str(save.path))
                _sweep(save.path)
        _replace([(save.path, save.content) for save in saves])


def write_output(path: Path, content: bytes) -> None:
    """Write a file that we may always make anew (an export), whole or not at all."""
    _replace([(path, content)])


def finish(folder: Path) -> None:
    """Finish what a killed program began to write in a folder. Raises CannotWrite."""
    for path in journal.pending(folder):
        named = [folder / step.name for step in journal.steps_of(path)]
        with _all_locked(named), _telling(path):
            if path.exists():  # else its program lives, and has finished it
                journal.finish(path, digest=_digest_on_disk)


@contextmanager
def _all_locked(paths: Iterable[Path]) -> Iterator[None]:
    with ExitStack() as stack:
        for path in sorted(paths):  # in one order for everybody: nobody waits in a ring
            stack.enter_context(_locked(path))
        yield


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    lock = FileLock(path.with_name(f".{path.name}.lock"), timeout=LOCK_SECONDS)
    with _telling(path):
        path.parent.stat()  # the lock would make a folder that is not there
        try:
            lock.acquire()
        except Timeout:
            raise CannotWrite(str(path), "another program holds its lock") from None
    try:
        yield
    finally:
        lock.release()


@contextmanager
def _telling(path: Path) -> Iterator[None]:
    """Errors of the system as CannotWrite."""
    try:
        yield
    except OSError as error:
        raise CannotWrite(str(path), error.strerror or str(error)) from None


def _digest_on_disk(path: Path) -> str | None:
    return digest_of(read_whole(path)) if path.exists() else None


def _sweep(path: Path) -> None:
    """Take away what a killed program left half written; call it under the lock."""
    real = path.resolve()
    for part in real.parent.glob(f".{real.name}.*.part"):
        part.unlink(missing_ok=True)


def _replace(contents: Sequence[tuple[Path, bytes]]) -> None:
    parts: list[_Part] = []
    note = None
    done = 0
    try:
        for path, content in contents:
            with _telling(path):
                parts.append(_beside(path, content))
        note = _note(parts, [digest_of(content) for _, content in contents])
        for path, real, part in parts:
            with _telling(path):
                part.replace(real)
                done += 1
                journal.flush_folder(real.parent)
    finally:
        if not 0 < done < len(parts):  # else the rest is done at the next opening
            _clean(note, parts)


def _note(parts: Sequence[_Part], digests: Sequence[str]) -> Path | None:
    """The note of several renames; one rename needs none."""
    if len(parts) < 2:
        return None
    folder = parts[0].path.parent
    with _telling(folder):
        steps = [
            journal.Step(path.name, part.name, _digest_on_disk(path), digest)
            for (path, _, part), digest in zip(parts, digests, strict=True)
        ]
        return journal.note(folder, steps)


def _clean(note: Path | None, parts: Sequence[_Part]) -> None:
    if note is not None:
        note.unlink(missing_ok=True)  # before the parts it names
    for part in parts:
        part.part.unlink(missing_ok=True)


def _beside(path: Path, content: bytes) -> _Part:
    """A file beside another that holds its content to be, flushed to the disk."""
    real = path.resolve()
    if real.exists():
        _refuse_no_file(real.stat().st_mode)
    handle, name = tempfile.mkstemp(prefix=f".{real.name}.", suffix=".part", dir=real.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(real.stat().st_mode & 0o777 if real.exists() else 0o644)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return _Part(path, real, part)
