"""How much one address may ask of the server. Forgets whom it has not heard of for long.

The secret has 192 bits: nobody guesses it, limited or not. What is limited is the work and the
lines in the log that a stranger can cause.
"""

from __future__ import annotations

import ipaddress
import socket
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from time import monotonic
from typing import NamedTuple

MOST_CLIENTS = 1_000


class Rate(NamedTuple):
    """So many at once, and so many more each second."""

    burst: float
    per_second: float


# Preferences of this project. A phone asks some times an hour; a 304 is not counted.
MISSES = Rate(30, 0.2)
BODIES = Rate(240, 2.0)
ANSWERS = Rate(20, 0.2)
HEAD_SECONDS = 10  # to send a whole request
MOST_WAITING, MOST_WAITING_OF_ALL = 24, 80


class Allowance:
    """What is left to each address."""

    def __init__(self, rate: Rate, *, now: Callable[[], float] = monotonic) -> None:
        self._rate, self._now = rate, now
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, client: str) -> bool:
        """Whether the address may do it once more; that is then counted."""
        key, now = network_of(client), self._now()
        left, then = self._left.pop(key, (self._rate.burst, now))
        left = min(self._rate.burst, left + (now - then) * self._rate.per_second)
        self._left[key] = (left - 1 if left >= 1 else left, now)
        if len(self._left) > MOST_CLIENTS:
            self._left.popitem(last=False)
        return left >= 1


class Waiting:
    """Connections on which nobody asked for anything yet, not even the encryption is agreed on."""

    def __init__(
        self,
        *,
        most: int = MOST_WAITING,
        of_all: int = MOST_WAITING_OF_ALL,
        now: Callable[[], float] = monotonic,
    ) -> None:
        self._most, self._of_all, self._now = most, of_all, now
        self._lines: dict[tuple[str, int], tuple[socket.socket, float]] = {}

    def take(self, line: socket.socket, peer: tuple[str, int]) -> bool:
        """Whether one more may wait; it is then counted until it asks or ends."""
        self._lines = {one: kept for one, kept in self._lines.items() if self._waits(*kept)}
        own = network_of(peer[0])
        mine = sum(network_of(one[0]) == own for one in self._lines)
        if mine >= self._most or len(self._lines) >= self._of_all:
            return False
        self._lines[peer] = line, self._now()
        return True

    def asked(self, peer: tuple[str, int]) -> None:
        """It said what it wants."""
        self._lines.pop(peer, None)

    def _waits(self, line: socket.socket, since: float) -> bool:
        """Whether a connection is still there; one that waited too long is ended."""
        if line.fileno() < 0:
            return False
        if self._now() - since <= HEAD_SECONDS:
            return True
        with suppress(OSError):  # ended by the other side
            line.shutdown(socket.SHUT_RDWR)
        return False


def network_of(client: str) -> str:
    """An address, or the /64 of an IPv6 one: one machine has that many."""
    try:
        address = ipaddress.ip_address(client.partition("%")[0])
    except ValueError:
        return client
    if isinstance(address, ipaddress.IPv4Address):
        return client
    if address.ipv4_mapped:
        return str(address.ipv4_mapped)
    return str(ipaddress.ip_network((address, 64), strict=False))
