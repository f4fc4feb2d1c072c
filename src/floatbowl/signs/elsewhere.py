"""What it does away from any opening: hard to start, drips, fouls its plugs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import Behaviour, Remark

    Array = NDArray[np.float64]

QUESTION = "Does it start hard, drip, or foul its plugs?"

ELSEWHERE: tuple[Behaviour, ...] = ("hard start", "drips", "fouls")

FALSE_ALARM = Figure(0.06, 0.02, 0.12, "judgement: told of a bike where the mixture is not to blame")
"""How often such a thing is told although the mixture gives no cause."""
TOLD = Figure(0.60, 0.35, 0.85, "judgement: told where the mixture does give cause")
"""How often it is told where there is cause."""
DRIPS_AT = Figure(0.005, 0.003, 0.008, "judgement: rise of the fuel at which a bowl runs over, m")
FOULS_AT = Figure(0.18, 0.10, 0.30, "judgement: too much fuel at small openings that soots a plug")
STARTS_BADLY_AT = Figure(0.18, 0.10, 0.30, "judgement: shortage at idle at which a start becomes hard")


def cause(did: Behaviour, seen: Seen) -> Array:
    """Give how much cause each draw has for it, 0 to 1, (draw,)."""
    if did == "drips":
        return _rises((-seen.level_drop - DRIPS_AT.value) / 0.001)
    if did == "fouls":
        small = [RUNGS.index(r) for r in (Rung.SHUT, Rung.EIGHTH, Rung.QUARTER)]
        return _rises((seen.error[:, small].mean(axis=1) - FOULS_AT.value) / 0.05)
    return _rises((-seen.error_at(Rung.SHUT) - STARTS_BADLY_AT.value) / 0.05)


def _rises(x: Array) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(x, -60.0, 60.0))))


def share_told(remark: Remark, seen: Seen) -> Array:
    """Give how often the remark would be made, (draw,)."""
    return FALSE_ALARM.value + (TOLD.value - FALSE_ALARM.value) * cause(remark.did, seen)


def log_likelihood(remark: Remark, seen: Seen) -> Array:
    """Give the logarithm of how probable the remark is for each draw, (draw,)."""
    return np.asarray(np.log(share_told(remark, seen)))


def draw(remark: Remark, seen: Seen, rng: Generator) -> NDArray[np.bool_]:
    """Draw whether each draw would bring the remark, (draw,)."""
    return np.asarray(rng.random(seen.error.shape[0]) < share_told(remark, seen))
