"""Serving the pages until somebody says stop: the port, the limits, the patience with slow callers."""

from __future__ import annotations

import asyncio
import signal
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from types import FrameType
from typing import NoReturn

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from floatbowl.web.app import garage_app
from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.web.guard import Guard, guard_here
from floatbowl.web.shop import OpenGarage
from floatbowl.words.door import NO_NETWORK, CannotOpenError, port_taken

USUAL_PORT = 8377
THIS_MACHINE = "127.0.0.1"
EVERY_CARD = "0.0.0.0"  # noqa: S104  (asked for with --lan only, and the door code stands before it)
HEAD_PATIENCE = 10.0
"""Seconds for the head of a request to arrive."""
MOST_CALLERS = 96
"""Connections at once: a browser takes up to six, so this is a full shed."""
LAST_SECONDS = 2
"""How long a stop waits for answers that are under way."""
_NOWHERE = ("192.0.2.1", 9)
"""An address that documents may use for examples: asked for the way there, never spoken to."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the garage is open: the listening socket, and who may ask."""

    listening: socket.socket
    guard: Guard
    addresses: tuple[str, ...]
    """What to open or to type, the likeliest first."""


@contextmanager
def take_place(*, port: int | None = None, is_lan: bool = False) -> Iterator[Place]:
    """Listen on a port, the usual one if it is free and nobody named one; with ``is_lan`` to the network.

    Raises ``CannotOpenError`` when the named port is taken or there is no network.
    """
    beyond = addresses_here() if is_lan else ()
    if is_lan and not beyond:
        raise CannotOpenError(NO_NETWORK)
    with closing(_listen(EVERY_CARD if is_lan else THIS_MACHINE, port)) as listening:
        keeper = DoorKeeper() if is_lan else None
        guard = guard_here(listening.getsockname()[1], beyond=beyond, keeper=keeper)
        yield Place(listening, guard, guard.addresses[: max(1, len(beyond))])


def _listen(host: str, port: int | None) -> socket.socket:
    if port is not None:
        return _bound(host, port)
    try:
        return _bound(host, USUAL_PORT)
    except CannotOpenError:
        return _bound(host, 0)


def _bound(host: str, port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":  # there it would let two programs share the port
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError:
        listening.close()
        raise CannotOpenError(port_taken(port)) from None
    return listening


def addresses_here() -> tuple[str, ...]:
    """Give the addresses that this machine has in its network, the likeliest first; nothing is sent."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asking:
        try:
            asking.connect(_NOWHERE)
            likeliest = [asking.getsockname()[0]]
        except OSError:
            likeliest = []
    try:
        others = socket.gethostbyname_ex(socket.gethostname())[2]
    except OSError:
        others = []
    found = dict.fromkeys([*likeliest, *others])
    return tuple(address for address in found if not address.startswith("127.") and address != EVERY_CARD)


class PatientProtocol(H11Protocol):
    """Hangs up on who takes too long to say what is wanted: a few such callers would else fill the house."""

    _hanging_up: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the head of the first request."""
        super().connection_made(transport)
        self._hanging_up = self.loop.call_later(HEAD_PATIENCE, transport.close)

    def data_received(self, data: bytes) -> None:
        """Take what came; wait on while the head is not whole."""
        super().data_received(data)
        if self.conn.their_state is not h11.IDLE:
            self._stop_waiting()
        elif self._hanging_up is None:
            self._hanging_up = self.loop.call_later(HEAD_PATIENCE, self.transport.close)

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget a caller who went."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _stop_waiting(self) -> None:
        if self._hanging_up is not None:
            self._hanging_up.cancel()
            self._hanging_up = None


class _Server(uvicorn.Server):
    """Says when it is open."""

    def __init__(self, config: uvicorn.Config, *, when_open: Callable[[], None]) -> None:
        super().__init__(config)
        self._when_open = when_open

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets=sockets)
        self._when_open()


def serve(open_garage: OpenGarage, place: Place, *, when_open: Callable[[], None]) -> None:
    """Serve until somebody says stop: raises ``KeyboardInterrupt`` when all is closed."""
    server = _Server(
        uvicorn.Config(
            garage_app(open_garage, guard=place.guard),
            http=PatientProtocol,
            ws="none",
            log_level="error",
            proxy_headers=False,  # nobody stands between: what a caller says of its address is not believed
            server_header=False,
            limit_concurrency=MOST_CALLERS,
            timeout_keep_alive=5,
            timeout_graceful_shutdown=LAST_SECONDS,
        ),
        when_open=when_open,
    )
    with _stopped_as_by_hand():
        server.run(sockets=[place.listening])


@contextmanager
def _stopped_as_by_hand() -> Iterator[None]:
    """Let a polite stop from the system end as Ctrl-C does, so that a throw-away shed is thrown away."""

    def stop(_signal: int, _frame: FrameType | None) -> NoReturn:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
