"""A steady reading of a lambda probe at one opening."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import Rung
from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import LambdaReading

    Array = NDArray[np.float64]

QUESTION = "What does the probe show at a steady opening?"

SPREAD = Figure(0.03, 0.02, 0.05, "judgement: wideband probes, steady, 2 to 3 in the hundred")
"""Relative standard deviation of a steady reading."""
IDLE_SPREAD = Figure(0.08, 0.05, 0.12, "judgement: at idle unburnt air and reversion blur it")
IDLE_BIAS = Figure(
    0.04, 0.0, 0.10, "judgement: at idle a probe reads lean; outside air comes back up a short pipe"
)
PROBE_BIAS = Figure(1.0, 0.97, 1.03, "judgement: a probe ages, and reads a little off every time")
ASTRAY = Figure(0.05, 0.02, 0.12, "judgement: probe cold, leak in the exhaust, wrong scale")
"""Share of readings that say nothing about the mixture."""
_LOW, _HIGH = np.log(0.5), np.log(2.0)
"""Range over which a stray reading may lie."""


def _middle_and_spread(reading: LambdaReading, seen: Seen) -> tuple[Array, float]:
    bias = PROBE_BIAS.log_spread * seen.habit("probe bias")
    middle = np.log(np.clip(seen.held_lam_at(reading.at), 0.3, 4.0)) + bias
    if reading.at is Rung.SHUT:
        return middle + IDLE_BIAS.value, IDLE_SPREAD.value
    return middle, SPREAD.value


def log_likelihood(reading: LambdaReading, seen: Seen) -> Array:
    """Give the logarithm of the density, in ln lambda, of the reading for each draw, (draw,)."""
    middle, spread = _middle_and_spread(reading, seen)
    off = (np.log(reading.value) - middle) / spread
    bell = np.exp(-0.5 * off**2) / (spread * np.sqrt(2.0 * np.pi))
    return np.asarray(np.log((1.0 - ASTRAY.value) * bell + ASTRAY.value / (_HIGH - _LOW)))


def draw(reading: LambdaReading, seen: Seen, rng: Generator) -> Array:
    """Draw the lambda that the probe would show for each draw, (draw,)."""
    middle, spread = _middle_and_spread(reading, seen)
    told = middle + spread * rng.standard_normal(middle.shape)
    stray = rng.uniform(_LOW, _HIGH, middle.shape)
    return np.asarray(np.exp(np.where(rng.random(middle.shape) < ASTRAY.value, stray, told)))
