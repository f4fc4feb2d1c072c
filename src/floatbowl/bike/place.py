"""A place where bikes are ridden, and the air we assume there until somebody reads an instrument."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.bike.assume import measured
from floatbowl.bike.day import Day
from floatbowl.bike.measure import Measure
from floatbowl.units import HECTOPASCAL

NOT_KNOWN = "not known"

TEMPERATURE_READ_SPREAD = 1.0
"""Kelvin: a thermometer in the shade of the shed (judgement)."""
PRESSURE_READ_SPREAD = 1.0 * HECTOPASCAL
HUMIDITY_READ_SPREAD = 0.05
MILD_DAY = Measure(288.15, 7.0, "assumed")
MILD_HUMIDITY = Measure(0.6, 0.15, "assumed")
WEATHER_PRESSURE_SPREAD = 10.0 * HECTOPASCAL
"""How far the weather moves the pressure from that of the standard atmosphere (judgement)."""
HEIGHT_NOT_KNOWN_SPREAD = 35.0 * HECTOPASCAL
"""The same when even the height is not known (judgement: about 300 m either way)."""
HEIGHT_NOT_KNOWN = 200.0

_SEA_LEVEL_PRESSURE = 101325.0
_SEA_LEVEL_TEMPERATURE = 288.15
_LAPSE = 0.0065
_EXPONENT = 5.25588
"""The standard atmosphere below 11 km; the power is g M / (R lapse)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place and its height above the sea, in metres."""

    name: str
    height: float


def standard_pressure(height: float) -> float:
    """Give the standard atmosphere's pressure, Pa, at a height in metres.

    Source: [isa1976], troposphere.

    >>> round(standard_pressure(1500.0), -1)
    84560.0
    """
    return float(_SEA_LEVEL_PRESSURE * (1.0 - _LAPSE * height / _SEA_LEVEL_TEMPERATURE) ** _EXPONENT)


def standard_height(pressure: float) -> float:
    """Give the height, in metres, at which the standard atmosphere has this pressure, Pa.

    >>> round(standard_height(standard_pressure(1450.0)), 3)
    1450.0
    """
    share = (pressure / _SEA_LEVEL_PRESSURE) ** (1.0 / _EXPONENT)
    return float((1.0 - share) * _SEA_LEVEL_TEMPERATURE / _LAPSE)


def assume_day(  # noqa: PLR0913  (one for each thing that can be read off an instrument)
    place: str = NOT_KNOWN,
    *,
    date: str = "",
    height: float | None = None,
    temperature: float | None = None,
    pressure: float | None = None,
    humidity: float | None = None,
) -> Day:
    """Fill a day from what was read: kelvin, pascal at the door, relative humidity 0 to 1, metres.

    What was not read is assumed: a mild day, and pressure and height from each other.
    """
    return Day(
        place=place,
        height=_height(height, pressure),
        temperature=MILD_DAY if temperature is None else measured(temperature, TEMPERATURE_READ_SPREAD),
        pressure=_pressure(height, pressure),
        humidity=MILD_HUMIDITY if humidity is None else measured(humidity, HUMIDITY_READ_SPREAD),
        date=date,
    )


def _height(height: float | None, pressure: float | None) -> float:
    if height is not None:
        return height
    return HEIGHT_NOT_KNOWN if pressure is None else round(standard_height(pressure), 0)


def _pressure(height: float | None, pressure: float | None) -> Measure:
    if pressure is not None:
        return measured(pressure, PRESSURE_READ_SPREAD)
    if height is None:
        return Measure(standard_pressure(HEIGHT_NOT_KNOWN), HEIGHT_NOT_KNOWN_SPREAD, "assumed")
    return Measure(standard_pressure(height), WEATHER_PRESSURE_SPREAD, "assumed")
