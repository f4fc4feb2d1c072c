"""The line of speed made exact: how far each firing comes before or after its place.

A look that holds eight firings blurs an idle that hunts. Once every firing has
its place along the crank, what is left is a small shift from each to the next,
and its change over time is what the line still lacks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from floatbowl.signs.ear.envelope import CHANNELS
from floatbowl.signs.ear.turns import PER_REPEAT

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.turns import Laid

    Array = NDArray[np.float64]
    Number = TypeVar("Number", np.float64, np.complex128)

_ORDERS = 8
_TOGETHER = 1.2
"""Firings over which the shape of one is smoothed before it is placed: standard deviation."""
_USUAL = 32
"""Firings to either side that make the usual shape."""
_MOST_SHIFT = 0.35
_GRID = np.linspace(-_MOST_SHIFT, _MOST_SHIFT, 71)
_ROUNDS = 4
_LEAST_SMOOTH, _AT_LEAST = 1.5, 0.08
"""Firings, and seconds, over which shifts are smoothed at the least: standard deviations."""


def correction(laid: Laid, repeats: float) -> Array:
    """Give how much slower each repetition was than the line it was laid along, as a share, (repetition,).

    ``repeats`` is the usual number of repetitions a second. In noise, where
    firings look less like the usual one, more of them are taken together.
    """
    shapes = _shapes(laid)
    shift = np.zeros(len(shapes))
    plain = np.zeros(len(shapes))
    for _ in range(_ROUNDS):
        usual = _usual(shapes * _turned(shift))
        shift, plain = _placed(shapes, usual)
    plainly = float(np.median(plain))
    smooth = max(_LEAST_SMOOTH, _AT_LEAST * repeats) * (1.0 + 5.0 * (1.0 - plainly))
    return np.asarray(np.gradient(_blurred(shift, smooth))) if len(shift) > 1 else shift


def _shapes(laid: Laid) -> NDArray[np.complex128]:
    """Give the shape of each firing: the first orders of every channel, smoothed a little, (firing, part)."""
    count = laid.swells.shape[1] // PER_REPEAT
    each = laid.swells[:, : count * PER_REPEAT].reshape(len(laid.swells), count, PER_REPEAT)
    parts = np.fft.rfft(each, axis=2)[:, :, 1 : _ORDERS + 1]
    together = parts.transpose(1, 0, 2).reshape(count, -1)
    return _blurred(together, _TOGETHER)


_ORDER = np.tile(np.arange(1, _ORDERS + 1), CHANNELS)


def _turned(shift: Array) -> NDArray[np.complex128]:
    """Give what brings shapes forward by their shifts."""
    return np.asarray(np.exp(2.0j * np.pi * shift[:, None] * _ORDER[None, :]))


def _usual(shapes: NDArray[np.complex128]) -> NDArray[np.complex128]:
    return _blurred(shapes, float(_USUAL) / 2.0)


def _placed(shapes: NDArray[np.complex128], usual: NDArray[np.complex128]) -> tuple[Array, Array]:
    """Give by how much each firing comes too late, in repetitions, and how like the usual one it is."""
    alike = shapes * np.conj(usual)
    fit = (alike @ np.exp(2.0j * np.pi * _ORDER[:, None] * _GRID[None, :])).real
    at = np.clip(fit.argmax(axis=1), 1, len(_GRID) - 2)
    row = np.arange(len(fit))
    low, high, top = fit[row, at - 1], fit[row, at + 1], fit[row, at]
    bend = np.minimum(low - 2.0 * top + high, -1e-12)
    size = np.linalg.norm(shapes, axis=1) * np.linalg.norm(usual, axis=1)
    step = _GRID[1] - _GRID[0]
    return _GRID[at] + step * np.clip(0.5 * (low - high) / bend, -1.0, 1.0), top / np.maximum(size, 1e-12)


def _blurred(values: NDArray[Number], spread: float) -> NDArray[Number]:
    """Blur along the first axis with a bell of some spread, the ends held."""
    half = max(1, round(3.0 * spread))
    bell = np.exp(-0.5 * (np.arange(-half, half + 1) / spread) ** 2)
    bell /= bell.sum()
    padded = np.pad(values, [(half, half), *[(0, 0)] * (values.ndim - 1)], mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, len(bell), axis=0)
    return np.asarray(windows @ bell)
