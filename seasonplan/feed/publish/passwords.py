"""Where passwords come from: the environment, else the system's keyring. Never kept by us."""

from __future__ import annotations

import os
from importlib import import_module
from urllib.parse import urljoin

VARIABLE = "SEASONPLAN_CALDAV_PASSWORD"
BUSY_VARIABLE = "SEASONPLAN_BUSY_PASSWORD"  # another server's, maybe: never sent to the first
SERVICE = "seasonplan"


def password_for(url: str, user: str, *, variable: str = VARIABLE) -> str | None:
    """The password of a user at a collection, or at its server; None where none was put
    anywhere."""
    server = urljoin(url, "/")
    return os.environ.get(variable) or _from_keyring(url, user) or _from_keyring(server, user)


def remember(url: str, user: str, password: str) -> bool:
    """Put a password into the keyring; whether there is one."""
    try:
        import_module("keyring").set_password(SERVICE, _account(url, user), password)
    except Exception:  # no keyring, none that works here, or locked: all the same to us
        return False
    return True


def _from_keyring(url: str, user: str) -> str | None:
    try:
        found = import_module("keyring").get_password(SERVICE, _account(url, user))
    except Exception:
        return None
    return str(found) if found else None


def _account(url: str, user: str) -> str:
    return f"{user} {url}"
