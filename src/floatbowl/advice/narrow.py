"""Which measure that nobody took leaves most open: what to measure next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief

    Array = NDArray[np.float64]

LEAST_SHARE = 0.02
"""Share of what is open below which no measure is worth naming (judgement)."""

_FEWEST = 100
"""Sound draws that a correlation needs (judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextMeasure:
    """A measure by its path, ``carb.needle_jet_bore``, and the share of the spread that goes with it."""

    path: str
    share: float


def next_measure(belief: Belief) -> NextMeasure | None:
    """Give the assumed measure with which most of the twenty's spread goes; None where none stands out.

    For every unknown that leans on something assumed: how much of the variance of the error, in bands and
    over all rungs, its draws explain in a straight line (squared correlation, each rung weighed by its
    variance). Sound draws only, as a fault would drown the measures; where few are sound, all of them.
    The unknowns hardly hang together before the signs; after them some do, and then two share one effect.
    Source: own derivation, first-order sensitivity by correlation.
    """
    sound = belief.is_sound
    kept = sound if sound.sum() >= _FEWEST else np.ones_like(sound)
    off = (belief.error / belief.close_enough)[kept]
    row = belief.stage.ran.row(belief.z)[kept]
    shares: dict[str, float] = {}
    for path, column in _leaning(belief):
        shares[path] = shares.get(path, 0.0) + _explained(row[:, column], off)
    path = max(shares, key=shares.__getitem__, default="")
    if not path or shares[path] < LEAST_SHARE:
        return None
    return NextMeasure(path=path, share=min(shares[path], 1.0))


def _leaning(belief: Belief) -> Iterator[tuple[str, int]]:
    """Give each unknown that leans on something assumed: the first such measure, and the unknown's place."""
    assumed = set(belief.leaned_on)
    for column, unknown in enumerate(belief.stage.unknowns):
        path = next((name for name in unknown.leans_on if name in assumed), None)
        if path is not None:
            yield path, column


def _explained(moved: Array, off: Array) -> float:
    """Give the share of the variance of ``off`` (draw, rung) that goes with ``moved`` (draw,)."""
    moved, away = moved - moved.mean(), off - off.mean(axis=0)
    whole = float((moved**2).sum()) * float((away**2).sum())
    return 0.0 if whole <= 0.0 else float(((moved @ away) ** 2).sum()) / whole
