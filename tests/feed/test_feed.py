"""The served calendars, asked over real sockets: what is answered, to whom, and what is not."""

from __future__ import annotations

import gzip
import re
import socket
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from folder_maker import SESSIONS, YEAR, blocks, planned, session
from hurt import hurt_text
from icalendar import Calendar
from plan_maker import block
from served import SECRET, Served, ask, serving, unlimited

from seasonplan.feed.address import address_of
from seasonplan.feed.contents import Wish, part_bytes
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.ical import ALL, USUAL, Layer
from seasonplan.plan import Plan, Revision
from seasonplan.vocabulary import Kind, Phase
from seasonplan.workspace import store

SESSIONS_PART, BLOCKS_PART = Part.SESSIONS, Part.BLOCKS


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def replanned(folder: Path, **changes: Any) -> None:
    """A further revision of the plan in a folder."""
    kept = store.load_plan(folder)
    assert kept is not None
    values = dict(kept.plan.current) | {"number": kept.plan.current.number + 1} | changes
    values["stamp"] = kept.plan.current.stamp + timedelta(days=1)
    revisions = (*kept.plan.revisions, Revision(**values))
    plan = Plan(calendar_key=kept.plan.calendar_key, revisions=revisions)
    store.save_plan(folder, plan, based_on=kept.digest)


# --- what is answered -----------------------------------------------------------------------


@pytest.mark.parametrize("part", Part)
def test_every_calendar_of_the_plan_is_served_byte_for_byte(folder: Path, part: Part) -> None:
    with serving(folder) as served:
        reply = served.get(served.url(part))
        contents = served.shelf.contents()
    assert reply.status == 200
    secret = urlsplit(served.url(part)).path.split("/")[1]
    plain = part_bytes(contents.year, contents.plan, part, Wish(), known=contents.shown)
    links = re.findall(rb"URL:([^\r]+(?:\r\n [^\r]+)*)\r\n", reply.content)
    assert re.sub(rb"\r\nURL:[^\r]+(\r\n [^\r]+)*", b"", reply.content) == plain
    assert len(links) == plain.count(b"BEGIN:VEVENT") > 0
    for link in links:
        assert link.replace(b"\r\n ", b"").startswith(f"{served.base}/{secret}/".encode())
    assert reply.headers["content-type"] == "text/calendar; charset=utf-8"
    assert f"X-WR-CALNAME:{LOOKS[part].name}\r\n".encode() in reply.content
    assert f"COLOR:{LOOKS[part].colour.value}\r\n".encode() in reply.content
    assert b"REFRESH-INTERVAL;VALUE=DURATION:PT6H\r\n" in reply.content
    assert b"X-PUBLISHED-TTL:PT6H\r\n" in reply.content


@pytest.mark.parametrize("layers", [USUAL, ALL])
def test_the_calendars_of_one_plan_differ_in_name_colour_and_identity_but_not_in_events(
    folder: Path, layers: frozenset[Layer]
) -> None:
    with serving(folder, wish=Wish(layers=layers)) as served:
        texts = {part: served.get(served.url(part)).content.decode() for part in Part}

    def of(part: Part, key: str) -> set[str]:
        head = texts[part].partition("BEGIN:VEVENT")
        where = head[0] if key != "UID" else head[2]
        return {line for line in where.split("\r\n") if line.startswith(key + ":")}

    for key in ("COLOR", "NAME"):
        assert len({line for part in Part for line in of(part, key)}) == len(Part)
    assert len({texts[part].partition("\r\nUID:")[2][:36] for part in Part}) == len(Part)
    shown = [of(part, "UID") for part in Part if part is not Part.ALL]
    assert set().union(*shown) == of(Part.ALL, "UID")
    assert sum(map(len, shown)) == len(of(Part.ALL, "UID")) > 8


