"""Draws from the belief: a crowd of likely bikes that moves from before the signs to after them.

Tempered sequential Monte Carlo. Every member is a row of standard normal
numbers and two slots for faults, either of which may be empty. The signs are
let in by degrees; at each degree the crowd is resampled and moved. Moves are
preconditioned Crank-Nicolson steps around the mean and covariance of the
crowd's other half, so that they leave the normal law untouched and only the
signs decide; after each, another fault is tried in one slot of every draw. A crowd
that has heard some signs is taken on from there when more are told.

Source: Del Moral, Doucet, Jasra, Sequential Monte Carlo samplers [delmoral2006];
Cotter, Roberts, Stuart, White, MCMC methods for functions [cotter2013]; both
from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from floatbowl.belief.triangle import through_triangle, times_triangle

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

MOST_STAGES = 40
KEEP = 0.5
"""Share of effective draws below which the next degree is not taken."""
STILL_GOOD = 0.8
"""Share of draws that still differ above which more signs are let in without moving the crowd."""
MOVES = 4
"""Moves of the whole crowd at each degree, each of the rows and then of the faults."""
_GOAL = 0.30
"""Share of accepted moves that the step length is steered to."""
_PAIRS_AT_START = 0.10
"""Two faults at once in the crowd it starts from, over all other draws."""
_NEVER = 1e-300
"""Stands for no chance at all where a logarithm is taken: the same fault twice."""


class Evidence(Protocol):
    """What the signs say of each draw."""

    def __call__(self, z: Array, fault: Whole, /) -> Array:
        """Give the logarithm of how probable all signs are, (draw,); ``fault`` is (draw, 2)."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """Equally weighted draws: rows ``z`` (draw, unknown), ``fault`` (draw, 2), -1 in an empty slot.

    ``effective`` is the smallest number of effective draws met on the way: by
    their weights before, and by how many differ after the moves of a degree.
    ``moved`` is the share of moves taken at the last degree, ``degrees`` counts
    the degrees, and ``arrived`` says whether the signs were let in wholly.
    """

    z: Array
    fault: Whole
    effective: float
    moved: float
    degrees: int
    arrived: bool = True


def slot_odds(odds: Array, *, second: float) -> Array:
    """Give the logarithm of the chance of each pair of slots, (fault + 1, fault + 1), empty standing last.

    ``odds`` (fault + 1,) gives the chance of each fault to be the first, the last entry that of none;
    ``second`` is the share of broken bikes with two. The slots have no order: each pair stands twice.
    """
    single = odds[:-1]
    pairs = np.outer(single, single)
    np.fill_diagonal(pairs, 0.0)
    others = np.maximum(single.sum() - single, 1e-300)
    both = second * (pairs / others[:, None] + pairs / others[None, :]) / 2.0
    table = np.zeros((len(odds), len(odds)))
    table[:-1, :-1] = both
    table[:-1, -1] = table[-1, :-1] = single * (1.0 - second) / 2.0
    table[-1, -1] = odds[-1]
    return np.asarray(np.log(np.maximum(table / table.sum(), _NEVER)))


def sample(  # noqa: PLR0913  (the signs, the size, the odds, the dice)
    evidence: Evidence,
    *,
    unknowns: int,
    log_odds: Array,
    rng: Generator,
    draws: int = 1000,
    fresh: tuple[int, ...] = (),
) -> Crowd:
    """Draw from the belief.

    ``log_odds`` is that of ``slot_odds``; ``unknowns`` is the length of a row.
    ``fresh`` names for each slot the place in a row that tells how bad its fault
    is, if there is one: it is thrown anew with another fault.
    """
    start = _start_law(log_odds)
    pairs = rng.choice(start.size, size=draws, p=np.exp(start).ravel())
    fault = np.stack(np.divmod(pairs, len(log_odds)), axis=1)
    z = rng.standard_normal((draws, unknowns))
    run = _Run(_nothing, evidence, start=start, log_odds=log_odds, fresh=fresh, rng=rng)
    return run.go(z, fault)


def take_on(  # noqa: PLR0913  (a crowd, what it has heard, what it hears, and as above)
    crowd: Crowd,
    before: Evidence,
    now: Evidence,
    *,
    log_odds: Array,
    rng: Generator,
    fresh: tuple[int, ...] = (),
) -> Crowd:
    """Take a crowd that has heard all of ``before`` on to ``now``; the odds of faults stay what they were."""
    fault = np.where(crowd.fault < 0, len(log_odds) - 1, crowd.fault)
    run = _Run(before, now, start=log_odds, log_odds=log_odds, fresh=fresh, rng=rng)
    return run.go(crowd.z, fault)


def _nothing(z: Array, fault: Whole) -> Array:
    """Say nothing: what a crowd has heard before the first sign."""
    del fault
    return np.zeros(len(z))


def _start_law(log_odds: Array) -> Array:
    """Give the law the crowd starts from: rare faults as a larger share, not to hang on a few draws."""
    table = np.exp(0.5 * log_odds)
    pairs = table[:-1, :-1].sum()
    if pairs > 0.0:
        table[:-1, :-1] *= _PAIRS_AT_START * (table.sum() - pairs) / pairs
    return np.asarray(np.log(np.maximum(table / table.sum(), _NEVER)))


@dataclass(slots=True)
class _Draws:
    """The crowd on its way: what it has heard, ``before`` and ``now``, (draw,) each."""

    z: Array
    fault: Whole
    before: Array
    now: Array

    def picked(self, pick: Whole) -> _Draws:
        return _Draws(self.z[pick], self.fault[pick], self.before[pick], self.now[pick])

    def where(self, taken: NDArray[np.bool_], other: _Draws) -> _Draws:
        """Give the other's draws where they are taken."""
        wide = taken[:, None]
        return _Draws(
            np.where(wide, other.z, self.z),
            np.where(wide, other.fault, self.fault),
            np.where(taken, other.before, self.before),
            np.where(taken, other.now, self.now),
        )


