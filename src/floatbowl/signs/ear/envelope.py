"""How loud the recording is from millisecond to millisecond, in bands of its own, and its lows as they are.

An engine's note is a row of bangs through a pipe that rings. What repeats with
the firings is less the ringing than its swelling: the loudness of each band. A
phone that cuts the lows, and wind that drowns them, leave other bands alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float32]

ENVELOPE_RATE = 2000.0
"""Values of the loudness in a second: enough for two swells of 11 000 rpm each turn, with room."""
BANDS = ((150.0, 600.0), (500.0, 1300.0), (1300.0, 2300.0), (2300.0, 3300.0), (3900.0, 4900.0))
"""Where the loudness is taken, in Hz. None is wider than half the rate, or it would fold over."""
LOWS = (20.0, 600.0)
"""Where the sound itself is looked at, in Hz."""
TOGETHER = ((0,), (1, 2), (3, 4))
"""Bands whose swells are added up: they come with the same bangs, and less has to be looked at."""
CHANNELS = len(TOGETHER) + 1
_EVENED_OVER = 0.5
"""Seconds over which loudness is evened out, so that loud and soft parts of a recording count alike."""


def loudness(samples: Array, rate: float) -> tuple[Array, Array]:
    """Give the loudness of each band, (band, time), and the lows themselves, (time,).

    ``samples`` (time,) may have any scale and any rate; the result has
    ``ENVELOPE_RATE`` values a second.
    """
    spectrum = np.fft.rfft((samples - samples.mean()).astype(np.float32)).astype(np.complex64)
    size = round(len(samples) / rate * ENVELOPE_RATE)
    per_hz = len(samples) / rate
    bands = [np.abs(_band(spectrum, size, low * per_hz, high * per_hz)) for low, high in BANDS]
    return np.stack(bands), _real_band(spectrum, size, LOWS[0] * per_hz, LOWS[1] * per_hz)


def swells_of(bands: Array, lows: Array) -> Array:
    """Give bands and lows evened out, each swinging around 0: (channel, time)."""
    swells = [_swells(one) for one in bands]
    added = [np.sum([swells[band] for band in bands], axis=0) for bands in TOGETHER]
    return np.stack([*added, _evened(lows)])


def _band(spectrum: NDArray[np.complex64], size: int, low: float, high: float) -> NDArray[np.complex64]:
    """Give a band, moved down to nought and slowed: its size is the band's loudness."""
    first, last = round(low), min(round(high), len(spectrum))
    moved = np.zeros(size, dtype=np.complex64)
    if last > first:
        moved[: last - first] = spectrum[first:last] * _tapered(last - first)
    return np.asarray(np.fft.ifft(moved))


def _real_band(spectrum: NDArray[np.complex64], size: int, low: float, high: float) -> Array:
    kept = np.zeros(size // 2 + 1, dtype=np.complex64)
    first, last = round(low), min(round(high), len(spectrum))
    kept[first:last] = spectrum[first:last] * _tapered(last - first)
    return np.asarray(np.fft.irfft(kept, size), dtype=np.float32)


def _tapered(size: int) -> Array:
    """Give weights that rise and fall softly over an eighth at either end."""
    ends = np.minimum(np.arange(size) + 0.5, size - 0.5 - np.arange(size)) / (size / 8.0)
    return np.asarray(np.sin(0.5 * np.pi * np.clip(ends, 0.0, 1.0)), dtype=np.float32)


def _swells(loud: Array) -> Array:
    """Give how far above or below its usual loudness a band is, the loud bangs held down by a root."""
    usual = _smooth(loud) + 1e-12
    root = np.sqrt(loud / usual)
    return root - _smooth(root)


def _evened(lows: Array) -> Array:
    return np.asarray(lows / (np.sqrt(_smooth(lows**2)) + 1e-12), dtype=np.float32)


def _smooth(values: Array) -> Array:
    """Give the running mean over ``_EVENED_OVER``, the ends held."""
    half = int(0.5 * _EVENED_OVER * ENVELOPE_RATE)
    padded = np.pad(values.astype(np.float64), (half + 1, half), mode="edge")
    total = np.cumsum(padded)
    mean = (total[2 * half + 1 :] - total[: -2 * half - 1]) / (2 * half + 1)
    return np.asarray(mean, dtype=np.float32)
