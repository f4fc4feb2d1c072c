"""A way through the air: days that differ in one thing, and how thick their air is.

Thickness alone does not make a day: warm thin air and high thin air feed a pilot
circuit differently. So what is asked in metres is followed up a hill, and what is
asked in degrees along a thermometer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.day import Day
from floatbowl.bike.measure import Measure
from floatbowl.bike.place import MILD_DAY, MILD_HUMIDITY, standard_pressure
from floatbowl.flow.air import density
from floatbowl.units import FREEZING

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.units import Pascal, Ratio

    Array = NDArray[np.float64]

COLDEST, HOTTEST = FREEZING - 10.0, FREEZING + 40.0
"""Kelvin: the warmths in which anyone rides (judgement)."""
SEA, SUMMIT = 0.0, 3000.0
"""Metres: the heights that are gone through, unless a place lies beyond."""
_KELVIN_APART, _METRES_APART = 12.5, 750.0
"""How far apart the days are that are worked out; between them all is as good as straight."""


def thickness(day: Day) -> float:
    """Give how thick a day's air is, kg/m3."""
    return float(density(day.pressure.value, temperature=day.temperature.value, humidity=day.humidity.value))


@dataclass(frozen=True, slots=True, kw_only=True)
class AirWay:
    """Days along which one thing changes, from thin air to thick.

    ``at`` (day,) holds that thing, metres or kelvin, and ``thick`` (day,) the
    thickness of the air, kg/m3, which grows from day to day.
    """

    days: tuple[Day, ...]
    at: Array
    thick: Array

    @classmethod
    def of(cls, days: tuple[Day, ...], at: Array) -> AirWay:
        """Put days in order from thin to thick."""
        thick = np.array([thickness(day) for day in days])
        order = np.argsort(thick, kind="stable")
        return cls(days=tuple(days[k] for k in order), at=at[order], thick=thick[order])

    @classmethod
    def up_the_hill(cls, *heights: float) -> AirWay:
        """Go from the sea to a summit on a mild day, and on to ``heights`` where they lie beyond."""
        low, high = min([SEA, *heights]), max([SUMMIT, *heights])
        at = _spaced(low, high, _METRES_APART)
        days = tuple(_day(standard_pressure(float(one)), MILD_DAY.value, MILD_HUMIDITY.value) for one in at)
        return cls.of(days, at)

    @classmethod
    def along_the_thermometer(cls, *, pressure: Pascal, humidity: Ratio) -> AirWay:
        """Go from frost to heat at one pressure at the door."""
        at = _spaced(COLDEST, HOTTEST, _KELVIN_APART)
        days = tuple(_day(float(pressure), float(one), float(humidity)) for one in at)
        return cls.of(days, at)

    def there(self, thick: float | Array) -> Array:
        """Give the height or warmth at which the air on this way is so thick; beyond its ends the end."""
        return np.interp(np.log(thick), np.log(self.thick), self.at)


def _spaced(low: float, high: float, apart: float) -> Array:
    return np.linspace(low, high, round((high - low) / apart) + 1)


def _day(pressure: float, temperature: float, humidity: float) -> Day:
    """Make a day that is nowhere and at no date, so that the same air is worked out once."""
    return Day(
        place="",
        height=0.0,
        temperature=Measure(temperature, 0.0),
        pressure=Measure(pressure, 0.0),
        humidity=Measure(humidity, 0.0),
    )


def warmth_at(thick: float, *, pressure: float, humidity: float) -> float:
    """Give the kelvin at which air at this pressure and dampness is so thick."""
    low, high = 200.0, 350.0
    while high - low > _CLOSE:
        middle = (low + high) / 2.0
        too_thick = float(density(pressure, temperature=middle, humidity=humidity)) > thick
        low, high = (middle, high) if too_thick else (low, middle)
    return (low + high) / 2.0


_CLOSE = 0.005
