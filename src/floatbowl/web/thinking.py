"""One thread that thinks, so that pages answer at once and no thought is made twice at a time.

The sums keep what they thought (see ``jobs``), and those keepings are not made for two threads;
so all thinking happens here. A page waits a short while for the fresh thought and shows the
last one meanwhile. Entries never wait for thinking.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from floatbowl import jobs
from floatbowl.bike.drawer import Drawer
from floatbowl.jobs import Facts, Stand

PATIENCE = 0.9
"""Seconds a page waits for the fresh thought before it shows the last one."""
Given = TypeVar("Given")
_MOST_KEPT = 64
"""Bikes whose last thought is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thought:
    """What we think of a bike, whether it takes in the last entry, and how many seconds ago it was made."""

    stand: Stand
    is_fresh: bool
    age: float


@dataclass(frozen=True, slots=True)
class _Finished:
    facts: Hashable
    stand: Stand
    when: float


@dataclass(slots=True, eq=False)
class _Ticket:
    """One piece of thinking that was asked for."""

    work: Callable[[], Any]
    facts: Hashable
    waiting: int = 0
    is_done: threading.Event = field(default_factory=threading.Event)
    result: Any = None
    trouble: Exception | None = None

    def outcome(self) -> Any:  # noqa: ANN401  (whatever the work gives)
        """Give what came of it; raises what it raised."""
        if self.trouble is not None:
            raise self.trouble
        return self.result


class Thinking:
    """The thinking thread with its queue. ``start`` it, and ``stop`` it when the garage closes."""

    def __init__(self, *, think: Callable[[Facts, Drawer], Stand] = jobs.think) -> None:
        """Take the job that thinks; tests bring their own."""
        self._think = think
        self._gate = threading.Condition()
        self._quick: dict[Hashable, _Ticket] = {}
        self._long: dict[str, _Ticket] = {}
        self._running: tuple[str, _Ticket] | None = None
        self._last: dict[str, _Finished] = {}
        self._is_open = True
        self._thread = threading.Thread(target=self._work_on, name="thinking", daemon=True)

    def start(self, first: Callable[[], None] = jobs.warm_up) -> None:
        """Begin; ``first`` is done before anything else."""
        with self._gate:
            self._quick["first"] = _Ticket(first, None, waiting=1)
        self._thread.start()

    def stop(self, *, patience: float = 0.5) -> None:
        """Take nothing more on, and wait this long at most for what runs; it ends with the process."""
        with self._gate:
            self._is_open = False
            self._quick.clear()
            self._long.clear()
            self._gate.notify_all()
        if self._thread.is_alive():
            self._thread.join(patience)

    # --- asking --------------------------------------------------------------------------------------------

    def about(self, facts: Facts, drawer: Drawer, *, patience: float = PATIENCE) -> Thought | None:
        """Give the fresh thought about a bike if it comes in time, else the last one, or None."""
        key, asked = facts.bike.name.casefold(), (facts, drawer)
        ticket = self._asked_for(key, asked, lambda: self._think(facts, drawer))
        if ticket is not None and ticket.is_done.wait(patience):
            ticket.outcome()
        with self._gate:
            last = self._last.get(key)
        if last is None:
            return None
        return Thought(stand=last.stand, is_fresh=last.facts == asked, age=time.monotonic() - last.when)

    def do(self, key: Hashable, work: Callable[[], Given], *, patience: float = PATIENCE) -> Given | None:
        """Do something quick in the thinking thread, before what is long; None when it takes too long.

        The same key asked twice at once is done once. When nobody waits any more it is not begun.
        """
        with self._gate:
            ticket = self._quick.setdefault(key, _Ticket(work, None))
            ticket.waiting += 1
            self._gate.notify_all()
        if ticket.is_done.wait(patience):
            return cast("Given", ticket.outcome())
        with self._gate:
            ticket.waiting -= 1
        return None

    def _asked_for(self, key: str, facts: Hashable, work: Callable[[], Stand]) -> _Ticket | None:
        """Put a thought first in the queue, in the place of an older one; None when it is there already."""
        with self._gate:
            last = self._last.get(key)
            if last is not None and last.facts == facts:
                self._long.pop(key, None)
                return None
            if self._running is not None and self._running[0] == key and self._running[1].facts == facts:
                return self._running[1]
            queued = self._long.pop(key, None)
            ticket = queued if queued is not None and queued.facts == facts else _Ticket(work, facts)
            self._long[key] = ticket
            self._gate.notify_all()
            return ticket

    # --- thinking ------------------------------------------------------------------------------------------

    def _work_on(self) -> None:
        while (taken := self._next()) is not None:
            key, ticket = taken
            try:
                ticket.result = ticket.work()
            except Exception as trouble:  # noqa: BLE001  (told to whoever waits; the thread lives on)
                ticket.trouble = trouble
            self._finish(key, ticket)

    def _next(self) -> tuple[str, _Ticket] | None:
        """Wait for something to do: what is quick first, then the bike last asked for."""
        with self._gate:
            while self._is_open:
                while self._quick:
                    ticket = self._quick.pop(next(iter(self._quick)))
                    if ticket.waiting > 0:
                        return "", ticket
                if self._long:
                    key = next(reversed(self._long))
                    self._running = key, self._long.pop(key)
                    return self._running
                self._gate.wait()
            return None

    def _finish(self, key: str, ticket: _Ticket) -> None:
        with self._gate:
            self._running = None
            if key and ticket.trouble is None:
                self._last.pop(key, None)
                self._last[key] = _Finished(ticket.facts, ticket.result, time.monotonic())
                while len(self._last) > _MOST_KEPT:
                    del self._last[next(iter(self._last))]
        ticket.is_done.set()
