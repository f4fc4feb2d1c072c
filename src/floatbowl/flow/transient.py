"""What the engine gets while the throttle is snapped open: fuel lags and wets the walls, air does not.

The air fills an inlet this small within a stroke or two. The fuel comes late
twice over: the nozzle takes a moment to follow its pull, and a share of what
it gives settles on the walls and leaves them slowly. Both are linear in the
fuel, so that all draws share one small table of responses.

Source: own derivation on the wall film of [aquino1981]; ``docs/model/transient.md``.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.flow.breath import Grid

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.units import Ratio, Second

    Array = NDArray[np.float64]

OPENED_IN = Figure(0.08, 0.04, 0.15, "judgement: a quick turn of the wrist, s")
"""Time in which a snap opens the slide all its way."""
SIGNAL_LAG = Figure(
    0.02, 0.005, 0.04, "judgement: the column's inertia, the drops' way to the valve, a nozzle to be filled"
)
"""Time in which the metered fuel follows its pull, s."""
WALL_SHARE = Figure(0.35, 0.20, 0.55, "[aquino1981] for the form; from memory for a warm inlet")
"""Share of the metered fuel that settles on the walls."""
WALL_TIME = Figure(0.35, 0.15, 0.80, "[aquino1981] for the form; from memory for a warm inlet")
"""Time in which what has settled leaves the walls again, s."""
FELT_OVER = Figure(0.12, 0.08, 0.20, "judgement: a few strokes must be off before anybody feels it, s")
"""Time over which the mixture is averaged."""
SWALLOWED = Figure(
    0.25,
    0.15,
    0.35,
    "own derivation: the error that costs a tenth of the pull of [stone]",
)
"""Momentary error that a sound engine swallows on a snap, in ln(fuel)."""
SWALLOWED_FREE = Figure(
    0.45, 0.35, 0.55, "judgement: an engine that is blipped pulls nothing and swallows all that still fires"
)
"""The same on a blip from the idle stop."""

BLIP = 0.25
"""Opening to which a snap from the idle stop goes: a blip on the stand (judgement)."""
MIDDLE = 0.4
"""Place of the middle node, as a share of the way; three nodes there agree best with thirty-three."""
WATCHED = 0.4
"""Time from the first move for which the speed is taken as held, s (judgement)."""
STEP = 0.008
"""Time step, s; halving it moves the felt error by less than 0.002."""
_NODES = np.array([0.0, MIDDLE, 1.0])


def way(grid: Grid) -> Grid:
    """Give the places a snap passes beyond its rung: all middles, then all ends; openings as shares, rpm.

    One of each for every rung of the riding line ``grid`` but the last, at the
    speed of the rung that the snap begins from.

    Source: common practice: from an opening one snaps to full, from the idle stop one blips.
    """
    start, rpm = grid.opening[:-1], grid.rpm[:-1]
    end = np.where(start > 0.0, 1.0, BLIP)
    return Grid(opening=np.concatenate([start + MIDDLE * (end - start), end]), rpm=np.concatenate([rpm, rpm]))


def following(signal: Array, *, step: Second, lag: Second) -> Array:
    """Give what follows a signal with a lag of first order, settled at first: (time, ...), a share or kg/s.

    Exact for a signal that runs straight between the steps.

    Source: own derivation, the solution of lag dy/dt = u - y.

    >>> following(np.array([0.0, 1.0, 1.0]), step=1.0, lag=1.0).round(3)
    array([0.   , 0.368, 0.767])
    """
    if lag <= 0.0:
        return signal
    left = np.exp(-step / lag)
    mean = (1.0 - left) * lag / step
    out = np.empty_like(signal)
    out[0] = signal[0]
    for k in range(len(signal) - 1):
        out[k + 1] = left * out[k] + (mean - left) * signal[k] + (1.0 - mean) * signal[k + 1]
    return out


def past_the_walls(metered: Array, *, step: Second, share: Ratio, dwell: Second) -> Array:
    """Give the fuel that reaches the cylinder of what is metered, (time, ...), kg/s.

    The film has settled at the start. ``share`` settles on the walls and leaves them with the time ``dwell``.
    What leaves follows what settles with that lag.

    Source: [aquino1981].

    >>> past_the_walls(np.array([1.0, 2.0]), step=1e-9, share=0.4, dwell=0.3).round(3)
    array([1. , 1.6])
    """
    return (1.0 - share) * metered + share * following(metered, step=step, lag=dwell)


def averages(*, step: Second, lag: Second, share: Ratio, dwell: Second) -> Array:
    """Give how much each node of the way counts in each moment's average, a share: (node, moment).

    With no lag and nothing on the walls it is what the nodes count for
    themselves; the moments are windows of ``FELT_OVER`` from the first move on.

    Source: own derivation; the nodes are joined by straight lines along the opening.
    """
    time = np.arange(round(WATCHED / float(step)) + 1) * step
    along = np.minimum(time / OPENED_IN.value, 1.0)
    nodes = np.stack([np.interp(along, _NODES, one) for one in np.eye(len(_NODES))], axis=-1)
    fuel = past_the_walls(following(nodes, step=step, lag=lag), step=step, share=share, dwell=dwell)
    total = np.concatenate([np.zeros((1, len(_NODES))), np.cumsum(0.5 * (fuel[1:] + fuel[:-1]), axis=0)])
    width = round(FELT_OVER.value / float(step))
    return np.ascontiguousarray((total[width:] - total[:-width]).T / width)


@cache
def _usual() -> tuple[Array, Array]:
    """Give the table for the fuel, and the one for what is wanted, which neither lags nor settles."""
    fuel = averages(step=STEP, lag=SIGNAL_LAG.value, share=WALL_SHARE.value, dwell=WALL_TIME.value)
    return fuel, averages(step=STEP, lag=0.0, share=0.0, dwell=0.0)


def over_the_way(
    wanted: Array, error: Array, *, fuel_counts: Array, wanted_counts: Array
) -> tuple[Array, Array]:
    """Give the least and the greatest averaged logarithm of fuel over fuel wanted on a snap.

    ``wanted`` (..., node) is the fuel wanted at the nodes of the way in kg/s, or
    anything in proportion to it, ``error`` the steady error there in
    logarithms; the counts are tables of ``averages``.

    Source: own derivation.
    """
    got = (wanted * np.exp(error)) @ fuel_counts
    off = np.asarray(got / (wanted @ wanted_counts))
    return np.log(off.min(axis=-1)), np.log(off.max(axis=-1))


def felt(held: Array, *, least: Array, most: Array, swallowed: Array) -> Array:
    """Give the error that a snap feels like, as a logarithm of fuel over fuel wanted.

    That of the held rung, or the worst moment of the snap less what a sound
    engine swallows, whichever is worse: a snap never hides what holding shows.

    Source: judgement, decisions/0021.

    >>> swallows = {"least": np.array([-0.40]), "most": np.array([0.1]), "swallowed": np.array([0.25])}
    >>> felt(np.array([-0.05]), **swallows).round(2)
    array([-0.15])
    """
    short = np.minimum(held, least + swallowed)
    over = np.maximum(held, most - swallowed)
    return np.where(-short > over, short, over)


def snap_error(wanted: Array, error: Array, *, opening: Array) -> Array:
    """Give the logarithm of fuel over fuel wanted as felt on a snap from each opening, a share: (draw, rung).

    ``wanted`` and ``error`` are (draw, rung, node) as for ``over_the_way``;
    nodes are the rung itself, then the middle and the end of its ``way``.

    Source: own derivation.
    """
    fuel, plain = _usual()
    least, most = over_the_way(wanted, error, fuel_counts=fuel, wanted_counts=plain)
    swallowed = np.where(opening > 0.0, SWALLOWED.value, SWALLOWED_FREE.value)
    return felt(error[..., 0], least=least, most=most, swallowed=swallowed)
