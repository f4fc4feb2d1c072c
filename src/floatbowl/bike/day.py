"""The air on one day at one place."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.bike.measure import Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The air at the door: kelvin, pascal, relative humidity 0 to 1, height in metres.

    ``pressure`` is what a barometer at the door reads, not the forecast's
    sea-level figure.
    """

    place: str
    height: float
    temperature: Measure
    pressure: Measure
    humidity: Measure
    date: str = ""
