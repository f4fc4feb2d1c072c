"""Why, as data: which entry spoke for what."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.evidence import AllHeard
from floatbowl.bike.rung import RUNGS, Rung

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief
    from floatbowl.signs.trial import Trial

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

_JURY = 600
"""Draws from before the signs on which each entry is heard by itself."""
_RIDDEN = 0.6
"""Errors beyond this are not heard: nobody rides such a bike far enough to tell (judgement)."""
SPEAKS = 0.25
"""Logarithm of the odds by which an entry must shift a claim to speak for or against it (judgement)."""


class Jury:
    """Draws from before the signs: an entry speaks for a claim if it is likelier where the claim is true."""

    def __init__(self, belief: Belief, trials: tuple[Trial, ...]) -> None:
        """Hear every entry once. The dice are a fixed grid of the crowd's own making: none are thrown."""
        stage = belief.stage
        self._z = _even_normal(_JURY, stage.places.size)
        # Every kind of fault sits on the jury, one at a time; sound bikes make up half of it.
        kinds = len(stage.faults)
        place = np.arange(_JURY)
        first = np.where(place % 2 == 0, -1, (place // 2) % kinds)
        self._fault = np.stack([first, np.full(_JURY, -1)], axis=1)
        self._heard = AllHeard.of(stage, trials).each(self._z, self._fault)
        self._close_enough = belief.close_enough
        self._error = stage.glimpse(belief.setup, belief.day, self._z, self._fault).error

    def on_error(self, at: Rung, *, is_short: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Give the entries that speak for and against being short, or having too much, at a rung.

        Sound bikes are held against all other sound bikes, those that are about right among them.
        """
        error, band = self._error[:, RUNGS.index(at)], self._close_enough[RUNGS.index(at)]
        claim = error < -band if is_short else error > band
        return self._sides(claim, among=(self._fault[:, 0] < 0) & (np.abs(error) < _RIDDEN))

    def on_fault(self, kind: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Give the entries that speak for and against a fault, held against sound bikes."""
        return self._sides(self._fault[:, 0] == kind, among=np.isin(self._fault[:, 0], (kind, -1)))

    def _sides(
        self, claim: NDArray[np.bool_], *, among: NDArray[np.bool_]
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        speaks_for: list[str] = []
        against: list[str] = []
        if not (claim & among).any() or not (~claim & among).any():
            return (), ()
        for entry, known in self._heard.items():
            chance = np.exp(known)
            shift = float(np.log(chance[claim & among].mean() / chance[~claim & among].mean()))
            if shift > SPEAKS:
                speaks_for.append(entry)
            elif shift < -SPEAKS:
                against.append(entry)
        return tuple(speaks_for), tuple(against)


def _even_normal(draws: int, unknowns: int) -> Array:
    """Give standard normal rows that fill the space evenly without dice: a lattice through Box and Muller."""
    pairs = (unknowns + 1) // 2
    root = np.sqrt(np.array(_primes(2 * pairs), dtype=np.float64))
    lattice = np.mod(np.arange(1, draws + 1)[:, None] * root, 1.0)
    radius = np.sqrt(-2.0 * np.log(np.clip(lattice[:, :pairs], 1e-12, 1.0)))
    angle = 2.0 * np.pi * lattice[:, pairs:]
    return np.concatenate([radius * np.cos(angle), radius * np.sin(angle)], axis=1)[:, :unknowns]


def _primes(count: int) -> list[int]:
    found: list[int] = []
    number = 2
    while len(found) < count:
        if all(number % prime for prime in found):
            found.append(number)
        number += 1
    return found
