"""Answers from the phone: what goes into the diary, from many at once, and over a kill."""

from __future__ import annotations

import http.client
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import date, time
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from answered import A, B, D, answer, answering, diary, page_of, uid
from folder_maker import YEAR, planned, session
from hurt import hurt_text
from page_lines import filled, lines
from served import SECRET, Served, ask, free_port

from seasonplan.diary import Did
from seasonplan.edits import MarkDone, MoveSession
from seasonplan.feed.address import address_of
from seasonplan.feed.pages.answers import FORM
from seasonplan.feed.parts import Part
from seasonplan.feed.private import change_private
from seasonplan.plan import Session
from seasonplan.vocabulary import BodyPart, Side
from seasonplan.workspace.desk import Desk
from tui.bench import Bench


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def test_an_answer_is_an_edit_like_one_of_the_terminal(folder: Path, tmp_path: Path) -> None:
    with answering(folder) as served:
        reply = answer(served, did="done", effort="7")
        assert (reply.status, reply.content) == (303, b"")
        assert reply.headers["location"] == urlsplit(served.page).path + uid(A)
        seen = lines(ask(served.base + reply.headers["location"]).content.decode())
        week = ask(served.page).content.decode()
    (tmp_path / "other").mkdir()
    other = planned(tmp_path / "other")
    Desk(other).change(MarkDone(session="a", rpe=7, on=date(2027, 1, 5)))
    assert (folder / "diary.csv").read_bytes() == (other / "diary.csv").read_bytes()
    told = "In your diary: Tue 5 Jan 2027: done, Routes on the wall, 90 minutes, effort 7 of 10."
    assert told in seen and "Routes on the wall</a>, hard 6/10. <b>done</b>" in week


def test_skipped_and_what_hurt_are_written_down_too(folder: Path) -> None:
    with answering(folder) as served:
        reply = answer(served, B, did="skipped", part="finger", side="left", pain="3")
        assert reply.status == 303
        seen = lines(page_of(served, B))
    (row,) = diary(folder)
    assert (row.session, row.kind, row.rpe, row.minutes) == ("b", Did.MISSED, None, None)
    assert (row.part, row.side, row.pain) == (BodyPart.FINGER, Side.LEFT, 3)
    told = "In your diary: Wed 6 Jan 2027: missed, Light holds. What hurt is in it, too."
    assert told in seen, "the page of a calendar that hides injuries names no part"


def test_a_session_that_was_moved_is_answered_on_its_new_day(folder: Path) -> None:
    Desk(folder).change(MoveSession(session="a", day=date(2027, 1, 6), start=time(7)))
    with answering(folder) as served:
        assert "Wed 6 Jan 2027, 07:00-08:30" in page_of(served)
        assert answer(served, did="done", effort="7").status == 303
    (row,) = diary(folder)
    assert (row.session, row.kind, row.date) == ("a", Did.DONE, date(2027, 1, 6))


def test_the_terminal_sees_an_answer_at_once(folder: Path) -> None:
    bench = Bench(folder)
    with answering(folder) as served:
        assert not bench.changed_outside
        assert answer(served, did="done").status == 303
        assert bench.changed_outside


def test_what_is_over_or_marked_is_not_to_be_left_out_any_more(tmp_path: Path) -> None:
    hurt = hurt_text(
        "Ring finger", "finger", "2026-12-20", "2027-01-20", "2027-02-10", "2027-03-01"
    )
    with answering(planned(tmp_path, year=YEAR + hurt)) as served:
        told = {one.id: "! Leave it out" in page_of(served, one) for one in (A, B, D)}
        assert told == {"a": False, "b": True, "d": True}, "a was yesterday"
        answer(served, B, did="skipped")
        assert "! Leave it out" not in page_of(served, B)


def test_another_answer_counts_after_the_first_and_both_stay(folder: Path) -> None:
    with answering(folder) as served:
        answer(served, did="done", effort="7")
        assert answer(served, did="done", effort="8").status == 303
        assert "effort 8 of 10" in "".join(lines(page_of(served)))
    assert [row.rpe for row in diary(folder)] == [7, 8]


