"""One edit to one draft: a new draft, or a refusal with what would work. Pure."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from seasonplan.edits import blocks, entries, kinds, marks, repeated, sessions, settings
from seasonplan.edits.draft import Draft, with_text
from seasonplan.edits.harm import kept_clear
from seasonplan.edits.past import refuse_pinned_past

# How each edit changes the text of the year.
TEXTS: dict[type[kinds.AnEdit], Callable[[Draft, Any], str]] = {
    kinds.AddEntry: entries.add,
    kinds.RepeatAbsence: repeated.repeat,
    kinds.ChangeEntry: entries.change,
    kinds.RemoveEntry: entries.remove,
    kinds.ChangeSetting: settings.setting,
    kinds.ChangeRule: settings.rule,
    kinds.ChangeRecipe: settings.recipe,
    kinds.MoveBlock: blocks.move,
    kinds.ResizeBlock: blocks.resize,
    kinds.SplitBlock: blocks.split,
    kinds.JoinBlocks: blocks.join,
    kinds.ChangeKind: blocks.change_kind,
    kinds.PinBlock: blocks.pin,
    kinds.UnpinBlock: blocks.unpin,
    kinds.MoveSession: sessions.move,
    kinds.SkipSession: sessions.skip,
    kinds.AddSession: sessions.add,
    kinds.FreeSession: sessions.free,
}
# How each edit changes the diary.
DIARIES: dict[type[kinds.AnEdit], Callable[[Draft, Any], Draft]] = {
    kinds.MarkDone: marks.done,
    kinds.MarkMissed: marks.missed,
    kinds.WriteRow: marks.written,
}


def apply(draft: Draft, edit: kinds.AnEdit) -> Draft:
    """The draft with an edit done.

    Raises EditRefused, or BadInput where the edit says what a year cannot hold; the draft given
    is never touched.
    """
    if type(edit) in DIARIES:
        return DIARIES[type(edit)](draft, edit)
    after = with_text(draft, TEXTS[type(edit)](draft, edit))
    refuse_pinned_past(draft, after)
    return kept_clear(draft, after)
