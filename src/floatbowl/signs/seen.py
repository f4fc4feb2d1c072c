"""What a likely bike would let a person see: the mixture at each rung, the fuel level, and what ails it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np

from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

Habit = Literal[
    "rider bias",
    "rider scale",
    "snap",
    "idle peak",
    "idle scale",
    "toll",
    "probe bias",
    "plug bias",
]
HABITS: tuple[Habit, ...] = get_args(Habit)
"""What stays the same from one sign to the next of one rider, one engine, one probe: not known, and shared.

Each is a standard normal number; its size stands beside the sign that it bends.
"""
HELD = Figure(0.6, 0.3, 1.0, "judgement: an opening is seldom held until the bowl has wholly run down")
"""Share of what a starved bowl loses that is felt, and read, at a held opening."""


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
    starved: Array | None = None
    """What a held opening loses once the bowl runs down, in ln(fuel), (draw, rung): 0, or below."""
    snap: Array | None = None
    """The error as felt when the throttle is snapped from each rung, (draw, rung); None or nan: not known."""
    ailing: Mapping[Ailment, Array] = field(default_factory=dict)
    """How much of each thing that is not the mixture ails each draw, 0 to 1, (draw,); absent: none of it."""
    habits: Array | None = None
    """What bends the signs of each draw, (draw, habit) in the order of ``HABITS``; None: nothing."""

    def error_at(self, rung: Rung) -> Array:
        """Give the error of every draw at one rung."""
        return self.error[:, RUNGS.index(rung)]

    def lam_at(self, rung: Rung) -> Array:
        """Give the mixture of every draw at one rung."""
        return self.lam[:, RUNGS.index(rung)]

    def starved_at(self, rung: Rung) -> Array:
        """Give what a held opening loses at one rung, (draw,)."""
        if self.starved is None:
            return np.zeros(self.error.shape[0])
        return self.starved[:, RUNGS.index(rung)]

    def held_error_at(self, rung: Rung) -> Array:
        """Give the error of every draw at one rung, held while a starved bowl runs down."""
        return self.error_at(rung) + HELD.value * self.starved_at(rung)

    def held_lam_at(self, rung: Rung) -> Array:
        """Give the mixture of every draw at one rung, held while a starved bowl runs down."""
        return np.asarray(self.lam_at(rung) * np.exp(-HELD.value * self.starved_at(rung)))

    def snap_at(self, rung: Rung) -> Array | None:
        """Give the error as it is felt when the throttle is snapped from one rung; None: not worked out."""
        return None if self.snap is None else self.snap[:, RUNGS.index(rung)]

    def habit(self, habit: Habit) -> Array:
        """Give one habit of each draw, (draw,), in its spreads."""
        if self.habits is None:
            return np.zeros(self.error.shape[0])
        return self.habits[:, HABITS.index(habit)]

    def ails(self, ailment: Ailment) -> Array:
        """Give how much of one ailment each draw has, (draw,)."""
        return np.asarray(self.ailing.get(ailment, np.zeros(self.error.shape[0])))
