"""Whole files, written safely, never over somebody else's change. Knows no format.

Write: lock, compare digests with what was read, write a file beside each, flush it to disk,
rename, flush the folder. A crash at any byte leaves each file old or new, whole.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple

from filelock import FileLock, Timeout

from seasonplan.errors import CannotWrite, ChangedOnDisk

LOCK_SECONDS = 10


class Save(NamedTuple):
    """A file to write, and the digest of what it should hold by now (None: no file)."""

    path: Path
    content: bytes
    based_on: str | None


def digest_of(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def write(path: Path, content: bytes, *, based_on: str | None) -> None:
    """Replace a file, whole, if its content still has the digest `based_on` (None: no file).

    Raises ChangedOnDisk or CannotWrite; in both cases the old file stands untouched.
    """
    write_all([Save(path, content, based_on)])


def write_all(saves: Sequence[Save]) -> None:
    """Replace several files in this order, all of them or, short of a crash, none.

    Nothing is renamed before all digests are right and all contents safe on the disk. A crash
    between two renames leaves the first new and the next old, each whole.
    """
    with ExitStack() as stack:
        for save in sorted(saves):  # in one order for everybody: nobody waits in a ring
            stack.enter_context(_locked(save.path))
        for save in saves:
            with _telling(save.path):
                if _digest_on_disk(save.path) != save.based_on:
                    raise ChangedOnDisk(str(save.path))
                _sweep(save.path)
        _replace([(save.path, save.content) for save in saves])


def write_output(path: Path, content: bytes) -> None:
    """Write a file that we may always make anew (an export), whole or not at all."""
    _replace([(path, content)])


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
    return digest_of(path.read_bytes()) if path.exists() else None


def _sweep(path: Path) -> None:
    """Take away what a killed program left half written; call it under the lock."""
    real = path.resolve()
    for part in real.parent.glob(f".{real.name}.*.part"):
        part.unlink(missing_ok=True)


def _replace(contents: Sequence[tuple[Path, bytes]]) -> None:
    parts: list[tuple[Path, Path, Path]] = []
    try:
        for path, content in contents:
            with _telling(path):
                parts.append((path, *_beside(path.resolve(), content)))
        for path, real, part in parts:
            with _telling(path):
                part.replace(real)
                _flush_folder(real.parent)
    finally:
        for _, _, part in parts:
            part.unlink(missing_ok=True)


def _beside(path: Path, content: bytes) -> tuple[Path, Path]:
    """The path, and a file beside it that holds the content, flushed to the disk."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return path, part


def _flush_folder(folder: Path) -> None:
    if os.name != "posix":
        return  # only POSIX lets a folder be opened and flushed
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
