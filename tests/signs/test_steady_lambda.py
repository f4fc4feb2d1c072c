"""A steady probe: drawn as believed, and never trusted to the end."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from scipy.stats import kstest

from floatbowl.bike.rung import Rung
from floatbowl.signs import steady_lambda
from floatbowl.signs.trial import LambdaReading
from tests.signs.scenes import WANTED, scene

READING = LambdaReading(entry="reading-1", at=Rung.HALF, value=0.9)
DRAWS = 20_000
VALUES = np.geomspace(0.25, 4.0, 4001)


def density(at: Rung, lam: float) -> np.ndarray:
    """Give the believed density, in ln lambda, of every value of ``VALUES``."""
    seen = scene(float(np.log(WANTED / lam)))
    readings = [LambdaReading(entry="reading-1", at=at, value=float(v)) for v in VALUES]
    return np.array([np.exp(steady_lambda.log_likelihood(one, seen)[0]) for one in readings])


def misfit(at: Rung, lam: float, rng: Generator, *, power: float = 1.0) -> float:
    """Give the chance that draws stray so far from the believed law (Kolmogorov and Smirnov)."""
    drawn = steady_lambda.draw(replace(READING, at=at), scene(float(np.log(WANTED / lam)), draws=DRAWS), rng)
    # The flat part holds from 0.5 to 2 only: a stray probe shows nothing beyond its scale.
    inside = (VALUES >= 0.5) & (VALUES <= 2.0)
    mass = np.cumsum(np.where(inside, density(at, lam), 0.0) ** power)
    mass /= mass[-1]
    return float(kstest(np.log(drawn), lambda x: np.interp(x, np.log(VALUES), mass)).pvalue)


# 6e-5 is four standard errors of a normal number.


@pytest.mark.calibration
@pytest.mark.parametrize("at", [Rung.SHUT, Rung.HALF, Rung.FULL])
@pytest.mark.parametrize("lam", [0.75, 0.88, 1.1])
def test_readings_are_drawn_from_the_believed_law(at: Rung, lam: float, rng: Generator) -> None:
    """Drawn readings follow the believed density at every rung and mixture."""
    assert misfit(at, lam, rng) > 6e-5


@pytest.mark.calibration
def test_a_density_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the draws do not follow the squared density."""
    assert misfit(Rung.HALF, 0.88, rng, power=2.0) < 6e-5


@pytest.mark.parametrize("at", [Rung.SHUT, Rung.FULL])
def test_all_readings_together_are_certain(at: Rung) -> None:
    """The believed density adds to one over what a probe can show, 0.5 to 2."""
    inside = (VALUES >= 0.5) & (VALUES <= 2.0)
    total = np.trapezoid(np.where(inside, density(at, 0.9), 0.0), np.log(VALUES))
    # The grid's step is 0.0007 in ln lambda, its two edges cut half a step each.
    assert total == pytest.approx(1.0, abs=0.001)


def test_a_probe_at_idle_reads_lean_and_blurred() -> None:
    """At idle the likeliest mixture is richer than what the probe shows, and less sure than at half."""
    lams = np.linspace(0.6, 1.2, 601)
    likely = {}
    for at in (Rung.SHUT, Rung.HALF):
        reading = replace(READING, at=at)
        likely[at] = np.array(
            [steady_lambda.log_likelihood(reading, scene(float(np.log(WANTED / lam))))[0] for lam in lams]
        )
    assert lams[likely[Rung.SHUT].argmax()] < lams[likely[Rung.HALF].argmax()] == pytest.approx(0.9)
    assert np.ptp(likely[Rung.SHUT][250:350]) < np.ptp(likely[Rung.HALF][250:350])


def test_a_stray_probe_cannot_decide() -> None:
    """However far off, one reading shifts the odds by at most 350 to 1.

    The bell is 0.95 / (0.03 sqrt(2 pi)) = 12.6 high, the flat part 0.05 / ln 4 = 0.036.
    """
    known = np.log(density(Rung.FULL, 0.9))
    assert np.ptp(known) <= np.log(12.7 / 0.036)
