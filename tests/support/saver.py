"""Run as a program of its own: saves that are killed, saves that meet, saves without room.

`python saver.py killed FOLDER TIMES`, `… counted FOLDER TIMES`, `… cramped FOLDER BYTES`.
Writes what happened as JSON. A process of its own, so that forks and limits touch no test.
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sys
import time
from functools import cache
from pathlib import Path

from draft_maker import YEAR, plan, revision

from seasonplan.errors import CannotWrite, ChangedOnDisk
from seasonplan.files import disk
from seasonplan.workspace import store
from seasonplan.workspace.store import DIARY_FILE, PLAN_FILE, YEAR_FILE, digest_of

MOST_SECONDS = 0.07  # how long after a save began the killing may wait, on any disk


def year_text(n: int) -> str:
    return f"{YEAR}# state {n}\n" + "# so that the file is longer than a page of the disk\n" * 200


@cache
def year_of(n: int) -> bytes:
    return year_text(n).encode()


@cache
def plan_of(n: int) -> bytes:
    return store.plan_text(plan(revision(cause=f"state {n}", year_text=year_text(n)))).encode()


@cache
def diary_of(n: int) -> bytes:
    return b"date,kind,note\n" + b"2027-01-04,note,state %d\n" % n * 300


def state_of(path: Path, content: bytes) -> int:
    """Which state a file is in; the words tell, the whole content must agree."""
    made = {YEAR_FILE: year_of, PLAN_FILE: plan_of, DIARY_FILE: diary_of}[path.name]
    n = int(content.rpartition(b"state ")[2].split(b"\n")[0].split(b'"')[0].split(b"\\")[0])
    if content != made(n):
        raise SystemExit(f"{path.name} is neither old nor new: {len(content)} bytes of state {n}")
    return n


def states(folder: Path) -> tuple[int, int, int]:
    found = [state_of(p, p.read_bytes()) for p in paths(folder)]
    return found[0], found[1], found[2]


def paths(folder: Path) -> list[Path]:
    return [folder / name for name in (YEAR_FILE, PLAN_FILE, DIARY_FILE)]


def save(folder: Path, n: int, old: tuple[int, int, int]) -> None:
    """Year and plan together, then the diary, from the states they are in."""
    based_on = digest_of(year_of(old[0])), digest_of(plan_of(old[1]))
    made = plan(revision(cause=f"state {n}", year_text=year_text(n)))
    store.save_both(folder, year_text(n), made, based_on=based_on)
    diary = diary_of(n).decode()
    store.save_diary(folder, diary, based_on=digest_of(diary_of(old[2])))


def child(folder: Path, old: tuple[int, int, int], begun: int) -> None:
    n = max(old) + 1
    os.write(begun, b"x")
    while True:
        save(folder, n, old)
        old, n = (n, n, n), n + 1


def killed(folder: Path, times: int) -> dict[str, int]:
    """Kill a saving child at random moments, and look at the files after each."""
    for path, content in zip(paths(folder), (year_of(0), plan_of(0), diary_of(0)), strict=True):
        path.write_bytes(content)
    rng, longest = random.Random(4), 0.0
    for n in range(1, 6):  # how long this disk takes
        begun_at = time.perf_counter()
        save(folder, n, (n - 1, n - 1, n - 1))
        longest = max(longest, time.perf_counter() - begun_at)
    longest = min(2 * longest, MOST_SECONDS)
    seen = {"kills": 0, "apart": 0, "parts": 0, "saved": 0, "stale": 0}
    old = states(folder)
    for _ in range(times):
        begins, begun = os.pipe()
        pid = os.fork()
        if pid == 0:
            child(folder, old, begun)
        os.read(begins, 1)
        time.sleep(rng.random() * longest)
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(begins)
        os.close(begun)
        now = states(folder)
        forward = all(new >= was for new, was in zip(now, old, strict=True))
        if not (now[0] >= now[1] >= now[2] and forward):
            raise SystemExit(f"states went from {old} to {now}")
        seen["kills"] += 1
        seen["apart"] += now[0] != now[2] or now[0] != now[1]
        seen["stale"] += now[0] != now[1]
        seen["parts"] += bool(list(folder.glob(".*.part")))
        seen["saved"] += now != old
        disk.finish(folder)
        old = states(folder)
        if old[0] != old[1] or old[0] < now[0] or list(folder.glob(".*.unfinished-save")):
            raise SystemExit(f"a save that was killed at {now} is not finished: {old}")
    save(folder, max(old) + 1, old)  # no lock is left behind
    if list(folder.glob(".*.part")):
        raise SystemExit("a later save leaves half-written files about")
    return seen


def counted(folder: Path, times: int) -> dict[str, int]:
    """Add 1 to a number in a file, again where somebody else was faster; begins with another."""
    path, again = folder / "count.txt", 0
    (folder / f"{os.getpid()}.here").touch()
    while len(list(folder.glob("*.here"))) < 2:
        time.sleep(0.001)
    for _ in range(times):
        while True:
            content = path.read_bytes()
            try:
                store.write(path, b"%d" % (int(content) + 1), based_on=digest_of(content))
                break
            except ChangedOnDisk:
                again += 1
    return {"again": again}


def cramped(folder: Path, most: int) -> dict[str, str]:
    """Save with a limit on the size of any file."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    return {"error": refused(folder)}


def refused(folder: Path) -> str:
    try:
        save(folder, 1, states(folder))
    except CannotWrite as error:
        return str(error)
    return "none"


if __name__ == "__main__":
    ways = {"killed": killed, "counted": counted, "cramped": cramped}
    print(json.dumps(ways[sys.argv[1]](Path(sys.argv[2]), int(sys.argv[3]))))
