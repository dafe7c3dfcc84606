"""What may happen to a year: every change as an edit, applied to the text the climber wrote."""

from seasonplan.edits.apply import apply
from seasonplan.edits.asks import Asks
from seasonplan.edits.changes import How, TextChange, changes
from seasonplan.edits.draft import Draft, EditRefused, draft_of, read
from seasonplan.edits.fields import typed
from seasonplan.edits.filled import together
from seasonplan.edits.kinds import (
    AddEntry,
    AddSession,
    AnEdit,
    ChangeEntry,
    ChangeKind,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
    Edit,
    FreeSession,
    JoinBlocks,
    MarkDone,
    MarkMissed,
    MoveBlock,
    MoveSession,
    PinBlock,
    RemoveEntry,
    ResizeBlock,
    SkipSession,
    SplitBlock,
    UnpinBlock,
)
from seasonplan.edits.marks import marked_by
from seasonplan.edits.registry import REGISTRY, EditForm, FieldForm, edit_from_words, edit_of

__all__ = [
    "REGISTRY", "AddEntry", "AddSession", "AnEdit", "Asks", "ChangeEntry", "ChangeKind",
    "ChangeRecipe", "ChangeRule", "ChangeSetting", "Draft", "Edit", "EditForm", "EditRefused",
    "FieldForm", "FreeSession", "How", "JoinBlocks", "MarkDone", "MarkMissed",
    "MoveBlock", "MoveSession", "PinBlock", "RemoveEntry", "ResizeBlock", "SkipSession",
    "SplitBlock", "TextChange", "UnpinBlock", "apply", "changes", "draft_of", "edit_from_words",
    "edit_of", "marked_by", "read", "together", "typed",
]  # fmt: skip
