"""What it costs in minutes: to do a thing, and to live with a mixture that is off."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

MINUTES: dict[str, Figure] = {
    "screw": Figure(3.0, 1.0, 5.0, "from memory: minutes for one familiar bike, tools out"),
    "clip": Figure(15.0, 8.0, 30.0, "from memory: as above"),
    "washer": Figure(15.0, 8.0, 30.0, "from memory: as above"),
    "main": Figure(15.0, 10.0, 40.0, "from memory: as above, with a drain plug to work through"),
    "pilot": Figure(20.0, 15.0, 40.0, "from memory: as above"),
    "needle": Figure(25.0, 15.0, 40.0, "from memory: as above"),
    "cutaway": Figure(30.0, 20.0, 45.0, "from memory: as above"),
    "float": Figure(35.0, 20.0, 60.0, "from memory: as above"),
}
"""Minutes to change one part by itself."""
STRIP_DOWNS: tuple[tuple[frozenset[str], float], ...] = (
    (frozenset({"main", "pilot", "float"}), 10.0),
    (frozenset({"clip", "washer", "needle", "cutaway"}), 12.0),
)
"""Parts behind one strip-down, the bowl or the slide, and the minutes it takes of each (from memory)."""
RIDE = Figure(10.0, 5.0, 20.0, "from memory: warm it up, ride it, come back")
"""Minutes to ride a bike after a change and say what it did."""
BAND_OFF = Figure(60.0, 30.0, 150.0, "judgement: what an owner would give to have a rung one band nearer")
"""Minutes that each further band of error at one rung is worth."""
NOT_RIGHT = Figure(250.0, 100.0, 600.0, "judgement: what an owner would give to have it right everywhere")
"""Minutes that a bike which is off anywhere is worth less than one that is right."""
WASTED = Figure(45.0, 25.0, 90.0, "judgement: change, ride and change back, for a fault that no jet mends")
LEFT_BROKEN = Figure(
    150.0, 60.0, 400.0, "judgement: a bike handed over with its fault comes back, and a day is lost"
)
MENDED = Figure(20.0, 5.0, 60.0, "judgement: to put a fault right that was found")
CHASE = Figure(15.0, 5.0, 30.0, "judgement: what the owner loses when a sound bike stands tagged")
HARM = {
    4: Figure(60.0, 20.0, 200.0, "judgement: a four-stroke held short of fuel at full opening runs hot"),
    2: Figure(200.0, 60.0, 900.0, "judgement: a two-stroke held short of fuel at full opening seizes"),
}
"""Minutes that far too little fuel at 3/4 or full may cost, by strokes."""
FAR_SHORT = 0.10
"""Error at 3/4 or full beyond which the engine is in danger, in ln(fuel) (judgement)."""
_WEIGHT = np.array([0.9, 0.9, 1.0, 1.0, 1.0, 1.0])
_HIGH = [RUNGS.index(Rung.THREE_QUARTERS), RUNGS.index(Rung.FULL)]


def minutes_of(parts: Iterable[str]) -> float:
    """Give the minutes of one job in which some parts are changed; a strip-down they share counts once."""
    changed = frozenset(parts)
    alone = sum(MINUTES[part].value for part in changed)
    return alone - sum(
        saved * (len(changed & behind) - 1) for behind, saved in STRIP_DOWNS if changed & behind
    )


def share_a_strip_down(one: str, other: str) -> bool:
    """Say whether two parts lie behind one strip-down."""
    return any({one, other} <= behind for behind, _ in STRIP_DOWNS)


def minutes_off(error: Array, close_enough: Array) -> Array:
    """Give the minutes that each rung's error will still cost, (..., rung)."""
    return np.asarray(_WEIGHT * BAND_OFF.value * (np.sqrt(1.0 + (error / close_enough) ** 2) - 1.0))


def minutes_wrong(error: Array, close_enough: Array) -> Array:
    """Give the minutes that errors (..., rung) will cost, (...): how far off, and whether off at all."""
    right = np.prod(1.0 / (1.0 + (error / close_enough) ** 4), axis=-1)
    return np.asarray(minutes_off(error, close_enough).sum(axis=-1) + NOT_RIGHT.value * (1.0 - right))


def minutes_left(error: Array, close_enough: Array, *, strokes: int) -> Array:
    """Give the minutes that a bike with these errors (..., rung) will still cost, danger included, (...)."""
    short = -error[..., _HIGH].min(axis=-1) - FAR_SHORT
    danger = 1.0 / (1.0 + np.exp(-np.clip(short / 0.02, -60.0, 60.0)))
    return np.asarray(minutes_wrong(error, close_enough) + HARM[strokes].value * danger)


def is_far_short(error: Array) -> NDArray[np.bool_]:
    """Say which draws are far short of fuel at 3/4 or full, (draw,)."""
    return np.asarray((error[:, _HIGH] < -FAR_SHORT).any(axis=1))