@pytest.mark.parametrize(
    "said",
    [
        {"if_none_match": "{tag}"},
        {"if_none_match": 'W/{tag}, "other"'},
        {"if_none_match": '"a", {tag}'},
        {"if_none_match": "*"},
        {"if_modified_since": "{date}"},
        {"if_modified_since": "Sat, 01 Jan 2050 00:00:00 GMT"},
        {"if_none_match": "{tag}", "if_modified_since": "Sat, 01 Jan 2000 00:00:00 GMT"},
    ],
)
def test_who_has_it_already_is_told_so(folder: Path, said: dict[str, str]) -> None:
    with serving(folder) as served:
        first = served.get(served.url(SESSIONS_PART))
        tag, date = first.headers["etag"], first.headers["last-modified"]
        headers = {name: text.format(tag=tag, date=date) for name, text in said.items()}
        again = served.get(served.url(SESSIONS_PART), **headers)
    assert (again.status, again.content) == (304, b"")
    assert again.headers["etag"] == tag and again.headers["last-modified"] == date
    assert again.headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"if_none_match": '"other"'},
        {"if_modified_since": "Sat, 01 Jan 2000 00:00:00 GMT"},
        {"if_modified_since": "yesterday"},
        {"if_modified_since": "99999999999999999999"},
        {"if_none_match": '"other"', "if_modified_since": "Sat, 01 Jan 2050 00:00:00 GMT"},
    ],
)
def test_who_has_something_else_gets_it_all(folder: Path, said: dict[str, str]) -> None:
    with serving(folder) as served:
        assert served.get(served.url(SESSIONS_PART), **said).status == 200


def test_a_head_says_what_a_get_says_and_sends_nothing(folder: Path) -> None:
    with serving(folder) as served:
        whole = ask(served.url(SESSIONS_PART))
        head = ask(served.url(SESSIONS_PART), method="HEAD")
    without_date = [{k: v for k, v in r.headers.items() if k != "date"} for r in (whole, head)]
    assert without_date[0] == without_date[1]
    assert head.content == b"" and int(head.headers["content-length"]) == len(whole.content)


def test_a_packed_answer_is_the_same_and_has_a_tag_of_its_own(folder: Path) -> None:
    with serving(folder) as served:
        plain = served.get(served.url(SESSIONS_PART))
        packed = served.get(served.url(SESSIONS_PART), accept_encoding="br, gzip;q=0.8")
        never = served.get(served.url(SESSIONS_PART), accept_encoding="gzip;q=0")
    assert packed.headers["content-encoding"] == "gzip"
    assert gzip.decompress(packed.content) == plain.content == never.content
    assert packed.headers["etag"] != plain.headers["etag"] == never.headers["etag"]
    assert not packed.headers["etag"].startswith("W/")


def test_every_answer_carries_what_keeps_the_address_secret(folder: Path) -> None:
    with serving(folder) as served:
        urls = [served.page, served.url(SESSIONS_PART), served.base + "/"]
        replies = [served.get(url) for url in urls]
    assert [reply.status for reply in replies] == [200, 200, 404]
    for reply in replies:
        assert reply.headers["referrer-policy"] == "no-referrer"
        assert reply.headers["x-content-type-options"] == "nosniff"
        assert "noindex" in reply.headers["x-robots-tag"]
        assert "default-src 'none'" in reply.headers["content-security-policy"]
        assert "script-src" not in reply.headers["content-security-policy"]
        assert "server" not in reply.headers
        assert "public" not in reply.headers["cache-control"]


# --- who gets nothing -----------------------------------------------------------------------


def paths(served: Served) -> list[str]:
    own = urlsplit(served.url(BLOCKS_PART)).path
    return [
        "/", "//", "/robots.txt", "/favicon.ico", "/feed.json", "/../feed.json",
        "/%2e%2e/year.toml",
        f"/{SECRET}/sessions.ics", f"/{SECRET}/feed.json", f"/{SECRET}/../year.toml",
        f"/{SECRET[:-1]}/", f"/{SECRET}x/", f"/{SECRET.upper()}/", "/" + "a" * 5_000,
        own.replace("blocks.ics", "sessions.ics"), own.replace("blocks.ics", ""),
        own + "/",
        own.replace("blocks.ics", "index.html"), "/%ff%fe/all.ics", "/\x00/",
    ]  # fmt: skip


def test_whatever_else_is_asked_has_one_and_the_same_answer(folder: Path) -> None:
    with serving(folder, misses=unlimited()) as served:
        replies = [raw(served, path) for path in paths(served)]
    refused = [reply for reply in replies if b" 404 " in reply.splitlines()[0]]
    assert len(refused) >= len(replies) - 3  # some are no requests at all
    assert {reply.partition(b"\r\n\r\n")[2] for reply in refused} == {b"Nothing is here.\n"}
    for reply in set(replies) - set(refused):
        assert b" 400 " in reply.splitlines()[0]


