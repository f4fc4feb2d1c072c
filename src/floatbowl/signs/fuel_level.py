"""The fuel level measured by a clear hose, or reckoned from a float height, against the book's."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import MILLIMETRE

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import LevelReading

    Array = NDArray[np.float64]

QUESTION = "A clear hose on the drain, held up: how far above the book level does the fuel stand?"

SPREAD_MM = Figure(1.0, 0.5, 2.0, "judgement: a bike not quite upright, an edge to sight along")
"""Standard deviation of a reading."""
ASTRAY = Figure(0.05, 0.02, 0.12, "judgement: air in the hose, the wrong edge, the wrong book")
"""Share of readings that say nothing of the level."""
_FURTHEST_MM = 15.0
"""A stray reading lies evenly within this, to both sides of the book level."""


def log_likelihood(reading: LevelReading, seen: Seen) -> Array:
    """Give the logarithm of the density, a millimetre, of the reading for each draw, (draw,)."""
    off = (reading.above_mm + seen.level_drop / MILLIMETRE) / SPREAD_MM.value
    bell = np.exp(-0.5 * off**2) / (SPREAD_MM.value * np.sqrt(2.0 * np.pi))
    return np.asarray(np.log((1.0 - ASTRAY.value) * bell + ASTRAY.value / (2.0 * _FURTHEST_MM)))


def draw(seen: Seen, rng: Generator) -> Array:
    """Draw how far above the book level, in millimetres, each draw's fuel is read to stand, (draw,)."""
    told = -seen.level_drop / MILLIMETRE + SPREAD_MM.value * rng.standard_normal(seen.level_drop.shape)
    stray = rng.uniform(-_FURTHEST_MM, _FURTHEST_MM, seen.level_drop.shape)
    return np.asarray(np.where(rng.random(stray.shape) < ASTRAY.value, stray, told))
