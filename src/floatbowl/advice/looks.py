"""Checks and tests: what each costs in minutes and which faults it would show."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from floatbowl.advice.cost import RIDE
from floatbowl.signs.trial import SHOWS, LevelReading, LookReading

if TYPE_CHECKING:
    from collections.abc import Iterable

    from floatbowl.signs.trial import Reading, Trial


@dataclass(frozen=True, slots=True)
class Look:
    """A look by its key: minutes (from memory, one familiar bike) and the faults it shows."""

    key: str
    minutes: float
    shows: tuple[str, ...]


_MINUTES = {
    "soap on the joints": 10.0,
    "crankcase under pressure": 45.0,
    "light through the pilot jet": 20.0,
    "spray through the pilot air jet": 15.0,
    "spray from the bypass holes": 25.0,
    "light through the main jet": 15.0,
    "light through the main air jet": 20.0,
    "fuel level by a clear hose": 10.0,
    "float held under": 25.0,
    "float valve under pressure": 15.0,
    "needle jet against the light": 30.0,
    "needle under the caliper": 20.0,
    "breathe through the vents": 3.0,
    "tank cap opened": 2.0,
    "flow from the tap": 5.0,
    "choke seat": 5.0,
    "filter off for a moment": 5.0,
    "filter in the hand": 3.0,
    "idle stop right out": 3.0,
    "new plug": 5.0,
    "wires and switch shaken": 5.0,
    "fresh petrol": 10.0,
    "exhaust joints": 5.0,
    "valve clearance": 40.0,
    "cleaned by spray": 25.0,
    "cleaned by hand": 45.0,
    "cleaned in a bath": 60.0,
    "strip and clean": 75.0,
}
LOOKS = tuple(Look(key, _MINUTES[key], shows) for key, shows in SHOWS.items())
ASKED_FOR = tuple(look for look in LOOKS if not look.key.startswith("cleaned"))
"""Looks that are asked for; that somebody cleaned it is heard, and asked for as the whole strip-down."""
RIDE_AND_SAY = Look("ride and say", RIDE.value, ())


def look_for(fault: str) -> Look:
    """Give the cheapest look that shows a fault."""
    return min((look for look in ASKED_FOR if fault in look.shows), key=lambda look: look.minutes)


def looks_made(trials: Iterable[Trial]) -> dict[str, str]:
    """Give each look that was made and what it brought last, but for what it found and was mended since."""
    made = [(_brought(reading), trial) for trial in trials for reading in trial.readings]
    return {
        brought[0]: brought[1]
        for brought, trial in made
        if brought and not (brought[1] == "found" and set(SHOWS.get(brought[0], ())) & set(trial.mended))
    }


def _brought(reading: Reading) -> tuple[str, str] | None:
    """Give the look that a reading is, and what it brought; None for any other reading."""
    if isinstance(reading, LookReading):
        return reading.look, reading.outcome
    if isinstance(reading, LevelReading):
        return "fuel level by a clear hose", "found" if abs(reading.above_mm) >= _LEVEL_OFF_MM else "clear"
    return None


_LEVEL_OFF_MM = 2.5
"""A level that far from the book's is a fault and no longer how floats differ (judgement)."""


def times_made(trials: Iterable[Trial]) -> Counter[str]:
    """Count how often each look was made."""
    brought = (_brought(reading) for trial in trials for reading in trial.readings)
    return Counter(one[0] for one in brought if one)


def faults_found(trials: Iterable[Trial]) -> tuple[str, ...]:
    """Give the faults that a look found and nobody mended yet."""
    found = [key for key, outcome in looks_made(trials).items() if outcome == "found"]
    return tuple(fault for key in found for fault in SHOWS.get(key, ()))
