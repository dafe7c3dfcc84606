"""Draws what a held block would cost on every date, and the figure where the hand is."""

from __future__ import annotations

from datetime import timedelta

from seasonplan.days import Span
from seasonplan.explain.held_told import Ease
from tui.canvas import shortened
from tui.year.brush import Brush
from tui.year.strip import Strip

STYLES = {
    Ease.FREE: "goal-good", Ease.LITTLE: "chance", Ease.MUCH: "asked", Ease.NONE: "quiet",
}  # fmt: skip


def draw(brush: Brush, top: int, strip: Strip) -> None:
    """Two lines: a sign for each date, and what the one under the hand costs."""
    styles, lane = brush.of.styles, brush.lane()
    brush.canvas.put(2, top, strip.label, styles["here"])
    here = brush.columns(Span(strip.day, strip.day + timedelta(days=1)))
    for column in lane:
        found = [strip.days.get(day, Ease.NONE) for day in brush.days(column)]
        told = min(found, key=list(Ease).index) if strip.days else None
        if told is not None:
            brush.canvas.put(column, top, told.sign, styles[STYLES[told]])
    if strip.day in brush.of.scale.shown:
        brush.canvas.tint(*here, top, styles["ghost"])
    text = f"↑ {strip.told}"
    room = brush.canvas.width - 2
    text = shortened(text, room)
    at = max(2, min(here[0], brush.canvas.width - len(text)))
    if at < here[0]:
        text = shortened(f"{strip.told} ↑", room)
        at = max(2, here[0] - len(text) + 1)
    brush.canvas.put(at, top + 1, text, styles["here"])
