"""What a look brought: soap on the joints, a jet held to the light, and the like."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.trial import LookReading

    Array = NDArray[np.float64]

QUESTION = "Did the look find it?"

SEEN = Figure(0.85, 0.70, 0.95, "judgement: how often a look finds the fault that is there")
FALSE_ALARM = Figure(0.04, 0.01, 0.10, "judgement: how often a look finds what is not there")


def share_found(reading: LookReading, has: NDArray[np.bool_]) -> Array:
    """Give how often the look finds it, (draw,); ``has`` says which draws have a fault that it shows."""
    del reading
    return np.where(has, SEEN.value, FALSE_ALARM.value)


def log_likelihood(reading: LookReading, has: NDArray[np.bool_]) -> Array:
    """Give the logarithm of how probable the outcome is for each draw, (draw,)."""
    found = share_found(reading, has)
    return np.asarray(np.log(found if reading.outcome == "found" else 1.0 - found))


def draw(reading: LookReading, has: NDArray[np.bool_], rng: Generator) -> NDArray[np.bool_]:
    """Draw whether the look finds it, (draw,)."""
    return np.asarray(rng.random(has.shape) < share_found(reading, has))
