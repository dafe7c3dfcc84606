"""Publishing to a folder that any web server shows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from folder_maker import SESSIONS, YEAR, planned, session
from served import NOW
from test_feed import replanned
from test_publish import run

from seasonplan.cli.accepted import accepted
from seasonplan.cli.exits import Exit
from seasonplan.feed.contents import Wish, contents_of
from seasonplan.feed.entries import Entries, Present
from seasonplan.feed.links import Pages
from seasonplan.feed.parts import Part
from seasonplan.feed.private import load_private
from seasonplan.feed.publish.folder import publish_folder
from seasonplan.ical.layers import Layer
from seasonplan.workspace.store import diary_rows


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def listing(target: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(target)): path.read_bytes()
        for path in sorted(target.rglob("*")) if path.is_file()
    }  # fmt: skip


def test_a_folder_holds_page_and_calendars_under_names_nobody_guesses(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target = tmp_path_factory.mktemp("web")
    (target / "index.html").write_text("mine")
    ran = run("publish", folder, "--folder", target, "--url", "https://web.example/cal/")
    assert ran.exit_code == Exit.FINE, ran.output
    files = listing(target)
    months = {name for name in files if re.search(r"/2027-0[12]\.html$", name)}
    assert len(files) == 6 + len(months) and files["index.html"] == b"mine"
    secrets = {name.split("/")[0] for name in files if "/" in name}
    assert len(secrets) == 5 and all(re.fullmatch(r"[\w-]{32}", one) for one in secrets)
    (page,) = (content.decode() for name, content in files.items() if name.endswith("/index.html"))
    links = re.findall(r'href="https://web\.example/cal/([^"]+)"', page)
    assert len(links) == 4 and set(links) <= files.keys()
    assert files.keys() - set(links) - {"index.html"} and "<script" not in page
    assert len(months) == 7, "the calendar of seasons and trips has nothing in January"
    for name in links:
        text = files[name].replace(b"\r\n ", b"").decode()
        found = re.findall(r"\r\nURL:https://web\.example/cal/(\S+)#(\S+)", text)
        assert len(found) == text.count("BEGIN:VEVENT") > 0
        for file, uid in found:
            assert file.split("/")[0] == name.split("/")[0], "under its own secret"
            assert f'id="{uid}"' in files[file].decode()


def test_the_secret_page_is_told_whole_on_a_line_of_its_own(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    base = f"https://web.example/{'a-long-way/' * 12}cal"
    ran = run("publish", folder, "--folder", tmp_path_factory.mktemp("web"), "--url", base)
    (told,) = [line for line in ran.stderr.splitlines() if "web.example" in line]
    assert re.fullmatch(re.escape(base) + r"/[\w-]{32}/index\.html", told)


def test_the_days_on_a_published_page_lead_to_the_how_to_of_their_sessions(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target, base, now = tmp_path_factory.mktemp("web"), "https://web.example", NOW.replace(day=5)
    contents = contents_of(
        *accepted(folder), wish=Wish(), now=NOW, seen={}, pages=Pages(base, monthly=True)
    )
    hosted, _ = publish_folder(target, contents, None, wish=Wish(), now=now, base=base)
    page = (target / hosted.inside / "index.html").read_text(encoding="utf-8")
    found = re.findall(r'href="\.\./([^"#]+)#([^"]+)"', page)
    assert len(found) == 3, "the sessions of the days to come"
    for file, uid in found:
        assert f'id="{uid}"' in (target / file).read_text(encoding="utf-8")


def test_a_published_page_tells_what_was_missed_and_how_its_links_end(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target, now = tmp_path_factory.mktemp("web"), NOW.replace(day=8)
    rows = "".join(f"{one.day},missed,{one.id}\n" for one in SESSIONS[:2])
    (folder / "diary.csv").write_text(f"date,kind,session\n{rows}", encoding="utf-8")
    diary = diary_rows(folder)
    contents = contents_of(*accepted(folder), wish=Wish(), now=NOW, seen={}, diary=diary)
    hosted, _ = publish_folder(target, contents, None, wish=Wish(), now=now, rows=diary)
    page = (target / hosted.inside / "index.html").read_text(encoding="utf-8")
    assert "You missed 2 of 3 sessions" in page
    assert "--take-down" in page and "--new-address" not in page


def test_the_events_of_a_month_follow_each_other_on_its_page(tmp_path: Path) -> None:
    hours = {"technique-drills": "18:00", "fingerboard-often": "18:30"}  # not in the order of names
    made = [session(name, name, 2, hour, 30) for name, hour in hours.items()]
    planned(tmp_path, sessions=tuple(made))
    contents = contents_of(*accepted(tmp_path), wish=Wish(), now=NOW, seen={})
    month = Entries(contents, Present(NOW), Part.SESSIONS).by_month()["2027-01.html"]
    whens = [one.when.partition(", ")[2] for one in month]
    assert whens == ["18:00-18:30", "18:30-19:00"]


def test_a_folder_whose_address_nobody_said_has_no_links_in_its_events(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target = tmp_path_factory.mktemp("web")
    assert run("publish", folder, "--folder", target).exit_code == Exit.FINE
    files = listing(target)
    assert len(files) == 5 and not [name for name in files if "2027" in name]
    assert b"\r\nURL:" not in b"".join(files.values())


def test_an_unchanged_file_keeps_its_date_and_a_changed_one_its_name(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target = tmp_path_factory.mktemp("web")
    run("publish", folder, "--folder", target)
    before = {path: path.stat().st_mtime_ns for path in target.rglob("*.ics")}
    replanned(folder, sessions=SESSIONS[1:])
    run("publish", folder)
    after = {path: path.stat().st_mtime_ns for path in target.rglob("*.ics")}
    assert before.keys() == after.keys()
    changed = {path.name for path in before if before[path] != after[path]}
    assert "sessions.ics" in changed and "all.ics" in changed
    run("publish", folder)
    assert {path: path.stat().st_mtime_ns for path in target.rglob("*.ics")} == after


def test_a_folder_is_taken_down_without_touching_what_is_not_ours(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target = tmp_path_factory.mktemp("web")
    run("publish", folder, "--folder", target)
    inside = next(target.glob("*/blocks.ics")).parent
    (inside / "notes.txt").write_text("mine")
    (target / "mine.txt").write_text("mine")
    run("publish", folder, "--folder", target, "--take-down")
    assert listing(target) == {f"{inside.name}/notes.txt": b"mine", "mine.txt": b"mine"}


def test_nowhere_to_publish_and_no_such_folder_are_told(folder: Path) -> None:
    for arguments in ((), ("--folder", folder / "none"), ("--folder", folder / "year.toml")):
        ran = run("publish", folder, *arguments)
        assert ran.exit_code == Exit.BAD_INPUT and "wanted" in ran.stderr
        assert arguments or "found no place, and none published to before" in ran.stderr


def test_what_was_asked_for_once_is_published_so_again(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    target = tmp_path_factory.mktemp("web")
    asked = ("--url", "https://web.example/cal", "--with", "injuries", "--free")
    run("publish", folder, "--folder", target, *asked)
    before = listing(target)
    again = run("publish", folder)
    assert again.exit_code == Exit.FINE and listing(target) == before
    assert "https://web.example/cal/" in " ".join(again.stderr.split())
    assert "up to date already" in again.stderr
    kept = load_private(folder).folders[str(target)]
    assert kept.url == "https://web.example/cal" and not kept.wish.sessions_busy
    assert Layer.INJURIES in kept.wish.layers
    run("publish", folder, "--busy", "--without", "injuries")
    now = load_private(folder).folders[str(target)]
    assert now.url == kept.url and now.wish.sessions_busy
    assert Layer.INJURIES not in now.wish.layers


def test_one_file_is_told_as_one(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    target = tmp_path_factory.mktemp("web")
    run("publish", folder, "--folder", target)
    (page,) = target.rglob("index.html")
    page.write_text("spoiled")
    assert ": 1 file written." in " ".join(run("publish", folder).stderr.split())


def test_a_plan_older_than_the_year_is_published_and_told_to_be_so(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder, target = planned(tmp_path, year_text=YEAR), tmp_path_factory.mktemp("web")
    assert "replan" not in run("publish", folder, "--folder", target).stderr
    year = folder / "year.toml"
    year.write_text(year.read_text().replace("wednesday = 60", "wednesday = 45"))
    ran = run("publish", folder, "--folder", target)
    assert ran.exit_code == Exit.FINE and "run `seasonplan replan" in " ".join(ran.stderr.split())
