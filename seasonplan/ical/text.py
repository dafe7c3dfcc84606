"""The one way text gets into a calendar: cleaned, escaped, folded. Knows no property.

Everything a person typed is untrusted. icalendar 7.3.2 is not left to do this because it turns
a typed backslash and N into a line break, lets control characters through, and may fold between
an escaping backslash and the backslash it escapes.
"""

from __future__ import annotations

import re
import unicodedata

LINE_OCTETS = 75
_BREAKS = re.compile("\r\n|[\r\n\v\f\x1c-\x1e\x85\u2028\u2029]")
_ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})


def clean(text: str) -> str:
    """`text` with plain line breaks, no control characters and no blanks at the end of a line."""
    lines = (_printable(line).rstrip() for line in _BREAKS.split(text))
    return "\n".join(lines).strip()


def one_line(text: str) -> str:
    """`text` cleaned, with its lines joined by blanks: for titles and places."""
    return " ".join(line.strip() for line in clean(text).split("\n") if line.strip())


def _printable(line: str) -> str:
    """Without controls (Cc), which end or spoil a line, and lone surrogates (Cs); tabs stay."""
    if line.isprintable():  # most are, and it takes a tenth of the time
        return line
    return "".join(c for c in line if c == "\t" or unicodedata.category(c) not in ("Cc", "Cs"))


def escaped(text: str) -> str:
    """`text` as a TEXT value (RFC 5545 3.3.11)."""
    return clean(text).translate(_ESCAPES)


def folded(line: str) -> bytes:
    """A content line with its CRLF, in pieces of at most 75 octets (RFC 5545 3.1).

    Never folds inside a character, nor between a backslash and what it escapes.
    """
    octets, pieces, room = line.encode(), [], LINE_OCTETS
    while len(octets) > room:
        end = room
        while octets[end] & 0xC0 == 0x80:  # in the middle of a character of UTF-8
            end -= 1
        backslashes = end - len(octets[:end].rstrip(b"\\"))
        end -= backslashes % 2
        pieces.append(octets[:end])
        octets, room = octets[end:], LINE_OCTETS - 1
    return b"\r\n ".join([*pieces, octets]) + b"\r\n"
