"""A fault of the file told as a form says it: its lines by their labels, values as one types them.

Faults put in backquotes what stands so in the file. Knows no fault by itself and judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from seasonplan.edits.form_words import label_of
from seasonplan.edits.forms import Line
from seasonplan.edits.said import words_of
from seasonplan.toml_source import value_of

_QUOTED = re.compile(r"`([^`]+)`")
_KEY = re.compile(r"[a-z_]+(?:\.[a-z_]+)*")


def in_form(text: str, *, about: str, lines: Iterable[Line]) -> str:
    """The text without the file's way of writing. What is no part of the file stays as it is."""
    labels = {line.key.rpartition(".")[2]: line.label for line in lines}

    def told(found: re.Match[str]) -> str:
        key, equals, value = (part.strip() for part in found[1].partition("="))
        label = _label(key, about, labels)
        if equals and label:
            return f"“{label}: {_typed(value)}”"
        if label:
            return f"“{label}”"
        typed = _typed(found[1])
        return found[0] if typed is None else typed

    return _QUOTED.sub(told, text)


def _label(key: str, about: str, labels: dict[str, str]) -> str:
    """The label of a line, or nothing where the words are no key."""
    if not _KEY.fullmatch(key) or key in ("true", "false"):
        return ""
    last = key.rpartition(".")[2]
    return labels.get(last) or label_of(about, key)[0]


def _typed(value: str) -> str | None:
    """A value of the file as one types it; None where it is none."""
    found = value_of(value)
    return None if found is None else words_of(found)
