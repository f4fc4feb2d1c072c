"""The whole belief is as sure as it may be, and no surer.

Simulation-based calibration, Talts et al. [talts2018], on few bikes; ``benchmarks/calibration.py`` has many.
"""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from tests.belief.calibrated import (
    RUNG_NAMES,
    Case,
    Plan,
    all_counts,
    boast,
    case,
    counts_table,
    rank,
    ranks_of,
)
from tests.belief.told import TOLD

pytestmark = [pytest.mark.calibration, pytest.mark.slow]

BIKES, DRAWS = 3 * len(TOLD), 200
"""Every bike of the demo tells in every way once."""
HONEST = 1.0 / 3.0
# One bike's six ranks together have a standard deviation of 0.19 in the boast: between that of one rank, 0.3,
# and that of six that know nothing of each other (0.12). Three standard errors.
FAR = 3.0 * 0.19 / np.sqrt(BIKES)


def bikes(plan: Plan) -> list[Case]:
    """Make a few bikes."""
    return [case(number, plan) for number in range(BIKES)]


@pytest.fixture(scope="module")
def plan(seed: int) -> Plan:
    """Say how the bikes are made; asking for advice takes too long here."""
    return Plan(draws=DRAWS, seed=seed, with_advice=False)


@pytest.fixture(scope="module")
def made(plan: Plan) -> list[Case]:
    """Make the bikes once."""
    return bikes(plan)


@pytest.mark.parametrize("of", ["error", "lambda", "error after a change", "lambda wanted"])
def test_the_truth_ranks_evenly(made: list[Case], of: str) -> None:
    """The truth falls anywhere among the likely bikes alike: not mostly outside, nor in the middle."""
    assert abs(boast(made, of=of) - HONEST) < FAR


@pytest.mark.parametrize("of", ["error", "lambda", "error after a change", "lambda wanted"])
def test_the_truth_lies_to_no_side(made: list[Case], of: str) -> None:
    """At every rung the mean rank of the truth is a half, within four standard errors of even ranks."""
    far = 4.0 * np.sqrt(1.0 / 12.0 / BIKES)
    assert np.abs(ranks_of(made, of).mean(axis=0) - 0.5).max() < far


def test_most_true_lambdas_lie_where_16_in_20_do(made: list[Case]) -> None:
    """Over all rungs the band of 16 in 20 holds the true lambda in four bikes of five, give or take."""
    inside = np.array([one.inside for one in made])
    # rungs of one bike hang together: about two of six are news (measured on 120 bikes)
    error = np.sqrt(0.8 * 0.2 / (BIKES * len(RUNG_NAMES) / 3.0))
    assert abs(inside.mean() - 0.8) < 4.0 * error


def test_counts_come_true(made: list[Case]) -> None:
    """What is told as few, some, half, many or nearly all of twenty comes true as often, within 3 of 20.

    Where few such counts were told, within four standard errors.
    """
    groups = [(0, 3), (4, 8), (9, 12), (13, 16), (17, 20)]
    for row in counts_table(*all_counts(made), groups):
        assert abs(row.told - row.came) < max(3.0, 4.0 * row.error), row


def test_every_sign_counted_four_times_is_caught(plan: Plan) -> None:
    """Control: with the evidence counted four times the truth stands outside far too often."""
    assert boast(bikes(replace(plan, counted=4.0))) - HONEST > FAR


def test_a_truth_wider_than_was_thought_is_caught(plan: Plan) -> None:
    """Control: where the bikes differ twice as much as the belief allows for, it is caught as well."""
    assert boast(bikes(replace(plan, wider=2.0))) - HONEST > FAR


def test_ties_rank_evenly(rng: Generator) -> None:
    """A truth that equals every draw ranks anywhere alike; one below them all ranks first."""
    ranks = np.array([rank(np.ones(9), 1.0, rng) for _ in range(2000)])
    assert np.histogram(ranks, bins=10, range=(0.0, 1.0))[0].min() > 140  # 200 each, sd 13
    assert rank(np.ones(9), 0.0, rng) < 0.1
