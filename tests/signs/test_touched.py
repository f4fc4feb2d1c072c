"""What was touched last: the shares add up, are drawn as believed, and point where workshops look."""

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.bike.faults import FAULT_KEYS
from floatbowl.signs import touched
from floatbowl.signs.touched import PARTS
from floatbowl.signs.trial import Touched, TouchedReading
from tests.signs.scenes import too_far

DRAWS = 20_000
SLOTS = ((), ("air leak",), ("crank seal leaks",), ("weak spark", "fuel level high"))


def crowd(faults: tuple[str, ...], draws: int = 1) -> np.ndarray:
    """Give the fault slots of ``draws`` bikes with up to two faults, the first slot empty if it can be."""
    places = [FAULT_KEYS.index(key) for key in faults]
    return np.tile([*([-1] * (2 - len(places))), *places], (draws, 1))


def chances(faults: tuple[str, ...]) -> np.ndarray:
    """Give how probable every part is said to be."""
    readings = [TouchedReading(entry="touched-1", part=part) for part in PARTS]
    return np.array([np.exp(touched.log_likelihood(one, crowd(faults), FAULT_KEYS)[0]) for one in readings])


def test_the_shares_of_all_parts_add_to_one() -> None:
    """One of the parts, or nothing, was touched last, whatever the fault."""
    assert touched.part_shares(FAULT_KEYS).sum(axis=1) == pytest.approx(1.0, abs=1e-12)
    for faults in SLOTS:
        assert chances(faults).sum() == pytest.approx(1.0, abs=1e-12)


@pytest.mark.calibration
@pytest.mark.parametrize("faults", SLOTS)
def test_parts_are_drawn_as_often_as_believed(faults: tuple[str, ...], rng: Generator) -> None:
    """With no, one or two faults the drawn parts have the believed frequencies."""
    counts = np.bincount(touched.draw(crowd(faults, DRAWS), FAULT_KEYS, rng), minlength=len(PARTS))
    assert not too_far(counts, chances(faults)).any()


@pytest.mark.calibration
def test_an_answer_counted_twice_is_caught(rng: Generator) -> None:
    """Control: frequencies held against squared chances, shared out anew, do not agree."""
    drawn = touched.draw(crowd(("air leak",), DRAWS), FAULT_KEYS, rng)
    doubled = chances(("air leak",)) ** 2
    assert too_far(np.bincount(drawn, minlength=len(PARTS)), doubled / doubled.sum()).any()


@pytest.mark.parametrize("part", [part for part in PARTS if part != "nothing"])
def test_a_part_speaks_for_what_it_can_bring(part: Touched) -> None:
    """Work on a part speaks for each fault it can bring, against a worn seal and a bike only set wrong.

    But for jets: whoever changed them will more often have set it wrong than blocked one.
    """
    place = PARTS.index(part)
    for fault in touched.RELATED[part]:
        assert fault in FAULT_KEYS
        assert part == "jets" or chances((fault,))[place] > chances(())[place]
        assert chances((fault,))[place] > chances(("crank seal leaks",))[place]


def test_untouched_speaks_against_slips() -> None:
    """Where nothing was touched, what only work brings becomes rarer, what wears does not."""
    place = PARTS.index("nothing")
    assert chances(("wrong needle",))[place] < chances(("needle worn",))[place]


def test_it_is_never_certain() -> None:
    """What was touched last shifts the odds by at most 101 to 1: 0.505 against 0.005, of a valve."""
    shares = np.stack([chances((key,)) for key in FAULT_KEYS])
    assert (shares.max(axis=0) / shares.min(axis=0)).max() < 101.0 + 1e-9
