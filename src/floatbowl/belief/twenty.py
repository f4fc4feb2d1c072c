"""Twenty likely bikes that stand for the whole crowd, in a steady order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.belief import OF

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

_ROUNDS = 4
_TRIES = 40
_EDGE = float(np.arcsinh(1.0))
"""Where the band ends."""


def pick_twenty(error: Array, fault: Whole, *, close_enough: Array) -> Whole:
    """Pick twenty draws whose counts tell what the crowd (draw, rung) tells, rung by rung and fault by fault.

    Each kind of fault gets its fair share of the twenty. Within a kind the
    draws stand evenly along the way in which the crowd spreads most; then some
    are exchanged so that at every rung the twenty lie at the crowd's own
    twentieths, and as many of them within ``close_enough`` (rung,) and to each
    side of it. No dice: the same crowd gives the same twenty, in order from
    short to too much.
    """
    along = _order(error)
    chosen = np.concatenate([_even(along, np.flatnonzero(fault == kind), n) for kind, n in _shares(fault)])
    # Bands, closer the further out: what counts is on which side of the band a bike stands, then how far off.
    bands = np.arcsinh(error / close_enough)
    goal = _Goal.of(bands)
    for _ in range(_ROUNDS):
        for slot in range(OF):
            chosen[slot] = _better(chosen, slot, bands=bands, fault=fault, goal=goal)
    return np.asarray(chosen[np.argsort(along[chosen], kind="stable")])


@dataclass(frozen=True, slots=True)
class _Goal:
    """What the crowd tells: its twentieths (20, rung), and how many of twenty are short, and too much."""

    twentieths: Array
    short: Array
    much: Array

    @classmethod
    def of(cls, bands: Array) -> _Goal:
        """Take it from the whole crowd, (draw, rung)."""
        return cls(
            twentieths=np.quantile(bands, (np.arange(OF) + 0.5) / OF, axis=0),
            short=OF * (bands < -_EDGE).mean(axis=0),
            much=OF * (bands > _EDGE).mean(axis=0),
        )

    def missed(self, bands: Array) -> Array:
        """Give by how much sets of twenty (set, 20, rung) miss it."""
        spread = np.abs(np.sort(bands, axis=1) - self.twentieths).sum(axis=(1, 2))
        short = np.abs((bands < -_EDGE).sum(axis=1) - self.short)
        much = np.abs((bands > _EDGE).sum(axis=1) - self.much)
        return np.asarray(spread + (short + much).sum(axis=1))


def _order(error: Array) -> Array:
    """Give each draw's place along the direction of most spread, short first."""
    centred = error - error.mean(axis=0)
    direction = np.linalg.svd(centred, full_matrices=False)[2][0]
    return np.asarray(centred @ (direction * np.sign(direction.sum() or 1.0)))


def _shares(fault: Whole) -> list[tuple[int, int]]:
    """Share out the twenty among the kinds of fault, largest remainder first."""
    kinds, counts = np.unique(fault, return_counts=True)
    exact = OF * counts / counts.sum()
    whole = np.floor(exact).astype(int)
    for k in np.argsort(whole - exact, kind="stable")[: OF - whole.sum()]:
        whole[k] += 1
    return [(int(kind), int(n)) for kind, n in zip(kinds, whole, strict=True) if n]


def _even(along: Array, members: Whole, n: int) -> Whole:
    ordered = members[np.argsort(along[members], kind="stable")]
    return np.asarray(ordered[((np.arange(n) + 0.5) / n * len(ordered)).astype(int)])


def _better(chosen: Whole, slot: int, *, bands: Array, fault: Whole, goal: _Goal) -> int:
    """Give the draw of the same kind that would serve best in one slot, the present one if none does."""
    same = np.flatnonzero(fault == fault[chosen[slot]])
    tries = np.concatenate([[chosen[slot]], same[:: max(1, len(same) // _TRIES)]])
    others = np.delete(chosen, slot)
    beside = np.broadcast_to(bands[others], (len(tries), OF - 1, bands.shape[1]))
    away = goal.missed(np.concatenate([beside, bands[tries][:, None, :]], axis=1))
    repeated = np.isin(tries, others)
    return int(tries[np.argmin(away + 1e3 * repeated)])
