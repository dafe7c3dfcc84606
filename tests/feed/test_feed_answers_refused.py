"""Answers that are none, come too late or from elsewhere: status, words, nothing written."""

from __future__ import annotations

import http.client
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit
from uuid import uuid5

import pytest
from answered import NOW, A, B, D, answer, answering, diary, page_of, post, uid
from folder_maker import KEY, SESSIONS, planned, session
from page_lines import filled
from served import SECRET, Reply, Served, ask
from test_feed import replanned

from seasonplan.cli.answering import present_of
from seasonplan.diary import Did
from seasonplan.edits import MarkDone
from seasonplan.feed.pages.answers import FORM, RUN_OUT, STALE, TWICE, Refused, Shown, Tokens
from seasonplan.feed.parts import Part
from seasonplan.feed.serve.limits import Allowance, Rate
from seasonplan.workspace.desk import Desk


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


@pytest.fixture(scope="module")
def quiet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Served]]:
    """A folder and the server on it, for what must change nothing in either."""
    folder = planned(tmp_path_factory.mktemp("quiet"))
    with answering(folder) as served:
        yield folder, served


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "Say whether it was done or skipped."),
        ({"did": "maybe"}, "Say whether it was done or skipped."),
        ({"did": "skipped", "effort": "3"}, "An effort goes with a session that was done."),
        ({"did": "done", "effort": "11"}, "Effort is a whole number from 0 to 10."),
        ({"did": "done", "effort": "-1"}, "Effort is a whole number from 0 to 10."),
        ({"did": "done", "effort": "7.5"}, "Effort is a whole number from 0 to 10."),
        ({"did": "done", "pain": "3"}, "Say both what hurt and how much, or neither."),
        ({"did": "done", "part": "finger"}, "Say both what hurt and how much, or neither."),
        ({"did": "done", "side": "left"}, "Say what hurt on that side, or choose no side."),
        ({"did": "done", "part": "tail", "pain": "3"}, "This is not what the form sends."),
        ({"did": "done", "minutes": "9"}, "This is not what the form sends."),
    ],
)
def test_what_the_form_cannot_mean_is_refused_in_words(
    quiet: tuple[Path, Served], said: dict[str, str], words: str
) -> None:
    folder, served = quiet
    reply = post(served, filled(page_of(served), **said))
    assert reply.status == 422 and words in reply.content.decode()
    assert uid(A) in reply.content.decode(), "there is a way back"
    assert diary(folder) == ()


def test_what_was_refused_can_be_mended_in_the_same_form(folder: Path) -> None:
    with answering(folder) as served:
        html = page_of(served)
        assert post(served, filled(html, did="done", pain="3")).status == 422
        assert post(served, filled(html, did="done", pain="3", part="hip")).status == 303
    assert [row.pain for row in diary(folder)] == [3]


@pytest.mark.parametrize("body", ["token", "token=a&token=b", "did=%ff", "=", "a=1&" * 9, "\x00"])
def test_what_is_no_form_is_refused(quiet: tuple[Path, Served], body: str) -> None:
    folder, served = quiet
    assert post(served, body).status == 422 and diary(folder) == ()


def test_a_day_that_has_not_come_cannot_be_answered(folder: Path) -> None:
    with answering(folder) as served:
        token = filled(page_of(served), did="done")
        reply = post(served, token, D)
        assert reply.status == 422
        assert "Tue 26 Jan 2027, 18:00-19:15: that has not come yet." in reply.content.decode()
        assert post(served, token).status == 303
    assert [row.session for row in diary(folder)] == ["a"]


def wrong_token(served: Served) -> Reply:
    return post(served, filled(page_of(served), did="done", token="x" * 32))


def no_token(served: Served) -> Reply:
    return post(served, "did=done")


def token_of_another(served: Served) -> Reply:
    return post(served, filled(page_of(served, B), did="done"))


def too_big(served: Served) -> Reply:
    return post(served, filled(page_of(served), did="done") + "&x=" + "a" * 2_000)


def sent(**otherwise: str) -> Callable[[Served], Reply]:
    """A good answer, sent otherwise than our own page sends it."""
    return lambda served: post(served, filled(page_of(served), did="done"), **otherwise)


