"""Timed roll-ons from one opening: choke off and on, before and after a change, at two speeds.

All roll-ons from one rung at one speed on one road share a time that nobody
knows. What tells is how they differ: with the choke, with another setup.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs import choke_test, unknown_level
from floatbowl.signs.trial import RollOnReading, Trial

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.carb import ChokeKind
    from floatbowl.signs.seen import Seen

    Array = NDArray[np.float64]
    Runs = Sequence[tuple[RollOnReading, Seen]]

QUESTION = "Same road, same gear, from one mark to the next: how many seconds, choke off and choke half?"

ON_OVER_HALF = Figure(1.8, 1.3, 2.5, "judgement: a choke gives a little less than in proportion to its way")
"""What a whole choke gives over half a choke, in ln(fuel)."""
TOLL = Figure(6.0, 2.5, 14.0, "judgement: a stumble costs far more time than steady torque would")
"""Loss of time, as a logarithm, for a squared error of 1: 0.13 at an error of 15 in the hundred."""
_FURTHEST = 0.2
"""Squared error beyond which no more time is lost: nobody rides that to the end."""
RUN_SPREAD = Figure(0.04, 0.02, 0.08, "judgement: hand-timed runs on one road, wind and hand together")
"""Relative standard deviation of one run."""
TRACE_SPREAD = Figure(0.015, 0.007, 0.03, "judgement: no thumb in it; wind and the engine are left")
"""The same of a run that was taken from a trace of the engine speed."""
DAY_SPREAD = Figure(0.015, 0.005, 0.04, "judgement: wind, grip and warmth change between readings")
"""Relative standard deviation that all runs of one reading share."""
ASTRAY = Figure(
    0.10, 0.05, 0.20, "judgement: another gear, a gust, a late thumb, the choke not where it was said"
)
"""Share of readings that say nothing about the mixture."""
_TIMES = unknown_level.Window(middle=float(np.log(5.0)), width=3.0)
"""Where a time may lie, in ln(seconds): 1 to 22 seconds."""


def groups(trials: Sequence[Trial]) -> tuple[tuple[tuple[int, RollOnReading], ...], ...]:
    """Give the roll-ons that are held against each other, each with the place of its trial in ``trials``.

    One group is one rung, one speed, one height above the sea, and nothing
    mended in between: thinner air, or a new plug, changes times by itself. A
    group of one is left out.
    """
    found: dict[object, list[tuple[int, RollOnReading]]] = {}
    for place, trial in enumerate(trials):
        for reading in trial.readings:
            if isinstance(reading, RollOnReading):
                key = (reading.at, reading.rpm, trial.day.height, frozenset(trial.mended))
                found.setdefault(key, []).append((place, reading))
    return tuple(tuple(group) for group in found.values() if len(group) > 1)


def _toll(reading: RollOnReading, seen: Seen, choke: ChokeKind) -> Array:
    """Give what the mixture adds to the logarithm of the time, (draw,)."""
    half = choke_test.gives(choke, reading.at)
    given = {"off": 0.0, "half": half, "on": ON_OVER_HALF.value * half}[reading.choke]
    toll = TOLL.value * np.exp(TOLL.log_spread * seen.habit("toll"))
    return np.asarray(toll * np.minimum((seen.held_error_at(reading.at) + given) ** 2, _FURTHEST))


def _tolls(runs: Runs, choke: ChokeKind) -> Array:
    return np.stack([_toll(reading, seen, choke) for reading, seen in runs], axis=1)


def _spreads(runs: Runs) -> Array:
    count = np.array([len(reading.seconds) for reading, _ in runs])
    run = np.array([RUN_SPREAD.value if one.by == "watch" else TRACE_SPREAD.value for one, _ in runs])
    return np.asarray(np.sqrt(run**2 / count + DAY_SPREAD.value**2))


def _log_times(runs: Runs) -> Array:
    return np.array([np.log(reading.seconds).mean() for reading, _ in runs])


def log_likelihood(runs: Runs, *, choke: ChokeKind = "plunger") -> Array:
    """Give the logarithm of how probable a group's times are for each draw, (draw,), up to a constant.

    Each reading comes with the scene it was ridden in. Only the differences
    count; one reading alone tells nothing.
    """
    rest = _log_times(runs) - _tolls(runs, choke)
    if len(runs) == 1:
        return np.zeros(len(rest))
    return unknown_level.log_likelihood(rest, _spreads(runs), astray=ASTRAY.value, window=_TIMES)


def draw(runs: Runs, rng: Generator, *, choke: ChokeKind = "plunger") -> Array:
    """Draw the mean logarithm of the time of every reading of a group for each draw, (draw, reading).

    Of a reading its rung, its choke and how many runs it holds are looked at.
    """
    tolls = _tolls(runs, choke)
    return unknown_level.draw(tolls, _spreads(runs), astray=ASTRAY.value, window=_TIMES, rng=rng)
