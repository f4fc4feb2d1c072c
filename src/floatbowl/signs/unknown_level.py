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
    patterns, left = _patterns(rest.shape[1], astray)
    off = (rest - rest.mean(axis=1, keepdims=True)).T
    total = np.full(len(rest), left * window.width ** -(rest.shape[1] - 1.0))
    for told, weight in patterns:
        bell = _bell(off[told], spread[told])
        total += weight * window.width ** float(len(told) - rest.shape[1]) * bell
    return np.asarray(np.log(total))


def draw(added: Array, spread: Array, *, astray: float, window: Window, rng: Generator) -> Array:
    """Draw a group of readings for each draw, (draw, reading); ``added`` is what each draw's bike adds."""
    level = window.middle + window.width * (rng.random((len(added), 1)) - 0.5)
    told = level + added + spread * rng.standard_normal(added.shape)
    stray = window.middle + window.width * (rng.random(added.shape) - 0.5)
    return np.where(rng.random(added.shape) < astray, stray, told)


def _bell(off: Array, spread: Array) -> Array:
    """Give the density of the differences among ``off`` (reading, draw), if all of them tell, (draw,)."""
    weight = 1.0 / spread**2
    total = float(weight.sum())
    misfit = np.einsum("i,ij,ij->j", weight, off, off) - np.einsum("i,ij->j", weight, off) ** 2 / total
    height = np.sqrt(weight.prod() / total) * (2.0 * np.pi) ** (0.5 - 0.5 * len(spread))
    return np.asarray(height * np.exp(-0.5 * misfit))


@lru_cache(maxsize=64)
def _patterns(readings: int, astray: float) -> tuple[tuple[tuple[list[int], float], ...], float]:
    """Give each set of readings that may tell with how likely it is, and how likely it is none of them.

    At least two must tell; sets that leave out more than a few count as none.
    """
    most = min(_MOST_ASTRAY, readings - 2)
    found = tuple(
        (list(told), (1.0 - astray) ** len(told) * astray ** (readings - len(told)))
        for lost in range(most + 1)
        for told in combinations(range(readings), readings - lost)
    )
    return found, 1.0 - sum(weight for _, weight in found)
