"""Checks and tests: what each costs in minutes and which faults it would show."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Look:
    """A look by its key: minutes (from memory, one familiar bike) and the faults it shows."""

    key: str
    minutes: float
    shows: tuple[str, ...]


LOOKS = (
    Look("soap on the joints", 10.0, ("air leak",)),
    Look("light through the pilot jet", 20.0, ("pilot jet blocked",)),
    Look("spray through the pilot air jet", 15.0, ("pilot air jet blocked",)),
    Look("spray from the bypass holes", 25.0, ("bypass holes blocked",)),
    Look("light through the main jet", 15.0, ("main jet blocked",)),
    Look("light through the main air jet", 20.0, ("main air jet blocked",)),
    Look("fuel level by a clear hose", 10.0, ("fuel level low", "fuel level high")),
    Look("needle jet against the light", 30.0, ("needle jet worn",)),
    Look("breathe through the vents", 5.0, ("bowl vent blocked",)),
    Look("choke seat", 5.0, ("choke not off",)),
    Look("filter off for a moment", 5.0, ("air filter clogged",)),
    Look("idle stop right out", 5.0, ("slide hangs open",)),
)
RIDE_AND_SAY = Look("ride and say", 15.0, ())
CHOKE_TEST = Look("choke test", 5.0, ())


def look_for(fault: str) -> Look:
    """Give the look that shows a fault."""
    return next(look for look in LOOKS if fault in look.shows)
