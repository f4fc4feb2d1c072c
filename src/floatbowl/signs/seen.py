"""What a likely bike would let a person see: the mixture at each rung, and the fuel level."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One scene: a setup on a day. Arrays are (draw, rung) or (draw,), rungs in the order of ``RUNGS``.

    ``error`` is the logarithm of fuel over the fuel wanted, ``lam`` the
    mixture; rungs that nothing was said of may hold nan. ``level_drop`` is how
    far the fuel stands below its book level, in metres.
    """

    error: Array
    lam: Array
    level_drop: Array
    extra_air: Array
    """Air at idle over what the idle stop was set for, less 1, (draw,): what a leak or a stuck slide adds."""

    def error_at(self, rung: Rung) -> Array:
        """Give the error of every draw at one rung."""
        return self.error[:, RUNGS.index(rung)]

    def lam_at(self, rung: Rung) -> Array:
        """Give the mixture of every draw at one rung."""
        return self.lam[:, RUNGS.index(rung)]
