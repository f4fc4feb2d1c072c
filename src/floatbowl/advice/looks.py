"""Checks and tests: what each costs in minutes and which faults it would show."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.signs.trial import SHOWS


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