def with_another_scheme(served: Served) -> Reply:
    origin = served.base.replace("http", "https")
    return post(served, filled(page_of(served), did="done"), origin=origin)


def sent_to(place: Callable[[Served], str]) -> Callable[[Served], Reply]:
    """A good answer, sent to another place than its session's page."""
    return lambda served: ask(
        place(served), method="POST", body=filled(page_of(served), did="done"), content_type=FORM,
        origin=served.base,
    )  # fmt: skip


def another_secret(served: Served) -> str:
    return served.page.replace(SECRET, SECRET[::-1]) + uid(A)


def a_block(served: Served) -> str:
    url = f"{served.page}{uuid5(KEY, 'base-1')}"
    assert ask(url).status == 200
    return url


def by_put(served: Served) -> Reply:
    return ask(served.page + uid(A), method="PUT", body="did=done", content_type=FORM)


def in_pieces(served: Served) -> Reply:
    parts = urlsplit(served.page + uid(A))
    line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=30)
    body = filled(page_of(served), did="done").encode()
    headers = {"Content-Type": FORM, "Origin": served.base}
    line.request("POST", parts.path, iter([body]), headers, encode_chunked=True)
    reply = line.getresponse()
    found = Reply(reply.status, dict(reply.getheaders()), reply.read())
    line.close()
    return found


ELSEWHERE = "was not sent from its own page"


# RFC 9110 15.5: 403 forbidden, 404 not found, 405 method, 411 length, 413 too large, 415 type
@pytest.mark.parametrize(
    ("act", "status", "words"),
    [
        (wrong_token, 403, RUN_OUT), (no_token, 403, RUN_OUT), (token_of_another, 403, RUN_OUT),
        (too_big, 413, "Too much: an answer has at most 2000 bytes."),
        (sent(content_type="text/plain"), 415, f"wanted {FORM}"),
        (sent(content_type=""), 415, f"wanted {FORM}"),
        (sent(origin="http://evil.example"), 403, ELSEWHERE),
        (sent(origin="http://127.0.0.1:1"), 403, ELSEWHERE),
        (with_another_scheme, 403, ELSEWHERE),
        (sent(origin="null"), 403, ELSEWHERE),
        (sent(origin=""), 403, ELSEWHERE),
        (sent(sec_fetch_site="cross-site"), 403, ELSEWHERE),
        (sent(sec_fetch_site="same-site"), 403, ELSEWHERE),
        (sent_to(another_secret), 404, "Nothing is here."),
        (sent_to(lambda served: served.page + uid(A)[::-1]), 404, "Nothing is here."),
        (sent_to(lambda served: served.page), 405, "Only GET and HEAD"),
        (sent_to(lambda served: served.url(Part.ALL)), 405, "Only GET and HEAD"),
        (sent_to(a_block), 405, "There is nothing to answer here."),
        (by_put, 405, "Only GET and HEAD"), (in_pieces, 411, "length of the content"),
    ],
)  # fmt: skip
def test_what_is_no_answer_of_ours_is_refused_and_nothing_is_written(
    quiet: tuple[Path, Served], act: Callable[[Served], Reply], status: int, words: str
) -> None:
    folder, served = quiet
    reply = act(served)
    assert reply.status == status and words in reply.content.decode()
    assert not [line for line in served.log if SECRET in line or uid(A) in line]
    assert diary(folder) == () and page_of(served).count("<form") == 1, "and the server goes on"


def test_a_browser_that_hides_where_a_form_comes_from_but_says_it_is_from_here_is_let_in(
    folder: Path,
) -> None:
    with answering(folder) as served:
        body = filled(page_of(served), did="done")
        assert post(served, body, origin="null", sec_fetch_site="same-origin").status == 303


def test_an_answer_sent_twice_is_written_once(folder: Path) -> None:
    with answering(folder) as served:
        body = filled(page_of(served), did="done")
        with ThreadPoolExecutor(8) as pool:
            found = list(pool.map(lambda _: post(served, body), range(8)))
    assert sorted(one.status for one in found) == [303] + [409] * 7
    assert all(TWICE in one.content.decode() for one in found if one.status == 409)
    assert len(diary(folder)) == 1


