"""Answers from phones, many at once and over kills: `python tests/benchmarks/answers.py`.

A year with 400 sessions that have come is served by a process of its own with `--answers`; 20
clients answer every session, and the server is killed again and again while they do. What was
said to be written must be in the diary, nothing twice, and in the end all of it. Counts and speed
are told; it ends with 1 where an answer was lost or doubled.
"""

from __future__ import annotations

import http.client
import random
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event, Lock
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from folder_maker import KEY, YEAR, planned, session
from page_lines import filled
from served import SECRET, ask, free_port

from seasonplan.diary import parse
from seasonplan.feed.address import address_of
from seasonplan.feed.pages.answers import FORM
from seasonplan.feed.private import change_private
from seasonplan.ical import session_uid
from seasonplan.plan import Session
from seasonplan.workspace import store

CLIENTS, SESSIONS, KILLS = 20, 400, 8
# The limit for one address is lifted: here all clients have the same
SERVE = """\
from seasonplan.feed.serve import limits
limits.ANSWERS = limits.BODIES = limits.MISSES = limits.Rate(1e9, 1e9)
from seasonplan.cli import main
main()
"""


class Run:
    """The clients, what they were told, and the server that is killed under them."""

    def __init__(self, folder: Path, sessions: list[Session]) -> None:
        self.folder, self.sessions, self.port = folder, sessions, free_port()
        self.base = f"http://127.0.0.1:{self.port}"
        self.said: set[str] = set()
        self.statuses: Counter[object] = Counter()
        self._lock = Lock()

    def serve(self) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(
            [
                sys.executable, "-c", SERVE, "serve", str(self.folder), "--port", str(self.port),
                "--answers",
            ],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        while process.poll() is None:
            try:
                ask(self.base + "/")
                break
            except OSError:
                Event().wait(0.05)
        return process

    def answer(self, one: Session) -> None:
        """Look at a session and answer it, again and again until it is in the diary."""
        url = f"{self.base}/{SECRET}/{session_uid(KEY, one)}"
        while True:
            try:
                html = ask(url).content.decode()
                if "In your diary" in html:
                    return
                if "<form" not in html:  # busy
                    Event().wait(0.2)
                    continue
                body = filled(html, did="done", effort=str(random.randrange(11)))
                reply = ask(url, method="POST", body=body, content_type=FORM, origin=self.base)
            except (OSError, http.client.HTTPException) as error:
                self._count(type(error).__name__)
                Event().wait(0.1)
                continue
            self._count(reply.status)
            if reply.status == 303:
                with self._lock:
                    self.said.add(one.id)

    def _count(self, what: object) -> None:
        with self._lock:
            self.statuses[what] += 1

    def rows(self) -> Counter[str]:
        text = store.load_diary(self.folder).text
        return Counter(row.session for row in parse(text, file="diary.csv"))


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        sessions = [
            Session(**dict(one) | {"day": one.day.replace(year=2020)})
            for one in (session(f"s{n}", "mobility", n % 50, "18:00", 20) for n in range(SESSIONS))
        ]
        folder = planned(Path(name), year=YEAR.replace("2027-", "2020-"), sessions=tuple(sessions))
        change_private(folder, lambda kept: kept.with_fields(address=address_of(SECRET)))
        return told(Run(folder, sessions))


def told(run: Run) -> int:
    began, process = perf_counter(), run.serve()
    lost: set[str] = set()
    with ThreadPoolExecutor(CLIENTS) as pool:
        sent = [pool.submit(run.answer, one) for one in run.sessions]
        for kill in range(1, KILLS + 1):
            while len(run.said) < kill * SESSIONS // (KILLS + 1):
                Event().wait(0.02)
            process.kill()
            process.wait()
            said = set(run.said)
            lost |= said - run.rows().keys()
            process = run.serve()
        for one in sent:
            one.result()
    process.kill()
    process.wait()
    rows, seconds = run.rows(), perf_counter() - began
    lost |= {one.id for one in run.sessions} - rows.keys()
    doubled = [name for name, times in rows.items() if times > 1]
    print(f"{len(rows)} sessions answered by {CLIENTS} clients over {KILLS} kills, {seconds:.0f} s")
    print(f"  answers and ends: {dict(run.statuses)}")
    print(f"  lost: {len(lost)}, twice in the diary: {len(doubled)}")
    return int(bool(lost or doubled))


if __name__ == "__main__":
    sys.exit(main())
