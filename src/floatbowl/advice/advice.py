"""What to do next, and why, as data; words.py makes the sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup

Kind = Literal["change", "look", "stop", "done"]
Use = Literal["ride", "gently", "not"]
"""May it be used as it stands: ride it, ride home gently, do not run it."""


@dataclass(frozen=True, slots=True)
class Step:
    """One part changed: which, from what to what (stamps as text, turns and grooves as numbers)."""

    part: str
    before: str | float | int
    after: str | float | int


@dataclass(frozen=True, slots=True, kw_only=True)
class Expect:
    """Of the twenty: how many come right at the rung in question, stay short, get too much."""

    at: Rung
    lift_mm: float
    right: int
    short: int
    too_much: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Reasons as data. ``key`` names the sentence; the entries speak for or against."""

    key: str
    at: Rung
    count: int
    speaks_for: tuple[str, ...] = ()
    speaks_against: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerUp:
    """A change not advised first, and a key for why not."""

    steps: tuple[Step, ...]
    why_not: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One change, one look, a stop tag, or nothing to do.

    ``look`` names the check or test (a key of words and guide) for a look or a
    stop tag, and ``suspect`` the fault a stop tag is about. ``buy`` lists parts
    that would serve better than the drawer. ``care`` and ``assumed`` are keys.
    ``setup`` is the setup after ``steps``, without ``also``. ``also`` is a job list: further
    changes that share the same strip-down, in order.
    """

    kind: Kind
    steps: tuple[Step, ...]
    setup: Setup
    minutes: float
    why: Why
    expect: Expect | None
    look: str | None = None
    suspect: str | None = None
    suspect_count: int = 0
    also: tuple[Step, ...] = ()
    buy: tuple[Step, ...] = ()
    runners_up: tuple[RunnerUp, ...] = ()
    care: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    use: Use = "ride"
    bad_tail_count: int = 0
    """How many of the twenty stay far short at 3/4 or full after the change."""
