"""Every pair of a main side with a pilot side, weighed on many likely bikes.

Needle jet and pilot feed side by side and, the air given, do not feel each
other: the fuel of a setup is that of its main side plus that of its pilot side.
Two tables of a few hundred rows therefore stand for a hundred thousand setups,
and all that is left for each pair is a sum, its distance from what is wanted
and the price of that.

Source: own derivation, docs/model/every.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numba as nb
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Single = NDArray[np.float32]
    Whole = NDArray[np.int64]

_STRIDE, _MOST_LANES = 64, 256
"""Draws worked on together: a multiple of what fits four of the widest registers, and no more than leaves
a few rows in the processor's nearest stores."""
_TILE = 8
"""Main sides that are held against one pilot side while it is near."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What it costs to be off, place by place, (place,).

    An error beyond ``band`` costs ``worth`` for each further band; within it the
    price falls as a parabola to nothing. Where ``is_high``, fuel below ``floor`` times what is wanted
    is far short.
    """

    worth: Array
    band: Array
    is_high: NDArray[np.bool_]
    floor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Mean price, and the share of draws far short at any high place, both (main side, pilot side)."""

    off: Array
    far_short: Array


def weigh(main: Single, pilot: Single, price: Price) -> Weighed:
    """Weigh every main side with every pilot side.

    ``main`` (main side, place, draw) and ``pilot`` (pilot side, place, draw)
    hold fuel over the fuel wanted at that place by that draw: where a pair is
    right the two add to 1. The price of a pair in one draw is the sum over
    places of worth x t x (x - t / 2), x being how many bands that sum is off 1
    and t the smaller of x and 1.

    Works in single precision within a block of draws and in double between
    blocks: within a few parts in a million of plain sums.
    """
    order = np.argsort(~price.is_high, kind="stable")
    # in units of the root of price, so that the sums need no factor of their own
    knee = np.sqrt(price.worth[order])
    scale = knee / price.band[order]
    edge = ((price.floor - 1.0) * scale).astype(np.float32)
    draws, high = main.shape[2], int(price.is_high.sum())
    ours, theirs = _blocked(main, order, scale, wanted=1.0), _blocked(pilot, order, scale)
    off, far = _weigh(ours, theirs, knee.astype(np.float32), edge, high)
    return Weighed(off=off / draws, far_short=far / draws)


def _blocked(table: Single, order: Whole, scale: Array, *, wanted: float = 0.0) -> Single:
    """Lay a table out as (block, row, place, lane), less what is wanted, scaled; spare lanes hold 0."""
    rows, places, draws = table.shape
    blocks = -(-draws // _MOST_LANES)
    lanes = -(-draws // (_STRIDE * blocks)) * _STRIDE
    out = np.zeros((blocks, rows, places, lanes), dtype=np.float32)
    for block in range(blocks):
        part = table[:, :, block * lanes : (block + 1) * lanes]
        for new, old in enumerate(order):
            out[block, :, new, : part.shape[2]] = (part[:, old] - np.float32(wanted)) * np.float32(scale[new])
    return out


# Sums may be taken in any order, and no lane is ever nan: so the compiler may use whole registers.
_FREE = {"reassoc", "contract", "nsz", "nnan", "ninf"}


@nb.njit(cache=True, nogil=True, error_model="numpy", fastmath=_FREE)
def _pair(  # noqa: PLR0913, PLR0917  (the compiler takes plain arrays, not bundles of them)
    main: Single, pilot: Single, knee: Single, edge: Single, high: int, margin: Single
) -> tuple[np.float32, np.float32]:
    """Give the price of one pair over one block of draws, and how many of them are far short.

    ``main`` and ``pilot`` are (place, lane), the ``high`` places first; ``margin`` (lane,) is room to work.
    """
    places, lanes = main.shape
    nothing, half, one = np.float32(0.0), np.float32(0.5), np.float32(1.0)
    paid, far = nothing, nothing
    for lane in range(lanes):
        margin[lane] = one
    for p in range(high):
        most, least, ours, theirs = knee[p], edge[p], main[p], pilot[p]
        for lane in range(lanes):
            excess = ours[lane] + theirs[lane]
            off = abs(excess)
            near = min(off, most)
            paid += near * (off - half * near)
            margin[lane] = min(margin[lane], excess - least)
    for p in range(high, places):
        most, ours, theirs = knee[p], main[p], pilot[p]
        for lane in range(lanes):
            off = abs(ours[lane] + theirs[lane])
            near = min(off, most)
            paid += near * (off - half * near)
    for lane in range(lanes):
        far += one if margin[lane] < nothing else nothing
    return paid, far


@nb.njit(cache=True, nogil=True, error_model="numpy", parallel=True)
def _weigh(main: Single, pilot: Single, knee: Single, edge: Single, high: int) -> tuple[Array, Array]:
    """Give price and draws far short of every pair, (main side, pilot side), summed over all lanes."""
    blocks, rows, _, lanes = main.shape
    columns = pilot.shape[1]
    off, far = np.zeros((rows, columns)), np.zeros((rows, columns))
    for tile in nb.prange((rows + _TILE - 1) // _TILE):
        margin = np.empty(lanes, np.float32)
        for block in range(blocks):
            for q in range(columns):
                for m in range(_TILE * tile, min(_TILE * tile + _TILE, rows)):
                    paid, short = _pair(main[block, m], pilot[block, q], knee, edge, high, margin)
                    off[m, q] += paid
                    far[m, q] += short
    return off, far
