"""The keeper of the door: who has shown the code, and how slowly it may be guessed.

Six digits are a million codes. Each wrong one makes the guesser wait longer, and all guessers
together get no more than a few dozen tries before the door lets nobody new in.
"""

from __future__ import annotations

import hashlib
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass

from floatbowl.words import door as words

STAY = 12 * 3600.0
"""Seconds that somebody stays in before the code is asked for again."""
TRIES_OF_ONE = 8
"""Wrong codes from one place before it is locked out."""
TRIES_OF_ALL = 40
"""Wrong codes over all before nobody new is let in: a chance of one in 25,000 for all guessers together."""
FREE_TRIES_OF_ALL = 5
LONGEST_WAIT = 60.0


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of showing a code: a pass, or the sentence why not."""

    ticket: str = ""
    why_not: str = ""


@dataclass(slots=True)
class _Tries:
    wrong: int = 0
    not_before: float = 0.0

    def count(self, now: float, *, free: int) -> float:
        """Count one more wrong code, and give the wait: twice as long each time beyond the free ones."""
        self.wrong += 1
        beyond = self.wrong - free
        wait = min(LONGEST_WAIT, 2.0 ** (beyond - 1)) if beyond > 0 else 0.0
        self.not_before = now + wait
        return wait


class DoorKeeper:
    """Keeps the code, the tries and the passes; all of them end with the process."""

    def __init__(self, *, code: str = "", clock: Callable[[], float] = time.monotonic) -> None:
        """Draw a code, unless one is given."""
        self.code = code or f"{secrets.randbelow(10**words.CODE_LENGTH):0{words.CODE_LENGTH}d}"
        self._clock = clock
        self._passes: dict[bytes, float] = {}
        self._all = _Tries()
        self._of: dict[str, _Tries] = {}

    def try_code(self, typed: str, *, peer: str) -> Answer:
        """Hold a code against ours. ``peer`` is where it came from."""
        now, mine = self._clock(), self._of.get(peer, _Tries())
        shut = self._shut_for(mine, now)
        if shut:
            return Answer(why_not=shut)
        digits = "".join(typed.split())
        if len(digits) != words.CODE_LENGTH or not (digits.isascii() and digits.isdecimal()):
            return Answer(why_not=words.NOT_A_CODE)
        if not secrets.compare_digest(digits.encode(), self.code.encode()):
            return Answer(why_not=self._count_wrong(peer, now))
        self._of.pop(peer, None)
        return Answer(ticket=self._new_pass(now))

    def lets_in(self, ticket: str) -> bool:
        """Say whether a pass is one of ours and has not run out."""
        mark = _mark(ticket)
        until = self._passes.get(mark)
        if until is None:
            return False
        if self._clock() < until:
            return True
        del self._passes[mark]
        return False

    def _shut_for(self, mine: _Tries, now: float) -> str:
        if self._all.wrong >= TRIES_OF_ALL:
            return words.LOCKED
        if mine.wrong >= TRIES_OF_ONE:
            return words.LOCKED_OUT
        wait = max(mine.not_before, self._all.not_before) - now
        return words.wait_first(wait) if wait > 0.0 else ""

    def _count_wrong(self, peer: str, now: float) -> str:
        mine = self._of.setdefault(peer, _Tries())
        wait = max(mine.count(now, free=0), self._all.count(now, free=FREE_TRIES_OF_ALL))
        if mine.wrong >= TRIES_OF_ONE or self._all.wrong >= TRIES_OF_ALL:
            return self._shut_for(mine, now)
        return words.wrong_code(wait)

    def _new_pass(self, now: float) -> str:
        ticket = secrets.token_urlsafe(32)
        self._passes = {mark: until for mark, until in self._passes.items() if until > now}
        self._passes[_mark(ticket)] = now + STAY
        return ticket


def _mark(ticket: str) -> bytes:
    """Keep a pass by its digest, so that how long a look-up takes says nothing about the pass."""
    return hashlib.sha256(ticket.encode()).digest()
