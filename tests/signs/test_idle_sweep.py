"""Idle speed against the screw: drawn as believed, and it finds where the engine gets what it wants."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import kstest

from floatbowl.flow import idle
from floatbowl.flow.breath import Grid, breathe
from floatbowl.signs import idle_sweep
from floatbowl.signs.trial import IdleSweepReading
from tests.flow.bikes import SIZES, Size, ordinary
from tests.signs.scenes import too_far

Array = NDArray[np.float64]

TURNS = (0.5, 1.0, 1.5, 2.0, 2.5)
STEP = 0.06
"""Fuel that half a turn gives in these tests, as a logarithm."""
DRAWS = 20_000


def errors(middle: Array) -> Array:
    """Give the error at each number of turns, (draw, turn), of bikes off by ``middle`` at 1.5 turns."""
    return np.asarray(middle[:, None] + STEP * (np.arange(5.0) - 2.0))


def reading(rpm: Array) -> IdleSweepReading:
    """Give a sweep with these speeds."""
    return IdleSweepReading(entry="idle-1", turns=TURNS[: len(rpm)], rpm=tuple(float(one) for one in rpm))


@pytest.mark.calibration
def test_the_truth_ranks_evenly_in_what_is_believed(rng: Generator) -> None:
    """Errors drawn evenly, a sweep drawn of each: the truth's rank is even (Talts et al. 2018).

    Control: with every sweep counted four times the ranks crowd to both ends.
    """
    grid = np.linspace(-0.4, 0.4, 161)
    truths = rng.uniform(-0.4, 0.4, 600)
    sweeps = idle_sweep.draw(errors(truths), rng)
    known = [idle_sweep.log_likelihood(reading(rpm), errors(grid)) for rpm in sweeps]
    for power, is_even in ((1.0, True), (4.0, False)):
        mass = [np.cumsum(np.exp(power * (one - one.max()))) for one in known]
        ranks = [np.interp(truth, grid, m / m[-1]) for truth, m in zip(truths, mass, strict=True)]
        assert (kstest(ranks, "uniform").pvalue > 6e-5) == is_even


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.4, -0.24, -0.1, 0.0, 0.3])
def test_it_dies_as_often_as_believed(error: float, rng: Generator) -> None:
    """At every error the drawn idles die with the believed frequency."""
    died = idle_sweep.draw(np.full((DRAWS, 1), error), rng)[:, 0] == 0.0
    share = float(np.exp(idle_sweep.log_likelihood(reading(np.zeros(1)), np.array([[error]])))[0])
    assert not too_far(np.array([died.sum(), (~died).sum()]), np.array([share, 1.0 - share])).any()


@pytest.mark.parametrize("best", range(5))
def test_the_peak_is_what_is_wanted(best: int) -> None:
    """Wherever the fastest idle lies along the screw, the likeliest bike is right there within 1/4 turn."""
    truth = np.array([-STEP * (best - 2.0)])
    rpm = 1500.0 * np.exp(-idle_sweep.fall(errors(truth)))[0]
    grid = np.linspace(-0.2, 0.2, 401)
    known = idle_sweep.log_likelihood(reading(rpm), errors(grid))
    assert grid[known.argmax()] == pytest.approx(truth[0], abs=STEP / 2.0)


def test_the_speed_itself_does_not_matter() -> None:
    """A stop that stands higher tells nothing of the mixture."""
    rpm = np.array([1400.0, 1480.0, 1500.0, 1490.0, 1430.0])
    grid = errors(np.linspace(-0.2, 0.2, 41))
    low, high = (idle_sweep.log_likelihood(reading(k * rpm), grid) for k in (1.0, 1.2))
    assert low == pytest.approx(high, abs=1e-9)


def test_where_it_dies_is_far_off() -> None:
    """A screw that kills the engine turned in speaks for a bike short there, even with one speed left."""
    rpm = np.array([0.0, 1400.0])
    short, right, rich = idle_sweep.log_likelihood(
        reading(rpm), np.array([[-0.3, -0.1], [0.0, 0.2], [0.1, 0.3]])
    )
    assert short > right > rich


def test_one_miscount_cannot_decide() -> None:
    """A count half as fast as the rest, among five, shifts odds by at most 760 to 1 and the middle by 0.02.

    The bell is 0.95 x 0.40 / 0.02 = 19 high, what is stray 0.05 / 2.
    """
    grid = errors(np.linspace(-0.15, 0.15, 61))
    rpm = 1500.0 * np.exp(-idle_sweep.fall(errors(np.array([0.0]))))[0]
    struck = rpm * np.array([1.0, 1.0, 1.0, 1.0, 0.5])
    whole = idle_sweep.log_likelihood(reading(struck), grid) - np.log(1.0 - idle_sweep.share_dies(grid[:, 4]))
    without = idle_sweep.log_likelihood(reading(rpm[:4]), grid[:, :4])
    assert np.ptp(whole - without) <= np.log(760.0)
    assert abs(grid[whole.argmax(), 2] - grid[without.argmax(), 2]) < 0.02


@pytest.mark.parametrize("size", SIZES[:3], ids=str)
def test_the_fall_is_that_of_the_balance_of_work(size: Size) -> None:
    """At 0.12 from its peak the speed of ``flow/idle.py`` has fallen as the figures say, on both sides."""
    p = replace(ordinary(size), idle_lift=idle.idle_stop(ordinary(size), 1500.0))
    rpm = np.arange(600.0, 2501.0, 25.0)
    grid = Grid(opening=np.zeros(1), rpm=rpm[None, :])
    air = breathe(p, grid)
    lams = idle.IDLE_LAMBDA.value * np.exp(-np.linspace(-0.2, 0.26, 47))
    speed = np.array(
        [
            idle.settled_speed(idle.spare_pressure(p, air, grid, np.full((1, 1, 1), lam))[:, 0], rpm)[0]
            for lam in lams
        ]
    )
    best = int(np.nanargmax(speed))
    for side, figure in ((-1, idle_sweep.LEAN_FALL), (1, idle_sweep.RICH_FALL)):
        off = np.log(lams[best + 12 * side] / lams[best])
        steep = np.log(speed[best] / speed[best + 12 * side]) / off**2
        assert figure.low <= steep <= figure.high
