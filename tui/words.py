"""A text on a page that is laid out and drawn again only where it changes."""

from __future__ import annotations

from textual.content import Content
from textual.visual import VisualType
from textual.widgets import Static


class Words(Static):
    """Most of what is told again after a key says the same; a page of such words stays as it is."""

    def update(self, content: VisualType = "", *, layout: bool = True) -> None:
        if not _same(content, self.content):
            super().update(content, layout=layout)


def _same(one: VisualType, other: VisualType) -> bool:
    """Whether both have the same letters, and the same styles on them."""
    if isinstance(one, Content) and isinstance(other, Content):
        return one.is_same(other)
    return isinstance(one, str) and isinstance(other, str) and one == other
