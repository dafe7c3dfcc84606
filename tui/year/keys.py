"""The keys of the year: what they do to the thing that is pointed at."""

from __future__ import annotations

from textual.binding import Binding

KEYS = (
    Binding("w", "why", "Why"),
    Binding("full_stop", "move(1)", "Later", key_display="."),
    Binding("comma", "move(-1)", "Earlier", key_display=","),
    Binding("greater_than_sign", "move(7)", "A week later", key_display=">", show=False),
    Binding("less_than_sign", "move(-7)", "A week earlier", key_display="<", show=False),
    Binding("right_square_bracket", "end(1)", "Longer", key_display="]"),
    Binding("left_square_bracket", "end(-1)", "Shorter at its end", key_display="[", show=False),
    Binding("right_curly_bracket", "start(1)", "Begin later", key_display="}", show=False),
    Binding("left_curly_bracket", "start(-1)", "Begin earlier", key_display="{", show=False),
    Binding("p", "pin", "Fix"),
    Binding("p", "free", "Free it"),
    Binding("c", "chances", "Use the record"),
    Binding("k", "kind", "Another kind", show=False),
    Binding("s", "split", "Cut in two (split)", show=False),
    Binding("j", "join", "Join with next", show=False),
    Binding("x,delete", "remove", "Leave out", show=False),
    Binding("space,shift+down", "read(1)", "Read on below", show=False),
    Binding("shift+up", "read(-1)", "Read back below", show=False),
    Binding("h", "hold", "Carry"),
    Binding("escape", "leave_it", "Put back"),
)
IN_LIST = ("hold", "leave_it")  # where there is room for a sheet, that has them
