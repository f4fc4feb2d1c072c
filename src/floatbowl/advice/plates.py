"""What the wall chart shows that only the sums know: how hard the air pulls, what height does to the fuel.

Source: own derivation, docs/model/mixture.md and docs/model/carry.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.air_way import AirWay
from floatbowl.advice.swaps import Scan
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.flow.breath import riding_line
from floatbowl.flow.mixture import mixture
from floatbowl.units import GRAVITY, MILLIMETRE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief

    Array = NDArray[np.float64]

HILL = (0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0)
"""Heights at which the plate of height and weather is told, m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plates:
    """Numbers of the plates; by rung in the order of ``RUNGS``.

    ``pull_mm`` is how high the air's pull would lift the fuel, mm, and
    ``lip_mm`` how high it has to be lifted to the needle jet's mouth. ``hill``
    holds heights, m, with what the bike gets at full opening there, as the
    logarithm of fuel over fuel wanted, if nothing is changed on it.
    """

    pull_mm: tuple[float, ...]
    lip_mm: float
    hill: tuple[tuple[float, float], ...]


def plates(belief: Belief) -> Plates:
    """Give the numbers of this very bike, with what is fitted now, on the day of the belief."""
    middle = belief.stage.middle(belief.setup, belief.day)
    mixed = mixture(middle, riding_line(belief.bike, np.array([at.opening for at in RUNGS])))
    for_mm = float(np.mean(middle.fuel_density)) * GRAVITY * MILLIMETRE
    return Plates(
        pull_mm=tuple(float(pull) / for_mm for pull in mixed.pull[0, :, 0]),
        lip_mm=(belief.bike.carb.lip_height.value) / MILLIMETRE,
        hill=_hill(belief),
    )


def _hill(belief: Belief) -> tuple[tuple[float, float], ...]:
    """Follow the middle one of the sound bikes up a hill on a mild day."""
    scan = Scan(belief, AirWay.up_the_hill(belief.day.height))
    thick = np.interp(HILL, scan.way.at[::-1], scan.way.thick[::-1])
    errors = scan.errors_at(belief.setup, thick)[:, :, RUNGS.index(Rung.FULL)]
    return tuple(zip(HILL, (float(one) for one in np.median(errors, axis=1)), strict=True))
