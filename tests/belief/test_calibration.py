"""The whole belief is as sure as it may be, and no surer.

Simulation-based calibration, Talts et al. [talts2018], on few bikes; ``benchmarks/calibration.py`` has many.
"""

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.evidence import AllHeard
from tests.belief.calibrated import Case, boast, cases, counts_table

pytestmark = [pytest.mark.calibration, pytest.mark.slow]

BIKES, DRAWS = 24, 200
HONEST = 1.0 / 3.0
# One bike's six ranks together have a standard deviation of 0.19 in the boast: between that of one rank, 0.3,
# and that of six that know nothing of each other (0.12). Three standard errors of 24 bikes.
FAR = 3.0 * 0.19 / np.sqrt(BIKES)


@pytest.fixture(scope="module")
def made(seed: int) -> list[Case]:
    """Make the bikes once."""
    return cases(BIKES, np.random.default_rng(seed), draws=DRAWS)


def test_the_truth_ranks_evenly(made: list[Case]) -> None:
    """The true error falls anywhere among the likely bikes alike: not mostly outside, nor in the middle."""
    assert abs(boast(made) - HONEST) < FAR


def test_the_truth_lies_to_no_side(made: list[Case]) -> None:
    """At every rung the mean rank of the truth is a half, within four standard errors of even ranks."""
    ranks = np.array([case.rank for case in made])
    assert np.abs(ranks.mean(axis=0) - 0.5).max() < 4.0 * np.sqrt(1.0 / 12.0 / BIKES)


def test_counts_come_true(made: list[Case]) -> None:
    """What is told as few, some, half, many or nearly all of twenty comes true as often, within 3 of 20.

    Where few such counts were told, within four standard errors.
    """
    for name, _many, told, true, error in counts_table(made):
        assert abs(told - true) < max(3.0, 4.0 * error), name


def test_every_remark_counted_four_times_is_caught(rng: Generator, monkeypatch: pytest.MonkeyPatch) -> None:
    """Control: with the evidence counted four times the truth stands outside far too often."""
    honest = AllHeard.__call__

    def boasting(self: AllHeard, z: NDArray[np.float64], fault: NDArray[np.int64]) -> NDArray[np.float64]:
        return 4.0 * honest(self, z, fault)

    monkeypatch.setattr(AllHeard, "__call__", boasting)
    assert boast(cases(BIKES, rng, draws=DRAWS)) - HONEST > FAR
