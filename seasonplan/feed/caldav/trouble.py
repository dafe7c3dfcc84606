"""Why a calendar server cannot be used, told by its cause, with what to do about it.

Nothing of what the other side says is repeated but its status: its words may quote addresses.
"""

from __future__ import annotations

import socket
import ssl
from collections.abc import Iterator

AGAIN = "What was done is kept: run it again to go on."
_DEEPEST = 10
# Results of a check, from openssl's x509_vfy.h, from memory
_EXPIRED, _WRONG_NAME, _WRONG_ADDRESS = 10, 62, 64


class Unreachable(Exception):
    """The server cannot be reached, broke off, or answered what no calendar server may.

    `do` says what may help.
    """

    def __init__(self, why: str, do: str = AGAIN) -> None:
        self.why, self.do = why, do
        super().__init__(why)


class Denied(Unreachable):
    """The server does not let us in, or not there."""

    def __init__(self, status: int = 401) -> None:
        if status == 403:
            super().__init__(
                "the user is known, but may not do that there",
                "Allow writing in the settings of that calendar, or use one of your own.",
            )
        else:
            super().__init__("user and password were refused", "Check --user and the password.")


def by_status(status: int) -> Unreachable:
    """What an answer that is no yes means."""
    if status in (401, 403):
        return Denied(status)
    if status in (404, 409, 410):
        return Unreachable(
            "there is no such collection",
            "Correct the path of --caldav, or make the calendar on the server first.",
        )
    if status in (405, 501):
        return Unreachable(
            "no calendar server answers there",
            "Copy the address from the settings of the calendar.",
        )
    if 300 <= status < 400:
        return Unreachable(
            "the server leads elsewhere, and a password goes to whom it is meant for",
            "Use the address that it leads to.",
        )
    if status in (413, 507):
        return Unreachable("the server has no room for it", "Make room there.")
    return Unreachable(f"the server answered {status}")


def by_error(error: BaseException) -> Unreachable:
    """What a connection that failed means."""
    for cause in _causes(error):
        if isinstance(cause, ssl.SSLCertVerificationError):
            return _certificate(cause.verify_code)
        if isinstance(cause, socket.gaierror) or "Resolution" in type(cause).__name__:
            return Unreachable(
                "its name is not known",
                "Correct the address of --caldav, or go online if this machine is not.",
            )
        if isinstance(cause, ConnectionRefusedError):
            return Unreachable("nothing listens there", "Start the server, or correct the port.")
    kinds = [type(cause).__name__ for cause in _causes(error)]
    if any("Timeout" in kind for kind in kinds):
        return Unreachable("it did not answer in time")
    if any("SSL" in kind for kind in kinds):
        return Unreachable("no encrypted connection came about", "Check the port of --caldav.")
    if any("Redirect" in kind for kind in kinds):
        return by_status(302)
    return Unreachable(f"the connection broke ({type(error).__name__})")


def _certificate(code: int) -> Unreachable:
    if code == _EXPIRED:
        return Unreachable("its certificate is no longer valid", "It must be renewed there.")
    if code in (_WRONG_NAME, _WRONG_ADDRESS):
        return Unreachable(
            "its certificate is for another name", "Use the name that the certificate is for."
        )
    return Unreachable(
        "its certificate is signed by nobody that is trusted here",
        "If that is an authority of your own, name its certificate: --ca FILE, or SSL_CERT_FILE.",
    )


def _causes(error: BaseException, depth: int = 0) -> Iterator[BaseException]:
    """An error and what led to it, wherever a library has put that."""
    yield error
    inner = (error.__cause__, error.__context__, getattr(error, "reason", None), *error.args)
    for one in inner if depth < _DEEPEST else ():
        if isinstance(one, BaseException):
            yield from _causes(one, depth + 1)
