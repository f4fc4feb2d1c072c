"""A setup tried on paper: the same likely bikes, with other parts in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.belief import OF
from floatbowl.belief.unknowns import MOST_FAULTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.flow.say import say

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief
    from floatbowl.bike.setup import Setup

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class DryFit:
    """What would become of a belief. ``error`` is (twenty, rung): the same twenty as before."""

    setup: Setup
    error: Array
    say: Array
    close_enough: Array

    def counts_at(self, rung: Rung) -> tuple[int, int, int]:
        """Count the twenty at one rung: short, close enough, too much."""
        place = RUNGS.index(rung)
        at, band = self.error[:, place], self.close_enough[place]
        short, much = int(np.sum(at < -band)), int(np.sum(at > band))
        return short, OF - short - much, much


def dry_fit(belief: Belief, setup: Setup) -> DryFit:
    """Try a setup on paper on the twenty; nothing is written down."""
    stage = belief.stage
    sound = np.full((1, MOST_FAULTS), -1)
    middle = stage.parameters(setup, belief.day, belief.z.mean(axis=0, keepdims=True), sound)
    return DryFit(
        setup=setup,
        error=error_with(belief, setup, draws=belief.twenty),
        say=say(middle, stage.grid, breath=stage.air(belief.day).at(middle)),
        close_enough=belief.close_enough,
    )


def error_with(belief: Belief, setup: Setup, *, draws: NDArray[np.int64] | None = None) -> Array:
    """Give the error with another setup, (draw, rung), of all draws or of those that ``draws`` picks.

    What the change does is worked out wholly and added to what is believed now.
    """
    picked = np.arange(len(belief.z)) if draws is None else draws
    z, fault = belief.z[picked], belief.fault[picked]
    before, after = (belief.stage.seen(one, belief.day, z, fault).error for one in (belief.setup, setup))
    return np.asarray(belief.error[picked] + after - before)
