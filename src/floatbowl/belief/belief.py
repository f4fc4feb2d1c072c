"""What is probably true after the signs: likely bikes with their weights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup

if TYPE_CHECKING:
    from floatbowl.belief.scene import Stage
    from floatbowl.signs.trial import Trial

OF = 20
"""How many likely bikes are shown and counted."""

PARTS = ("pilot", "cutaway", "needle", "main")
"""The parts whose say adds to the whole, in the order they are drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A fault still possible: ``count`` of the twenty have it; ``chance`` is the weight behind that."""

    fault: str
    count: int
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """Whether the belief may be spoken from. ``why`` is a key for words when it may not."""

    is_good: bool
    why: str
    effective_draws: float
    unexplained: tuple[str, ...] = ()
    """Entries that none of the likely bikes would give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """Likely bikes. Arrays are (draw, rung) or (draw,), rungs in the order of ``RUNGS``.

    ``error`` is the logarithm of fuel over the fuel wanted: below zero is short.
    ``fault`` (draw, 2) holds places in ``fault_keys``, -1 in an empty slot; either slot may be the empty one.
    ``twenty`` picks twenty draws, evenly spaced over the belief, kept in a
    steady order. ``say`` is (rung, part) with parts as ``PARTS``, adding to 1;
    ``fuel_share`` is (rung, passage): pilot, main. ``target`` is the wanted
    lambda and ``close_enough`` the half-width of the band, per rung.
    """

    bike: Bike
    setup: Setup
    day: Day
    error: NDArray[np.float64]
    lam: NDArray[np.float64]
    weight: NDArray[np.float64]
    fault: NDArray[np.int64]
    fault_keys: tuple[str, ...]
    twenty: NDArray[np.int64]
    say: NDArray[np.float64]
    fuel_share: NDArray[np.float64]
    target: NDArray[np.float64]
    close_enough: NDArray[np.float64]
    suspects: tuple[Suspect, ...]
    trust: Trust
    leaned_on: tuple[str, ...]
    z: NDArray[np.float64]
    """The rows (draw, unknown) behind the draws, from which a dry fit works out another setup."""
    stage: Stage
    """What all scenes of this bike share; other setups are worked out on it."""
    trials: tuple[Trial, ...]
    """All that was heard."""

    def has(self, fault: str) -> NDArray[np.bool_]:
        """Say which draws have a fault, by key, (draw,)."""
        kinds = [place for place, key in enumerate(self.fault_keys) if key == fault]
        return np.asarray(np.isin(self.fault, kinds).any(axis=1))

    @property
    def is_sound(self) -> NDArray[np.bool_]:
        """Say which draws have no fault, (draw,)."""
        return np.asarray((self.fault < 0).all(axis=1))

    def twenty_at(self, rung: Rung) -> NDArray[np.float64]:
        """Give the error of the twenty at one rung, in the steady order of the twenty."""
        return np.asarray(self.error[self.twenty, RUNGS.index(rung)])

    def counts_at(self, rung: Rung) -> tuple[int, int, int]:
        """Count the twenty at one rung: short, close enough, too much."""
        at = self.twenty_at(rung)
        band = self.close_enough[RUNGS.index(rung)]
        short = int(np.count_nonzero(at < -band))
        much = int(np.count_nonzero(at > band))
        return short, OF - short - much, much

    @property
    def sound_count(self) -> int:
        """Count those of the twenty that have no fault."""
        return int(np.count_nonzero(self.is_sound[self.twenty]))
