"""The server around the door: socket, TLS, the time a stranger may take. Knows no plan."""

from __future__ import annotations

import logging
import socket
import ssl
from collections.abc import Callable
from pathlib import Path
from typing import Any

from seasonplan.errors import BadInput, Fault
from seasonplan.feed.serve.limits import HEAD_SECONDS, Waiting

KEEP_SECONDS = 5
MOST_CONNECTIONS = 100
MOST_HEAD_BYTES = 16_384


class Listening(socket.socket):
    """A socket that takes no more connections of one address than may wait at a time.

    Counted where they come in: who never agrees on encryption is never seen further on.
    """

    def __init__(self, family: int) -> None:
        super().__init__(family, socket.SOCK_STREAM)
        self.waiting = Waiting()

    def accept(self) -> tuple[socket.socket, Any]:
        line, peer = super().accept()
        if not self.waiting.take(line, peer[:2]):
            line.close()
            raise ConnectionAbortedError  # what a server's loop goes on after
        return line, peer


def bound(host: str, port: int) -> Listening:
    """A listening socket. Raises BadInput where the address or port cannot be had."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    taken = Listening(family)
    taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        taken.bind((host, port))
        taken.listen(MOST_CONNECTIONS)  # who comes before the server is up waits, not in vain
    except (OSError, OverflowError) as error:
        taken.close()
        reason = getattr(error, "strerror", None) or str(error)
        do = "Stop the other program, or choose another port with --port."
        raise BadInput(
            [Fault("serve", "--port", None, f"port {port}: {reason}", "a free port", do)]
        ) from None
    return taken


def check_certificate(cert: Path, key: Path | None) -> None:
    """Raises BadInput where the files are no certificate with its key."""
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(cert, key, password=_no_password)
    except (OSError, ssl.SSLError, ValueError) as error:
        both = f"{cert} and {key}" if key else str(cert)
        found = f"{both}: {getattr(error, 'strerror', None) or error}"
        wanted = "a certificate in PEM form and its key, without a password"
        raise BadInput(
            [Fault("serve", "--cert", None, found, wanted, "Check both files.")]
        ) from None


def _no_password() -> str:
    raise ValueError("the key has a password")


def server(
    door: Any, waiting: Waiting, *, cert: Path | None = None, key: Path | None = None
) -> Any:
    """A uvicorn server; run it with `server.run(sockets=[taken])`, of what `bound` gave."""
    import uvicorn
    from uvicorn.protocols.http.h11_impl import H11Protocol

    class Hurried(H11Protocol):
        """Hangs up on who does not say in time what they want."""

        def connection_made(self, transport: Any) -> None:
            super().connection_made(transport)
            self.loop.call_later(HEAD_SECONDS, self._hang_up, transport)

        def handle_events(self) -> None:
            super().handle_events()
            if self.cycle is not None and self.client:
                waiting.asked(self.client)

        def _hang_up(self, transport: Any) -> None:
            if self.cycle is None and not transport.is_closing():
                transport.abort()

    logging.getLogger("uvicorn.error").setLevel(logging.ERROR)
    config = uvicorn.Config(
        door, http=Hurried, ws="none", loop="asyncio", lifespan="off", interface="asgi3",
        log_config=None, access_log=False, server_header=False, proxy_headers=False,
        timeout_keep_alive=KEEP_SECONDS, timeout_graceful_shutdown=5,
        limit_concurrency=MOST_CONNECTIONS, h11_max_incomplete_event_size=MOST_HEAD_BYTES,
        ssl_certfile=cert, ssl_keyfile=key,
    )  # fmt: skip
    return uvicorn.Server(config)


def own_address(probe: Callable[[], str] | None = None) -> str:
    """The address of this machine in its own network. Nothing is sent to find it."""
    if probe is not None:
        return probe()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # RFC 5737: nobody's. UDP: no packet leaves
            return str(asking.getsockname()[0])
        except OSError:
            return "127.0.0.1"
