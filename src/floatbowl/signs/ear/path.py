"""One line of speed through all moments: what fits well and changes as a flywheel lets it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float32]
    Whole = NDArray[np.int64]

FURTHEST = 14
"""Steps of the grid by which a speed may change from one moment to the next: 14 per cent in 25 ms."""
_BEND_COSTS = 0.02
"""Cost of one step of change, growing with its square, in fits."""
_JUMP_COSTS = 6.0
"""Cost of a leap to any other speed, as when one sound ends and another begins."""


def best_path(fit: Array) -> Whole:
    """Give the place on the grid of repetitions at every moment, (moment,), of the best line through all.

    Source: [viterbi1967], in its textbook form.
    """
    reached = fit[0].astype(np.float64)
    came_from = np.zeros(fit.shape, dtype=np.int64)
    for moment in range(1, len(fit)):
        before, came_from[moment] = _best_before(reached)
        reached = before + fit[moment]
    path = np.zeros(len(fit), dtype=np.int64)
    path[-1] = int(reached.argmax())
    for moment in range(len(fit) - 1, 0, -1):
        path[moment - 1] = came_from[moment, path[moment]]
    return path


_MOVES = np.arange(-FURTHEST, FURTHEST + 1)
_COSTS = _BEND_COSTS * _MOVES.astype(np.float64) ** 2


def _best_before(reached: NDArray[np.float64]) -> tuple[NDArray[np.float64], Whole]:
    """Give the best that can have come before each place, and from where it came."""
    size = len(reached)
    padded = np.pad(reached, FURTHEST, constant_values=-np.inf)
    options = np.lib.stride_tricks.sliding_window_view(padded, 2 * FURTHEST + 1) - _COSTS
    move = options.argmax(axis=1)
    best = options[np.arange(size), move]
    leap = int(reached.argmax())
    leaps = reached[leap] - _JUMP_COSTS > best
    places = np.where(leaps, leap, np.arange(size) + _MOVES[move])
    return np.where(leaps, reached[leap] - _JUMP_COSTS, best), places


def pieces(path: Whole) -> list[slice]:
    """Cut a path where it leaps, and give the pieces."""
    cuts = [0, *(np.flatnonzero(np.abs(np.diff(path)) > FURTHEST) + 1).tolist(), len(path)]
    return [slice(first, last) for first, last in pairwise(cuts)]
