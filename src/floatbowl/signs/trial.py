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
    "cuts out",
    "fades",
    "rest helps",
]
"""The first eleven belong to an opening; the rest do not, see ``signs.elsewhere``.

``cuts out`` is dying like a switch; ``fades`` is losing power the longer it is
held; ``rest helps`` is running again after a minute's rest.
"""
How = Literal["snap", "steady", "pull"]
Warmth = Literal["hot", "cold"]
Often = Literal["once", "every time"]
PlugColour = Literal["white", "light tan", "tan", "brown", "sooty", "wet"]
ChokeUse = Literal["off", "half", "on"]
LookOutcome = Literal["found", "clear"]
ChokeOutcome = Literal["better", "worse", "no change"]
HandOutcome = Literal["rises", "sinks"]
AfterBlip = Literal["settles", "sinks"]
"""What the idle does after a blip: come down to where it was, or sink below it and come back."""
Way = Literal["there", "back"]
"""Which way along the stretch a run went: wind and slope help one way and hinder the other."""
Clock = Literal["watch", "trace"]
"""Timed by a hand, or taken from a trace of the engine speed."""
Touched = Literal[
    "jets",
    "needle",
    "cleaning",
    "carburettor off",
    "float",
    "filter",
    "exhaust",
    "hoses",
    "plug",
    "fuel",
    "cable",
    "valves",
    "nothing",
]
"""What was worked on last before the trouble began."""

_PASSAGES = (
    "pilot jet blocked",
    "pilot air jet blocked",
    "bypass holes blocked",
    "main jet blocked",
    "main air jet blocked",
)
SHOWS: dict[str, tuple[str, ...]] = {
    "soap on the joints": ("air leak",),
    "crankcase under pressure": ("crank seal leaks", "air leak"),
    "light through the pilot jet": ("pilot jet blocked",),
    "spray through the pilot air jet": ("pilot air jet blocked",),
    "spray from the bypass holes": ("bypass holes blocked",),
    "light through the main jet": ("main jet blocked",),
    "light through the main air jet": ("main air jet blocked",),
    "fuel level by a clear hose": ("fuel level low", "fuel level high", "float sinks", "float valve leaks"),
    "float held under": ("float sinks",),
    "float valve under pressure": ("float valve leaks",),
    "needle jet against the light": ("needle jet worn",),
    "needle under the caliper": ("needle worn", "wrong needle"),
    "breathe through the vents": ("bowl vent blocked",),
    "tank cap opened": ("tank vent blocked",),
    "flow from the tap": ("fuel tap clogged",),
    "choke seat": ("choke not off",),
    "filter off for a moment": ("air filter clogged",),
    "filter in the hand": ("air filter torn or gone", "air filter clogged"),
    "idle stop right out": ("slide hangs open", "air leak", "crank seal leaks"),
    "new plug": ("weak spark",),
    "wires and switch shaken": ("ignition cuts out",),
    "fresh petrol": ("water or stale fuel",),
    "exhaust joints": ("exhaust leaks",),
    "valve clearance": ("valve too tight",),
    "cleaned by spray": _PASSAGES,
    "cleaned by hand": _PASSAGES,
    "cleaned in a bath": _PASSAGES,
    "strip and clean": (
        *_PASSAGES,
        "fuel level low",
        "fuel level high",
        "float sinks",
        "float valve leaks",
        "needle jet worn",
        "needle worn",
        "wrong needle",
        "bowl vent blocked",
        "choke not off",
        "slide hangs open",
    ),
}
"""The faults that each look shows, by key. A look that mends ("new plug") found it if that helped."""


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
class LambdaLogReading:
    """What a log of lambda came to: a steady lambda for each rung and engine speed held, with its spread.

    All of one length; ``rpm`` is empty where the log counts no engine speed.
    ``spread`` is that of the number itself, not of the sensor, which may be off by
    the same at every place.
    """

    entry: str
    at: tuple[Rung, ...]
    value: tuple[float, ...]
    spread: tuple[float, ...]
    rpm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GasReading:
    """What an analyser shows of the dried exhaust gas at one rung, by volume; ``hc_ppm`` as hexane."""

    entry: str
    at: Rung
    co_pct: float
    co2_pct: float
    hc_ppm: float
    o2_pct: float
    rpm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugReading:
    """The plug's colour after a clean cut at one rung."""

    entry: str
    at: Rung
    colour: PlugColour


@dataclass(frozen=True, slots=True, kw_only=True)
class RollOnReading:
    """Times of a roll-on from one rung, in seconds, each run apart; ``rpm`` is None at the usual speed.

    ``ways`` says which way each run went; it is empty where nobody said.
    """

    entry: str
    at: Rung
    seconds: tuple[float, ...]
    choke: ChokeUse = "off"
    rpm: float | None = None
    ways: tuple[Way, ...] = ()
    by: Clock = "watch"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookReading:
    """What a look brought: ``look`` by its key, and whether it found what it was for."""

    entry: str
    look: str
    outcome: LookOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class ChokeReading:
    """What a little choke did at a held opening, warm."""

    entry: str
    at: Rung
    outcome: ChokeOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class HandReading:
    """What the idle did when a hand slowly covered the intake: rises before it sinks, or only sinks."""

    entry: str
    outcome: HandOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class IdleSweepReading:
    """Idle speed in rpm at each number of screw turns, the stop left alone; 0 rpm where it died."""

    entry: str
    turns: tuple[float, ...]
    rpm: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class IdleNoteReading:
    """The idle by ear: its speed and how sure that is, how far it wanders, how it hunts, what a blip brings.

    ``hunts_per_s`` is None where it does not hunt; ``hangs_s`` is how long the
    last of the fall after a blip took, None with no blip heard.
    """

    entry: str
    rpm: float
    spread_rpm: float
    wander_pct: float
    hunts_per_s: float | None = None
    hangs_s: float | None = None
    after_blip: AfterBlip | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelReading:
    """Fuel level by a clear hose, in millimetres above the book level; below it is negative."""

    entry: str
    above_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedReading:
    """What was worked on last before the trouble began."""

    entry: str
    part: Touched


Reading = (
    LambdaReading
    | LambdaLogReading
    | GasReading
    | PlugReading
    | RollOnReading
    | LookReading
    | ChokeReading
    | HandReading
    | IdleSweepReading
    | IdleNoteReading
    | LevelReading
    | TouchedReading
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One setup, ridden on one day."""

    setup: Setup
    day: Day
    remarks: tuple[Remark, ...] = ()
    readings: tuple[Reading, ...] = ()
    mended: tuple[str, ...] = ()
    """Faults, by key, that the bike still had on this trial and that were put right since."""
