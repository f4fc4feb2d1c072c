"""An hour of a day ahead: what was typed of it, and the air expected then."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.bike.day import Day


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What was typed of one hour, in SI; what was not is None.

    ``minute`` is the time of day since midnight. ``pressure`` is that at the
    door, ``sea_level_pressure`` the figure of a forecast; one of the two.
    """

    minute: int
    what: str = ""
    """What is ridden then, as ``second heat``; empty when nobody said."""
    temperature: float | None = None
    pressure: float | None = None
    sea_level_pressure: float | None = None
    humidity: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One hour of a day ahead and the air expected then, the pressure at the door."""

    minute: int
    day: Day
    what: str = ""


def clock(minute: int) -> str:
    """Write a time of day.

    >>> clock(545)
    '09:05'
    """
    return f"{minute // 60:02d}:{minute % 60:02d}"
