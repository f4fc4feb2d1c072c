"""Timed roll-ons: drawn as believed, told by their differences alone, and pointing the known way."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from scipy.stats import kstest

from floatbowl.bike.day import Day
from floatbowl.bike.measure import Measure
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs import roll_on
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import RollOnReading, Trial
from tests.signs.scenes import along, scene

DRAWS = 20_000
OFF = RollOnReading(entry="reading-1", at=Rung.QUARTER, seconds=(4.0, 4.0))
CHOKED = replace(OFF, entry="reading-2", choke="half")


def timed(seconds: float, *, choked: bool = False, runs: int = 2) -> RollOnReading:
    """Give runs from a quarter that all took the same time."""
    return replace(CHOKED if choked else OFF, seconds=(seconds,) * runs)


def pair(first: float, second: float, seen: Seen, *, runs: int = 2) -> list[tuple[RollOnReading, Seen]]:
    """Give a plain reading and one with half a choke, of one scene."""
    return [(timed(first, runs=runs), seen), (timed(second, choked=True, runs=runs), seen)]


def misfit(error: float, rng: Generator, *, power: float = 1.0) -> float:
    """Give the chance that draws stray so far from the believed law (Kolmogorov and Smirnov)."""
    drawn = roll_on.draw(pair(4.0, 4.0, scene(error, draws=DRAWS)), rng)
    gained = drawn[:, 1] - drawn[:, 0]
    gains = np.linspace(-0.8, 0.8, 3201)
    seen = scene(error)
    said = np.array([roll_on.log_likelihood(pair(4.0, 4.0 * np.exp(g), seen))[0] for g in gains])
    mass = np.cumsum(np.exp(power * said))
    # Readings lie within 1.5 of ln 5: from a first within 0.7 of it, the second can lie 0.8 away.
    inside = gained[(np.abs(drawn[:, 0] - np.log(5.0)) < 0.7) & (np.abs(gained) < 0.8)]
    return float(kstest(inside, lambda x: np.interp(x, gains, mass / mass[-1])).pvalue)


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.3, -0.1, 0.0, 0.2])
def test_times_are_drawn_from_the_believed_law(error: float, rng: Generator) -> None:
    """Drawn gains of time follow the believed density (6e-5 is four standard errors)."""
    assert misfit(error, rng) > 6e-5


@pytest.mark.calibration
def test_a_density_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the draws do not follow the squared density."""
    assert misfit(0.0, rng, power=2.0) < 6e-5


@pytest.mark.calibration
def test_the_truth_ranks_evenly_in_what_is_believed(rng: Generator) -> None:
    """Errors drawn evenly, four readings drawn of each: the truth's rank is even (Talts et al. 2018)."""
    grid = np.linspace(-0.3, 0.3, 121)
    truths = rng.uniform(-0.3, 0.3, 400)
    drawn = roll_on.draw(_four(along(truths)), rng)
    ranks = []
    for truth, times in zip(truths, drawn, strict=True):
        told = [
            (replace(reading, seconds=(float(np.exp(t)),) * len(reading.seconds)), seen)
            for (reading, seen), t in zip(_four(along(grid)), times, strict=True)
        ]
        mass = np.cumsum(np.exp(roll_on.log_likelihood(told)))
        ranks.append(np.interp(truth, grid, mass / mass[-1]))
    assert kstest(ranks, "uniform").pvalue > 6e-5


def _four(seen: Seen) -> list[tuple[RollOnReading, Seen]]:
    """Give a group over two setups, the second with 0.15 more fuel, each with the choke off and half."""
    richer = replace(seen, error=seen.error + 0.15)
    return [(reading, one) for one in (seen, richer) for reading in (OFF, CHOKED)]


def test_faster_with_choke_speaks_for_short() -> None:
    """A roll-on that a little choke makes faster speaks for too little fuel, a slower one for too much."""
    for seconds, wins in ((3.5, 0), (4.8, 1)):
        told = roll_on.log_likelihood(pair(4.0, seconds, along(np.array([-0.15, 0.15]))))
        assert told.argmax() == wins