class _Run:
    """One run from ``start`` and what was heard ``before`` to ``log_odds`` and what is heard ``now``."""

    def __init__(  # noqa: PLR0913  (where from, where to, and how)
        self,
        before: Evidence,
        now: Evidence,
        *,
        start: Array,
        log_odds: Array,
        fresh: tuple[int, ...],
        rng: Generator,
    ) -> None:
        self.before = before
        self.now = now
        self.start = start
        self.log_odds = log_odds
        self.rng = rng
        self.step = 0.6
        self.empty = len(log_odds) - 1
        self.one_slot = np.exp(_start_law(log_odds)).sum(axis=0)
        self.fresh = fresh

    def go(self, z: Array, fault: Whole) -> Crowd:
        crowd = self._hear(z, fault)
        done, degree, least, moved = 0.0, 0, float(len(z)), 1.0
        while done < 1.0 and degree < MOST_STAGES:
            step, weight = _next_degree(self._gain(crowd), 1.0 - done)
            done, degree = min(1.0, done + step), degree + 1
            least = min(least, _effective(weight))
            crowd = crowd.picked(_resample(weight, self.rng))
            if degree == 1 and done >= 1.0 and _different(crowd.z) >= STILL_GOOD * len(z):
                break
            for _ in range(MOVES):
                crowd, moved = self._move(crowd, done)
                crowd = self._change_faults(crowd, done)
            least = min(least, _different(crowd.z))
        return Crowd(
            z=crowd.z,
            fault=self._as_empty(crowd.fault),
            effective=least,
            moved=moved,
            degrees=degree,
            arrived=done >= 1.0,
        )

    def _hear(self, z: Array, fault: Whole, done: float = 0.0) -> _Draws:
        """Hear the draws; what was heard before no longer matters once the whole way is ``done``."""
        slots = self._as_empty(fault)
        now = self.now(z, slots)
        return _Draws(z, fault, self.before(z, slots) if done < 1.0 else now, now)

    def _gain(self, crowd: _Draws) -> Array:
        """Give what the whole way from start to end adds to each draw."""
        odds = _at(self.log_odds, crowd.fault) - _at(self.start, crowd.fault)
        return np.asarray(crowd.now - crowd.before + odds)

    def _target(self, crowd: _Draws, done: float) -> Array:
        """Give the logarithm of how probable each draw is at a degree, but for the normal law of its row."""
        before = crowd.before + _at(self.start, crowd.fault)
        now = crowd.now + _at(self.log_odds, crowd.fault)
        return np.asarray(now if done >= 1.0 else (1.0 - done) * before + done * now)

    def _move(self, crowd: _Draws, done: float) -> tuple[_Draws, float]:
        shaken = self.rng.standard_normal(crowd.z.shape)
        # Each half steps around the other half: a draw that helped to set its own step would be pulled in.
        half = len(crowd.z) // 2
        first, last = crowd.z[:half], crowd.z[half:]
        new_first, tilt_first = _propose(first, _crowd_normal(last), shaken[:half], self.step)
        new_last, tilt_last = _propose(last, _crowd_normal(first), shaken[half:], self.step)
        new = self._hear(np.concatenate([new_first, new_last]), crowd.fault, done)
        tilt = np.concatenate([tilt_first, tilt_last])
        taken = self._taken(self._target(new, done) - self._target(crowd, done) + tilt)
        share = float(taken.mean())
        self.step = float(np.clip(self.step * np.exp(0.8 * (share - _GOAL)), 0.05, 0.95))
        return crowd.where(taken, new), share

    def _change_faults(self, crowd: _Draws, done: float) -> _Draws:
        """Try another fault in one slot of every draw, as bad as it may be; all else of the bike stays."""
        draws = np.arange(len(crowd.z))
        slot = self.rng.integers(0, crowd.fault.shape[1], len(draws))
        old = crowd.fault[draws, slot]
        picked = self.rng.choice(len(self.one_slot), size=len(draws), p=self.one_slot)
        new_fault, new_z = crowd.fault.copy(), crowd.z.copy()
        new_fault[draws, slot] = picked
        for number, place in enumerate(self.fresh):
            here = slot == number
            new_z[here, place] = self.rng.standard_normal(int(here.sum()))
        new = self._hear(new_z, new_fault, done)
        tilt = np.log(self.one_slot[old]) - np.log(self.one_slot[picked])
        twice = (new_fault[:, 0] == new_fault[:, 1]) & (new_fault[:, 0] != self.empty)
        gain = self._target(new, done) - self._target(crowd, done) + tilt
        return crowd.where(self._taken(np.where(twice, -np.inf, gain)), new)

    def _taken(self, gain: Array) -> NDArray[np.bool_]:
        """Decide by the dice which moves are taken, from what each gains in the logarithm."""
        return np.asarray(np.log(self.rng.random(len(gain))) < gain)

    def _as_empty(self, fault: Whole) -> Whole:
        """Give -1 for the last kind, which stands for no fault."""
        return np.where(fault == self.empty, -1, fault)


