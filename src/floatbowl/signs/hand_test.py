"""What the idle does while a hand slowly covers the intake: it rises first where it is short or leaks."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import numpy as np

from floatbowl.bike.rung import Rung
from floatbowl.figures import Figure
from floatbowl.signs.rises import rises
from floatbowl.signs.trial import HandOutcome

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import HandReading

    Array = NDArray[np.float64]

QUESTION = "Idling warm, a hand slowly over the intake: does the speed rise at some point, or only sink?"

OUTCOMES: tuple[HandOutcome, ...] = get_args(HandOutcome)
SHORT_AT = Figure(0.07, 0.03, 0.12, "judgement: shortage at idle from which a little cover speeds it up")
AIR_AT = Figure(0.15, 0.08, 0.30, "judgement: extra air at idle, as a share, from which it does")
WRONG = Figure(0.15, 0.08, 0.30, "judgement: too fast it only sinks, and any idle may wander")
"""Share of answers that could have been either."""


def share_rises(seen: Seen) -> Array:
    """Give how often the idle is told to rise before it sinks, (draw,).

    Source: own derivation: covering the intake takes air away and pulls fuel
    harder, which helps what is short; either cause is enough.
    """
    short = rises(-seen.error_at(Rung.SHUT) - SHORT_AT.value, width=0.02)
    leaks = rises(seen.extra_air - AIR_AT.value, width=0.04)
    right = 1.0 - (1.0 - short) * (1.0 - leaks)
    return np.asarray((1.0 - WRONG.value) * right + WRONG.value / len(OUTCOMES))


def log_likelihood(reading: HandReading, seen: Seen) -> Array:
    """Give the logarithm of how probable the outcome is for each draw, (draw,)."""
    share = share_rises(seen)
    return np.asarray(np.log(share if reading.outcome == "rises" else 1.0 - share))


def draw(seen: Seen, rng: Generator) -> NDArray[np.bool_]:
    """Draw whether each draw's idle rises before it sinks, (draw,)."""
    return np.asarray(rng.random(seen.error.shape[0]) < share_rises(seen))
