"""Readings that only count against one another: what they have in common is not known.

Times on one road share its length, idle speeds at one stop share the stop. Each
reading is the common level, plus what the bike adds, plus a bell; a share of
readings tells nothing and lies anywhere within a window. The level is as likely
anywhere in that window, and is taken out by summing over it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_MOST_ASTRAY = 3
"""With more stray readings than this in one group, the group as a whole tells nothing."""


@dataclass(frozen=True, slots=True)
class Window:
    """Where the common level and any stray reading lie, evenly: around ``middle``, ``width`` wide in all."""

    middle: float
    width: float


def log_likelihood(rest: Array, spread: Array, *, astray: float, window: Window) -> Array:
    """Give the logarithm of the density of a group of readings for each draw, (draw,), up to a constant.

    ``rest`` (draw, reading) is each reading less what the draw's bike adds,
    ``spread`` (reading,) the standard deviation of each. ``astray`` is the share
    of readings that tell nothing. The density is that of the differences: one
    reading alone says nothing.

    Source: own derivation: for the readings that tell, the integral of a product
    of bells over their common middle; summed over which of them tell.
    """
    good, weight, left = _patterns(rest.shape[1], astray)
    silence = window.width ** -(rest.shape[1] - 1.0)
    if not len(good):
        return np.full(len(rest), np.log(left * silence))
    bells = np.exp(_log_bells(rest, spread, good))
    factor = weight * window.width ** (good.sum(axis=1) - rest.shape[1])
    return np.asarray(np.log(bells @ factor + left * silence))


def draw(added: Array, spread: Array, *, astray: float, window: Window, rng: Generator) -> Array:
    """Draw a group of readings for each draw, (draw, reading); ``added`` is what each draw's bike adds."""
    level = window.middle + window.width * (rng.random((len(added), 1)) - 0.5)
    told = level + added + spread * rng.standard_normal(added.shape)
    stray = window.middle + window.width * (rng.random(added.shape) - 0.5)
    return np.where(rng.random(added.shape) < astray, stray, told)


def _log_bells(rest: Array, spread: Array, good: Array) -> Array:
    """Give the logarithm of the density of the differences among each pattern's ``good``, (draw, pattern)."""
    weighted = good / spread**2
    total = weighted.sum(axis=1)
    off = rest - rest.mean(axis=1, keepdims=True)
    square = off**2 @ weighted.T - (off @ weighted.T) ** 2 / total
    count = good.sum(axis=1)
    height = -0.5 * ((count - 1.0) * np.log(2.0 * np.pi) + np.log(total)) - good @ np.log(spread)
    return np.asarray(height - 0.5 * square)


@lru_cache(maxsize=64)
def _patterns(readings: int, astray: float) -> tuple[Array, Array, float]:
    """Give which readings tell, (pattern, reading), how likely each pattern is, and any other.

    At least two must tell; patterns with more than a few strays count as none.
    """
    most = min(_MOST_ASTRAY, readings - 2)
    rows = [
        [0.0 if place in gone else 1.0 for place in range(readings)]
        for strays in range(most + 1)
        for gone in combinations(range(readings), strays)
    ]
    good = np.array(rows).reshape(len(rows), readings)
    told = good.sum(axis=1)
    weight = (1.0 - astray) ** told * astray ** (readings - told)
    return good, weight, 1.0 - float(weight.sum())
