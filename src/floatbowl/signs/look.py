"""What a look brought: soap on the joints, a jet held to the light, and the like.

``found`` means that what the look is for was seen, or that the trouble went away
by it. Of a cleaning it means that dirt was seen in the passages: cleaned once by
hand is weak evidence either way.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.trial import LookReading

    Array = NDArray[np.float64]

QUESTION = "Did the look find it?"


@dataclass(frozen=True, slots=True)
class Rate:
    """How often a look finds what is there, and how often it finds what is not."""

    seen: Figure
    false_alarm: Figure


def _rate(seen: float, false_alarm: float, why: str) -> Rate:
    missed = 1.0 - seen
    return Rate(
        seen=Figure(seen, max(0.0, 1.0 - 2.0 * missed), 1.0 - 0.4 * missed, f"judgement: {why}"),
        false_alarm=Figure(false_alarm, false_alarm / 3.0, 2.5 * false_alarm, f"judgement: {why}"),
    )


USUAL = _rate(0.85, 0.04, "a careful look at one thing")
"""For every look that ``RATES`` does not name."""
RATES: dict[str, Rate] = {
    "soap on the joints": _rate(
        0.80, 0.05, "the note of an idle changes for other reasons, a seal stays dry"
    ),
    "crankcase under pressure": _rate(0.92, 0.04, "slow but sure, plugs of the ports may leak"),
    "spray from the bypass holes": _rate(0.80, 0.06, "small holes, easily taken for clear"),
    "light through the main jet": _rate(0.90, 0.04, "a large hole"),
    "fuel level by a clear hose": _rate(0.90, 0.06, "a level is measured, the book's is often guessed"),
    "float held under": _rate(0.90, 0.04, "bubbles, or a float that rattles"),
    "float valve under pressure": _rate(
        0.85, 0.06, "a valve that leaks only now and then holds on the bench"
    ),
    "needle jet against the light": _rate(0.70, 0.08, "an oval of hundredths is hard to see"),
    "needle under the caliper": _rate(0.75, 0.05, "hundredths again, and the book's needle must be known"),
    "breathe through the vents": _rate(0.90, 0.04, "free or not"),
    "tank cap opened": _rate(0.90, 0.05, "the trouble goes at once, or comes back only later"),
    "flow from the tap": _rate(0.85, 0.06, "a strainer may clog only after minutes"),
    "filter off for a moment": _rate(0.75, 0.12, "any rich bike runs a little better with its filter off"),
    "filter in the hand": _rate(0.90, 0.06, "what counts as dirty is a matter of taste"),
    "idle stop right out": _rate(0.75, 0.10, "a slide may rest on a burr, a small leak is not heard"),
    "new plug": _rate(0.90, 0.08, "found if it helped; it also helps a fouled engine for a while"),
    "wires and switch shaken": _rate(0.60, 0.04, "a fault that comes and goes may stay away"),
    "fresh petrol": _rate(0.85, 0.06, "found if it helped; draining the bowl also clears dirt"),
    "exhaust joints": _rate(0.85, 0.05, "soot at a joint; most joints weep a little"),
    "valve clearance": _rate(0.90, 0.04, "measured cold"),
    "cleaned by spray": _rate(0.35, 0.12, "dirt deep in a passage stays; some dirt is always seen"),
    "cleaned by hand": _rate(0.50, 0.12, "the holes one sees get cleaned; some dirt is always seen"),
    "cleaned in a bath": _rate(0.70, 0.12, "often needs a second go; some dirt is always seen"),
    "strip and clean": _rate(0.85, 0.10, "every hole tried; some dirt is always seen"),
}
"""How reliable each look is, by key."""


def share_found(reading: LookReading, has: NDArray[np.bool_]) -> Array:
    """Give how often the look finds it, (draw,); ``has`` says which draws have a fault that it shows."""
    rate = RATES.get(reading.look, USUAL)
    return np.where(has, rate.seen.value, rate.false_alarm.value)


def log_likelihood(reading: LookReading, has: NDArray[np.bool_]) -> Array:
    """Give the logarithm of how probable the outcome is for each draw, (draw,)."""
    found = share_found(reading, has)
    return np.asarray(np.log(found if reading.outcome == "found" else 1.0 - found))


def draw(reading: LookReading, has: NDArray[np.bool_], rng: Generator) -> NDArray[np.bool_]:
    """Draw whether the look finds it, (draw,)."""
    return np.asarray(rng.random(has.shape) < share_found(reading, has))
