"""What a CalDAV collection is to show, and how what is ours there is noted."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seasonplan.feed.contents import Wish
    from seasonplan.feed.private import Collection, Private
    from seasonplan.plan import Plan
    from seasonplan.year import Year


def files_for(folder: Path, address: str, year: Year, plan: Plan, wish: Wish) -> dict[str, bytes]:
    """Every event as it is to be shown there; what is shown is noted before it is written."""
    from seasonplan.feed.contents import files_by, shown_by
    from seasonplan.feed.private import keep_shown, load_private
    from seasonplan.workspace import clock
    from seasonplan.workspace.busy_time import taken_now
    from seasonplan.workspace.store import diary_rows

    before = load_private(folder).shown.get(address, {})
    diary, taken = diary_rows(folder), taken_now(folder)
    shown = shown_by(year, plan, wish, before=before, now=clock.stamp(), diary=diary, taken=taken)
    if shown != before:
        keep_shown(folder, address, shown)
    return files_by(year, plan, wish, shown, diary=diary, taken=taken)


def keeper(folder: Path, address: str, *, down: bool = False) -> Callable[[Collection], None]:
    """What notes by and by which events of ours are in a collection."""
    from seasonplan.feed.private import change_private

    def keep(now: Collection) -> None:
        there = bool(now.events) or not down

        def changed(kept: Private) -> Private:
            rest = {one: c for one, c in kept.collections.items() if one != address}
            shown = {one: s for one, s in kept.shown.items() if there or one != address}
            mine = {address: now} if there else {}
            return kept.with_fields(collections=rest | mine, shown=shown)

        change_private(folder, changed)

    return keep
