"""The sampler against laws that are known exactly."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import norm

from floatbowl.belief.sample import Crowd, sample

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
NO_FAULT = np.ones(1)
RUNS = 6
"""Runs with other dice, so that a bound on their mean is a bound on the sampler and not on one throw."""


def runs(
    evidence: Callable[[Array, Whole], Array],
    seed: int,
    *,
    unknowns: int,
    odds: Array = NO_FAULT,
    draws: int = 600,
) -> list[Crowd]:
    """Sample the same law with dice of several seeds."""
    return [
        sample(
            evidence,
            unknowns=unknowns,
            fault_odds=odds,
            rng=np.random.default_rng([seed, k]),
            draws=draws,
        )
        for k in range(RUNS)
    ]


@dataclass(frozen=True)
class Line:
    """Readings that are sums of the unknowns with normal noise: the belief is known exactly."""

    slopes: Array
    read: Array
    noise: float

    def __call__(self, z: Array, _fault: Whole) -> Array:
        """Give the logarithm of how probable the readings are."""
        off = (self.read - z @ self.slopes.T) / self.noise
        return np.asarray(-0.5 * np.sum(off**2, axis=1))

    @property
    def cover(self) -> Array:
        """Give the exact covariance of the belief."""
        size = self.slopes.shape[1]
        return np.asarray(np.linalg.inv(np.eye(size) + self.slopes.T @ self.slopes / self.noise**2))

    @property
    def middle(self) -> Array:
        """Give the exact mean of the belief."""
        return np.asarray(self.cover @ self.slopes.T @ self.read / self.noise**2)


def lines(rng: Generator, unknowns: int) -> Line:
    """Give five readings of many unknowns, one of them four standard deviations out."""
    slopes = rng.standard_normal((5, unknowns)) / np.sqrt(unknowns)
    read = slopes @ rng.standard_normal(unknowns)
    return Line(slopes=slopes, read=read + np.array([0.0, 0.0, 0.0, 0.0, 1.0]), noise=0.25)


# Six runs of 600 equal draws are worth 3600; we allow them to be worth only a sixth of that (the draws of one
# run), as resampled draws are kin: a mean then strays by 4 / sqrt(600) = 0.16 of a standard deviation, a
# standard deviation by 4 / sqrt(1200) = 0.12 of itself.
_MEAN, _SPREAD = 0.16, 0.12


@pytest.mark.calibration
@pytest.mark.parametrize("unknowns", [2, 12, 40])
def test_readings_on_a_line_give_the_exact_normal_law(unknowns: int, rng: Generator, seed: int) -> None:
    """Linear readings with normal noise get the exact means and spreads, in 2 to 40 unknowns.

    Story: each draw stepped around the mean and spread of the whole crowd, its own place included. In 40
    unknowns 600 draws came out 13 to 21 in the hundred too wide, and 0.24 of a spread short of a far reading,
    however many moves were made; halves that step around each other are right within 3.
    """
    line = lines(rng, unknowns)
    crowds = runs(line, seed, unknowns=unknowns)
    told = np.concatenate([crowd.z @ line.slopes.T for crowd in crowds])
    exact = line.slopes @ line.middle
    spread = np.sqrt(np.diag(line.slopes @ line.cover @ line.slopes.T))
    assert np.abs((told.mean(axis=0) - exact) / spread).max() < _MEAN
    assert np.abs(told.std(axis=0) / spread - 1.0).max() < _SPREAD


@pytest.mark.calibration
def test_what_nothing_was_said_of_stays_as_it_was(rng: Generator, seed: int) -> None:
    """Unknowns that no reading feels keep mean 0 and spread 1."""
    line = lines(rng, 6)
    wide = Line(slopes=np.hstack([line.slopes, np.zeros((5, 10))]), read=line.read, noise=line.noise)
    silent = np.concatenate([crowd.z[:, 6:] for crowd in runs(wide, seed, unknowns=16)])
    assert np.abs(silent.mean(axis=0)).max() < _MEAN
    assert np.abs(silent.std(axis=0) - 1.0).max() < _SPREAD


@pytest.mark.calibration
def test_readings_counted_four_times_are_caught(rng: Generator, seed: int) -> None:
    """Control: with every reading counted four times the spread comes out far too small."""
    line = lines(rng, 12)
    crowds = runs(lambda z, fault: 4.0 * line(z, fault), seed, unknowns=12)
    told = np.concatenate([crowd.z @ line.slopes.T for crowd in crowds])
    spread = np.sqrt(np.diag(line.slopes @ line.cover @ line.slopes.T))
    assert np.abs(told.std(axis=0) / spread - 1.0).max() > 2.0 * _SPREAD


@pytest.mark.calibration
@pytest.mark.parametrize("read", [0.0, 1.5, 3.0])
def test_two_faults_get_their_exact_odds(read: float, seed: int) -> None:
    """Faults that shift one reading get exactly the odds of Bayes, a rare and a common one beside none."""
    odds, shift, noise = np.array([0.02, 0.18, 0.80]), np.array([3.0, 1.5, 0.0]), 0.5

    def evidence(z: Array, fault: Whole) -> Array:
        middle = z[:, 0] + shift[np.where(fault < 0, 2, fault)]
        return np.asarray(-0.5 * ((read - middle) / noise) ** 2)

    exact = odds * norm.pdf(read, shift, np.hypot(1.0, noise))
    exact /= exact.sum()
    fault = np.concatenate([crowd.fault for crowd in runs(evidence, seed, unknowns=3, odds=odds)])
    counted = np.bincount(np.where(fault < 0, 2, fault), minlength=3) / len(fault)
    # Worth at least 600 independent draws, as above.
    assert (np.abs(counted - exact) < 4.0 * np.sqrt(exact * (1.0 - exact) / 600.0)).all()


@pytest.mark.calibration
def test_both_of_two_hills_are_found(seed: int) -> None:
    """A reading that only tells the distance from zero leaves two hills of equal weight, and both stay."""

    def evidence(z: Array, _fault: Whole) -> Array:
        return np.asarray(-0.5 * ((np.abs(z[:, 0]) - 1.5) / 0.15) ** 2)

    for crowd in runs(evidence, seed, unknowns=8):
        # Kin may drift between hills that no move crosses: 40 in the hundred is four errors of 400 draws.
        assert 0.4 < float((crowd.z[:, 0] > 0.0).mean()) < 0.6


@pytest.mark.calibration
def test_a_banana_is_followed_to_its_ends(seed: int) -> None:
    """On a bent ridge the moments agree with sums over a fine grid."""

    def evidence(z: Array, _fault: Whole) -> Array:
        return np.asarray(-0.5 * ((z[:, 1] - z[:, 0] ** 2 + 1.0) / 0.2) ** 2)

    axis = np.linspace(-5.0, 5.0, 401)
    x, y = np.meshgrid(axis, axis, indexing="ij")
    rows = np.stack([x.ravel(), y.ravel()], axis=1)
    mass = np.exp(evidence(rows, np.empty(0, dtype=np.int64)) - 0.5 * np.sum(rows**2, axis=1))
    mass /= mass.sum()
    drawn = np.concatenate([crowd.z for crowd in runs(evidence, seed, unknowns=2)])
    for power in ((1, 0), (0, 1), (2, 0), (0, 2), (2, 1)):
        exact = mass @ (rows**power).prod(axis=1)
        spread = np.sqrt(mass @ (rows**power).prod(axis=1) ** 2 - exact**2)
        assert abs((drawn**power).prod(axis=1).mean() - exact) < _MEAN * spread


def test_the_same_dice_give_the_same_crowd(rng: Generator, seed: int) -> None:
    """Same evidence, same dice: the same draws to the last bit; other dice, others."""
    line = lines(rng, 5)
    one, same, other = (
        sample(line, unknowns=5, fault_odds=NO_FAULT, rng=np.random.default_rng(n), draws=200)
        for n in (seed, seed, seed + 1)
    )
    assert (one.z == same.z).all()
    assert not (one.z == other.z).any()


def test_the_order_of_the_work_does_not_matter(rng: Generator, seed: int) -> None:
    """Evidence worked out in pieces of any size gives the same crowd as in one go, to the last bit."""
    line = lines(rng, 5)

    def in_pieces(z: Array, fault: Whole) -> Array:
        parts = [line(z[k : k + 37], fault[k : k + 37]) for k in range(0, len(z), 37)]
        return np.concatenate(parts)

    whole, pieces = (
        sample(law, unknowns=5, fault_odds=NO_FAULT, rng=np.random.default_rng(seed), draws=200)
        for law in (
            lambda z, fault: np.concatenate([line(z[k : k + 1], fault) for k in range(len(z))]),
            in_pieces,
        )
    )
    # Sums of five numbers may be added in another order.
    assert whole.z == pytest.approx(pieces.z, abs=1e-9)


def test_silence_moves_nothing(rng: Generator) -> None:
    """Evidence that says the same of every draw is let in at once, and the odds of faults are kept."""
    odds = np.array([0.1, 0.9])
    crowd = sample(lambda z, _: np.zeros(len(z)), unknowns=3, fault_odds=odds, rng=rng, draws=4000)
    assert crowd.arrived
    # The crowd starts with the fault four times too often, so its weights are worth about 2800 draws.
    assert float((crowd.fault == 0).mean()) == pytest.approx(0.1, abs=4.0 * np.sqrt(0.09 / 2800.0))


def test_impossible_evidence_is_not_called_reached() -> None:
    """Story: evidence too sharp for forty degrees ended half let in, and the crowd was called good.

    Now it says that it did not arrive.
    """

    def needle(z: Array, _fault: Whole) -> Array:
        return np.asarray(-1e9 * np.sum((z - 3.0) ** 2, axis=1))

    crowd = sample(needle, unknowns=30, fault_odds=NO_FAULT, rng=np.random.default_rng(1), draws=200)
    assert not crowd.arrived


def test_a_crowd_that_cannot_move_counts_few() -> None:
    """Story: the effective draws were those of the weights, which the degrees keep at half of all anyhow, so
    that they could never warn; a crowd of copies counts each different draw once.
    """
    first = np.random.default_rng(1).standard_normal((1, 20))

    def lonely(z: Array, _fault: Whole) -> Array:
        return np.where(np.all(np.abs(z - first) < 3.0, axis=1) & (z[:, 0] > 1.9), 0.0, -1e4)

    crowd = sample(lonely, unknowns=20, fault_odds=NO_FAULT, rng=np.random.default_rng(2), draws=150)
    assert crowd.effective <= len(np.unique(crowd.z, axis=0))
