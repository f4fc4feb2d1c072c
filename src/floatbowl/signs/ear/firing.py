"""Which firings were heard: how many were missed, and how much a two-stroke fires every second turn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear.turns import PER_REPEAT

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.turns import Laid

    Array = NDArray[np.float64]

LOOK = 12
"""Firings looked at together."""
_AROUND = 16
_WEAK = 0.05
"""Loudness of a firing, over the usual, below which it was hardly heard."""
_EVERY_SECOND = 0.22
"""How much of the swells changes from turn to turn and back when every second firing stays away."""


def strengths(laid: Laid) -> Array:
    """Give how loud each firing was over the usual one around it, (firing,).

    The shape of the usual firing is taken from the recording itself, and each
    firing is held against it.
    """
    count = laid.swells.shape[1] // PER_REPEAT
    each = laid.swells[:, : count * PER_REPEAT].reshape(len(laid.swells), count, PER_REPEAT)
    usual = each.mean(axis=1)
    told = np.einsum("cnp,cp->n", each, usual)
    return np.asarray(told / np.maximum(_usual_around(told), 1e-9))


def _usual_around(told: Array) -> Array:
    """Give the middle loudness of the firings around each one, since one speed is louder than another."""
    if len(told) == 0:
        return told
    padded = np.pad(told, _AROUND, mode="edge")
    return np.asarray(np.median(np.lib.stride_tricks.sliding_window_view(padded, 2 * _AROUND + 1), axis=1))


def missed_share(strong: Array) -> float:
    """Give the share of firings that were hardly heard."""
    return float((strong < _WEAK).mean()) if len(strong) else 0.0


def four_stroking_share(strong: Array) -> float:
    """Give the share of the time in which every second firing is weak.

    In each look the firings are split into what stays and what changes sign
    from one to the next; noise has as little of this as of any other beat.
    """
    count = len(strong) // LOOK
    if count == 0:
        return 0.0
    looks = strong[: count * LOOK].reshape(count, LOOK)
    sign = np.where(np.arange(LOOK) % 2 == 0, 1.0, -1.0)
    turning = np.abs(looks @ sign) / np.maximum(np.abs(looks).sum(axis=1), 1e-9)
    return float((turning > _EVERY_SECOND).mean())
