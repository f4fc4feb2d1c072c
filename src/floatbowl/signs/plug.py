"""The plug's colour after a clean cut, as weak evidence about the mixture there."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.trial import PlugColour

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import PlugReading

    Array = NDArray[np.float64]

QUESTION = "Full load, clutch in and kill at once: which colour is the foot of the plug's insulator?"

COLOURS: tuple[PlugColour, ...] = get_args(PlugColour)
"""From too little fuel to too much."""
CUTS = (1.00, 0.92, 0.84, 0.76, 0.68)
"""Lambda between one colour and the next (judgement, in the order of common practice)."""
BLUR = Figure(0.07, 0.04, 0.12, "judgement: blended fuel colours late; heat range and oil confound")
"""Standard deviation, in lambda, with which the colour is read."""
PLUG_BIAS = Figure(1.0, 0.92, 1.09, "judgement: one heat range and one fuel colour alike every time")
"""By what factor a bike's plugs show another lambda."""
ANY = Figure(0.15, 0.08, 0.30, "judgement: a plug that says nothing about this cut")
"""Share of readings that could have been any colour."""


def colour_shares(lam: Array) -> Array:
    """Give how often each colour is read, (draw, colour), adding to 1."""
    above = [
        1.0 / (1.0 + np.exp(-np.clip((np.minimum(lam, 3.0) - cut) * 1.7 / BLUR.value, -60, 60)))
        for cut in CUTS
    ]
    steps = np.stack([np.zeros_like(lam), *above, np.ones_like(lam)], axis=-1)
    return np.asarray((1.0 - ANY.value) * np.diff(steps, axis=-1) + ANY.value / len(COLOURS))


def _shown(reading: PlugReading, seen: Seen) -> Array:
    """Give the lambda that each draw's plug stands for, (draw,)."""
    return seen.held_lam_at(reading.at) * np.exp(PLUG_BIAS.log_spread * seen.habit("plug bias"))


def log_likelihood(reading: PlugReading, seen: Seen) -> Array:
    """Give the logarithm of how probable the colour is for each draw, (draw,)."""
    shares = colour_shares(_shown(reading, seen))
    return np.asarray(np.log(shares[:, COLOURS.index(reading.colour)]))


def draw(reading: PlugReading, seen: Seen, rng: Generator) -> NDArray[np.int64]:
    """Draw the colour that each draw would show, as a place in ``COLOURS``, (draw,)."""
    shares = colour_shares(_shown(reading, seen))
    picked = (np.cumsum(shares, axis=1) < rng.random((shares.shape[0], 1))).sum(axis=1)
    return np.asarray(np.minimum(picked, len(COLOURS) - 1))
