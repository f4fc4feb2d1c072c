"""Checks and tests: what each costs in minutes and which faults it would show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from floatbowl.signs.trial import SHOWS, LookReading

if TYPE_CHECKING:
    from collections.abc import Iterable

    from floatbowl.signs.trial import Trial


@dataclass(frozen=True, slots=True)
class Look:
    """A look by its key: minutes (from memory, one familiar bike) and the faults it shows."""

    key: str
    minutes: float
    shows: tuple[str, ...]


_MINUTES = {
    "soap on the joints": 10.0,
    "light through the pilot jet": 20.0,
    "spray through the pilot air jet": 15.0,
    "spray from the bypass holes": 25.0,
    "light through the main jet": 15.0,
    "light through the main air jet": 20.0,
    "fuel level by a clear hose": 10.0,
    "needle jet against the light": 30.0,
    "breathe through the vents": 5.0,
    "choke seat": 5.0,
    "filter off for a moment": 5.0,
    "idle stop right out": 5.0,
}
LOOKS = tuple(Look(key, _MINUTES[key], shows) for key, shows in SHOWS.items())
RIDE_AND_SAY = Look("ride and say", 15.0, ())


def look_for(fault: str) -> Look:
    """Give the look that shows a fault."""
    return next(look for look in LOOKS if fault in look.shows)


def looks_made(trials: Iterable[Trial]) -> dict[str, str]:
    """Give each look that was made and what it brought last, but for what was mended since."""
    return {
        reading.look: reading.outcome
        for trial in trials
        if not trial.mended
        for reading in trial.readings
        if isinstance(reading, LookReading)
    }


def faults_found(trials: Iterable[Trial]) -> tuple[str, ...]:
    """Give the faults that a look found and nobody mended yet."""
    found = [key for key, outcome in looks_made(trials).items() if outcome == "found"]
    return tuple(fault for key in found for fault in SHOWS.get(key, ()))
