"""How well each speed fits each moment: a comb laid on the spectrum of the swells.

What repeats f times a second has lines at f, 2f, 3f ... and nothing between. A
comb of teeth there takes the lines in; teeth half way between take points away
again, or every half and third of a speed would fit as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear.envelope import ENVELOPE_RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float32]

HOP = 0.025
"""Seconds between two moments."""
STEP = 0.01
"""Two neighbouring speeds of the grid differ by one per cent."""
LOWEST, HIGHEST = 5.5, 205.0
"""The slowest and quickest repetition looked for, in Hz: 660 rpm of a four-stroke, 12 300 of a two-stroke."""
REPEATS = np.exp(np.arange(np.log(LOWEST), np.log(HIGHEST), STEP))
TEETH = 8
_BETWEEN = 0.5
"""What a line half way between two teeth takes away, over what a line on a tooth gives."""
_ODD = 1.4
"""What a line on the first, third ... tooth counts, over 1: half the true speed has none there."""
_FLAT_OVER = 30.0
"""Width in Hz over which the spectrum is flattened, so that loud and soft parts of it count alike."""


@dataclass(frozen=True, slots=True)
class View:
    """One length of look: seconds, the repetitions it is used for, and the changes of speed it looks for.

    A change is in parts of the speed itself a second. ``every`` so many values
    of the envelope are taken together: slow repetitions need no more. ``hop``
    is from look to look, in moments; between looks the fit is drawn straight.
    """

    seconds: float
    least: float
    most: float
    changes: tuple[float, ...]
    every: int
    hop: int

    @property
    def rate(self) -> float:
        """Give the values of this look in a second."""
        return ENVELOPE_RATE / self.every


VIEWS = (
    View(1.0, 0.0, 14.0, (), every=4, hop=4),
    View(0.5, 11.0, 34.0, (-0.8, 0.8), every=2, hop=2),
    View(0.25, 27.0, 1000.0, (-1.5, 1.5), every=1, hop=1),
)
"""Each look holds some seven to nine firings of a single."""


def fits(swells: Array) -> tuple[Array, NDArray[np.int64]]:
    """Give how well each of ``REPEATS`` fits each moment, (moment, repetition), and where the moments lie.

    ``swells`` is (channel, time) at ``ENVELOPE_RATE``. A fit is above 0 where
    there is more than mere noise would give. Moments are places in time, in
    envelope values.
    """
    at = np.arange(0, swells.shape[1], round(HOP * ENVELOPE_RATE))
    best = np.full((len(at), len(REPEATS)), -np.inf, dtype=np.float32)
    for view in VIEWS:
        used, fit = _fits_seen(swells, at[:: view.hop], view)
        best[:, used] = np.maximum(best[:, used], _between(fit, view.hop, len(at)))
    return best, at


def _fits_seen(swells: Array, at: NDArray[np.int64], view: View) -> tuple[NDArray[np.int64], Array]:
    """Give for which repetitions a view is used, and their best fit at each look, (look, repetition).

    A changing speed is looked for at every second look.
    """
    used, _ = _comb(view)
    thinned = _thinned(swells, view)
    fit = _fits_at(thinned, at, view, 0.0)
    changing = [_fits_at(thinned, at[::2], view, change) for change in view.changes]
    if changing:
        fit = np.maximum(fit, _between(np.max(changing, axis=0), 2, len(at)))
    return used, fit


def _fits_at(thinned: Array, at: NDArray[np.int64], view: View, change: float) -> Array:
    """Give the fit at each look for one change of speed, a few looks together."""
    looks = [at[first : first + _TOGETHER] // view.every for first in range(0, len(at), _TOGETHER)]
    comb = _comb(view)[1]
    return np.concatenate([_flattened(thinned, some, view, change) @ comb for some in looks])


def _between(fit: Array, hop: int, moments: int) -> Array:
    """Draw the fit straight from look to look, so that there is one for every moment."""
    if hop == 1:
        return fit
    place = np.minimum(np.arange(moments) / hop, len(fit) - 1.0)
    low = np.minimum(place.astype(int), max(len(fit) - 2, 0))
    share = (place - low).astype(np.float32)[:, None]
    return np.asarray(fit[low] * (1.0 - share) + fit[np.minimum(low + 1, len(fit) - 1)] * share)


_TOGETHER = 256
"""Moments looked at together: what fits the processor's own memory."""


