"""A log of lambda, as it came down to one number for each rung and engine speed.

Thousands of rows come from one probe in one pipe on one day: they are not
thousands of witnesses. What is common to all of them, how far the probe reads
off, is a habit of the probe and not averaged away. And all speeds of one rung
together are never surer of it than ``PLACE``.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.steady_lambda import IDLE_BIAS, IDLE_SPREAD, PROBE_BIAS

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import LambdaLogReading

    Array = NDArray[np.float64]

QUESTION = "What did the probe log at each opening that was held?"

PLACE = Figure(0.02, 0.01, 0.035, "judgement: warmth, load and pipe differ from a held opening to a ride")
"""Relative standard deviation that all of a log's numbers of one rung share out among them."""
ASTRAY = Figure(0.04, 0.01, 0.10, "judgement: misfire at that speed, another opening than was marked")
"""Share of a log's numbers that say nothing of the mixture."""
_LOW, _HIGH = np.log(0.5), np.log(2.0)
"""Range over which a stray number may lie."""


def groups(reading: LambdaLogReading) -> tuple[tuple[int, ...], ...]:
    """Give the log's numbers in groups that hold each rung once, by their places in the reading."""
    turn: dict[Rung, int] = {}
    found: dict[int, list[int]] = {}
    for place, at in enumerate(reading.at):
        turn[at] = turn.get(at, -1) + 1
        found.setdefault(turn[at], []).append(place)
    return tuple(tuple(places) for places in found.values())


def speeds(reading: LambdaLogReading, group: tuple[int, ...]) -> dict[int, float]:
    """Give the engine speed of each rung in a group, by the rung's place; none where nobody counted."""
    return {RUNGS.index(reading.at[k]): reading.rpm[k] for k in group} if reading.rpm else {}


def _spreads(reading: LambdaLogReading) -> Array:
    """Give the standard deviation of each number in ln lambda, (number,).

    Source: own derivation: n numbers of a rung each carry the root of n times
    the rung's own spread, so that their mean carries it once.
    """
    own = np.array(reading.spread) / np.array(reading.value)
    alike = np.array([reading.at.count(at) for at in reading.at])
    place = np.where([at is Rung.SHUT for at in reading.at], IDLE_SPREAD.value, PLACE.value)
    return np.asarray(np.sqrt(own**2 + alike * place**2))


def _middle(reading: LambdaLogReading, scenes: Sequence[Seen]) -> Array:
    """Give what the probe would show of each draw, in ln lambda, (draw, number)."""
    middle = np.empty((scenes[0].error.shape[0], len(reading.at)))
    for group, seen in zip(groups(reading), scenes, strict=True):
        bias = PROBE_BIAS.log_spread * seen.habit("probe bias")
        for k in group:
            at = reading.at[k]
            idle = IDLE_BIAS.value if at is Rung.SHUT else 0.0
            middle[:, k] = np.log(np.clip(seen.held_lam_at(at), 0.3, 4.0)) + bias + idle
    return middle


def log_likelihood(reading: LambdaLogReading, scenes: Sequence[Seen]) -> Array:
    """Give the logarithm of the density, in ln lambda, of all the log's numbers for each draw, (draw,).

    ``scenes`` holds the scene of each of ``groups``, at its speeds.
    """
    spread = _spreads(reading)
    off = (np.log(reading.value) - _middle(reading, scenes)) / spread
    bell = np.exp(-0.5 * off**2) / (spread * np.sqrt(2.0 * np.pi))
    each = np.log((1.0 - ASTRAY.value) * bell + ASTRAY.value / (_HIGH - _LOW))
    return np.asarray(each.sum(axis=1))


def draw(reading: LambdaLogReading, scenes: Sequence[Seen], rng: Generator) -> Array:
    """Draw what the log would come to for each draw, (draw, number).

    Of the reading its rungs, its speeds and how sure each number is are looked at.
    """
    middle = _middle(reading, scenes)
    told = middle + _spreads(reading) * rng.standard_normal(middle.shape)
    stray = rng.uniform(_LOW, _HIGH, middle.shape)
    return np.asarray(np.exp(np.where(rng.random(middle.shape) < ASTRAY.value, stray, told)))
