"""The secret address of a feed: made, kept as digests only, compared in constant time.

The page has one secret; the secret of each calendar is made from it, so that whoever gets the
link of one calendar knows neither the page nor the others. What is kept cannot open anything.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections.abc import Mapping

from seasonplan.feed.parts import Part
from seasonplan.vocabulary import FrozenModel

SECRET_BYTES = 24  # 192 random bits, 32 signs in a link; 128 bits would do. Preference
PAGE = "page"


class Address(FrozenModel):
    """SHA-256 of the secrets, by what they open: the page, and each part."""

    digests: Mapping[str, str]


def new_secret() -> str:
    return secrets.token_urlsafe(SECRET_BYTES)


def part_secret(page: str, part: Part) -> str:
    """The secret of one calendar: an HMAC, which does not lead back to that of the page."""
    made = hmac.digest(page.encode(), b"seasonplan " + part.value.encode(), "sha256")
    return base64.urlsafe_b64encode(made[:SECRET_BYTES]).decode()


def address_of(page: str) -> Address:
    """What is kept of a page's secret."""
    opened = {PAGE: page} | {part.value: part_secret(page, part) for part in Part}
    return Address(digests={what: digest(secret) for what, secret in opened.items()})


def digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "surrogateescape")).hexdigest()


def opens(address: Address, secret: str) -> str | None:
    """What a secret opens, or None. Takes as long whether it fits or not."""
    given = digest(secret)
    found = None
    for what, kept in address.digests.items():
        if hmac.compare_digest(given, kept):
            found = what
    return found
