"""When the ear cannot tell, and why.

Found on made-up sounds: engines in all kinds of trouble on one side, noises,
speech and music on the other; see ``docs/model/ear.md``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.ear.comb import HOP
from floatbowl.signs.ear.path import FURTHEST

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.track import WhyNot

    Array = NDArray[np.float64]

LEAST_BEAT = Figure(0.06, 0.03, 0.12, "judgement: tried on made-up sounds, see docs/model/ear.md")
"""Strength of the orders below which nothing repeats, for a line that runs quite evenly."""
BEAT_BY_ROUGH = Figure(0.25, 0.15, 0.40, "judgement: tried on made-up sounds, see docs/model/ear.md")
"""How much more it must be for a line that shakes, as one drawn through noise does, by its roughness."""
MOST_SWING = Figure(2.2, 1.7, 3.0, "judgement: tried on made-up sounds, see docs/model/ear.md")
"""Change of loudness between quarters of a second, in decibels, beyond which it comes and goes."""
STEADY_BEAT = Figure(0.10, 0.0, 0.3, "judgement: an engine has a flywheel; tried on made-up sounds")
BEAT_BY_STEP = Figure(0.40, 0.25, 0.6, "judgement: an engine has a flywheel; tried on made-up sounds")
"""Strength of the orders that a line must have if it moves in steps, as notes do: more for each in 10 s."""
_SHORT = 6.0
"""Seconds below which a recording counts as this long: a single step in it is not many."""
_FLAT = round(0.15 / HOP)
"""Moments for which a note stands still on either side of a step."""
_STEP_WITHIN = round(0.075 / HOP)
_STEP = 0.07
"""How far a step goes at the least, as a logarithm: more than a hunting idle leaps."""
_LEAP = 0.16
"""Change from one moment to the next, as a logarithm, that no flywheel lets through."""
_STILL = 0.009
"""How far a line that stands still may move, as a logarithm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """What tells an engine from other sounds."""

    beat: float
    """Strength of the orders of the whole recording along its own line."""
    rough: float
    """Mean change of the line from moment to moment, in steps of the grid, leaps left out."""
    steps: int
    """Steps and leaps of the line."""
    seconds: float
    swing: float
    """Usual change of loudness from one quarter of a second to the next, in decibels."""


def why_not(looks: Looks) -> WhyNot | None:
    """Say why a sound is no engine that can be told; None where it is one."""
    if looks.swing > MOST_SWING.value:
        return "comes and goes"
    if looks.beat < LEAST_BEAT.value + BEAT_BY_ROUGH.value * looks.rough:
        return "no beat"
    steps = looks.steps * 10.0 / max(looks.seconds, _SHORT)
    if steps and looks.beat < STEADY_BEAT.value + BEAT_BY_STEP.value * steps:
        return "moves in steps"
    return None


def swing(loud: NDArray[np.float32], rate: float) -> float:
    """Give the usual change of loudness from one quarter of a second to the next, in decibels.

    ``loud`` is (band, time); the band that changes least counts, since wind blows in gusts in some.
    """
    block = round(0.25 * rate)
    count = loud.shape[1] // block
    power = (loud[:, : count * block].reshape(len(loud), count, block) ** 2).mean(axis=2)
    decibels = 10.0 * np.log10(power + 1e-9 * power.mean(axis=1, keepdims=True) + 1e-30)
    return float(np.min(np.median(np.abs(np.diff(decibels, axis=1)), axis=1)))


def rough(path: NDArray[np.int64]) -> float:
    """Give the mean change of a path from moment to moment, in steps of the grid; leaps do not count."""
    change = np.abs(np.diff(path))
    return float(change[change <= FURTHEST].mean()) if (change <= FURTHEST).any() else 0.0


def steps(repeats: Array) -> int:
    """Count where a line leaps, and where it stood still and stands still again elsewhere, as notes do."""
    line = np.log(repeats)
    leaps = int((np.abs(np.diff(line)) > _LEAP).sum())
    if len(line) < 2 * _FLAT + _STEP_WITHIN:
        return leaps
    still, middle = _still_pieces(line)
    ahead = _FLAT + _STEP_WITHIN
    far = np.abs(middle[ahead:] - middle[:-ahead])
    is_step = (far > _STEP) & (far < _LEAP) & still[ahead:] & still[:-ahead]
    return leaps + int((is_step & ~np.concatenate([[False], is_step[:-1]])).sum())


def _still_pieces(line: Array) -> tuple[NDArray[np.bool_], Array]:
    """Say which pieces of ``_FLAT`` moments stand still, and give the middle of each."""
    cut = np.lib.stride_tricks.sliding_window_view(line, _FLAT)
    return np.ptp(cut, axis=1) < _STILL, cut.mean(axis=1)