def raw(served: Served, path: str, *, method: str = "GET", more: str = "") -> bytes:
    """The whole answer to a request that no client would send."""
    parts = urlsplit(served.base)
    with socket.create_connection((parts.hostname, parts.port), timeout=30) as line:
        line.sendall(
            f"{method} {path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n{more}\r\n".encode(
                "latin-1"
            )
        )
        return b"".join(iter(lambda: line.recv(65_536), b""))


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PROPFIND", "TRACE"])
def test_no_method_but_get_and_head_does_anything(folder: Path, method: str) -> None:
    with serving(folder) as served:
        for url in (served.url(SESSIONS_PART), served.page, served.base + "/"):
            reply = ask(url, method=method)
            assert (reply.status, reply.headers["allow"]) == (405, "GET, HEAD")


def test_a_request_with_content_is_turned_away(folder: Path) -> None:
    with serving(folder) as served:
        assert ask(served.url(SESSIONS_PART), body="x" * 100).status == 413


def test_the_link_of_one_calendar_opens_no_other_and_not_the_page(folder: Path) -> None:
    with serving(folder) as served:
        secrets = {part: urlsplit(served.url(part)).path.split("/")[1] for part in Part}
        assert len({SECRET, *secrets.values()}) == len(Part) + 1
        for part, secret in secrets.items():
            for other in (*(p.file for p in Part if p is not part), "", "index.html"):
                assert ask(f"{served.base}/{secret}/{other}").status == 404


def test_a_new_address_ends_the_old_one_while_the_server_runs(folder: Path) -> None:
    now = [address_of(SECRET)]
    with serving(folder, address=lambda: now[0]) as served:
        assert served.get(served.page).status == 200
        now[0] = address_of("another-secret")
        assert served.get(served.page).status == 404
        assert served.get(served.url(SESSIONS_PART)).status == 404
        assert served.get(f"{served.base}/another-secret/").status == 200


def test_without_an_address_nobody_gets_in(folder: Path) -> None:
    with serving(folder, address=lambda: None) as served:
        assert served.get(served.page).status == 404


def test_what_is_kept_of_an_address_opens_nothing(folder: Path) -> None:
    kept = address_of(SECRET)
    assert SECRET not in kept.model_dump_json()
    with serving(folder, misses=unlimited()) as served:
        for digest in kept.digests.values():
            assert served.get(f"{served.base}/{digest}/").status == 404


def test_the_log_has_a_line_for_each_request_and_no_secret_in_it(folder: Path) -> None:
    with serving(folder) as served:
        for part in Part:
            served.get(served.url(part))
        served.get(served.page)
        served.get(f"{served.base}/{SECRET[:-1]}/guess")
        secrets = [SECRET[:-1], *(urlsplit(served.url(part)).path.split("/")[1] for part in Part)]
    assert len(served.log) == len(Part) + 2
    assert not [secret for secret in secrets if any(secret in line for line in served.log)]
    assert served.log[-1].startswith("404 GET unknown address")


# --- changes --------------------------------------------------------------------------------


def test_a_changed_plan_is_served_at_once_and_only_what_changed_has_a_new_tag(
    folder: Path,
) -> None:
    with serving(folder) as served:
        before = {part: served.get(served.url(part)) for part in Part}
        moved = session("a", "route-volume", 1, "17:00", 90)
        replanned(folder, sessions=(moved, *SESSIONS[1:]))
        after = {part: served.get(served.url(part)) for part in Part}
        assert served.shelf.built == 2
    same = {part for part in Part if before[part].headers["etag"] == after[part].headers["etag"]}
    assert SESSIONS_PART not in same and Part.ALL not in same
    for part in set(Part) - same:
        assert after[part].headers["last-modified"] > before[part].headers["last-modified"]
    for part in same:
        assert after[part].headers["last-modified"] == before[part].headers["last-modified"]


def test_a_session_that_is_gone_vanishes_and_the_tag_changes(folder: Path) -> None:
    with serving(folder) as served:
        before = served.get(served.url(SESSIONS_PART))
        replanned(folder, sessions=SESSIONS[1:])
        after = served.get(served.url(SESSIONS_PART), if_none_match=before.headers["etag"])
    assert after.status == 200
    assert after.content.count(b"BEGIN:VEVENT") == before.content.count(b"BEGIN:VEVENT") - 1


