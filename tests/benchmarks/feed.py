"""How fast the feed is: `python tests/benchmarks/feed.py`. Nothing here is asserted.

Two years with sessions are planned once (within 5 %), served by a process of its own on
127.0.0.1, and asked 10,000 times by 20 clients that have the calendar already. Targets are those
of DEVELOPERS.md, for two cores.
"""

from __future__ import annotations

import http.client
import json
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter
from typing import Any
from urllib.parse import urlsplit

HERE = Path(__file__).parent
CLIENTS, REQUESTS = 20, 500
NOW = datetime(2027, 1, 1, 12, tzinfo=UTC)


def planned(folder: Path) -> None:
    from seasonplan.workspace.desk import Desk

    shutil.copy(HERE / "two-years.toml", folder / "year.toml")
    Desk(folder).make_plan("benchmark", stamp=NOW)


def build(folder: Path) -> None:
    """Milliseconds to make one calendar, all of them, and to see that nothing changed."""
    from seasonplan.cli.accepted import accepted, marks
    from seasonplan.feed.contents import Shelf, Wish, part_bytes
    from seasonplan.feed.parts import Part
    from seasonplan.ical.event import written

    year, plan = accepted(folder)
    whole = part_bytes(year, plan, Part.ALL, Wish())
    print(f"two years: {whole.count(b'BEGIN:VEVENT')} events, {len(whole) / 1e6:.2f} MB")
    for part in Part:

        def one(part: Part = part) -> None:
            written.cache_clear()
            part_bytes(year, plan, part, Wish())

        _tell(f"one calendar, {part.value}, no event as before", one)
    mark = [0]
    shelf = Shelf(
        lambda: accepted(folder), lambda: (marks(folder / "plan.json"), mark[0]), wish=Wish(),
        now=lambda: NOW + timedelta(seconds=mark[0]),
    )  # fmt: skip
    shelf.contents()

    def changed() -> None:
        mark[0] += 1
        shelf.contents()

    def all_changed() -> None:
        written.cache_clear()
        changed()

    _tell("read the plan, make all four, page and picture; no event as before", all_changed)
    _tell("the same; every event as before", changed)
    before = shelf.built
    _tell("nothing changed", shelf.contents)
    print(f"  made anew when nothing changed: {shelf.built - before} times")


def _tell(what: str, act: Any) -> None:
    times = []
    for _ in range(5):
        began = perf_counter()
        act()
        times.append(perf_counter() - began)
    print(f"  {what}: {1000 * statistics.median(times):.1f} ms")


def serve(folder: Path) -> None:
    """Answers, requests a second, and memory of the server before and after."""
    process = subprocess.Popen(
        [
            sys.executable, "-c", "from seasonplan.cli import main; main()", "serve", str(folder),
            "--port", "0", "--json",
        ],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    lines: list[str] = []
    while not lines or not lines[-1].startswith("}"):
        lines.append(process.stdout.readline())
    urls = list(json.loads("".join(lines))["calendars"].values())
    try:
        for run in range(2):
            began = perf_counter()
            with ThreadPoolExecutor(CLIENTS) as pool:
                found = list(pool.map(lambda n: client(urls[n % len(urls)]), range(CLIENTS)))
            seconds = perf_counter() - began
            answers = sum(found, Counter[int]())
            share = 100 * answers[304] / sum(answers.values())
            print(
                f"run {run + 1}: {dict(answers)}, {share:.1f} % not modified, "
                f"{sum(answers.values()) / seconds:.0f} a second, {memory(process.pid)}"
            )
    finally:
        process.terminate()
        process.wait(30)


def client(url: str) -> Counter[int]:
    """One client: fetches once, then asks again and again whether it changed."""
    parts, answers = urlsplit(url), Counter[int]()
    line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=60)
    tag = ""
    for _ in range(REQUESTS):
        line.request("GET", parts.path, headers={"If-None-Match": tag} if tag else {})
        answer = line.getresponse()
        answer.read()
        tag = tag or answer.headers["ETag"]
        answers[answer.status] += 1
    line.close()
    return answers


def memory(pid: int) -> str:
    try:
        lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    except OSError:
        return "memory unknown"
    found = {line.split(":")[0]: line.split()[1] for line in lines if line.startswith("Vm")}
    now, peak = (int(found[name]) / 1024 for name in ("VmRSS", "VmHWM"))
    return f"{now:.1f} MB now, {peak:.1f} MB at most"


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        planned(folder)
        build(folder)
        serve(folder)


if __name__ == "__main__":
    main()
