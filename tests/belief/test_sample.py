"""The sampler against laws that are known exactly."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import norm

from floatbowl.belief.sample import Crowd, sample, slot_odds, take_on

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
NO_FAULT = slot_odds(np.ones(1), second=0.0)
RUNS = 6
"""Runs with other dice, so that a bound on their mean is a bound on the sampler and not on one throw."""


def runs(
    evidence: Callable[[Array, Whole], Array],
    seed: int,
    *,
    unknowns: int,
    log_odds: Array = NO_FAULT,
    draws: int = 600,
) -> list[Crowd]:
    """Sample the same law with dice of several seeds."""
    return [
        sample(
            evidence,
            unknowns=unknowns,
            log_odds=log_odds,
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


RARE_AND_COMMON = np.array([0.02, 0.18, 0.10, 0.70])
PAIRS = slot_odds(RARE_AND_COMMON, second=0.3)


@dataclass(frozen=True)
class Shifts:
    """One reading of one unknown with normal noise, shifted by every fault a bike has: odds known exactly."""

    read: float
    noise: float = 0.5
    shift: tuple[float, ...] = (3.0, 1.5, -1.0)

    def moved(self, fault: Whole) -> Array:
        """Give how far the faults shift the reading, (draw,)."""
        return np.asarray(np.where(fault < 0, 0.0, np.array(self.shift)[fault]).sum(axis=1))

    def __call__(self, z: Array, fault: Whole) -> Array:
        """Give the logarithm of how probable the reading is."""
        return np.asarray(-0.5 * ((self.read - z[:, 0] - self.moved(fault)) / self.noise) ** 2)

    def odds(self, log_odds: Array) -> Array:
        """Give the exact chance of each pair of slots, by going through all: (fault + 1, fault + 1)."""
        size = len(log_odds)
        pairs = np.stack(np.divmod(np.arange(size * size), size), axis=1)
        moved = self.moved(np.where(pairs == size - 1, -1, pairs)).reshape(size, size)
        known = np.exp(log_odds) * norm.pdf(self.read, moved, np.hypot(1.0, self.noise))
        return np.asarray(known / known.sum())


def counted(crowds: list[Crowd], size: int) -> Array:
    """Give the share of each pair of slots among the draws of some crowds, (fault + 1, fault + 1)."""
    fault = np.concatenate([crowd.fault for crowd in crowds])
    first, second = np.where(fault < 0, size - 1, fault).T
    table = np.zeros((size, size))
    np.add.at(table, (first, second), 1.0 / len(fault))
    return table


@pytest.mark.calibration
@pytest.mark.parametrize("read", [0.0, 1.5, 3.0, 4.5])
def test_two_slots_get_their_exact_odds(read: float, seed: int) -> None:
    """Faults that shift one reading, alone and in pairs, get exactly the odds of Bayes, slot by slot."""
    evidence = Shifts(read)
    exact = evidence.odds(PAIRS)
    table = counted(runs(evidence, seed, unknowns=3, log_odds=PAIRS), len(PAIRS))
    # Worth at least 600 independent draws, as above; one draw is the least that can be counted.
    near = 4.0 * np.sqrt(exact * (1.0 - exact) / 600.0) + 1.0 / 600.0
    assert (np.abs(table - exact) < near).all()


@pytest.mark.calibration
def test_faults_weighed_without_the_signs_are_caught(seed: int) -> None:
    """Control: the odds from before the signs lie outside those bounds after a reading of 3."""
    exact = Shifts(3.0).odds(PAIRS)
    near = 4.0 * np.sqrt(exact * (1.0 - exact) / 600.0) + 1.0 / 600.0
    silent = runs(lambda z, _: np.zeros(len(z)), seed, unknowns=3, log_odds=PAIRS)
    assert (np.abs(counted(silent, len(PAIRS)) - exact) > near).any()


@pytest.mark.calibration
@pytest.mark.parametrize("read", [0.0, 4.5])
def test_the_slots_have_no_order(read: float, seed: int) -> None:
    """A fault stands as often in the first slot as in the second, whatever was read."""
    table = counted(runs(Shifts(read), seed, unknowns=3, log_odds=PAIRS), len(PAIRS))
    off = np.abs(table - table.T)
    assert (off < 4.0 * np.sqrt((table + table.T) / 600.0) + 1.0 / 600.0).all()


def test_the_same_fault_never_stands_twice(seed: int) -> None:
    """No draw has one fault in both slots, though two of it would explain the reading best."""
    for crowd in runs(Shifts(6.0), seed, unknowns=3, log_odds=PAIRS):
        first, second = crowd.fault.T
        assert not ((first == second) & (first >= 0)).any()


@pytest.mark.property
@given(
    st.lists(st.floats(1e-4, 0.2), min_size=1, max_size=4),
    st.floats(0.0, 0.5),
)
def test_slot_odds_are_a_law(single: list[float], second: float) -> None:
    """Pairs add to one, have no order and never hold a fault twice; so many broken bikes have two faults."""
    odds = np.array([*single, 1.0 - sum(single)])
    table = np.exp(slot_odds(odds, second=second))
    assert table.sum() == pytest.approx(1.0)
    assert table == pytest.approx(table.T)
    assert np.diag(table)[:-1] == pytest.approx(np.zeros(len(single)), abs=1e-200)
    if len(single) > 1:
        both = table[:-1, :-1].sum()
        assert both / (1.0 - table[-1, -1]) == pytest.approx(second)
        assert table[-1, -1] == pytest.approx(odds[-1])


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
    mass = np.exp(evidence(rows, np.empty((0, 2), dtype=np.int64)) - 0.5 * np.sum(rows**2, axis=1))
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
        sample(line, unknowns=5, log_odds=NO_FAULT, rng=np.random.default_rng(n), draws=200)
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
        sample(law, unknowns=5, log_odds=NO_FAULT, rng=np.random.default_rng(seed), draws=200)
        for law in (
            lambda z, fault: np.concatenate([line(z[k : k + 1], fault) for k in range(len(z))]),
            in_pieces,
        )
    )
    # Sums of five numbers may be added in another order.
    assert whole.z == pytest.approx(pieces.z, abs=1e-9)


def test_silence_moves_nothing(rng: Generator) -> None:
    """Evidence that says the same of every draw is let in at once, and the odds of faults are kept."""
    log_odds = slot_odds(np.array([0.1, 0.9]), second=0.0)
    crowd = sample(lambda z, _: np.zeros(len(z)), unknowns=3, log_odds=log_odds, rng=rng, draws=4000)
    assert crowd.arrived
    # The crowd starts with the fault three times too often, so its weights are worth about 2800 draws.
    has = (crowd.fault == 0).any(axis=1)
    assert float(has.mean()) == pytest.approx(0.1, abs=4.0 * np.sqrt(0.09 / 2800.0))


@dataclass(frozen=True)
class Both:
    """Readings of two kinds on the same draws: some that are sums of the unknowns, one that faults shift."""

    line: Line
    shifts: Shifts

    def __call__(self, z: Array, fault: Whole) -> Array:
        """Give the logarithm of how probable all of them are."""
        return self.line(z[:, 1:], fault) + self.shifts(z, fault)


@pytest.mark.calibration
def test_a_crowd_taken_on_is_as_good_as_a_new_one(rng: Generator, seed: int) -> None:
    """Taken on from some readings to more, means, spreads and odds of faults are the exact ones."""
    line = lines(rng, 5)
    some = Both(replace(line, slopes=line.slopes[:2], read=line.read[:2]), Shifts(0.5, noise=2.0))
    more = Both(line, Shifts(2.2))
    crowds = [
        take_on(crowd, some, more, log_odds=PAIRS, rng=np.random.default_rng([seed, k]))
        for k, crowd in enumerate(runs(some, seed, unknowns=6, log_odds=PAIRS))
    ]
    told = np.concatenate([crowd.z[:, 1:] @ line.slopes.T for crowd in crowds])
    spread = np.sqrt(np.diag(line.slopes @ line.cover @ line.slopes.T))
    assert np.abs((told.mean(axis=0) - line.slopes @ line.middle) / spread).max() < _MEAN
    assert np.abs(told.std(axis=0) / spread - 1.0).max() < _SPREAD
    exact = more.shifts.odds(PAIRS)
    near = 4.0 * np.sqrt(exact * (1.0 - exact) / 600.0) + 1.0 / 600.0
    assert (np.abs(counted(crowds, len(PAIRS)) - exact) < near).all()
    assert all(crowd.arrived for crowd in crowds)


@pytest.mark.calibration
def test_signs_may_be_taken_back(rng: Generator, seed: int) -> None:
    """Taken from more readings back to fewer, the crowd widens again to the exact spreads."""
    line = lines(rng, 5)
    some = replace(line, slopes=line.slopes[:2], read=line.read[:2])
    crowds = [
        take_on(crowd, line, some, log_odds=NO_FAULT, rng=np.random.default_rng([seed, k]))
        for k, crowd in enumerate(runs(line, seed, unknowns=5))
    ]
    told = np.concatenate([crowd.z @ line.slopes.T for crowd in crowds])
    spread = np.sqrt(np.diag(line.slopes @ some.cover @ line.slopes.T))
    assert np.abs((told.mean(axis=0) - line.slopes @ some.middle) / spread).max() < _MEAN
    assert np.abs(told.std(axis=0) / spread - 1.0).max() < _SPREAD


def test_nothing_new_leaves_the_crowd_as_it_is(rng: Generator, seed: int) -> None:
    """Taken on to what it has heard already, every draw stays, each once, in its place."""
    before = sample(Shifts(1.0), unknowns=3, log_odds=PAIRS, rng=rng, draws=300)
    after = take_on(before, Shifts(1.0), Shifts(1.0), log_odds=PAIRS, rng=np.random.default_rng(seed))
    assert (after.z == before.z).all()
    assert (after.fault == before.fault).all()


def test_impossible_evidence_is_not_called_reached() -> None:
    """Story: evidence too sharp for forty degrees ended half let in, and the crowd was called good.

    Now it says that it did not arrive.
    """

    def needle(z: Array, _fault: Whole) -> Array:
        return np.asarray(-1e9 * np.sum((z - 3.0) ** 2, axis=1))

    crowd = sample(needle, unknowns=30, log_odds=NO_FAULT, rng=np.random.default_rng(1), draws=200)
    assert not crowd.arrived


def test_a_crowd_that_cannot_move_counts_few() -> None:
    """Story: the effective draws were those of the weights, which the degrees keep at half of all anyhow, so
    that they could never warn; a crowd of copies counts each different draw once.
    """
    first = np.random.default_rng(1).standard_normal((1, 20))

    def lonely(z: Array, _fault: Whole) -> Array:
        return np.where(np.all(np.abs(z - first) < 3.0, axis=1) & (z[:, 0] > 1.9), 0.0, -1e4)

    crowd = sample(lonely, unknowns=20, log_odds=NO_FAULT, rng=np.random.default_rng(2), draws=150)
    assert crowd.effective <= len(np.unique(crowd.z, axis=0))
