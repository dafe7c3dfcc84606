"""Whether a machine may be asked: names looked up, every address judged, the judged one used.

A link in a file can be made to point into the climber's own network. So nothing but the open
internet is asked, unless the climber allows it for that calendar.
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable, Sequence
from typing import NamedTuple
from urllib.parse import urlsplit

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Resolve = Callable[[str, int], Sequence[str]]

PORTS = {"https": 443, "http": 80}
OPEN_PORTS = frozenset({80, 443})
_NAT64 = ipaddress.ip_network("64:ff9b::/96")  # RFC 6052
_COMPATIBLE = ipaddress.ip_network("::/96")  # RFC 4291 2.5.5.1, given up
LONGEST_URL = 4_000


class Forbidden(Exception):
    """An address that is not asked; says why, never what it is."""


class Target(NamedTuple):
    """Whom to ask: `address` was judged, `host` is what the certificate must be for."""

    secure: bool
    host: str
    port: int
    address: str
    path: str


def target(url: str, *, allow_private: bool, resolve: Resolve | None = None) -> Target:
    """Where a link leads. Raises Forbidden, or OSError where the name is not known."""
    secure, host, port, path = _parts(url, allow_private=allow_private)
    found = [ipaddress.ip_address(one) for one in (resolve or _resolve)(host, port)]
    if not found:
        raise OSError("the name has no address")
    private = [one for one in found if not is_open(one)]
    if private and not allow_private:
        raise Forbidden("it leads into a private network")
    if not secure and not private:
        raise Forbidden("it is not encrypted (http)")
    return Target(secure, host, port, str(found[0]), path)


def is_open(address: Address) -> bool:
    """Whether an address belongs to the open internet, whatever it is wrapped in."""
    if isinstance(address, ipaddress.IPv6Address):
        inner = _wrapped(address)
        if inner is not None:
            return is_open(inner)
        if address in _COMPATIBLE or address.scope_id:
            return False
    return address.is_global and not address.is_multicast and not address.is_reserved


def _wrapped(address: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    """The IPv4 address inside an IPv6 one."""
    if address.ipv4_mapped or address.sixtofour:
        return address.ipv4_mapped or address.sixtofour
    if address.teredo:
        return address.teredo[1]
    if address in _NAT64:
        return ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
    return None


def _parts(url: str, *, allow_private: bool) -> tuple[bool, str, int, str]:
    """Secure or not, host, port and path of a link."""
    if len(url) > LONGEST_URL or not url.isascii() or any(ord(sign) <= 32 for sign in url):
        raise Forbidden("it is no web address")
    try:
        parts = urlsplit(url)
        scheme = "https" if parts.scheme.lower() in ("webcal", "webcals") else parts.scheme.lower()
        port = parts.port or PORTS.get(scheme, 0)
    except ValueError:
        raise Forbidden("it is no web address") from None
    if scheme not in PORTS or not parts.hostname:
        raise Forbidden("it is no web address")
    if scheme == "http" and not allow_private:
        raise Forbidden("it is not encrypted (http)")
    if parts.username or parts.password:
        raise Forbidden("it has a user name or password in it")
    if port not in OPEN_PORTS and not allow_private:
        raise Forbidden("it asks for an unusual port")
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return scheme == "https", parts.hostname, port, path


def _resolve(host: str, port: int) -> list[str]:
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(one[4][0]) for one in found))