def test_two_contents_never_share_a_date(folder: Path) -> None:
    with serving(folder) as served:  # whose clock stands still
        dates = [served.get(served.url(SESSIONS_PART)).headers["last-modified"]]
        for count in (5, 4, 3):
            replanned(folder, sessions=SESSIONS[:count])
            dates.append(served.get(served.url(SESSIONS_PART)).headers["last-modified"])
    assert len(set(dates)) == 4 and dates == sorted(dates)


def test_an_unreadable_plan_leaves_the_last_good_one_served(folder: Path) -> None:
    with serving(folder) as served:
        good = served.get(served.url(SESSIONS_PART))
        (folder / "plan.json").write_text("{ half a pl", encoding="utf-8")
        assert served.get(served.url(SESSIONS_PART)).content == good.content
        (folder / "plan.json").unlink()
        assert served.get(served.url(SESSIONS_PART)).content == good.content


def test_what_is_edited_after_the_plan_is_not_served_before_it_is_planned(folder: Path) -> None:
    text = (folder / "year.toml").read_text(encoding="utf-8")
    replanned(folder, year_text=text)
    with serving(folder) as served:
        before = served.get(served.url(Part.ROCK))
        (folder / "year.toml").write_text(text.replace("Winter sun", "Summer rain"), "utf-8")
        replanned(folder, cause="another")
        after = served.get(served.url(Part.ROCK)).content
    assert b"Winter sun" in before.content and b"Winter sun" in after


def test_a_moved_session_is_served_at_once_and_a_broken_year_moves_nothing_back(
    folder: Path,
) -> None:
    year = folder / "year.toml"
    text = year.read_text(encoding="utf-8")
    replanned(folder, year_text=text)
    with serving(folder) as served:
        before = served.get(served.url(SESSIONS_PART))
        wish = '\n[[session]]\nsession = "a"\nday = 2027-01-07\n\n[[session]]\nsession = "b"\n'
        year.write_text(f"{text}{wish}skip = true\n", encoding="utf-8")
        after = served.get(served.url(SESSIONS_PART))
        was, now = (
            {str(one["UID"]): one for one in Calendar.from_ical(got.content).walk("VEVENT")}
            for got in (before, after)
        )
        year.write_text(f"{text}{wish}sk", encoding="utf-8")
        assert served.get(served.url(SESSIONS_PART)).content == after.content
    assert before.headers["etag"] != after.headers["etag"]
    assert now.keys() < was.keys() and len(was) - len(now) == 1
    (moved,) = [uid for uid in now if now[uid]["DTSTART"] != was[uid]["DTSTART"]]
    assert (was[moved]["SEQUENCE"], now[moved]["SEQUENCE"]) == (0, 1)
    assert now[moved]["DTSTART"].dt.date() == date(2027, 1, 7)


def test_many_who_ask_at_once_after_a_change_have_it_built_once(folder: Path) -> None:
    with serving(folder) as served:
        served.get(served.url(SESSIONS_PART))
        replanned(folder, sessions=SESSIONS[1:])
        start = threading.Barrier(8)

        def client(_: int) -> str:
            start.wait(30)
            return served.get(served.url(SESSIONS_PART)).headers["etag"]

        with ThreadPoolExecutor(8) as pool:
            assert len(set(pool.map(client, range(8)))) == 1
        assert served.shelf.built == 2


def test_injuries_are_served_only_where_they_are_asked_for(tmp_path: Path) -> None:
    hurt = block(Kind.INJURED, 49, 7, id="injured-1", entry="pulley", phase=Phase.OFF)
    year = YEAR + hurt_text(
        "Pulley", "finger", "2027-02-22", "2027-03-01", "2027-03-08", "2027-03-15"
    )
    folder = planned(tmp_path, year=year, blocks=(*blocks()[:-1], hurt))
    words = re.compile(rb"injur|pulley", re.IGNORECASE)
    for layers in (Wish().layers, ALL):
        with serving(folder, wish=Wish(layers=layers)) as served:
            urls = [served.page, *map(served.url, Part)]
            found = [bool(words.search(served.get(url).content)) for url in urls]
        asked = Layer.INJURIES in layers
        assert found == [asked, asked, asked, False, False], layers
