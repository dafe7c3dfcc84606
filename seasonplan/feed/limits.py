"""How much one address may ask of the server. Forgets whom it has not heard of for long.

The secret has 192 bits: nobody guesses it, limited or not. What is limited is the work and the
lines in the log that a stranger can cause.
"""

from __future__ import annotations

import ipaddress
from collections import OrderedDict
from collections.abc import Callable
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
