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
"""Relative standard deviation of the mean of the runs, wind and hand together."""


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
    z = (gained - _expected(seen.error_at(off.at))) / _spread(off, choked)
    # Wide tails: a gust or a late thumb is not rare.
    return np.asarray(-2.5 * np.log1p(z**2 / 4.0))


def draw(off: RollOnReading, choked: RollOnReading, seen: Seen, rng: Generator) -> Array:
    """Draw the logarithm of time with choke over time without, for each draw, (draw,)."""
    spread = _spread(off, choked)
    return np.asarray(_expected(seen.error_at(off.at)) + spread * rng.standard_t(4.0, seen.error.shape[0]))
