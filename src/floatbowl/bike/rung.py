"""The six places on the throttle travel at which people speak of a bike."""

from __future__ import annotations

from enum import Enum


class Rung(Enum):
    """A place on the slide's travel; the value is the stamp used in files and commands."""

    SHUT = "shut"
    EIGHTH = "1/8"
    QUARTER = "1/4"
    HALF = "1/2"
    THREE_QUARTERS = "3/4"
    FULL = "full"

    @property
    def opening(self) -> float:
        """Give the share of the travel between the idle stop and fully open, 0 to 1."""
        return _OPENING[self]


_OPENING = {
    Rung.SHUT: 0.0,
    Rung.EIGHTH: 0.125,
    Rung.QUARTER: 0.25,
    Rung.HALF: 0.5,
    Rung.THREE_QUARTERS: 0.75,
    Rung.FULL: 1.0,
}

RUNGS = tuple(Rung)
