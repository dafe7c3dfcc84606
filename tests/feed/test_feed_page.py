"""The page, in a real browser, and the codes on it, as a camera reads them."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from served import NOW, SECRET, serving
from test_clients import folder

from seasonplan.feed.entries import Present
from seasonplan.feed.pages.page import page_body
from seasonplan.feed.parts import Part
from seasonplan.ical import session_uid

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)


@pytest.mark.skipif(BROWSER is None, reason="the page is tried in Chromium: not installed")
def test_a_browser_that_is_let_run_no_script_draws_the_page_without_a_complaint(
    folder: Path, tmp_path: Path
) -> None:
    assert BROWSER is not None
    late = NOW.replace(year=2028, month=6)  # so that sessions can be answered
    with serving(folder, take=lambda said: None, now=lambda: late) as served:
        policy = served.get(served.page).headers["content-security-policy"]
        assert "default-src 'none'" in policy and "script-src" not in policy
        flags = [
            "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
            f"--user-data-dir={tmp_path}", "--enable-logging=stderr", "--v=0", "--no-first-run",
            "--disable-background-networking",
            "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
        ]  # fmt: skip
        shot = tmp_path / "page.png"
        shown = served.shelf.contents().plan.current.sessions[0]
        entry = served.page + session_uid(served.shelf.contents().plan.calendar_key, shown)
        seen = subprocess.run(
            [BROWSER, *flags, f"--screenshot={shot}", "--window-size=360,740", served.page],
            capture_output=True, check=True, timeout=120,
        )  # fmt: skip
        form = subprocess.run(
            [BROWSER, *flags, "--dump-dom", entry], capture_output=True, check=True, timeout=120
        )
        ran = subprocess.run(
            [BROWSER, *flags, "--dump-dom", served.page], capture_output=True, check=True,
            timeout=120,
        )  # fmt: skip
        codes = _codes(ran.stdout.decode())
        links = {f"webcal:{served.url(part).partition(':')[2]}" for part in Part}
    assert b'<form method="post"' in form.stdout and b"<script" not in form.stdout
    log = (seen.stderr + ran.stderr + form.stderr).decode(errors="replace")
    assert "Content Security Policy" not in log and "CONSOLE" not in log, log
    assert shot.stat().st_size > 20_000
    dom = ran.stdout.decode()
    assert dom.count("<svg") == 7 + len(Part) and "evil" in dom and "<script" not in dom
    assert {served.page, *links} == codes
    asked = [line for line in served.log if "page" not in line]
    assert all(line.startswith("404 GET unknown address") for line in asked), "nothing is fetched"


def _codes(html: str) -> set[str]:
    """What a camera reads on the page."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp reads the codes")
    numpy = pytest.importorskip("numpy")
    found = set()
    for path in re.findall(r'viewBox="0 0 (\d+) \1".*?fill="#000" d="([^"]+)"', html):
        size, dark = int(path[0]), re.findall(r"M(\d+) (\d+)h1", path[1])
        image = numpy.full((size * 8, size * 8), 255, dtype=numpy.uint8)
        for x, y in ((int(x) * 8, int(y) * 8) for x, y in dark):
            image[y : y + 8, x : x + 8] = 0
        found |= {code.text for code in zxingcpp.read_barcodes(image)}
    return found


def test_a_camera_reads_the_code_of_the_terminal() -> None:
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp reads the codes")
    numpy = pytest.importorskip("numpy")
    from seasonplan.feed.pages.qr import qr_lines

    text = "http://192.168.178.20:8642/" + "aB3_-" * 6 + "/"
    halves = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
    drawn = [[halves[sign] for sign in line] for line in qr_lines(text, unicode=True)]
    rows = [[pair[half] for pair in line] for line in drawn for half in (0, 1)]
    typed = [
        [255 if sign == "#" else 0 for sign in line[::2]] for line in qr_lines(text, unicode=False)
    ]
    for picture in (rows, typed):
        image = numpy.kron(numpy.array(picture, dtype=numpy.uint8), numpy.ones((8, 8), numpy.uint8))
        assert [code.text for code in zxingcpp.read_barcodes(image)] == [text]


# A reader that makes http of webcal: sends the secret path in the clear, though the feed has TLS
@pytest.mark.parametrize(("scheme", "first"), [("https", "https"), ("http", "webcal")])
def test_where_the_feed_is_encrypted_links_and_codes_are_https(
    folder: Path, scheme: str, first: str
) -> None:
    with serving(folder) as served:
        contents = served.shelf.contents()
    base = f"{scheme}://me.example:8642"
    body = page_body(contents, Present(NOW), page_secret=SECRET, base=base)
    html = body.content.decode()
    page, links = f"{base}/{SECRET}/", re.findall(r'rel="noreferrer" href="([^"]+)"', html)
    assert len(links) == len(Part) and all(one.startswith(f"{first}://me.example") for one in links)
    assert _codes(html) == {page, *links}
    assert ("an app takes nothing but webcal: links" in html) == (scheme == "https")
    assert "add calendar by URL" in html
    copied = re.findall(r"<p><code>([^<]+)</code>", html)
    assert len(copied) == len(Part) and all(one.startswith(f"{scheme}://") for one in copied)
