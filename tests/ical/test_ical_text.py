"""Text that a person typed, on its way into a calendar."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar.parser import Contentline

from seasonplan.ical.text import clean, escaped, folded, one_line

CLIMBER = "\N{PERSON CLIMBING}"


# RFC 5545 3.3.11: backslash, semicolon, comma and line break are escaped, colon and quote are not
def test_text_is_escaped_as_the_standard_says() -> None:
    assert escaped('a\\b; c, d: "e"\nf') == r"a\\b\; c\, d: " + '"e"' + r"\nf"


def test_a_typed_backslash_and_letter_n_is_no_line_break() -> None:
    assert escaped(r"C:\New \now") == r"C:\\New \\now"


# RFC 5545 3.1: a bare CR or LF is no content; the Unicode breaks split lines in some readers
@pytest.mark.parametrize(
    "mark", ["\r\n", "\r", "\n", "\v", "\f", "\x1c", "\x85", "\u2028", "\u2029"]
)
def test_every_kind_of_line_break_becomes_one(mark: str) -> None:
    assert clean(f"a{mark}b") == "a\nb"
    assert one_line(f"a{mark}b") == "a b"


# RFC 5545 3.1: CONTROL (U+0000 to U+0008, U+000E to U+001F, U+007F) may not stand in a value
def test_controls_and_lone_surrogates_are_dropped_and_a_tab_stays() -> None:
    assert clean("a\x00\x07\x1b\x7f\x9f\ud800b\tc") == "ab\tc"


def test_blanks_at_the_end_of_lines_are_dropped() -> None:
    assert clean("  a  \nb\t\n \n") == "a\nb"
    assert one_line(" \n ") == ""


# RFC 5545 3.1: at most 75 octets without the CRLF; unfolding takes away CRLF and one blank
@pytest.mark.parametrize("letter", ["a", "ü", "€", CLIMBER, "\\\\", "\\,", " x"])
@pytest.mark.parametrize("length", [1, 30, 74, 75, 76, 77, 149, 150, 1000])
def test_lines_are_folded_and_unfold_to_what_they_were(letter: str, length: int) -> None:
    line = "DESCRIPTION:" + letter * length
    _holds(line)


def _holds(line: str) -> int:
    """Checks one folded line; the number of physical lines."""
    whole = folded(line)
    assert whole.endswith(b"\r\n")
    physical = whole[:-2].split(b"\r\n")
    for one in physical:
        assert len(one) <= 75
        one.decode()
        backslashes = re.search(rb"\\*$", one)
        assert backslashes is not None and len(backslashes[0]) % 2 == 0
    assert whole[:-2].replace(b"\r\n ", b"").decode() == line
    return len(physical)


# The fold that icalendar 7.3.2 makes here: between an escaping backslash and its backslash
def test_a_fold_never_parts_a_backslash_from_what_it_escapes() -> None:
    line = "DESCRIPTION:" + "a" * 60 + "\\\\" + "x" * 20
    _holds(line)
    assert Contentline(line).to_ical().split(b"\r\n")[0].endswith(b"a\\"), "mended in icalendar?"


def test_any_text_becomes_lines_that_hold() -> None:
    odd = st.text(st.sampled_from('ab,;:\\"\n\r\t \x00\x85\u2028ü€' + CLIMBER), max_size=60)
    seen = {"folded": 0, "escaped": 0}

    @settings(max_examples=200, deadline=None, derandomize=True, database=None)
    @given(odd | st.text(max_size=60), st.integers(1, 30))
    def check(part: str, times: int) -> None:
        text = part * times
        value = escaped(text)
        assert not re.search(r"(?<!\\)(?:\\\\)*[,;]|[\r\n\x00\x85\u2028]", value)
        seen["escaped"] += "\\" in value
        seen["folded"] += _holds(f"DESCRIPTION:{value}") > 1
        back = re.sub(r"\\(.)", lambda found: {"n": "\n"}.get(found[1], found[1]), value)
        assert back == clean(text)

    check()
    assert seen["folded"] > 40 and seen["escaped"] > 60
