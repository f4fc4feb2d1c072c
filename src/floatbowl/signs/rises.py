"""How a share rises from none to all where something passes a mark."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


def rises(over: Array, *, width: float) -> Array:
    """Give a share that rises from 0 to 1: a half where ``over`` is 0, 0.95 at three widths beyond.

    Source: judgement on the form, the logistic curve.

    >>> float(rises(np.array(0.0), width=0.05))
    0.5
    """
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * over / width)))
