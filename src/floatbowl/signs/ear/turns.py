"""The recording laid out along the crank instead of along time, and what repeats there.

Once a line of speed is found, every swell can be placed by its turn. A line in
the spectrum of turns is an order: 1 is what comes once a repetition. What comes
with every firing stays sharp over the whole recording, however the speed moves,
so that half, third and double speeds can be told from the true one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear.envelope import ENVELOPE_RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

PER_REPEAT = 24
"""Values in one repetition: orders up to 12 can be told."""
LONG = 12
"""Repetitions in one look; with 2 * 3 in it, halves and thirds fall on whole bins."""
SHARES = (1.0 / 3.0, 0.5, 1.0, 2.0, 3.0)
"""How many times the found repetition the true one may be."""
_HIGHEST_ORDER = 8.0


@dataclass(frozen=True, slots=True)
class Laid:
    """The swells along the repetitions, (channel, place), ``PER_REPEAT`` to each, and when each place was."""

    swells: NDArray[np.float32]
    seconds: Array


def lay_out(swells: NDArray[np.float32], times: Array, repeats: Array) -> Laid:
    """Lay the swells out along a line of speed: ``repeats`` a second at ``times``."""
    grid = np.arange(times[0], times[-1], 1.0 / ENVELOPE_RATE)
    turned = np.concatenate([[0.0], np.cumsum(np.interp(grid, times, repeats))[:-1]]) / ENVELOPE_RATE
    places = np.arange(int(turned[-1] * PER_REPEAT)) / PER_REPEAT
    seconds = np.interp(places, turned, grid)
    at = seconds * ENVELOPE_RATE
    low = np.clip(at.astype(int), 0, swells.shape[1] - 2)
    share = (at - low).astype(np.float32)
    return Laid(swells=swells[:, low] * (1.0 - share) + swells[:, low + 1] * share, seconds=seconds)


def order_spectrum(laid: Laid) -> Array | None:
    """Give how strong each order is over all looks, as flattened logarithms around 0.

    There are ``2 LONG`` bins to an order. None where it holds less than one look.
    """
    size = LONG * PER_REPEAT
    starts = np.arange(0, laid.swells.shape[1] - size + 1, size // 2)
    if len(starts) == 0:
        return None
    cut = laid.swells[:, starts[:, None] + np.arange(size)[None, :]] * np.hanning(size).astype(np.float32)
    power = np.abs(np.fft.rfft(cut, 2 * size, axis=2)) ** 2
    strong = power / (_smooth(power) + 1e-9)
    flat = np.log1p(strong.mean(axis=1)).mean(axis=0)
    return np.asarray(flat - flat.mean())


def _smooth(power: NDArray[np.float32]) -> NDArray[np.float32]:
    wide = 3 * 2 * LONG + 1
    padded = np.pad(power, ((0, 0), (0, 0), (wide // 2 + 1, wide // 2)), mode="reflect")
    total = np.cumsum(padded, axis=2, dtype=np.float64)
    return ((total[:, :, wide:] - total[:, :, :-wide]) / wide).astype(np.float32)


def share_fits(spectrum: Array) -> Array:
    """Give how well each of ``SHARES`` fits an order spectrum."""
    return np.array([_fit(spectrum, share) for share in SHARES])


def _fit(spectrum: Array, share: float) -> float:
    """Give the strength of the lines that a share asks for, less what stands between them.

    The first, third ... line and the even ones count apart, and the weaker kind
    counts twice: half the true speed has the even ones only.
    """
    teeth = np.arange(1.0, int(_HIGHEST_ORDER / share) + 1.0)
    on = _at(spectrum, teeth * share)
    off = [_at(spectrum, (teeth - part) * share) for part in (1.0 / 3.0, 0.5, 2.0 / 3.0)]
    weight = 1.0 / np.sqrt(teeth)
    odd, even = teeth % 2 == 1, teeth % 2 == 0
    kinds = [np.average(on[kind], weights=weight[kind]) for kind in (odd, even) if kind.any()]
    between = max(np.average(one, weights=weight) for one in off)
    return float(0.5 * (min(kinds) + np.mean(kinds)) - between)


def _at(spectrum: Array, orders: Array) -> Array:
    return np.asarray(np.interp(orders * 2 * LONG, np.arange(len(spectrum)), spectrum))
