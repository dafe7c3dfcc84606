"""`seasonplan publish --folder`: the plan in a folder that a web server shows, or away from it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from seasonplan.cli.accepted import accepted
from seasonplan.cli.screen import Screen
from seasonplan.days import count_text

if TYPE_CHECKING:
    from seasonplan.feed.contents import Contents, Wish
    from seasonplan.feed.private import Hosted, Private


def brought(
    folder: Path, path: Path, kept: Private, screen: Screen, *, wish: Wish, base: str
) -> dict[str, Any]:
    """Bring a folder up to the plan and note what is there; what a program is told of it.

    `base` is where the folder is to be had.
    """
    from seasonplan.feed.contents import contents_of
    from seasonplan.feed.links import Pages
    from seasonplan.feed.publish.folder import publish_folder
    from seasonplan.workspace import clock
    from seasonplan.workspace.busy_time import taken_now
    from seasonplan.workspace.store import diary_rows

    known, stamp = kept.folders.get(str(path)), clock.stamp()
    year, plan = accepted(folder)
    rows = diary_rows(folder)
    contents = contents_of(
        year, plan, wish=wish, now=stamp, seen={}, before=kept.shown.get(str(path)),
        pages=Pages(base, monthly=True) if base else None, diary=rows,
        taken=taken_now(folder),
    )  # fmt: skip
    now, written = publish_folder(path, contents, known, wish=wish, now=stamp, base=base, rows=rows)
    _note(folder, path, now, contents)
    page = f"{now.inside}/index.html"
    did = f"{count_text(written, 'file')} written" if written else "up to date already"
    screen.narrate(f"{path}: {did}. The secret page:")
    screen.link(f"{base or path}/{page}", aside=True)
    if known is None:
        screen.narrate("Switch the listing of folders off on that server: names are secret.")
    return {"folder": str(path), "written": written, "page": page}


def away(folder: Path, path: Path, known: Hosted | None, screen: Screen) -> dict[str, Any]:
    """Take away all that we wrote there; what a program is told of it."""
    from seasonplan.feed.publish.folder import take_down

    if known:
        take_down(path, known)
    _note(folder, path, None, None)
    screen.narrate(f"{path}: taken down.")
    return {"folder": str(path), "written": 0, "page": ""}


def _note(folder: Path, path: Path, now: Hosted | None, contents: Contents | None) -> None:
    """Keep what is there of ours, or nothing."""
    from seasonplan.feed.private import change_private

    def changed(kept: Private) -> Private:
        folders = {one: hosted for one, hosted in kept.folders.items() if one != str(path)}
        shown = {one: s for one, s in kept.shown.items() if one != str(path)}
        if now is not None and contents is not None:
            folders[str(path)], shown[str(path)] = now, contents.shown
        return kept.with_fields(folders=folders, shown=shown)

    change_private(folder, changed)
