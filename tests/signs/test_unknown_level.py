"""Readings with an unknown level in common: held against sums done the long way."""

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import kstest, norm

from floatbowl.signs import unknown_level
from floatbowl.signs.unknown_level import Window

Array = NDArray[np.float64]

WINDOW = Window(middle=1.0, width=3.0)
ASTRAY = 0.1
SPREAD = np.array([0.04, 0.03, 0.05, 0.04, 0.02])


def the_long_way(readings: Array, spread: Array) -> float:
    """Give the logarithm of the density of readings, the level summed over on a fine grid of the window.

    Source: own derivation, the same story told without any closed form.
    """
    level = np.linspace(-0.5, 2.5, 60_001)[:, None]
    each = (1.0 - ASTRAY) * norm.pdf(readings, level, spread) + ASTRAY / WINDOW.width
    return float(np.log(np.trapezoid(each.prod(axis=1), level[:, 0])))


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_the_closed_form_is_the_sum_over_the_level(count: int, rng: Generator) -> None:
    """The density agrees with the sum over the level, up to one constant, wherever the readings lie.

    From four readings on, patterns with more strays than can tell are put together: 2 in 100 at most.
    """
    spread = SPREAD[:count]
    readings = 1.0 + rng.uniform(-0.4, 0.4, (30, count)) * rng.integers(0, 2, (30, count))
    quick = unknown_level.log_likelihood(readings, spread, astray=ASTRAY, window=WINDOW)
    slow = np.array([the_long_way(one, spread) for one in readings])
    assert np.ptp(quick - slow) < 0.02


@pytest.mark.calibration
@pytest.mark.parametrize("power", [1.0, 2.0])
def test_differences_are_drawn_from_the_believed_law(power: float, rng: Generator) -> None:
    """Two readings' drawn difference follows the believed density; its square, the control, does not fit."""
    spread = SPREAD[:2]
    drawn = unknown_level.draw(np.zeros((20_000, 2)), spread, astray=ASTRAY, window=WINDOW, rng=rng)
    off = drawn[:, 1] - drawn[:, 0]
    grid = np.linspace(-0.5, 0.5, 4001)
    rest = np.stack([np.zeros_like(grid), grid], axis=1)
    known = unknown_level.log_likelihood(rest, spread, astray=ASTRAY, window=WINDOW)
    # Readings lie within 1.5 of the middle: from a first within 1 of it, the second can lie 0.5 away.
    inside = off[(np.abs(drawn[:, 0] - WINDOW.middle) < 1.0) & (np.abs(off) < 0.5)]
    mass = np.cumsum(np.exp(power * known))
    fits = kstest(inside, lambda x: np.interp(x, grid, mass / mass[-1])).pvalue > 6e-5
    assert fits == (power == 1.0)


def test_the_level_does_not_matter() -> None:
    """Readings that all lie higher by the same tell the same."""
    readings = np.array([[1.0, 1.1, 0.95], [1.0, 1.02, 1.01]])
    low, high = (
        unknown_level.log_likelihood(readings + more, SPREAD[:3], astray=ASTRAY, window=WINDOW)
        for more in (0.0, 0.3)
    )
    assert low == pytest.approx(high, abs=1e-9)


def test_one_stray_reading_does_not_hide_the_rest() -> None:
    """Of four readings one far off takes no more than its own say: three that agree still speak."""
    agree = np.array([[0.0, 0.0, 0.0, 0.5], [0.0, 0.15, -0.15, 0.5]])
    known = unknown_level.log_likelihood(agree, SPREAD[:4], astray=ASTRAY, window=WINDOW)
    assert known[0] - known[1] > np.log(50.0)


def test_ten_readings_stay_quick_and_sound() -> None:
    """Many readings give a finite density, highest where they agree."""
    readings = np.linspace(-1.0, 1.0, 101)[:, None] * np.arange(-5.0, 5.0)
    known = unknown_level.log_likelihood(readings, np.full(10, 0.04), astray=ASTRAY, window=WINDOW)
    assert np.isfinite(known).all()
    assert known.argmax() == 50
