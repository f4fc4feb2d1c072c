"""Is the belief as sure as it may be? Truth from before the signs, words from the signs, then its rank.

Source: Talts, Betancourt, Simpson, Vehtari, Gelman, Validating Bayesian inference algorithms with
simulation-based calibration [talts2018].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe, fault_odds
from floatbowl.belief.scene import Stage
from floatbowl.bike.rung import RUNGS
from tests.belief.simulated import Hidden, any_bike, demo_bike

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
BIKES = ("magpie", "thistle", "otter")


@dataclass(frozen=True)
class Case:
    """One made-up bike with what was believed of it."""

    truth: Hidden
    error: Array
    """Its true error at each rung."""
    belief: Belief

    @property
    def rank(self) -> Array:
        """Give which share of the likely bikes is shorter than the truth, at each rung."""
        return np.asarray((self.belief.error < self.error).mean(axis=0))

    @property
    def told(self) -> Whole:
        """Give the counts of the twenty, (rung, 3): short, right, too much."""
        return np.array([self.belief.counts_at(rung) for rung in RUNGS])

    @property
    def came_true(self) -> NDArray[np.bool_]:
        """Say which of the three is true at each rung, (rung, 3)."""
        band = self.belief.close_enough
        short, much = self.error < -band, self.error > band
        return np.stack([short, ~(short | much), much], axis=1)


def cases(bikes: int, rng: Generator, *, draws: int) -> list[Case]:
    """Make bikes from before the signs, ride each once, and believe; the demo's bikes take turns."""
    made = []
    grounds = [demo_bike(name) for name in BIKES]
    stages = [Stage.of(ground.bike, ground.setup) for ground in grounds]
    for number in range(bikes):
        ground, stage = grounds[number % len(BIKES)], stages[number % len(BIKES)]
        truth = any_bike(stage, fault_odds(stage), rng)
        ride = truth.ride(ground.setup, ground.day, rng)
        belief = believe(
            ground.bike,
            setup=ground.setup,
            day=ground.day,
            trials=(ride,),
            rng=rng,
            draws=draws,
        )
        made.append(Case(truth=truth, error=truth.error(ground.setup, ground.day), belief=belief))
    return made


def boast(made: list[Case]) -> float:
    """Give the mean square of twice the rank less one: a third if honest, more if too sure, less if shy."""
    ranks = np.array([case.rank for case in made])
    return float(((2.0 * ranks - 1.0) ** 2).mean())


def boast_error(made: list[Case]) -> float:
    """Give the standard error of the boast: rungs of one bike hang together, so bikes are what is counted."""
    ranks = np.array([case.rank for case in made])
    return float(((2.0 * ranks - 1.0) ** 2).mean(axis=1).std(ddof=1) / np.sqrt(len(made)))


def counts_table(made: list[Case]) -> list[tuple[str, int, float, float, float]]:
    """Give for each range of counts how many, what was told, what came true, and its error, in 20."""
    told = np.concatenate([case.told.ravel() for case in made])
    true = np.concatenate([case.came_true.ravel() for case in made])
    rows = []
    for low, high in ((0, 3), (4, 8), (9, 12), (13, 16), (17, 20)):
        here = (told >= low) & (told <= high)
        if here.sum() > 1:
            share = float(true[here].mean())
            error = float(np.sqrt(share * (1.0 - share) / here.sum()))
            rows.append((f"{low}-{high}", int(here.sum()), float(told[here].mean()), OF * share, OF * error))
    return rows
