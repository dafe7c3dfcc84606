"""What every face says: one word for one thing, none of the words that only we understand."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator

import pytest
from places import ROOT

FOLDERS = ("seasonplan", "tui")
TEXTS = ("recipes", "rules", "cautions", "blocks", "injuries", "labels")
# The word that does not stand in any text, and the one that does (the list in DEVELOPERS.md).
FORBIDDEN = {
    r"\b(is|are|preferences?|rules?) bent\b|\bbent (preference|here|rule)": "not met",
    r"\bdear(est)?\b": "matters most", r"\bsorts? of climbing\b": "discipline",
    r"\bwall looks\b": "faces", r"\bshall\b": "is to", r"\bas delivered\b": "default",
    r"\bhas otherwise\b": "differs", r"\bBrier\b": "error squared", r"\bclimbing in the head\b":
    "visualisation", r"\bladders on rungs\b": "campus board", r"\bboulder problems in a row\b":
    "linked boulders", r"\bstop worked, not tired\b": "stop before you are tired",
    r"[\d}] points\b|\bin points\b": "good days on rock",
    r"\byear's worth\b": "good days on rock", r"\bbends it\b": "not met",
    r"\bnews\b": "changes", r"\b(is|are) custom\b": "common practice",
    r"% below the best": "a difference in days or form", r"\bstate \d": "form",
    r"\bsha256\b.*\bsha256\b": "checksum",
}  # fmt: skip
SENTENCE = re.compile(r"[A-Za-z]{2,}.* ")  # else a key, a pattern or a name of code
PICTURE = re.compile("[\u2600-\u2690\u2692-\u26ff\u2705\u2728-\u27bf\ufe0f\U0001f000-\U0001ffff]")


def said() -> Iterator[tuple[str, str]]:
    """Where and what: every text of both faces, of the guide and of `shared/`; no docstring."""
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
            for node in ast.walk(tree):
                text = node.value if isinstance(node, ast.Constant) else None
                if isinstance(text, str) and id(node) not in told:
                    yield f"{path.relative_to(ROOT)}:{node.lineno}", text
    for path in (ROOT / "README.md", *(ROOT / "seasonplan" / "docs").glob("*.md")):
        for number, paragraph in enumerate(path.read_text(encoding="utf-8").split("\n\n"), 1):
            yield f"{path.name}, paragraph {number}", " ".join(paragraph.split())
    for name in TEXTS:
        whole = tomllib.loads((ROOT / "shared" / f"{name}.toml").read_text(encoding="utf-8"))
        for text in _texts(whole):
            yield f"shared/{name}.toml", text


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, list)):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _texts(one)


@pytest.fixture(scope="module")
def texts() -> list[tuple[str, str]]:
    found = [(where, text) for where, text in said() if SENTENCE.search(text)]
    assert len(found) > 2000
    return found


def test_no_text_has_a_word_that_only_we_understand(texts: list[tuple[str, str]]) -> None:
    wrong = [
        f"{where}: {text[:80]!r} has {match[0]!r}; wanted {better!r}"
        for where, text in texts
        for word, better in FORBIDDEN.items()
        if (match := re.search(word, text))
    ]
    assert not wrong, "\n".join(wrong)


def test_no_text_has_a_picture_for_a_word(texts: list[tuple[str, str]]) -> None:
    assert [(where, text) for where, text in texts if PICTURE.search(text)] == []


def test_the_guide_lists_the_words(texts: list[tuple[str, str]]) -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for better in FORBIDDEN.values():
        assert better in guide, better
