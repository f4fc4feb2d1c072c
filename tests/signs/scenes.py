"""Scenes made by hand: what a bike with a stated error would let one see."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS
from floatbowl.signs.seen import Seen

Array = NDArray[np.float64]

WANTED = 0.88
"""Lambda wanted at every rung of these scenes."""


def scene(error: float | Array, *, draws: int = 1, level_drop: float = 0.0, extra_air: float = 0.0) -> Seen:
    """Give ``draws`` equal likely bikes with one error everywhere, or one error (rung,) for each rung."""
    errors = np.broadcast_to(np.asarray(error, dtype=np.float64), (draws, len(RUNGS))).copy()
    return Seen(
        error=errors,
        lam=WANTED * np.exp(-errors),
        level_drop=np.full(draws, level_drop),
        extra_air=np.full(draws, extra_air),
    )


def along(errors: Array, *, extra_air: float = 0.0) -> Seen:
    """Give one likely bike for each of ``errors`` (draw,), off by the same at every rung."""
    rows = np.repeat(np.asarray(errors, dtype=np.float64)[:, None], len(RUNGS), axis=1)
    return Seen(
        error=rows,
        lam=WANTED * np.exp(-rows),
        level_drop=np.zeros(len(rows)),
        extra_air=np.full(len(rows), extra_air),
    )


def ailing(seen: Seen, ailments: Mapping[Ailment, float]) -> Seen:
    """Give the same bikes with every one of them ailing by so much."""
    draws = seen.error.shape[0]
    return replace(seen, ailing={ailment: np.full(draws, much) for ailment, much in ailments.items()})


def starving(seen: Seen, lacks: float) -> Seen:
    """Give the same bikes with a bowl that runs down by ``lacks`` below zero at every held opening."""
    return replace(seen, starved=np.full(seen.error.shape, lacks))


def too_far(counts: NDArray[np.int64], expected: Array) -> NDArray[np.bool_]:
    """Say which counts lie over four standard errors from their expected shares.

    Half a count is given for free, as counts are whole.
    """
    draws = counts.sum()
    spread = np.sqrt(draws * expected * (1.0 - expected))
    return np.asarray(np.abs(counts - draws * expected) > 4.0 * spread + 0.5)