@pytest.mark.parametrize("part", [Part.ALL, Part.SESSIONS])
def test_the_link_in_the_calendar_leads_to_where_it_is_answered(folder: Path, part: Part) -> None:
    with answering(folder) as served:
        url = served.url(part).replace(part.file, uid(A))
        body = filled(ask(url).content.decode(), did="done")
        reply = ask(url, method="POST", body=body, content_type=FORM, origin=served.base)
        assert reply.status == 303 and reply.headers["location"] == urlsplit(url).path
    assert len(diary(folder)) == 1


def test_a_form_is_kept_by_nobody_and_sent_to_its_own_page_alone(folder: Path) -> None:
    with answering(folder) as served:
        reply = ask(served.page + uid(A))
        other = [served.get(served.page), *(served.get(served.url(part)) for part in Part)]
        later = ask(served.page + uid(D)).content.decode()
    assert reply.headers["cache-control"] == "no-store" and "etag" not in reply.headers
    assert reply.headers["referrer-policy"] == "same-origin"
    assert "form-action 'self'" in reply.headers["content-security-policy"]
    assert "default-src 'none'" in reply.headers["content-security-policy"]
    for one in other:
        assert b"token" not in one.content
        assert "form-action 'none'" in one.headers["content-security-policy"]
    assert "<form" not in later
    assert "When the day has come you can answer here" in later


# --- many at once, and the end of it ----------------------------------------------------------


@contextmanager
def server(folder: Path, port: int) -> Iterator[subprocess.Popen[bytes]]:
    """`seasonplan serve --answers` in a process of its own, up and answering."""
    command = "from seasonplan.cli import main; main()"
    options = ["serve", str(folder), "--port", str(port), "--answers"]
    with (folder / "told").open("a") as told:
        process = subprocess.Popen(
            [sys.executable, "-c", command, *options], stdout=subprocess.DEVNULL, stderr=told
        )
    for _ in range(600):
        try:
            ask(f"http://127.0.0.1:{port}/")
            break
        except OSError:
            threading.Event().wait(0.05)
    try:
        yield process
    finally:
        process.kill()
        process.communicate(timeout=30)


def test_answers_of_twenty_clients_and_a_kill_lose_nothing(tmp_path: Path) -> None:
    many = [session(f"s{n}", "mobility", n % 20, "18:00", 20) for n in range(20)]
    folder = planned(tmp_path, year=YEAR.replace("2027-", "2020-"), sessions=many_of_2020(many))
    change_private(folder, lambda kept: kept.with_fields(address=address_of(SECRET)))
    port = free_port()
    served: Any = Served(f"http://127.0.0.1:{port}", None)  # type: ignore[arg-type]
    said: list[str] = []

    def client(one: Session) -> None:
        try:
            if answer(served, one, did="done", effort="4").status == 303:
                said.append(one.id)
        except (OSError, http.client.HTTPException, ValueError):
            pass  # the server is gone

    with server(folder, port) as process, ThreadPoolExecutor(20) as pool:
        sent = [pool.submit(client, one) for one in many_of_2020(many)]
        while len(said) < 5 and not all(one.done() for one in sent):
            threading.Event().wait(0.01)
        process.send_signal(signal.SIGKILL)
    before = [row.session for row in diary(folder)]
    assert len(said) >= 5 and set(said) <= set(before) and len(set(before)) == len(before)
    with server(folder, port):
        for one in many_of_2020(many):
            if "In your diary" not in page_of(served, one):
                client(one)
    told = (folder / "told").read_text(encoding="utf-8")
    assert told.count("Answers are let in: whoever has a link can write into your diary.") == 2
    assert SECRET not in told and uid(many[0]) not in told
    rows = [row.session for row in diary(folder)]
    assert rows[: len(before)] == before and sorted(rows) == sorted(one.id for one in many)


def many_of_2020(sessions: list[Session]) -> tuple[Session, ...]:
    """The same in a year that is over for whoever runs this."""
    return tuple(Session(**dict(one) | {"day": one.day.replace(year=2020)}) for one in sessions)
