"""One setup ridden on one day, with what the rider said and what was measured.

Plain data without arrays, so that recording a remark does not load the sums.
Each sign's own file holds what the sign tells us.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.day import Day
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup

Behaviour = Literal[
    "clean",
    "bogs",
    "stumbles",
    "surges",
    "thick",
    "flat",
    "pings",
    "hangs",
    "dies",
    "spits",
    "pops",
    "hard start",
    "drips",
    "fouls",
]
How = Literal["snap", "steady", "pull"]
Warmth = Literal["hot", "cold"]
Often = Literal["once", "every time"]
PlugColour = Literal["white", "light tan", "tan", "brown", "sooty", "wet"]
ChokeUse = Literal["off", "half", "on"]
LookOutcome = Literal["found", "clear"]

SHOWS: dict[str, tuple[str, ...]] = {
    "soap on the joints": ("air leak",),
    "light through the pilot jet": ("pilot jet blocked",),
    "spray through the pilot air jet": ("pilot air jet blocked",),
    "spray from the bypass holes": ("bypass holes blocked",),
    "light through the main jet": ("main jet blocked",),
    "light through the main air jet": ("main air jet blocked",),
    "fuel level by a clear hose": ("fuel level low", "fuel level high"),
    "needle jet against the light": ("needle jet worn",),
    "breathe through the vents": ("bowl vent blocked",),
    "choke seat": ("choke not off",),
    "filter off for a moment": ("air filter clogged",),
    "idle stop right out": ("slide hangs open",),
}
"""The faults that each look shows, by key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """What it did. ``at`` is None when the opening is not known; ``entry`` names it in reasons."""

    entry: str
    did: Behaviour
    at: Rung | None = None
    how: How | None = None
    engine: Warmth = "hot"
    often: Often = "every time"


@dataclass(frozen=True, slots=True, kw_only=True)
class LambdaReading:
    """A steady lambda at one rung; ``rpm`` is None when nobody counted."""

    entry: str
    at: Rung
    value: float
    rpm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugReading:
    """The plug's colour after a clean cut at one rung."""

    entry: str
    at: Rung
    colour: PlugColour


@dataclass(frozen=True, slots=True, kw_only=True)
class RollOnReading:
    """Times of a roll-on from one rung, in seconds, each run apart."""

    entry: str
    at: Rung
    seconds: tuple[float, ...]
    choke: ChokeUse = "off"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookReading:
    """What a look brought: ``look`` by its key, and whether it found what it was for."""

    entry: str
    look: str
    outcome: LookOutcome


Reading = LambdaReading | PlugReading | RollOnReading | LookReading


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One setup, ridden on one day."""

    setup: Setup
    day: Day
    remarks: tuple[Remark, ...] = ()
    readings: tuple[Reading, ...] = ()
    mended: tuple[str, ...] = ()
    """Faults, by key, that the bike still had on this trial and that were put right since."""
