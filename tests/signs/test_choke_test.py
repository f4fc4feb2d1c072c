"""The choke test: drawn as believed, pointing the known way, weak where the choke is."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.bike.carb import ChokeKind
from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import choke_test
from floatbowl.signs.choke_test import OUTCOMES
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import ChokeOutcome, ChokeReading
from tests.signs.scenes import ailing, along, scene, starving, too_far

DRAWS = 20_000
READING = ChokeReading(entry="choke-1", at=Rung.QUARTER, outcome="better")


def chances(reading: ChokeReading, seen: Seen, choke: ChokeKind = "plunger") -> np.ndarray:
    """Give how probable each outcome is said to be of the first bike of a scene."""
    each = [replace(reading, outcome=outcome) for outcome in OUTCOMES]
    return np.array([np.exp(choke_test.log_likelihood(one, seen, choke=choke)[0]) for one in each])


def chance(outcome: ChokeOutcome, seen: Seen, at: Rung = Rung.QUARTER, choke: ChokeKind = "plunger") -> float:
    """Give how probable one outcome is said to be."""
    return float(chances(replace(READING, at=at), seen, choke)[OUTCOMES.index(outcome)])


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.3, -0.08, -0.03, 0.0, 0.2])
@pytest.mark.parametrize("at", RUNGS)
@pytest.mark.parametrize("choke", ["plunger", "flap", "none"])
def test_outcomes_are_drawn_as_often_as_believed(
    error: float, at: Rung, choke: ChokeKind, rng: Generator
) -> None:
    """At every error, rung and kind of choke the drawn outcomes have the believed frequencies."""
    reading = replace(READING, at=at)
    seen = ailing(starving(scene(error, draws=DRAWS), -0.05), {"weak spark": 0.3})
    drawn = choke_test.draw(reading, seen, rng, choke=choke)
    believed = chances(reading, seen, choke)
    assert believed.sum() == pytest.approx(1.0, abs=1e-12)
    assert not too_far(np.bincount(drawn, minlength=len(OUTCOMES)), believed).any()


@pytest.mark.calibration
def test_a_likelihood_counted_twice_is_caught(rng: Generator) -> None:
    """Control: frequencies held against squared chances, shared out anew, do not agree."""
    drawn = choke_test.draw(READING, scene(-0.08, draws=DRAWS), rng, choke="plunger")
    doubled = chances(READING, scene(-0.08)) ** 2
    assert too_far(np.bincount(drawn, minlength=len(OUTCOMES)), doubled / doubled.sum()).any()


def test_better_is_short_and_worse_is_not() -> None:
    """Better speaks for too little fuel, worse against it: a bike set right gets worse too."""
    seen = along(np.array([-0.15, 0.0, 0.15]))
    better = choke_test.log_likelihood(READING, seen, choke="plunger")
    worse = choke_test.log_likelihood(replace(READING, outcome="worse"), seen, choke="plunger")
    assert better[0] > better[1:].max() + 2.0
    assert worse[0] < worse[1:].min() - 2.0


def test_a_plunger_is_weak_above_half_and_a_flap_is_not() -> None:
    """A short bike at full feels a flap but no plunger; at 1/8 it feels a plunger (common practice)."""
    short = scene(-0.15)
    assert chance("no change", short, Rung.FULL) > 0.7
    assert chance("better", short, Rung.FULL, "flap") > 0.5
    assert chance("better", short, Rung.EIGHTH) > 0.7


def test_no_choke_tells_nothing() -> None:
    """On a bike without a choke no outcome speaks for any error."""
    for outcome in OUTCOMES:
        known = choke_test.log_likelihood(
            replace(READING, outcome=outcome), along(np.linspace(-1.0, 1.0, 21)), choke="none"
        )
        assert np.ptp(known) < 1e-12


def test_a_starved_bowl_gives_the_choke_nothing() -> None:
    """A bowl that runs down is short, and a choke that drinks from it makes it no better."""
    dry = starving(scene(0.0), -0.4)
    assert chance("better", dry) < 0.1 < chance("better", scene(0.6 * -0.4))
    assert chance("no change", dry) > 0.8


@pytest.mark.parametrize("ailment", choke_test.UNMOVED)
def test_what_is_not_the_mixture_is_not_moved(ailment: Ailment) -> None:
    """With anything that is not the mixture, no change is told more often of a short bike."""
    assert chance("no change", ailing(scene(-0.15), {ailment: 1.0})) > chance("no change", scene(-0.15)) + 0.1


def test_one_answer_cannot_decide() -> None:
    """One answer shifts the odds of any two bikes by at most 28 to 1: 0.933 against 0.1 / 3."""
    for outcome in OUTCOMES:
        for at in RUNGS:
            reading = replace(READING, at=at, outcome=outcome)
            known = choke_test.log_likelihood(reading, along(np.linspace(-2.0, 2.0, 401)), choke="plunger")
            assert np.ptp(known) <= np.log(28.0 + 1e-9)
