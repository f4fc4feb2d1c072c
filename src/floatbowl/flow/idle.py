"""The idle: what air keeps the engine turning, and at what speed it settles.

Source: own derivation, balance of indicated, pumping and friction work. The
friction is below the automotive correlation quoted by [heywood1988] ch. 13
(0.97 + 0.15 + 0.05 bar, from memory): a single has fewer bearings.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.flow.breath import Breath, Grid, breathe
from floatbowl.flow.engine import VALVE, Out
from floatbowl.flow.power import share_that_fires, torque_factor
from floatbowl.units import BAR, MILLIMETRE, MINUTE, Metre, Pascal, Ratio

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]

EFFICIENCY = Figure(0.31, 0.26, 0.36, "judgement: indicated efficiency of a small four-stroke on part load")
"""Share of the fuel's heat that becomes work on the piston, four-stroke."""
SCAVENGED_EFFICIENCY = Figure(
    0.15, 0.09, 0.22, "judgement: a two-stroke at idle loses half its charge and fires unevenly"
)
"""The same for a two-stroke at idle."""
IDLE_LAMBDA = Figure(0.87, 0.80, 0.95, "judgement: best idle speed stands at a lambda of 0.80 to 0.92")
"""Mixture at which the idle stop is taken to have been set."""
_LIFTS = np.geomspace(0.25, 4.0, 16) * MILLIMETRE


def friction(rpm: Ratio, *, strokes: int) -> Pascal:
    """Give the mean effective pressure lost in friction.

    Source: judgement, see the head of this file.

    >>> round(float(friction(1500.0, strokes=4)) / 1e5, 4)
    1.0475
    """
    thousand = np.asarray(rpm) / 1000.0
    bar = 0.80 + 0.12 * thousand + 0.03 * thousand**2
    return bar * BAR * (1.0 if strokes == 4 else 0.7)  # noqa: PLR2004


def spare_pressure(p: Parameters, breath: Breath, grid: Grid, lam: Array) -> Array:
    """Give the mean effective pressure (draw, throttle, rpm) left over for speeding up, Pa.

    ``lam`` broadcasts against (draw, throttle, rpm). Zero at a speed that keeps.

    Source: own derivation, see the head of this file.
    """
    four = p.kind == VALVE
    cycles = grid.rpm / MINUTE / (2.0 if four else 1.0)
    per_cycle = breath.air / cycles
    residual = breath.table[..., Out.RESIDUAL]
    heat = per_cycle * _column(p.heating_value) / (_column(p.air_per_fuel) * _column(p.swept_volume))
    share = EFFICIENCY.value if four else SCAVENGED_EFFICIENCY.value
    gross = share * torque_factor(lam) * share_that_fires(lam, old_gas=residual) * heat
    lost = breath.table[..., Out.PUMPING] + friction(grid.rpm, strokes=4 if four else 2)
    return np.asarray(gross - lost)


def idle_stop(p: Parameters, rpm: Ratio) -> Metre:
    """Give the lift on which the slide must rest for the engine to idle at ``rpm``.

    The mechanic sets the stop screw by ear; here the balance of work sets it,
    at the mixture of ``IDLE_LAMBDA``.

    Source: own derivation, see the head of this file.
    """
    trial = replace(p, idle_lift=_LIFTS)
    grid = Grid(opening=np.zeros(1), rpm=np.array([[rpm]]))
    spare = spare_pressure(trial, breathe(trial, grid), grid, np.array(IDLE_LAMBDA.value))[:, 0, 0]
    return float(np.exp(np.interp(0.0, spare, np.log(_LIFTS))))


def settled_speed(spare: Array, rpm: Array) -> Array:
    """Give the highest speed (draw,) at which ``spare`` (draw, rpm) falls through zero; nan where it stalls.

    Source: own derivation: a speed keeps if a little more speed lacks pressure.
    """
    out = np.full(spare.shape[0], np.nan)
    for i in range(spare.shape[1] - 1):
        falls = (spare[:, i] > 0.0) & (spare[:, i + 1] <= 0.0)
        share = spare[:, i] / np.where(falls, spare[:, i] - spare[:, i + 1], 1.0)
        out = np.where(falls, rpm[i] + share * (rpm[i + 1] - rpm[i]), out)
    return out


def _column(value: object) -> Array:
    return np.asarray(value, dtype=np.float64).reshape(-1, 1, 1)
