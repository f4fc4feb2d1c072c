"""Idle speed at each number of screw turns, the stop left alone: it peaks where the mixture is wanted.

Measured: the balance of work of ``flow/idle.py`` was run over the mixture on the
bikes of the demo. Its speed falls from its peak by 1.2 to 1.6 times the squared
error on the lean side and by 2.6 to 3.5 times on the rich, within 0.2 of it, and
it stalls at 0.3 to 0.4 on either side; a real idle misses strokes before that.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs import unknown_level
from floatbowl.signs.rises import rises

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import IdleSweepReading

    Array = NDArray[np.float64]

QUESTION = "Warm, the stop left alone: how many revs at each number of screw turns, and where does it die?"

LEAN_FALL = Figure(1.5, 0.8, 3.0, "own derivation: flow/idle.py over the mixture, see the head of this file")
RICH_FALL = Figure(3.0, 1.5, 5.0, "own derivation: flow/idle.py over the mixture, see the head of this file")
"""Fall of the idle speed, as a logarithm, for a squared error of 1."""
COUNT_SPREAD = Figure(0.03, 0.01, 0.06, "judgement: a needle that wanders, or an ear")
"""Relative standard deviation of a counted idle."""
PEAK = Figure(
    0.025, -0.035, 0.085, "judgement: an idle is at its best a little richer than it is ridden, ln(fuel)"
)
"""How much richer than wanted the idle is at its best."""
SCALE = Figure(
    1.0, 0.5, 2.0, "judgement: one engine idles over a wide range of mixtures, another hardly at all"
)
"""How much more an error is felt at idle than by most engines."""
ASTRAY = Figure(0.05, 0.02, 0.12, "judgement: not warm yet, the stop moved, a screw turned the wrong way")
"""Share of counts that say nothing of the mixture."""
DIES_AT = Figure(0.24, 0.15, 0.35, "judgement: an idle misses strokes before the balance of work stalls")
"""Size of the error at idle at which it dies one time in two."""
DIED_ANYWAY = Figure(0.02, 0.005, 0.05, "judgement: a cold engine, a hand on the lever")
"""Share of places at which it dies, or goes on, whatever the mixture."""
_FURTHEST = 0.2
"""Squared error beyond which the speed falls no further."""
_SPEEDS = unknown_level.Window(middle=float(np.log(1400.0)), width=2.0)
"""Where an idle may lie, in ln(rpm): 500 to 3800 in a minute."""


def felt_at_idle(error: Array, seen: Seen) -> Array:
    """Give the errors (draw, turn) as each draw's idle feels them."""
    off = PEAK.value + PEAK.spread * seen.habit("idle peak")[:, None]
    scale = np.exp(SCALE.log_spread * seen.habit("idle scale"))[:, None]
    return np.asarray((error - off) * scale)


def fall(error: Array) -> Array:
    """Give how far the idle lies under its peak, as a logarithm, at each error.

    Source: own derivation, see the head of this file.

    >>> round(float(fall(np.array(-0.1))), 4)
    0.015
    """
    steep = np.where(error > 0.0, RICH_FALL.value, LEAN_FALL.value)
    return np.asarray(steep * np.minimum(error**2, _FURTHEST))


def share_dies(error: Array) -> Array:
    """Give how often the engine dies at each error at idle."""
    dies = rises(np.abs(error) - DIES_AT.value, width=0.03)
    return DIED_ANYWAY.value + (1.0 - 2.0 * DIED_ANYWAY.value) * dies


def log_likelihood(reading: IdleSweepReading, error: Array) -> Array:
    """Give the logarithm of how probable the counts are for each draw, (draw,), up to a constant.

    ``error`` (draw, turn) is each draw's error at idle at every number of turns
    of the reading. Only the differences of the speeds count: the stop may stand
    anywhere.
    """
    rpm = np.array(reading.rpm)
    ran = rpm > 0.0
    dies = share_dies(error)
    lived = np.log(np.where(ran, 1.0 - dies, dies)).sum(axis=1)
    if ran.sum() < 2:  # noqa: PLR2004  (a difference needs two)
        return np.asarray(lived)
    rest = np.log(rpm[ran]) + fall(error[:, ran])
    spread = np.full(rest.shape[1], COUNT_SPREAD.value)
    return np.asarray(lived + unknown_level.log_likelihood(rest, spread, astray=ASTRAY.value, window=_SPEEDS))


def draw(error: Array, rng: Generator) -> Array:
    """Draw the idle speed at every number of turns for each draw, (draw, turn), in rpm; 0 where it died."""
    spread = np.full(error.shape[1], COUNT_SPREAD.value)
    log_rpm = unknown_level.draw(-fall(error), spread, astray=ASTRAY.value, window=_SPEEDS, rng=rng)
    return np.where(rng.random(error.shape) < share_dies(error), 0.0, np.exp(log_rpm))
