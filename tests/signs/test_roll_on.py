"""Timed roll-ons: with choke against without, drawn as believed, and pointing the known way."""

import numpy as np
import pytest
from numpy.random import Generator
from scipy.stats import kstest

from floatbowl.bike.rung import Rung
from floatbowl.signs import roll_on
from floatbowl.signs.trial import RollOnReading
from tests.signs.scenes import along, scene

OFF = RollOnReading(entry="reading-1", at=Rung.QUARTER, seconds=(4.0, 4.0))
DRAWS = 20_000


def choked(seconds: float, runs: int = 2) -> RollOnReading:
    """Give the same road with half a choke, every run the same."""
    return RollOnReading(entry="reading-2", at=Rung.QUARTER, seconds=(seconds,) * runs, choke="half")


def misfit(error: float, rng: Generator, *, power: float = 1.0) -> float:
    """Give the chance that draws stray so far from the believed law (Kolmogorov and Smirnov)."""
    drawn = roll_on.draw(OFF, choked(4.0), scene(error, draws=DRAWS), rng)
    # A stray pair lies within 1; the bell is 16 of its widths narrower, so nothing to speak of lies beyond.
    gains = np.linspace(-1.0, 1.0, 8001)
    seen = scene(error)
    known = np.array([roll_on.log_likelihood(OFF, choked(4.0 * np.exp(g)), seen)[0] for g in gains])
    mass = np.cumsum(np.exp(power * known))
    return float(kstest(drawn, lambda x: np.interp(x, gains, mass / mass[-1])).pvalue)


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.3, -0.1, 0.0, 0.2])
def test_times_are_drawn_from_the_believed_law(error: float, rng: Generator) -> None:
    """Drawn gains of time follow the believed density (6e-5 is four standard errors)."""
    assert misfit(error, rng) > 6e-5


@pytest.mark.calibration
def test_a_density_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the draws do not follow the squared density."""
    assert misfit(0.0, rng, power=2.0) < 6e-5


def test_faster_with_choke_speaks_for_short() -> None:
    """A roll-on that a little choke makes faster speaks for too little fuel, a slower one for too much."""
    for seconds, wins in ((3.4, 0), (4.8, 1)):
        known = roll_on.log_likelihood(OFF, choked(seconds), along(np.array([-0.15, 0.15])))
        assert known.argmax() == wins


def test_more_runs_tell_more() -> None:
    """Six runs of each kind shift the odds more than two."""
    seen = along(np.array([-0.15, 0.15]))
    few = np.ptp(roll_on.log_likelihood(OFF, choked(3.4), seen))
    long = RollOnReading(entry="reading-1", at=Rung.QUARTER, seconds=(4.0,) * 6)
    assert np.ptp(roll_on.log_likelihood(long, choked(3.4, 6), seen)) > few


def test_a_gust_cannot_decide() -> None:
    """Story: one pair of timings that took twice as long shifted the odds by 12,500 to 1, over what any other
    sign may; now by at most 125 to 1: a bell of 0.9 x 0.375 / 0.06 = 5.6 over a flat part of 0.1 / 2.
    """
    for seconds in (3.4, 4.0, 8.0):
        known = roll_on.log_likelihood(OFF, choked(seconds), along(np.linspace(-1.0, 1.0, 201)))
        assert np.ptp(known) <= np.log(125.0)
