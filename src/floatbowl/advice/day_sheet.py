"""A day ahead: the air hour by hour, the swap lines across it, and what to take along.

Source: own derivation, docs/model/carry.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.air_way import AirWay, thickness
from floatbowl.advice.carry import carried_to, fits_for
from floatbowl.advice.swaps import SWAPPED, Band, Scan, SwapLine, bands_of, swap_lines
from floatbowl.belief.belief import OF
from floatbowl.figures import Figure
from floatbowl.flow.air import density

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from floatbowl.advice.advice import Step
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.day import Day
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.hour import Hour

    Array = NDArray[np.float64]

FORECAST_WARMTH = Figure(2.0, 1.0, 4.0, "judgement: a day's forecast against the shade of one paddock, K")
FORECAST_PRESSURE = Figure(200.0, 100.0, 400.0, "judgement: a day's forecast against one barometer, Pa")
FORECAST_DAMP = Figure(0.10, 0.05, 0.2, "judgement: a day's forecast of relative humidity")
_MIXED = ((3, 3), (11, 12), (19, 15))
"""How warmth, pressure and dampness are dealt out to the twenty days: stride and start, so that none follows
another nor the order of the twenty bikes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourAhead:
    """One hour: how thick its air is expected to be, kg/m3, and in each of twenty likely days.

    ``mains`` counts how many of the twenty want which main then, the most wanted first.
    """

    hour: Hour
    thickness: float
    twenty: Array
    mains: tuple[tuple[str, int], ...]
    best: dict[str, str | float]
    """By part, the one at hand that is the better bet in the middle of what is expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheet:
    """A day ahead of one bike.

    The main is weighed with everything else as it is fitted now, and every
    further part with those before it as they are best in the middle of the
    day: so that all may be done. ``lines`` lie on a thermometer at ``pressure``, the middle of what is
    expected, main first and each part from thin air to thick; ``bands`` are
    what lies between them. ``pack`` are the mains at hand that one of the
    twenty or more wants at some hour, ``buy`` what would serve much better.
    """

    here: Belief
    hours: tuple[HourAhead, ...]
    pressure: float
    humidity: float
    bands: tuple[Band, ...]
    lines: tuple[SwapLine, ...]
    pack: tuple[str, ...]
    buy: tuple[Step, ...]


def day_sheet(belief: Belief, *, drawer: Drawer, hours: Sequence[Hour]) -> DaySheet:
    """Lay a day out: at least one hour, in the order of the day."""
    days = [hour.day for hour in hours]
    pressure, humidity = (
        float(np.median(one))
        for one in zip(*((d.pressure.value, d.humidity.value) for d in days), strict=True)
    )
    middle = sorted(days, key=thickness)[len(days) // 2]
    scan = Scan(belief, AirWay.along_the_thermometer(pressure=pressure, humidity=humidity))
    bands = _bands(scan, drawer, thickness(middle))
    ahead = tuple(_hour(scan, bands, hour) for hour in hours)
    return DaySheet(
        here=belief,
        hours=ahead,
        pressure=pressure,
        humidity=humidity,
        bands=tuple(band for some in bands.values() for band in some),
        lines=tuple(line for some in bands.values() for line in swap_lines(scan, some)),
        pack=_to_pack(ahead, belief.setup.main),
        buy=fits_for(carried_to(belief, middle), drawer)[1],
    )


def _bands(scan: Scan, drawer: Drawer, middle: float) -> dict[str, tuple[Band, ...]]:
    """Give the bands of every part, each with the parts before it as they are best at ``middle``, kg/m3."""
    base, found = scan.belief.setup, {}
    for part in SWAPPED:
        found[part] = bands_of(scan, part, drawer, base=base)
        base = _best(found[part], middle).setup if found[part] else base
    return found


def _hour(scan: Scan, bands: dict[str, tuple[Band, ...]], hour: Hour) -> HourAhead:
    middle, twenty = thickness(hour.day), likely_air(hour.day)
    return HourAhead(
        hour=hour,
        thickness=middle,
        twenty=twenty,
        mains=_wanted(scan, bands["main"], twenty),
        best={part: _best(some, middle).stamp for part, some in bands.items() if some},
    )


def _best(bands: Sequence[Band], thick: float) -> Band:
    """Give the band in which such air lies; beyond the last line, the last one."""
    return next((band for band in bands[:-1] if thick <= band.thick), bands[-1])


def _wanted(scan: Scan, bands: Sequence[Band], twenty: Array) -> tuple[tuple[str, int], ...]:
    """Count the mains that the twenty want, each bike on a likely day of its own; of equals the smaller."""
    if not bands:
        return ((scan.belief.setup.main, OF),)
    left = [np.diag(scan.left_of_twenty(band.setup, twenty)) for band in bands]
    wanted = np.bincount(np.argmin(np.stack(left), axis=0), minlength=len(bands))
    counted = [(str(band.stamp), int(count)) for band, count in zip(bands, wanted, strict=True) if count]
    return tuple(sorted(counted, key=lambda pair: -pair[1]))


def likely_air(day: Day) -> Array:
    """Give how thick the air may be on twenty likely days like the one expected, kg/m3, (20,).

    A forecast that is off is off all day: the same one of the twenty is the
    warmest at every hour.
    """
    z = np.array([NormalDist().inv_cdf((k + 0.5) / OF) for k in range(OF)])
    warm, press, damp = (z[(stride * np.arange(OF) + start) % OF] for stride, start in _MIXED)
    t, p, h = day.temperature, day.pressure, day.humidity
    return np.asarray(
        density(
            p.value + np.hypot(p.spread, FORECAST_PRESSURE.value) * press,
            temperature=t.value + np.hypot(t.spread, FORECAST_WARMTH.value) * warm,
            humidity=np.clip(h.value + np.hypot(h.spread, FORECAST_DAMP.value) * damp, 0.0, 1.0),
        )
    )


def _to_pack(ahead: Sequence[HourAhead], fitted: str) -> tuple[str, ...]:
    """Name the mains that some of the twenty want at some hour, the most wanted first."""
    wanted: dict[str, int] = {}
    for hour in ahead:
        for stamp, count in hour.mains:
            wanted[stamp] = wanted.get(stamp, 0) + count
    return tuple(stamp for stamp in sorted(wanted, key=lambda one: -wanted[one]) if stamp != fitted)
