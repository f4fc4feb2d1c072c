"""The fuel level by a hose: drawn as believed, and never trusted to the end."""

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import kstest

from floatbowl.signs import fuel_level
from floatbowl.signs.trial import LevelReading
from tests.signs.scenes import scene

Array = NDArray[np.float64]

DRAWS = 20_000
LEVELS = np.linspace(-15.0, 15.0, 6001)


def density(level_drop: float) -> Array:
    """Give the believed density, a millimetre, at every one of ``LEVELS``."""
    seen = scene(0.0, level_drop=level_drop)
    readings = [LevelReading(entry="level-1", above_mm=float(level)) for level in LEVELS]
    return np.array([np.exp(fuel_level.log_likelihood(one, seen)[0]) for one in readings])


@pytest.mark.calibration
@pytest.mark.parametrize("level_drop", [-0.006, 0.0, 0.004])
@pytest.mark.parametrize("power", [1.0, 2.0])
def test_levels_are_drawn_from_the_believed_law(level_drop: float, power: float, rng: Generator) -> None:
    """Drawn levels follow the believed density; the density squared, as a control, does not fit."""
    drawn = fuel_level.draw(scene(0.0, draws=DRAWS, level_drop=level_drop), rng)
    mass = np.cumsum(density(level_drop) ** power)
    fits = kstest(drawn, lambda x: np.interp(x, LEVELS, mass / mass[-1])).pvalue > 6e-5
    assert fits == (power == 1.0)


def test_all_levels_together_are_certain() -> None:
    """The believed density adds to one over what a hose can show, 15 mm to both sides."""
    # The bell of 1 mm at 6 mm loses nothing to speak of beyond; the grid's step is 0.005 mm.
    assert np.trapezoid(density(-0.006), LEVELS) == pytest.approx(1.0, abs=1e-4)


def test_above_the_book_is_a_high_level() -> None:
    """Fuel seen 4 mm above the book speaks for a level that stands 4 mm high."""
    seen = [scene(0.0, level_drop=drop) for drop in (-0.004, 0.0, 0.004)]
    reading = LevelReading(entry="level-1", above_mm=4.0)
    known = [fuel_level.log_likelihood(reading, one)[0] for one in seen]
    assert int(np.argmax(known)) == 0


def test_a_stray_hose_cannot_decide() -> None:
    """However far off, one reading shifts the odds by at most 230 to 1: 0.379 + 0.0017 over 0.0017."""
    assert np.ptp(np.log(density(0.0))) <= np.log(230.0)
