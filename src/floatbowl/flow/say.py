"""Which part has the say at each opening: what one real step of it would do to the fuel."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.flow.mixture import mixture
from floatbowl.units import MILLIMETRE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.flow.breath import Breath, Grid
    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]

MAIN_STEP = 0.023
"""One size of a main jet as a share of its bore: 2.5 on a 110 (common practice: 2 to 3 in the hundred)."""
PILOT_STEP = 0.06
"""One size of a pilot jet as a share of its bore: 2.5 on a 42 (common practice: 5 to 7 in the hundred)."""
CLIP_STEP = 1.0 * MILLIMETRE
"""One groove (common practice)."""
CUTAWAY_STEP = 0.5 * MILLIMETRE
"""One size of slide (common practice)."""
SCREW_STEP = 0.5
"""Half a turn (common practice)."""
_NUDGE = 0.01


def steps(p: Parameters, grid: Grid, *, breath: Breath) -> Array:
    """Give how far one step of each part moves the logarithm of the fuel: (part, throttle).

    Parts are pilot (jet one size up and screw half a turn, together), cutaway,
    needle (one groove, mean of both ways) and main, for ``p`` with one draw at
    the first speed of the grid. The air is unchanged by any of them.

    Source: own derivation, by trying each step.
    """
    at_rest = _log_fuel(p, grid, breath)

    def moved(changed: Parameters) -> Array:
        return np.asarray(np.abs(_log_fuel(changed, grid, breath) - at_rest))

    pilot = moved(replace(p, pilot_area=_one_size_up(p.pilot_area, PILOT_STEP)))
    screw = moved(replace(p, screw_turns=np.asarray(p.screw_turns) + SCREW_STEP))
    cutaway = moved(replace(p, cutaway=np.asarray(p.cutaway) + CUTAWAY_STEP))
    up = moved(replace(p, needle_position=np.asarray(p.needle_position) + CLIP_STEP))
    down = moved(replace(p, needle_position=np.asarray(p.needle_position) - CLIP_STEP))
    main = moved(replace(p, main_area=_one_size_up(p.main_area, MAIN_STEP)))
    return np.stack([pilot + screw, cutaway, 0.5 * (up + down), main])


def say(p: Parameters, grid: Grid, *, breath: Breath) -> Array:
    """Give each part's share of the say, (throttle, part), adding to 1; see ``steps`` for the parts.

    Source: own derivation.
    """
    moved = steps(p, grid, breath=breath).T
    return np.asarray(moved / np.maximum(moved.sum(axis=1, keepdims=True), 1e-12))


def elasticities(p: Parameters, grid: Grid, *, breath: Breath) -> Array:
    """Give by how many per cent the fuel grows for one per cent more area, a ratio: (part, throttle).

    Parts are pilot jet, pilot air jet, ring round the needle and main jet.

    Source: own derivation, by trying a little more of each.
    """
    at_rest = _log_fuel(p, grid, breath)
    grown = (
        replace(p, pilot_area=np.asarray(p.pilot_area) * (1.0 + _NUDGE)),
        replace(p, pilot_air_area=np.asarray(p.pilot_air_area) * (1.0 + _NUDGE)),
        replace(p, ring_discharge=np.asarray(p.ring_discharge) * (1.0 + _NUDGE)),
        replace(p, main_area=np.asarray(p.main_area) * (1.0 + _NUDGE)),
    )
    return np.stack([(_log_fuel(q, grid, breath) - at_rest) / np.log1p(_NUDGE) for q in grown])


def _one_size_up(area: object, step: float) -> Array:
    return np.asarray(np.asarray(area, dtype=np.float64) * (1.0 + step) ** 2)


def _log_fuel(p: Parameters, grid: Grid, breath: Breath) -> Array:
    fuel = mixture(p, grid, breath=breath).fuel[0, :, 0]
    return np.asarray(np.log(np.maximum(fuel, 1e-12)))
