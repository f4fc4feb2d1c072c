"""What a look brought: drawn as believed; it finds most, cries wolf seldom, and settles nothing alone."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.advice.looks import LOOKS
from floatbowl.signs import look
from floatbowl.signs.trial import SHOWS, LookReading
from tests.signs.scenes import too_far

READING = LookReading(entry="look-1", look="soap on the joints", outcome="found")
DRAWS = 20_000


def chances(*, has: bool, key: str = READING.look) -> np.ndarray:
    """Give how probable found and clear are said to be."""
    there = np.array([has])
    found = replace(READING, look=key)
    both = (found, replace(found, outcome="clear"))
    return np.array([np.exp(look.log_likelihood(one, there)[0]) for one in both])


@pytest.mark.calibration
@pytest.mark.parametrize("has", [True, False])
@pytest.mark.parametrize("key", SHOWS)
def test_looks_find_as_often_as_believed(*, key: str, has: bool, rng: Generator) -> None:
    """With the fault there or not, a look finds it with the believed frequency."""
    found = look.draw(replace(READING, look=key), np.full(DRAWS, has), rng)
    assert not too_far(np.array([found.sum(), (~found).sum()]), chances(has=has, key=key)).any()


@pytest.mark.calibration
def test_a_look_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the frequencies do not agree with squared chances, shared out anew."""
    found = look.draw(READING, np.full(DRAWS, fill_value=True), rng)
    doubled = chances(has=True) ** 2
    counts = np.array([found.sum(), (~found).sum()])
    assert too_far(counts, doubled / doubled.sum()).all()


@pytest.mark.parametrize("key", SHOWS)
def test_found_speaks_for_and_clear_against(key: str) -> None:
    """What is found is likelier there, what is clear likelier not; neither by more than 30 to 1."""
    there, not_there = chances(has=True, key=key), chances(has=False, key=key)
    shift = np.log(there / not_there)
    assert shift[0] > 0.0
    assert shift[1] < 0.0
    assert np.abs(shift).max() < np.log(30.0)
    assert there.sum() == pytest.approx(1.0)
    assert not_there.sum() == pytest.approx(1.0)


def test_i_cleaned_it_is_weak_evidence() -> None:
    """Cleaned by hand and nothing seen leaves the odds of a blocked passage over half of what they were.

    A bath tells more than a hand and spray alone least; only a strip tells as much as most other looks.
    """
    left = {
        key: chances(has=True, key=key)[1] / chances(has=False, key=key)[1]
        for key in ("cleaned by spray", "cleaned by hand", "cleaned in a bath", "strip and clean")
    }
    assert left["cleaned by hand"] > 0.5
    assert list(left.values()) == sorted(left.values(), reverse=True)
    assert left["strip and clean"] < 0.2


def test_every_rate_is_of_a_look() -> None:
    """No rate stands for a look that nobody can make."""
    assert set(look.RATES) <= set(SHOWS)


def test_the_looks_of_the_advice_are_those_that_show() -> None:
    """Every look that advice may ask for shows just the faults that its outcome is held against."""
    assert {one.key: one.shows for one in LOOKS if one.shows} == SHOWS
