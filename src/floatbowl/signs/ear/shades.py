"""The swells of a recording as shades over time and repetition: what the picture of the ear shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear.envelope import ENVELOPE_RATE, loudness, swells_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float32]

_LOOK, _TRANSFORM = 0.5, 4096
_MOST_COLUMNS = 700


def shades(samples: Array, rate: float, *, highest: float, rows: int) -> Array:
    """Give how strongly each repetition swells at each moment, (row, column), from 0 to 1.

    The first row is the quickest, ``highest`` a second, the last one nought.
    Columns run from the first to the last moment, at most ``_MOST_COLUMNS``.
    """
    swells = swells_of(*loudness(samples, rate))
    size = round(_LOOK * ENVELOPE_RATE)
    count = min(_MOST_COLUMNS, max(2, swells.shape[1] // 40))
    at = np.linspace(0, swells.shape[1] - 1, count).astype(int)
    padded = np.pad(swells, ((0, 0), (size // 2, size // 2)))
    lines = np.stack([_strength(padded[:, first : first + size]) for first in at], axis=1)
    places = np.linspace(highest, 0.0, rows) * _TRANSFORM / ENVELOPE_RATE
    low = np.minimum(places.astype(int), len(lines) - 2)
    share = (places - low)[:, None]
    return _shaded(np.asarray(lines[low] * (1.0 - share) + lines[low + 1] * share, dtype=np.float32))


def _strength(cut: Array) -> Array:
    power = np.abs(np.fft.rfft(cut * np.hanning(cut.shape[1]), _TRANSFORM, axis=1)) ** 2
    return np.asarray(np.log1p(power / (power.mean(axis=1, keepdims=True) + 1e-12)).mean(axis=0))


def _shaded(strength: Array) -> Array:
    """Stretch so that nine tenths of it lie below half, and the strongest lines are full."""
    usual, strong = np.quantile(strength, (0.5, 0.995))
    return np.asarray(np.clip((strength - usual) / max(strong - usual, 1e-6), 0.0, 1.0), dtype=np.float32)
