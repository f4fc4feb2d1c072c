"""What to do next, and why, as data; the room ``words`` makes the sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.aside import Aside
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
    ``also`` is a job list: further changes that share the same strip-down, in order. ``setup`` is what is
    fitted after ``steps`` and ``also``, and ``expect``, ``care`` and ``bad_tail_count`` are of that.
    ``aside`` is what was set aside while this setup stands; ``is_offered_again`` says that this is one of
    those, as nothing else is worth doing. ``missing`` names the checks without which it is done, but not
    proven.
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
    aside: tuple[Aside, ...] = ()
    is_offered_again: bool = False
    missing: tuple[str, ...] = ()
    bad_tail_count: int = 0
    """How many of the twenty stay far short at 3/4 or full after the change."""


def aside_of(advice: Advice) -> Aside | None:
    """Name what would be set aside with this advice; None where it asks for nothing that can be."""
    if advice.kind == "change":
        return Aside(part=advice.steps[0].part, after=advice.steps[0].after)
    if advice.look is None or advice.why.key == "found":
        return None
    return Aside(look=advice.look, at=advice.why.at if advice.look in AT_A_RUNG else None)


AT_A_RUNG = ("choke test", "roll-on pair", "plug chop")
"""The tests that are made at one rung; each rung is a test of its own."""
