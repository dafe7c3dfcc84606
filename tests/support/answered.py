"""A server that lets answers in, and a browser that sends them, for the tests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from folder_maker import KEY, SESSIONS
from page_lines import filled
from served import Reply, Served, ask, serving, unlimited

from seasonplan.cli.answering import present_of, taker
from seasonplan.diary import DiaryEntry, parse
from seasonplan.feed.pages.answers import FORM
from seasonplan.ical import session_uid
from seasonplan.plan import Session
from seasonplan.workspace import store

NOW = datetime(2027, 1, 6, 20, tzinfo=UTC)  # sessions a, b and c have come, d has not
A, B, C, D = SESSIONS[:4]


@contextmanager
def answering(folder: Path, *, told: list[str] | None = None, **options: Any) -> Iterator[Served]:
    """Our server, as `seasonplan serve --answers` runs it."""
    tell = (told if told is not None else []).append
    present = present_of(folder, diary=True, tell=tell)
    usual = {
        "present": lambda: replace(present(), now=NOW), "take": taker(folder, tell),
        "answers": unlimited(), "now": lambda: NOW,
    }  # fmt: skip
    with serving(folder, **usual | options) as served:
        yield served


def uid(one: Session) -> str:
    return session_uid(KEY, one)


def page_of(served: Served, one: Session = A) -> str:
    return ask(served.page + uid(one)).content.decode()


def post(served: Served, body: str, one: Session = A, **headers: str) -> Reply:
    """A form sent as a browser sends it."""
    usual = {"content_type": FORM, "origin": served.base}
    named = {name: value for name, value in (usual | headers).items() if value}
    return ask(served.page + uid(one), method="POST", body=body, **named)


def answer(served: Served, one: Session = A, **said: str) -> Reply:
    return post(served, filled(page_of(served, one), **said), one)


def diary(folder: Path) -> tuple[DiaryEntry, ...]:
    return parse(store.load_diary(folder).text, file="diary.csv")
