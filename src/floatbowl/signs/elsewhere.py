"""What it does away from any opening: hard to start, drips, fouls its plugs, cuts out, fades.

Each thing has causes in the mixture and beside it, each cause with how far it
brings the thing on by itself. Any one of them is enough: a bike is free of the
thing only if none of its causes brings it on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.rises import rises
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import Remark

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.faults import Ailment
    from floatbowl.signs.trial import Behaviour

    Array = NDArray[np.float64]

QUESTION = "Does it start hard, drip, foul its plugs, cut out like a switch, or fade until it has rested?"

DRIPS_AT = Figure(0.005, 0.003, 0.008, "judgement: rise of the fuel at which a bowl runs over, m")
FOULS_AT = Figure(0.18, 0.10, 0.30, "judgement: too much fuel at small openings that soots a plug")
STARTS_BADLY_AT = Figure(0.18, 0.10, 0.30, "judgement: shortage at idle at which a start becomes hard")
FLOODS_AT = Figure(0.20, 0.10, 0.35, "judgement: too much fuel at idle at which a hot engine floods")
STARVED_AT = Figure(0.10, 0.05, 0.20, "judgement: shortage of supply that is felt as fading")
VOLUNTEERED = Figure(0.5, 0.25, 0.8, "judgement: a rider tells what he is asked for, and half of the rest")
"""Share of what would be told that is told unasked: the rest is why silence tells little."""
ONCE = Figure(2.0, 1.0, 4.0, "judgement: what happened once happens to any bike")
"""How many times more often a thing is told without cause when it happened once."""

_SMALL = (Rung.SHUT, Rung.EIGHTH, Rung.QUARTER)
_WIDE = (Rung.THREE_QUARTERS, Rung.FULL)
_HELD = RUNGS[1:]

Cause = Callable[[Seen], "Array"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """How often a thing is told with full cause and without, what causes it, and at which rungs."""

    told: Figure
    false_alarm: Figure
    causes: tuple[tuple[float, Cause], ...]
    """Each with the share of bikes, 0 to 1, in which it brings the thing on by itself (judgement)."""
    rungs: tuple[Rung, ...] = ()


def _ails(ailment: Ailment) -> Cause:
    return lambda seen: seen.ails(ailment)


def _short_at_idle(seen: Seen) -> Array:
    return rises(-seen.error_at(Rung.SHUT) - STARTS_BADLY_AT.value, width=0.05)


def _rich_at_idle(seen: Seen) -> Array:
    return rises(seen.error_at(Rung.SHUT) - FLOODS_AT.value, width=0.05)


def _rich_low_down(seen: Seen) -> Array:
    small = [RUNGS.index(rung) for rung in _SMALL]
    return rises(seen.error[:, small].mean(axis=1) - FOULS_AT.value, width=0.05)


def _runs_over(seen: Seen) -> Array:
    return rises(-seen.level_drop - DRIPS_AT.value, width=0.001)


def _starved(rungs: tuple[Rung, ...]) -> Cause:
    def cause(seen: Seen) -> Array:
        most = np.min([seen.starved_at(rung) for rung in rungs], axis=0)
        return rises(-most - STARVED_AT.value, width=0.02)

    return cause


HARD_START_COLD = Telling(
    told=Figure(0.60, 0.35, 0.85, "judgement: told where there is cause"),
    false_alarm=Figure(0.06, 0.02, 0.12, "judgement: the choke used wrongly, a battery, a habit"),
    causes=(
        (1.0, _short_at_idle),
        (0.8, _ails("stale fuel")),
        (0.7, _ails("weak spark")),
        (0.4, _ails("tight valve")),
    ),
    rungs=(Rung.SHUT,),
)
HARD_START_HOT = Telling(
    told=Figure(0.60, 0.35, 0.85, "judgement: told where there is cause"),
    false_alarm=Figure(0.06, 0.02, 0.12, "judgement: heat in the carburettor, a habit"),
    causes=(
        (0.9, _ails("tight valve")),
        (0.8, _ails("dripping")),
        (0.7, _ails("weak spark")),
        (0.6, _short_at_idle),
        (0.6, _rich_at_idle),
        (0.6, _runs_over),
        (0.4, _ails("stale fuel")),
    ),
    rungs=(Rung.SHUT,),
)
TELLINGS: dict[Behaviour, Telling] = {
    "hard start": HARD_START_HOT,
    "drips": Telling(
        told=Figure(0.70, 0.45, 0.90, "judgement: fuel on the floor is seen and smelt"),
        false_alarm=Figure(0.03, 0.01, 0.06, "judgement: a tap or a hose that weeps, a bike laid down"),
        causes=((1.0, _ails("dripping")), (1.0, _runs_over)),
    ),
    "fouls": Telling(
        told=Figure(0.60, 0.35, 0.85, "judgement: told where there is cause"),
        false_alarm=Figure(0.05, 0.02, 0.10, "judgement: short rides, much oil, a plug of the wrong range"),
        causes=((1.0, _rich_low_down), (0.5, _ails("weak spark"))),
        rungs=_SMALL,
    ),
    "cuts out": Telling(
        told=Figure(0.60, 0.40, 0.85, "judgement, after [munro1968]: like a switch is the spark"),
        false_alarm=Figure(0.02, 0.01, 0.05, "judgement: a stall taken for a cut"),
        causes=(
            (1.0, _ails("cuts out")),
            (0.3, _ails("weak spark")),
            (0.2, _starved(_HELD)),
            (0.15, _ails("stale fuel")),
        ),
        rungs=_HELD,
    ),
    "fades": Telling(
        told=Figure(0.60, 0.40, 0.85, "judgement, after [munro1968]: what fades is the fuel"),
        false_alarm=Figure(0.03, 0.01, 0.06, "judgement: a hill, a headwind, an engine too hot"),
        causes=((1.0, _starved(_WIDE)), (0.15, _ails("weak spark")), (0.15, _ails("cuts out"))),
        rungs=_WIDE,
    ),
    "rest helps": Telling(
        told=Figure(0.60, 0.40, 0.85, "judgement: a bowl fills again in a minute"),
        false_alarm=Figure(0.02, 0.01, 0.05, "judgement: things come and go"),
        causes=((1.0, _starved(_HELD)), (0.4, _ails("cuts out")), (0.2, _ails("tight valve"))),
        rungs=_HELD,
    ),
}
"""What is told away from any opening. A hot coil cuts out and works again once it has cooled, a little."""
ELSEWHERE = tuple(TELLINGS)


def rungs_for(did: Behaviour) -> tuple[Rung, ...]:
    """Give the rungs that must have been worked out for a remark of this kind."""
    return TELLINGS[did].rungs


def _telling(remark: Remark) -> Telling:
    if remark.did == "hard start" and remark.engine == "cold":
        return HARD_START_COLD
    return TELLINGS[remark.did]


def cause(remark: Remark, seen: Seen) -> Array:
    """Give how much cause each draw has for it, 0 to 1, (draw,).

    Source: own derivation: free of it only if every cause by itself leaves it free.
    """
    free = np.ones(seen.error.shape[0])
    for share, of in _telling(remark).causes:
        free = free * (1.0 - share * of(seen))
    return 1.0 - free


def share_told(remark: Remark, seen: Seen) -> Array:
    """Give how often the remark would be made after a ride, unasked, (draw,)."""
    telling = _telling(remark)
    without = telling.false_alarm.value * (ONCE.value if remark.often == "once" else 1.0)
    return VOLUNTEERED.value * (without + (telling.told.value - without) * cause(remark, seen))


def log_likelihood(remark: Remark, seen: Seen) -> Array:
    """Give the logarithm of how probable the remark is for each draw, (draw,)."""
    return np.asarray(np.log(share_told(remark, seen)))


def silence_log_likelihood(did: Behaviour, seen: Seen) -> Array:
    """Give the logarithm of how probable it is that nothing was said of it after a ride, (draw,)."""
    return np.asarray(np.log1p(-share_told(Remark(entry="", did=did), seen)))


def draw(remark: Remark, seen: Seen, rng: Generator) -> NDArray[np.bool_]:
    """Draw whether each draw would bring the remark, (draw,)."""
    return np.asarray(rng.random(seen.error.shape[0]) < share_told(remark, seen))
