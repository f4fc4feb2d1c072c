"""Tracks made by hand: a stated speed over time, heard without doubt."""

import numpy as np
from numpy.typing import NDArray

from floatbowl.signs.ear.comb import HOP
from floatbowl.signs.ear.track import Track

Array = NDArray[np.float64]


def moments(seconds: float) -> Array:
    """Give the moments of so many seconds."""
    return np.arange(0.0, seconds, HOP)


def track_of(rpm: Array, *, doubt: float = 0.002) -> Track:
    """Give a track of a four-stroke that goes through these speeds."""
    return Track(
        strokes=4,
        length=len(rpm) * HOP,
        seconds=np.arange(len(rpm), dtype=np.float64) * HOP,
        rpm=rpm,
        spread=doubt * rpm,
        is_heard=np.ones(len(rpm), dtype=bool),
        four_stroking=None,
        missed=0.0,
        is_twice_possible=False,
        why_not=None,
    )
