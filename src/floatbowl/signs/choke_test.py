"""What a little choke does at a held opening, warm: better is short there, worse is rich."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.rises import rises
from floatbowl.signs.trial import ChokeOutcome

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.carb import ChokeKind
    from floatbowl.bike.faults import Ailment
    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import ChokeReading

    Array = NDArray[np.float64]

QUESTION = "Warm, the opening held where it complains, half the choke eased on: better, worse or no change?"

OUTCOMES: tuple[ChokeOutcome, ...] = get_args(ChokeOutcome)


def _plunger(value: float) -> Figure:
    return Figure(value, 0.4 * value, 2.0 * value, "judgement: near flow/choke.py, its plunger half up")


def _flap(value: float) -> Figure:
    return Figure(value, 0.4 * value, 2.0 * value, "judgement: near flow/choke.py, its flap half shut")


GIVES: dict[ChokeKind, tuple[Figure, ...]] = {
    "plunger": tuple(_plunger(value) for value in (0.30, 0.18, 0.09, 0.04, 0.025, 0.02)),
    "flap": tuple(_flap(value) for value in (0.08, 0.06, 0.06, 0.12, 0.20, 0.24)),
    "none": (),
}
"""How much more fuel half a choke gives from shut to full, as a logarithm.

A plunger adds its own stream, which is much at small openings and little at
large ones; at idle the hand stops well before half. A flap throttles the mouth,
which is felt the more the more air passes.
"""
NOTICED = Figure(0.04, 0.02, 0.07, "judgement: the least change of an error that a rider notices")
_SOFT = 0.015
"""Width over which a change comes to be noticed."""
STARVED_TAKES = Figure(0.10, 0.05, 0.20, "judgement: the choke drinks from the same bowl")
"""Shortage of supply, as a logarithm, at which a third of what the choke adds is left."""
WRONG = Figure(0.10, 0.05, 0.20, "judgement: about one such answer in ten is plainly wrong")
UNMOVED: dict[Ailment, Figure] = {
    "weak spark": Figure(0.50, 0.25, 0.75, "judgement: fuel does not mend a spark"),
    "cuts out": Figure(0.60, 0.30, 0.80, "judgement: nor a wire"),
    "stale fuel": Figure(0.40, 0.20, 0.60, "judgement: more of the same"),
    "tight valve": Figure(0.50, 0.25, 0.75, "judgement: nor a valve"),
    "leaking exhaust": Figure(0.20, 0.05, 0.40, "judgement: the pops stay, the ride is as it was"),
}
"""Share in which a choke changes nothing because the complaint is not the mixture, by what ails it."""


def gives(choke: ChokeKind, rung: Rung) -> float:
    """Give how much more fuel half a choke gives at a rung, as a logarithm: nothing where there is none."""
    figures = GIVES[choke]
    return figures[RUNGS.index(rung)].value if figures else 0.0


def outcome_shares(reading: ChokeReading, seen: Seen, *, choke: ChokeKind = "plunger") -> Array:
    """Give how often each outcome of ``OUTCOMES`` is told, (draw, outcome), adding to 1.

    Source: own derivation: better where the size of the error falls by more than
    is just noticed, worse where it grows by as much.
    """
    before = seen.held_error_at(reading.at)
    more = gives(choke, reading.at) * np.exp(seen.starved_at(reading.at) / STARVED_TAKES.value)
    gain = np.abs(before) - np.abs(before + more)
    moved = 1.0 - _unmoved(seen)
    better = moved * rises(gain - NOTICED.value, width=_SOFT)
    worse = moved * rises(-gain - NOTICED.value, width=_SOFT)
    right = np.stack([better, worse, 1.0 - better - worse], axis=-1)
    return (1.0 - WRONG.value) * right + WRONG.value / len(OUTCOMES)


def _unmoved(seen: Seen) -> Array:
    moved = np.ones(seen.error.shape[0])
    for ailment, share in UNMOVED.items():
        moved = moved * (1.0 - share.value * seen.ails(ailment))
    return 1.0 - moved


def log_likelihood(reading: ChokeReading, seen: Seen, *, choke: ChokeKind = "plunger") -> Array:
    """Give the logarithm of how probable the outcome is for each draw, (draw,)."""
    shares = outcome_shares(reading, seen, choke=choke)
    return np.asarray(np.log(shares[:, OUTCOMES.index(reading.outcome)]))


def draw(
    reading: ChokeReading, seen: Seen, rng: Generator, *, choke: ChokeKind = "plunger"
) -> NDArray[np.int64]:
    """Draw the outcome that each draw would bring, as a place in ``OUTCOMES``, (draw,)."""
    shares = outcome_shares(reading, seen, choke=choke)
    picked = (np.cumsum(shares, axis=1) < rng.random((len(shares), 1))).sum(axis=1)
    return np.asarray(np.minimum(picked, len(OUTCOMES) - 1))