def _thinned(swells: Array, view: View) -> Array:
    """Take values together, and put silence before and after, for looks over the ends."""
    size = swells.shape[1] // view.every
    together = swells[:, : size * view.every].reshape(len(swells), size, view.every).mean(axis=2)
    reach = _sizes(view)[0]
    return np.pad(together, ((0, 0), (reach, reach)))


def _flattened(padded: Array, at: NDArray[np.int64], view: View, change: float) -> Array:
    """Give the spectrum around each moment, flattened, as logarithms around 0: (moment, bin)."""
    size, transform = _sizes(view)
    where = _bent(size, change, view.rate)
    cut = padded[:, (at + size)[:, None] + where[None, :]] * np.hanning(size).astype(np.float32)
    lines = np.fft.rfft(cut, transform, axis=2)[:, :, : _bins(view)]
    power = np.asarray(lines.real**2 + lines.imag**2, dtype=np.float32)
    wide = round(_FLAT_OVER / (view.rate / transform)) | 1
    flat = np.log1p(power / (_running_mean(power, wide) + np.float32(1e-6))).mean(axis=0)
    return np.asarray(flat - flat.mean(axis=1, keepdims=True), dtype=np.float32)


def _bent(size: int, change: float, rate: float) -> NDArray[np.int64]:
    """Give places around a moment, so spread that a speed which changes at this rate stands still."""
    seconds = (np.arange(size) - size // 2) / rate
    bent = seconds if change == 0.0 else np.log1p(np.clip(change * seconds, -0.9, None)) / change
    return np.round(bent * rate).astype(np.int64).clip(-size, size - 1)


def _running_mean(power: Array, wide: int) -> Array:
    half = wide // 2
    padded = np.pad(power, ((0, 0), (0, 0), (half + 1, half)), mode="reflect")
    total = np.cumsum(padded, axis=2)
    mean = np.maximum(total[:, :, wide:] - total[:, :, :-wide], 0.0) / wide
    return np.asarray(mean, dtype=np.float32)


def _bins(view: View) -> int:
    """Give how much of the spectrum is looked at: up to the last tooth, or as far as the lows go."""
    transform = _sizes(view)[1]
    highest = min((TEETH + 1) * view.most, 0.45 * view.rate)
    return round(highest * transform / view.rate)


def _sizes(view: View) -> tuple[int, int]:
    size = round(view.seconds * view.rate)
    return size, 2 * (1 << (size - 1).bit_length())


@lru_cache(maxsize=8)
def _comb(view: View) -> tuple[NDArray[np.int64], Array]:
    """Give which repetitions a view is used for, and its comb, (bin, repetition)."""
    used = np.flatnonzero((view.least <= REPEATS) & (view.most >= REPEATS))
    per_hz = _sizes(view)[1] / view.rate
    comb = np.zeros((_bins(view), len(used)), dtype=np.float32)
    for column, repeat in enumerate(REPEATS[used]):
        teeth = np.arange(1, TEETH + 1)
        on, off = teeth * repeat, (teeth - 0.5) * repeat
        weight = np.where(teeth % 2 == 1, _ODD, 2.0 - _ODD) / np.sqrt(teeth)
        _put(comb[:, column], on, weight, per_hz)
        _put(comb[:, column], off, -_BETWEEN * weight, per_hz)
        comb[:, column] /= np.sqrt((comb[:, column] ** 2).sum())
    return used, comb


def _put(column: Array, hertz: NDArray[np.float64], weight: NDArray[np.float64], per_hz: float) -> None:
    """Put teeth of some weights at some frequencies, each shared by the two nearest bins."""
    place = hertz * per_hz
    inside = place < len(column) - 1.0
    low = np.floor(place[inside]).astype(int)
    share = place[inside] - low
    np.add.at(column, low, weight[inside] * (1.0 - share))
    np.add.at(column, low + 1, weight[inside] * share)