def _different(z: Array) -> float:
    return float(len(np.unique(z[:, 0])))


def _at(table: Array, fault: Whole) -> Array:
    return np.asarray(table[fault[:, 0], fault[:, 1]])


def _next_degree(gain: Array, left: float) -> tuple[float, Array]:
    """Give the largest next degree that keeps enough effective draws, and the weights there."""
    low, high = 0.0, left
    if _effective(_weights(gain, left)) >= KEEP * len(gain):
        return left, _weights(gain, left)
    for _ in range(40):
        middle = 0.5 * (low + high)
        if _effective(_weights(gain, middle)) >= KEEP * len(gain):
            low = middle
        else:
            high = middle
    step = max(low, 1e-4)
    return step, _weights(gain, step)


def _weights(gain: Array, step: float) -> Array:
    raw = np.exp(step * (gain - gain.max()))
    return np.asarray(raw / raw.sum())


def _effective(weight: Array) -> float:
    return 1.0 / float(np.sum(weight**2))


def _resample(weight: Array, rng: Generator) -> Whole:
    """Pick draws in proportion to their weight, evenly (systematic resampling)."""
    n = len(weight)
    places = (np.arange(n) + rng.random()) / n
    return np.asarray(np.minimum(np.searchsorted(np.cumsum(weight), places), n - 1))


def _crowd_normal(z: Array) -> tuple[Array, Array]:
    """Give mean and covariance root of the crowd, pulled a little towards the standard normal."""
    middle = 0.9 * z.mean(axis=0)
    away = z - z.mean(axis=0)
    # Not np.cov: for so small a product its threads cost ten times the sum where the cores are shared.
    cover = 0.9 * np.einsum("ij,ik->jk", away, away) / (len(z) - 1) + 0.1 * np.eye(z.shape[1])
    return np.asarray(middle), np.asarray(np.linalg.cholesky(cover), dtype=np.float64)


def _propose(z: Array, normal: tuple[Array, Array], shaken: Array, step: float) -> tuple[Array, Array]:
    """Give a step of each row that keeps ``normal`` (mean, root), and its odds by the standard normal."""
    middle, root = normal
    new_z = middle + np.sqrt(1.0 - step**2) * (z - middle) + step * times_triangle(shaken, root)
    return new_z, _tilt(new_z, middle, root) - _tilt(z, middle, root)


def _tilt(z: Array, middle: Array, root: Array) -> Array:
    """Give ln of the standard normal over the crowd's normal at each row, up to a constant."""
    plain = through_triangle(z - middle, root)
    return np.asarray(0.5 * np.sum(plain**2, axis=1) - 0.5 * np.sum(z**2, axis=1))
