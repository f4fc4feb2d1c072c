"""The plug's colour: weak, in order, and drawn as believed."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.bike.rung import Rung
from floatbowl.signs import plug
from floatbowl.signs.trial import PlugReading
from tests.signs.scenes import WANTED, scene, too_far

READING = PlugReading(entry="reading-1", at=Rung.FULL, colour="tan")
DRAWS = 20_000
LAMBDAS = np.linspace(0.5, 1.4, 91)


def chances(lam: float) -> NDArray[np.float64]:
    """Give how probable each colour is said to be at a lambda."""
    seen = scene(float(np.log(WANTED / lam)))
    colours = [replace(READING, colour=colour) for colour in plug.COLOURS]
    return np.array([np.exp(plug.log_likelihood(colour, seen)[0]) for colour in colours])


@pytest.mark.calibration
@pytest.mark.parametrize("lam", [0.6, 0.8, 0.88, 0.95, 1.1, 3.5])
def test_colours_are_drawn_as_often_as_believed(lam: float, rng: Generator) -> None:
    """At every mixture the drawn colours have the believed frequencies."""
    drawn = plug.draw(READING, scene(float(np.log(WANTED / lam)), draws=DRAWS), rng)
    counts = np.bincount(drawn, minlength=len(plug.COLOURS))
    assert not too_far(counts, chances(lam)).any()


@pytest.mark.calibration
def test_a_colour_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the frequencies do not agree with squared chances, shared out anew."""
    drawn = plug.draw(READING, scene(0.0, draws=DRAWS), rng)
    doubled = chances(WANTED) ** 2
    assert too_far(np.bincount(drawn, minlength=len(plug.COLOURS)), doubled / doubled.sum()).any()


def test_the_chances_of_all_colours_add_to_one() -> None:
    """One of the six colours is always seen."""
    assert plug.colour_shares(LAMBDAS).sum(axis=1) == pytest.approx(np.ones(len(LAMBDAS)))


def test_colours_stand_in_order() -> None:
    """The leaner, the paler: for each colour, this or a paler one is ever likelier as lambda rises."""
    paler = np.cumsum(plug.colour_shares(LAMBDAS), axis=1)[:, :-1]
    assert (np.diff(paler, axis=0) >= 0.0).all()


def test_each_colour_is_likeliest_where_it_belongs() -> None:
    """From wet to white, the mixture at which a colour is likeliest never runs back."""
    likeliest = LAMBDAS[plug.colour_shares(LAMBDAS).argmax(axis=0)]
    assert (np.diff(likeliest) <= 0.0).all()
    assert likeliest[0] > 1.0
    assert likeliest[-1] < 0.7


def test_one_plug_cannot_decide() -> None:
    """A plug shifts the odds of any two mixtures by at most 40 to 1: 0.15 of a sixth against 1."""
    assert np.ptp(np.log(plug.colour_shares(LAMBDAS)), axis=0).max() <= np.log(40.0)