def test_faster_after_a_change_speaks_for_the_change() -> None:
    """Faster after a richer setup speaks for a bike that was short, slower for one that was not."""
    before = along(np.array([-0.15, 0.15]))
    after = replace(before, error=before.error + 0.12)
    for seconds, wins in ((3.5, 0), (4.8, 1)):
        told = roll_on.log_likelihood([(timed(4.0), before), (timed(seconds), after)])
        assert told.argmax() == wins


def test_one_reading_alone_tells_nothing() -> None:
    """How long a road is, nobody knows: a single reading speaks for no bike."""
    told = roll_on.log_likelihood([(OFF, along(np.linspace(-1.0, 1.0, 5)))])
    assert told.tolist() == [0.0] * 5


def test_only_differences_tell() -> None:
    """All times half as long again, on a longer road, tell the same."""
    seen = along(np.array([-0.15, 0.0, 0.15]))
    short, long = (roll_on.log_likelihood(pair(4.0 * k, 3.6 * k, seen)) for k in (1.0, 1.5))
    assert short == pytest.approx(long, abs=1e-9)


def test_more_runs_tell_more() -> None:
    """Six runs of each kind shift the odds more than two."""
    seen = along(np.array([-0.15, 0.15]))
    few, many = (np.ptp(roll_on.log_likelihood(pair(4.0, 3.6, seen, runs=n))) for n in (2, 6))
    assert many > few


def test_a_flap_is_felt_wide_open() -> None:
    """At full a plunger's stream is lost in the air, a flap is felt: a faster run tells on a flap only."""
    seen = along(np.array([-0.15, 0.0]))
    full = [(replace(one, at=Rung.FULL), of) for one, of in pair(4.0, 3.65, seen)]
    plunger, flap = (roll_on.log_likelihood(full, choke=kind) for kind in ("plunger", "flap"))
    assert flap[0] - flap[1] > plunger[0] - plunger[1] + 1.0


def test_a_gust_cannot_decide() -> None:
    """Story: one pair of timings that took twice as long shifted the odds by 12,500 to 1, over what any other
    sign may; now by at most 125 to 1: a bell of 0.81 x 0.40 / 0.045 = 7.1 over a flat part of 0.19 / 3.
    """
    for seconds in (3.4, 4.0, 8.0):
        told = roll_on.log_likelihood(pair(4.0, seconds, along(np.linspace(-1.0, 1.0, 201))))
        assert np.ptp(told) <= np.log(125.0)


def test_one_stray_in_a_group_cannot_decide() -> None:
    """Of four readings, one that took twice as long shifts the odds of two bikes by at most 340 to 1.

    Its bell is 0.9 x 0.40 / 0.032 = 11.3 high where the level is known, what is stray 0.1 / 3.
    """
    seen = along(np.linspace(-0.3, 0.3, 61))
    whole = [(timed(t), s) for (_, s), t in zip(_four(seen), (4.0, 4.0, 3.7, 3.8), strict=True)]
    struck = [*whole[:3], (timed(8.0), whole[3][1])]
    shift = roll_on.log_likelihood(struck) - roll_on.log_likelihood(whole[:3])
    assert np.ptp(shift) <= np.log(340.0)


def _trial(*readings: RollOnReading, height: float = 0.0, mended: tuple[str, ...] = ()) -> Trial:
    warm, thick, moist = (Measure(value, 0.0) for value in (288.0, 101_325.0, 0.5))
    day = Day(place="", height=height, temperature=warm, pressure=thick, humidity=moist)
    setup = Setup(number=1, main="100", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    return Trial(setup=setup, day=day, readings=readings, mended=mended)


def test_groups_hold_what_can_be_compared() -> None:
    """One group is one rung, one speed, one height and nothing mended since; one reading alone is none."""
    fast, elsewhere = replace(OFF, rpm=6000.0), replace(OFF, at=Rung.FULL)
    trials = [
        _trial(OFF, CHOKED, fast),
        _trial(OFF, fast, elsewhere),
        _trial(OFF, height=1200.0),
        _trial(OFF, mended=("weak spark",)),
    ]
    assert roll_on.groups(trials) == (((0, OFF), (0, CHOKED), (1, OFF)), ((0, fast), (1, fast)))