def test_too_many_answers_at_once_are_put_off(folder: Path) -> None:
    with answering(folder, answers=Allowance(Rate(3, 0))) as served:
        found = [wrong_token(served) for _ in range(4)]
        assert [one.status for one in found] == [403, 403, 403, 429]
        assert found[-1].headers["retry-after"] == "60"
        assert ask(served.page + uid(A)).status == 200


def test_without_being_asked_to_nobody_may_answer(folder: Path) -> None:
    with answering(folder, take=None) as served:
        html = page_of(served)
        assert "<form" not in html and "answer" not in html
        assert post(served, "did=done").status == 405
    assert diary(folder) == ()


def test_what_the_terminal_wrote_meanwhile_makes_an_answer_stale(folder: Path) -> None:
    with answering(folder) as served:
        body = filled(page_of(served), did="skipped")
        Desk(folder).change(MarkDone(session="a", rpe=5, on=date(2027, 1, 5)))
        reply = post(served, body)
        assert reply.status == 409 and STALE in reply.content.decode()
        assert [row.kind for row in diary(folder)] == [Did.DONE]
        assert answer(served, did="skipped").status == 303, "what is seen now can be answered"


def test_a_session_that_was_moved_meanwhile_makes_an_answer_stale(folder: Path) -> None:
    with answering(folder) as served:
        body = filled(page_of(served), did="done")
        replanned(folder, sessions=(session("a", "route-volume", 1, "17:00", 60), *SESSIONS[1:]))
        assert post(served, body).status == 409
        assert diary(folder) == ()
        assert answer(served, did="done").status == 303
    assert diary(folder)[0].minutes == 60


def test_rows_of_others_that_are_about_something_else_make_nothing_stale(folder: Path) -> None:
    with answering(folder) as served:
        body = filled(page_of(served), did="done")
        Desk(folder).change(MarkDone(session="b", on=date(2027, 1, 6)))
        assert post(served, body).status == 303
    assert [row.session for row in diary(folder)] == ["b", "a"]


def test_a_diary_that_cannot_be_written_is_told_and_the_answer_can_be_sent_again(
    folder: Path,
) -> None:
    told: list[str] = []
    with answering(folder, told=told) as served:
        body = filled(page_of(served), did="done")
        (folder / "diary.csv").write_text("date,kind\n2027-01-04,nonsense\n", encoding="utf-8")
        reply = post(served, body)
        assert reply.status == 503 and "send it again" in reply.content.decode()
        (folder / "diary.csv").unlink()
        assert post(served, body).status == 303
    assert any("An answer could not be written." in line for line in told)


def test_a_token_ends_after_an_hour_and_the_oldest_of_too_many_ends_first() -> None:
    clock = [0.0]
    tokens, shown = Tokens(now=lambda: clock[0]), Shown(A, None)
    first = tokens.issue(shown)
    clock[0] = 3_599
    second = tokens.issue(shown)
    assert tokens.spend(first, A) == shown
    clock[0] = 3_600
    with pytest.raises(Refused, match="run out"):
        tokens.spend(first, A)
    assert tokens.spend(second, A) == shown
    third = tokens.issue(shown)
    for _ in range(2_000):
        tokens.issue(shown)
    with pytest.raises(Refused, match="run out"):
        tokens.spend(third, A)


def test_without_answers_the_diary_is_told_to_nobody(folder: Path) -> None:
    Desk(folder).change(MarkDone(session="a", rpe=7, on=date(2027, 1, 5)))
    for seen in (True, False):
        present = replace(present_of(folder, diary=seen, tell=print)(), now=NOW)
        with answering(folder, present=lambda known=present: known) as served:
            assert ("effort 7 of 10" in page_of(served)) is seen
            assert ("<b>done</b>" in ask(served.page).content.decode()) is seen


def test_what_cannot_be_read_now_stays_as_it_was_and_is_told_once(folder: Path) -> None:
    told: list[str] = []
    present = present_of(folder, diary=True, tell=told.append)
    Desk(folder).change(MarkDone(session="a", rpe=7, on=date(2027, 1, 5)))
    known = present().diary
    (folder / "diary.csv").write_text("date,kind\n2027-01-04,nonsense\n", encoding="utf-8")
    for _ in range(3):
        assert known.keys() == present().diary.keys() == {"a"}
    assert len(told) == 1 and "diary.csv, line 2" in told[0]
