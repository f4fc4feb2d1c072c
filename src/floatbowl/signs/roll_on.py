"""Timed roll-ons from one opening, with the choke off and with a little choke."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import RollOnReading

    Array = NDArray[np.float64]

QUESTION = "Same road, same gear, from one mark to the next: how many seconds, choke off and choke half?"

CHOKE_GIVES = Figure(0.12, 0.05, 0.25, "judgement: what half a choke adds to the fuel at a small opening")
"""How much more fuel half a choke gives, as a logarithm."""
TOLL = Figure(6.0, 3.0, 10.0, "judgement: a stumble costs far more time than steady torque would")
"""Loss of time, as a logarithm, for a squared error of 1: 0.13 at an error of 15 in the hundred."""
RUN_SPREAD = Figure(0.06, 0.03, 0.12, "judgement: hand-timed runs on one road")
"""Relative standard deviation of one run, wind and hand together."""
ASTRAY = Figure(
    0.10, 0.05, 0.20, "judgement: another gear, a gust, a late thumb, the choke not where it was said"
)
"""Share of pairs that say nothing about the mixture."""
_MOST_GAIN = 1.0
"""A stray pair's logarithm of time over time lies evenly within this, to both sides."""
_TAIL = 4.0
"""Degrees of freedom of the runs' spread: wide tails."""
_TAIL_HEIGHT = 0.375
"""Greatest density of Student's law with these degrees of freedom."""


def _expected(seen_error: Array) -> Array:
    """Give the expected logarithm of time with choke over time without, (draw,)."""
    with_choke = seen_error + CHOKE_GIVES.value
    return TOLL.value * (np.minimum(with_choke**2, 0.2) - np.minimum(seen_error**2, 0.2))


def _spread(off: RollOnReading, choked: RollOnReading) -> float:
    return RUN_SPREAD.value * float(np.sqrt(1.0 / len(off.seconds) + 1.0 / len(choked.seconds)))


def log_likelihood(off: RollOnReading, choked: RollOnReading, seen: Seen) -> Array:
    """Give the logarithm of the density of the pair of timings for each draw, (draw,).

    ``off`` and ``choked`` were ridden from the same opening on the same day.
    """
    gained = np.log(np.mean(choked.seconds) / np.mean(off.seconds))
    spread = _spread(off, choked)
    z = (gained - _expected(seen.error_at(off.at))) / spread
    told = _TAIL_HEIGHT / spread * (1.0 + z**2 / _TAIL) ** (-0.5 * (_TAIL + 1.0))
    return np.asarray(np.log((1.0 - ASTRAY.value) * told + ASTRAY.value / (2.0 * _MOST_GAIN)))


def draw(off: RollOnReading, choked: RollOnReading, seen: Seen, rng: Generator) -> Array:
    """Draw the logarithm of time with choke over time without, for each draw, (draw,)."""
    middle = _expected(seen.error_at(off.at))
    told = middle + _spread(off, choked) * rng.standard_t(_TAIL, middle.shape)
    stray = rng.uniform(-_MOST_GAIN, _MOST_GAIN, middle.shape)
    return np.asarray(np.where(rng.random(middle.shape) < ASTRAY.value, stray, told))
