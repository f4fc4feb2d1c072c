"""Draws from the belief: a crowd of likely bikes that moves from before the signs to after them.

Tempered sequential Monte Carlo. Every member is a row of standard normal
numbers and a fault (or none). The signs are let in by degrees; at each degree
the crowd is resampled and moved. Moves are preconditioned Crank-Nicolson steps
around the mean and covariance of the crowd's other half, so that they leave the
normal law untouched and only the signs decide; a share of them also propose
another fault.

Source: Del Moral, Doucet, Jasra, Sequential Monte Carlo samplers [delmoral2006];
Cotter, Roberts, Stuart, White, MCMC methods for functions [cotter2013]; both
from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

MOST_STAGES = 40
KEEP = 0.5
"""Share of effective draws below which the next degree is not taken."""
MOVES = 6
"""Moves of the whole crowd at each degree."""
_NEW_FAULT = 0.25
_GOAL = 0.30
"""Share of accepted moves that the step length is steered to."""


class Evidence(Protocol):
    """What the signs say of each draw."""

    def __call__(self, z: Array, fault: Whole, /) -> Array:
        """Give the logarithm of how probable all signs are, (draw,)."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """Equally weighted draws: rows ``z`` (draw, unknown), ``fault`` (draw,), -1 for sound.

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


def sample(
    evidence: Evidence, *, unknowns: int, fault_odds: Array, rng: Generator, draws: int = 1000
) -> Crowd:
    """Draw from the belief.

    ``fault_odds`` (fault + 1,) gives the chance of each fault before the signs,
    the last entry being none; ``unknowns`` is the length of a row.
    """
    return _Run(evidence, fault_odds, rng).go(unknowns, draws)


class _Run:
    """One run; holds what every step needs."""

    def __init__(self, evidence: Evidence, fault_odds: Array, rng: Generator) -> None:
        self.evidence = evidence
        self.rng = rng
        self.log_odds = np.log(fault_odds)
        # Rare faults start as a larger share, so that a few draws do not stand for them.
        start = np.sqrt(fault_odds)
        self.log_start = np.log(start / start.sum())
        self.step = 0.6

    def go(self, unknowns: int, draws: int) -> Crowd:
        faults = len(self.log_odds)
        fault = self.rng.choice(faults, size=draws, p=np.exp(self.log_start))
        z = self.rng.standard_normal((draws, unknowns))
        known = self.evidence(z, _as_sound(fault, faults))
        done, degree, least, moved = 0.0, 0, float(draws), 1.0
        while done < 1.0 and degree < MOST_STAGES:
            gain = known + self.log_odds[fault] - self.log_start[fault]
            step, weight = _next_degree(gain, 1.0 - done)
            done, degree = min(1.0, done + step), degree + 1
            least = min(least, 1.0 / float(np.sum(weight**2)))
            pick = _resample(weight, self.rng)
            z, fault, known = z[pick], fault[pick], known[pick]
            for _ in range(MOVES):
                z, fault, known, moved = self._move(z, fault, known, done)
            least = min(least, float(len(np.unique(z, axis=0))))
        return Crowd(
            z=z,
            fault=_as_sound(fault, faults),
            effective=least,
            moved=moved,
            degrees=degree,
            arrived=done >= 1.0,
        )

    def _move(self, z: Array, fault: Whole, known: Array, done: float) -> tuple[Array, Whole, Array, float]:
        faults = len(self.log_odds)
        shaken = self.rng.standard_normal(z.shape)
        # Each half steps around the other half: a draw that helped to set its own step would be pulled in.
        half = len(z) // 2
        new_first, tilt_first = _propose(z[:half], _crowd_normal(z[half:]), shaken[:half], self.step)
        new_last, tilt_last = _propose(z[half:], _crowd_normal(z[:half]), shaken[half:], self.step)
        new_z = np.concatenate([new_first, new_last])
        other = self.rng.choice(faults, size=len(fault), p=np.exp(self.log_start))
        new_fault = np.where(self.rng.random(len(fault)) < _NEW_FAULT, other, fault)
        new_known = self.evidence(new_z, _as_sound(new_fault, faults))
        odds = done * (self.log_odds - self.log_start)
        gain = (
            done * (new_known - known)
            + odds[new_fault]
            - odds[fault]
            + np.concatenate([tilt_first, tilt_last])
        )
        taken = np.log(self.rng.random(len(fault))) < gain
        share = float(taken.mean())
        self.step = float(np.clip(self.step * np.exp(0.8 * (share - _GOAL)), 0.05, 0.95))
        return (
            np.where(taken[:, None], new_z, z),
            np.where(taken, new_fault, fault),
            np.where(taken, new_known, known),
            share,
        )


def _as_sound(fault: Whole, faults: int) -> Whole:
    """Give -1 for the last kind, which stands for no fault."""
    return np.where(fault == faults - 1, -1, fault)


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
    new_z = middle + np.sqrt(1.0 - step**2) * (z - middle) + step * (shaken @ root.T)
    return new_z, _tilt(new_z, middle, root) - _tilt(z, middle, root)


def _tilt(z: Array, middle: Array, root: Array) -> Array:
    """Give ln of the standard normal over the crowd's normal at each row, up to a constant."""
    plain = np.linalg.solve(root, (z - middle).T)
    return np.asarray(0.5 * np.sum(plain**2, axis=0) - 0.5 * np.sum(z**2, axis=1))
