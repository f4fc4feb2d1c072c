"""A hand over the intake: drawn as believed, pointing the known way."""

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.signs import hand_test
from floatbowl.signs.trial import HandReading
from tests.signs.scenes import along, scene, too_far

DRAWS = 20_000
RISES = HandReading(entry="hand-1", outcome="rises")
SINKS = HandReading(entry="hand-1", outcome="sinks")


def chances(error: float, extra_air: float) -> np.ndarray:
    """Give how probable rising and sinking are said to be."""
    seen = scene(error, extra_air=extra_air)
    return np.array([np.exp(hand_test.log_likelihood(one, seen)[0]) for one in (RISES, SINKS)])


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.3, -0.07, 0.0, 0.2])
@pytest.mark.parametrize("extra_air", [0.0, 0.15, 0.5])
def test_idles_rise_as_often_as_believed(error: float, extra_air: float, rng: Generator) -> None:
    """Short or leaking by any amount, the drawn idles rise with the believed frequency."""
    rose = hand_test.draw(scene(error, draws=DRAWS, extra_air=extra_air), rng)
    assert not too_far(np.array([rose.sum(), (~rose).sum()]), chances(error, extra_air)).any()


@pytest.mark.calibration
def test_an_answer_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the frequencies do not agree with squared chances, shared out anew."""
    rose = hand_test.draw(scene(-0.07, draws=DRAWS), rng)
    doubled = np.array([0.9, 0.4]) * chances(-0.07, 0.0) ** 2
    assert too_far(np.array([rose.sum(), (~rose).sum()]), doubled / doubled.sum()).all()


def test_rising_speaks_for_short_or_leaking() -> None:
    """Rising before it sinks speaks for a shortage or a leak, sinking for neither (common practice)."""
    assert chances(-0.2, 0.0)[0] > 0.9
    assert chances(0.0, 0.0)[0] < 0.15
    assert chances(0.2, 0.6)[0] > 0.9
    known = hand_test.log_likelihood(SINKS, along(np.array([-0.2, 0.0, 0.2])))
    assert known[0] < known[1] <= known[2]


def test_one_answer_cannot_decide() -> None:
    """A hand over the intake shifts the odds by at most 12.4 to 1: 0.925 against 0.075."""
    for reading in (RISES, SINKS):
        assert np.ptp(hand_test.log_likelihood(reading, along(np.linspace(-2.0, 2.0, 401)))) <= np.log(12.4)
