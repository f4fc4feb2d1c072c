"""Rows times a lower triangle, and back: what a crowd of a thousand rows asks for some hundred times.

A general library shares so small a product out among threads, which costs ten
times the sum where the cores are busy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numba as nb
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@nb.njit(cache=True, nogil=True, fastmath={"reassoc", "contract"}, error_model="numpy")
def times_triangle(rows: Array, root: Array) -> Array:
    """Give ``rows @ root.T`` (row, unknown) for a lower triangle ``root`` (unknown, unknown).

    Source: own derivation.
    """
    out = np.empty_like(rows)
    for d in range(rows.shape[0]):
        for i in range(root.shape[0]):
            total = 0.0
            for j in range(i + 1):
                total += root[i, j] * rows[d, j]
            out[d, i] = total
    return out


@nb.njit(cache=True, nogil=True, fastmath={"reassoc", "contract"}, error_model="numpy")
def through_triangle(rows: Array, root: Array) -> Array:
    """Give the rows that ``times_triangle`` turns into ``rows``: solved forwards.

    Source: own derivation.
    """
    out = np.empty_like(rows)
    for d in range(rows.shape[0]):
        for i in range(root.shape[0]):
            total = rows[d, i]
            for j in range(i):
                total -= root[i, j] * out[d, j]
            out[d, i] = total / root[i, i]
    return out
