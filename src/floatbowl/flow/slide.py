"""The opening left by the slide, and the pull at the spray holes under it."""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import KgPerCubicMetre, Metre, PerKilogramMetre, Ratio, SquareMetre

SHARP_DISCHARGE = Figure(
    0.72, 0.62, 0.80, "from memory: vena contracta of a sharp edge, 0.61, and some rounding"
)
"""Discharge of the slide's edge when nearly shut."""
OPEN_GAIN = Figure(
    0.20,
    0.10,
    0.28,
    "mathur-sharma ch. 11: 0.80 to 0.85 for a venturi; a rounded entry is higher, from memory",
)
"""What the discharge gains from shut to fully open."""
SIGNAL_GAIN = Figure(
    1.4, 0.9, 2.2, "judgement: no measurement found; nozzle hood, needle wake and contraction together"
)
"""Pull at the needle jet over the dynamic pressure of the mean stream there."""
SIGNAL_REACH = Figure(
    0.26, 0.18, 0.34, "judgement: set so that the needle jet wakes above idle, decisions/0011"
)
"""Opening, as a share of the bore, at which the stream has come down to the needle jet."""
SIGNAL_STEEPNESS = Figure(4.0, 2.0, 6.0, "judgement: as SIGNAL_REACH")
"""Power with which the pull comes up; 4 lets the straight part of the needle rule up to a quarter."""
SIGNAL_FLOOR = Figure(
    0.02, 0.0, 0.10, "judgement: what is felt of the stream when the slide is shut, decisions/0011"
)
"""Share of the full pull that is felt with the slide shut."""
FLAT_SIGNAL = Figure(
    1.10,
    1.0,
    1.25,
    "judgement: a thin flat slide turns the stream less and pulls harder; common practice for the sense",
)
"""Pull under a flat slide over that under a round one."""
FLAT_DISCHARGE = Figure(1.03, 1.0, 1.08, "judgement: as FLAT_SIGNAL")
"""Discharge of a flat slide over that of a round one."""
CUTAWAY_SHARE = Figure(0.6, 0.3, 1.0, "own derivation: geometry of a slanted underside over the needle jet")
"""Share of the cutaway's height that stands over the needle jet."""
REVERSE_SHARE = Figure(
    0.4, 0.0, 0.8, "judgement: a nozzle shielded on the air side feels less of the stream that comes back"
)
"""Pull of air that flows back out, against the same air going in."""


def segment_area(height: Metre, bore: Metre) -> SquareMetre:
    """Give the area of a round bore up to a height above its floor.

    Holds for heights from 0 to the bore; beyond, the full circle.

    Source: own derivation, circular segment.

    >>> round(float(segment_area(0.014, 0.028)) * 1e6, 3)
    307.876
    """
    radius = 0.5 * np.asarray(bore)
    rise = np.clip(height, 0.0, 2.0 * radius)
    cosine = np.clip(1.0 - rise / radius, -1.0, 1.0)
    chord = np.sqrt(np.maximum(2.0 * radius * rise - rise**2, 0.0))
    return np.asarray(radius**2 * np.arccos(cosine) - (radius - rise) * chord)


def open_area(lift: Metre, bore: Metre, needle: Metre) -> SquareMetre:
    """Give the open area under the slide: the segment less the needle standing in it.

    Source: own derivation, circular segment less a rectangle.

    >>> round(float(open_area(0.007, 0.028, 0.0025)) * 1e6, 2)
    102.88
    """
    shadow = needle * np.minimum(lift, bore)
    return np.maximum(segment_area(lift, bore) - shadow, 0.05 * segment_area(lift, bore))


def slide_discharge(opening: Ratio) -> Ratio:
    """Give the discharge coefficient of the slide by its lift over the bore.

    Sharp-edged when nearly shut, a rounded throat when open.

    Source: judgement between the two ends named at ``SHARP_DISCHARGE`` and ``OPEN_GAIN``.

    >>> round(float(slide_discharge(1.0)), 2)
    0.92
    """
    return SHARP_DISCHARGE.value + OPEN_GAIN.value * np.clip(opening, 0.0, 1.0) ** 1.5


def signal_ramp(opening: Ratio, reach: Ratio, floor: Ratio) -> Ratio:
    """Give the share of the full pull felt at the needle jet when the slide is at ``opening``.

    At small openings the air runs as a sheet along the slide's edge and the
    needle jet stands in the slow hollow before it; the pull comes up as the
    stream fills the throat. Runs smoothly from ``floor`` to 1.

    Source: judgement, decisions/0011.

    >>> round(float(signal_ramp(10.0, 0.26, 0.02)), 3)
    1.0
    """
    return floor + (1.0 - floor) * -np.expm1(-((np.asarray(opening) / reach) ** SIGNAL_STEEPNESS.value))


def signal_per_flow(section: SquareMetre, gain: Ratio, density: KgPerCubicMetre) -> PerKilogramMetre:
    """Give the pull per squared mass flow, Pa per (kg/s)2, which is 1/(kg m).

    The pull is ``gain`` times the dynamic pressure of the mean stream through
    ``section``. The unit is that of 1/(density x area2): 1/(kg m).

    Source: [heywood1988] ch. 7, dynamic pressure at the throat; the gain is ours.

    >>> float(signal_per_flow(1e-4, 1.6, 1.2))
    66666666.66666667
    """
    return gain / (2.0 * density * np.asarray(section) ** 2)
