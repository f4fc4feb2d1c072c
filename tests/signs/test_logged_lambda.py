"""A log's numbers as a sign: drawn as believed, and no surer for more rows or more speeds."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from scipy.stats import kstest

from floatbowl.bike.rung import Rung
from floatbowl.signs import logged_lambda
from floatbowl.signs.seen import HABITS, Seen
from floatbowl.signs.trial import LambdaLogReading
from tests.signs.scenes import WANTED, along, scene

ONE = LambdaLogReading(entry="reading-1", at=(Rung.HALF,), value=(0.9,), spread=(0.005,), rpm=(5000.0,))
THREE = replace(
    ONE,
    at=(Rung.QUARTER, Rung.HALF, Rung.HALF),
    value=(0.9, 0.91, 0.92),
    spread=(0.01, 0.005, 0.005),
    rpm=(4000.0, 5000.0, 7000.0),
)
DRAWS = 20_000


def test_each_rung_stands_once_in_a_group() -> None:
    """Groups hold every number once, and no rung twice, with its speed."""
    assert logged_lambda.groups(THREE) == ((0, 1), (2,))
    assert logged_lambda.speeds(THREE, (0, 1)) == {2: 4000.0, 3: 5000.0}
    assert logged_lambda.speeds(replace(THREE, rpm=()), (0, 1)) == {}


@pytest.mark.calibration
@pytest.mark.parametrize("power", [1.0, 2.0])
def test_numbers_are_drawn_from_the_believed_law(power: float, rng: Generator) -> None:
    """Drawn numbers follow the believed density (6e-5 is four standard errors); squared, they do not."""
    drawn = logged_lambda.draw(ONE, [scene(float(np.log(WANTED / 0.88)), draws=DRAWS)], rng)[:, 0]
    values = np.geomspace(0.5, 2.0, 3001)
    seen = scene(float(np.log(WANTED / 0.88)))
    # The spread is told relative to the number: it is kept so while the number is moved.
    told = [replace(ONE, value=(float(v),), spread=(0.005 * float(v) / 0.9,)) for v in values]
    mass = np.cumsum(np.exp([power * logged_lambda.log_likelihood(one, [seen])[0] for one in told]))
    fits = kstest(np.log(drawn), lambda x: np.interp(x, np.log(values), mass / mass[-1])).pvalue
    assert bool(fits > 6e-5) is (power == 1.0)


def sharpness(reading: LambdaLogReading) -> float:
    """Give the standard deviation of the error that is left by a reading alone, the probe's habit known."""
    errors = np.linspace(-0.15, 0.15, 601)
    scenes: list[Seen] = [along(errors)] * len(logged_lambda.groups(reading))
    told = logged_lambda.log_likelihood(reading, scenes)
    mass = np.exp(told - told.max())
    mass /= mass.sum()
    middle = float(mass @ errors)
    return float(np.sqrt(mass @ (errors - middle) ** 2))


def test_more_rows_of_a_place_make_it_no_surer_than_the_place() -> None:
    """However small the log's own spread, a rung is not known to better than its floor."""
    many = replace(ONE, spread=(0.0001,))
    assert sharpness(many) >= 0.95 * logged_lambda.PLACE.value


def test_more_speeds_of_a_rung_make_it_no_surer() -> None:
    """Six speeds of one rung tell as much as one, to a tenth."""
    six = replace(
        ONE,
        at=(Rung.HALF,) * 6,
        value=(0.9,) * 6,
        spread=(0.005,) * 6,
        rpm=(3000.0, 4000.0, 5000.0, 6000.0, 7000.0, 8000.0),
    )
    assert sharpness(six) == pytest.approx(sharpness(ONE), rel=0.1)


def test_the_probes_habit_bends_all_places_alike() -> None:
    """A probe that reads lean by its habit makes the same log likelier on richer bikes, at every rung."""
    habits = np.zeros((2, len(HABITS)))
    habits[1, HABITS.index("probe bias")] = 2.0
    lam = 0.9 / np.exp(np.array([0.0, 0.03]))
    seen = replace(along(np.log(WANTED / lam)), habits=habits)
    flat = replace(THREE, value=(0.9, 0.9, 0.9))
    told = logged_lambda.log_likelihood(flat, [seen, seen])
    assert told[1] == pytest.approx(told[0], abs=0.01)


def test_one_place_cannot_decide() -> None:
    """However far off, one number of a log shifts the odds by at most 500 to 1."""
    told = logged_lambda.log_likelihood(ONE, [along(np.linspace(-0.6, 0.6, 241))])
    assert np.ptp(told) <= np.log(500.0 * 1.4)
