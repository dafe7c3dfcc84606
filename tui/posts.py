"""What a page posts to the screen that holds it: edits it asks for, and what cannot be asked."""

from __future__ import annotations

from textual.message import Message

from seasonplan.edits import AnEdit, EditRefused


class Wanted(Message):
    """Edits are asked for, to be done as one."""

    def __init__(self, *edits: AnEdit) -> None:
        super().__init__()
        self.edits = edits


class Around(Message):
    """An edit is asked for, and the rest of the year planned anew around it."""

    def __init__(self, edit: AnEdit) -> None:
        super().__init__()
        self.edit = edit


class Refused(Message):
    """What was asked for cannot be done."""

    def __init__(self, refusal: EditRefused) -> None:
        super().__init__()
        self.refusal = refusal


class Said(Message):
    """A page has something to say; `anew`: what was said before is so no longer."""

    def __init__(self, text: str, *, grave: bool = False, anew: bool = False) -> None:
        super().__init__()
        self.text = text
        self.grave = grave
        self.anew = anew
