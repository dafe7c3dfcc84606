"""Which keys do what here: made from the keys that work, so that it cannot lag behind."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

ON_KEYBOARDS = {  # as it is written there, not as a sign that some fonts lack
    "escape": "Esc", "enter": "Enter", "space": "Space", "home": "Home", "end": "End",
    "pageup": "PgUp", "pagedown": "PgDn", "delete": "Del", "tab": "Tab", "f1": "F1",
}  # fmt: skip
WORDS = {
    "left": "←", "right": "→", "up": "↑", "down": "↓", "comma": ",", "full_stop": ".",
    "less_than_sign": "<", "greater_than_sign": ">", "left_square_bracket": "[",
    "right_square_bracket": "]", "left_curly_bracket": "{", "right_curly_bracket": "}",
    "question_mark": "?", "plus": "+", "minus": "-", "equals_sign": "=",
    "shift+down": "Shift+↓", "shift+up": "Shift+↑", "ctrl+s": "Ctrl+S",
}  # fmt: skip
NAMES = {  # where the line at the bottom has room for a word only
    "move(1)": "A day later.", "move(-1)": "A day earlier.", "end(1)": "A day longer at its end.",
}  # fmt: skip
NARROW = 60  # columns below which one key is told of several
WIDEST, FRAME, MIN_TEXT = 76, 13, 12  # columns: of the window, around its text, of a text
HIDDEN = ("ctrl+q", "ctrl+c", "tab", "shift+tab", "ctrl+i")


class HelpScreen(ModalScreen[None]):
    """Keys and what each does, as its action says."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,question_mark,q", "dismiss(None)", "Close", key_display="Esc")
    ]

    def __init__(self, lines: list[tuple[str, str]]) -> None:
        super().__init__()
        self.lines = lines

    @classmethod
    def of(cls, screen: Screen[Any]) -> HelpScreen:
        """The keys that work on a screen, with its focus where it is."""
        return cls(list(_lines(screen)))

    def compose(self) -> ComposeResult:
        if self.app.size.width < NARROW:
            self.lines = [(keys.split()[0], told) for keys, told in self.lines]
        width = max((len(keys) for keys, _ in self.lines), default=0)
        parts: list[tuple[str, str]] = [("What the keys do here\n", "bold $accent")]
        room = max(MIN_TEXT, min(WIDEST, self.app.size.width) - FRAME - width)
        for keys, told in self.lines:
            first, *more = wrap(told, room) or [""]
            parts += [(f"\n{keys:<{width}}  ", "bold"), (first, "")]
            parts += [(f"\n{'':<{width}}  {line}", "") for line in more]
        parts += [
            ("\n\nMouse: click points, dragging moves a session, a block or one of its ", "$quiet"),
            ("ends, the wheel turns the year. Arrows and Enter go through lists. ", "$quiet"),
            ("Ctrl+P finds everything by name.", "$quiet"),
        ]
        parts.append(("\nEvery change is on disk at once; u takes it back.", "$quiet"))
        with VerticalScroll(id="ask"):
            yield Static(Content.assemble(*parts))


def _lines(screen: Screen[Any]) -> Iterator[tuple[str, str]]:
    keys: dict[str, tuple[str, dict[str, None]]] = {}
    for key, (node, binding, _, _) in screen.active_bindings.items():
        if key in HIDDEN or not is_ours(node, binding):
            continue
        _, names = keys.setdefault(binding.action, (_told(node, binding), {}))
        if binding.key_display == ON_KEYBOARDS["enter"]:  # which a list takes before its page
            names[binding.key_display] = None
        names[(WORDS | ON_KEYBOARDS).get(key, key)] = None
    for told, names in keys.values():
        yield " ".join(list(names)[:2]), told


def is_ours(node: Any, binding: Binding) -> bool:
    """Whether a binding is told of: one of this face, not of the library's lists and lines."""
    if not binding.description or binding.system:
        return False
    owners = [kind for kind in type(node).__mro__ if _declares(kind, binding)]
    return any(kind.__module__.startswith("tui") for kind in owners)


def _declares(kind: type, binding: Binding) -> bool:
    """Whether a class itself has the action of a binding among its own."""
    own = vars(kind).get("BINDINGS", ())
    return any(
        isinstance(one, Binding)
        and one.action == binding.action
        and binding.key in (key.strip() for key in one.key.split(","))
        for one in own
    )


def _told(node: Any, binding: Binding) -> str:
    """The binding's words; the action's own sentence where it has no argument."""
    if binding.action in NAMES:
        return NAMES[binding.action]
    action, _, argument = binding.action.partition("(")
    done = getattr(node, f"action_{action.rpartition('.')[2]}", None)
    sentence = (done.__doc__ or "").strip().splitlines()
    if not argument and sentence and done.__module__.startswith("tui"):
        return sentence[0]
    return f"{binding.description[0].upper()}{binding.description[1:]}."
