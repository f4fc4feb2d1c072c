"""Which rows of a log tell of a steady mixture, at which rung, and why the others do not.

Every row gets one reason; the first that holds counts. The probe is late: what it
shows belongs to the throttle of a moment before. A row tells if the throttle had
been held for as long as the probe and the fuel on the walls need to settle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.lambda_log.look import FIRED, Known, usable
from floatbowl.units import FREEZING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from floatbowl.signs.lambda_log.samples import Samples

    Array = NDArray[np.float64]
    Mask = NDArray[np.bool_]
    Whole = NDArray[np.int64]

Reason = Literal[
    "no number",
    "probe waking",
    "end of the scale",
    "engine cold",
    "not running",
    "overrun",
    "jump",
    "moving",
    "between rungs",
    "no opening known",
    "unsteady",
    "too short",
]
REASONS: tuple[Reason, ...] = get_args(Reason)
USED = -1
"""The reason of a row that tells."""

WARM = Figure(60.0, 50.0, 75.0, "judgement: a warm engine's head or water, degrees Celsius")
WALLS = Figure(0.7, 0.3, 1.5, "judgement: seconds for the fuel on the walls and the bowl to settle")
THROTTLE_STILL = Figure(0.04, 0.02, 0.06, "judgement: a hand that holds a mark of tape, share of the travel")
SPEED_STILL = Figure(
    0.10, 0.05, 0.15, "judgement: an engine speed that is held, as a share, both ways together"
)
OVERRUN = Figure(1.6, 1.3, 2.0, "judgement: shut above this many times the idle speed, the engine is driven")
JUMP = Figure(0.15, 0.10, 0.25, "judgement: no lambda changes by so much in one row and back in the next")
_LAGS = 4.0
"""Lags after which a probe has come within two in a hundred of what it will show."""
_SMOOTH = 0.25
"""Seconds over which a counter's jitter is smoothed before it is asked whether it stands still."""
SPANS: dict[Rung, tuple[float, float]] = {
    Rung.SHUT: (-0.10, 0.04),
    Rung.EIGHTH: (0.09, 0.16),
    Rung.QUARTER: (0.20, 0.30),
    Rung.HALF: (0.43, 0.57),
    Rung.THREE_QUARTERS: (0.68, 0.82),
    Rung.FULL: (0.93, 1.10),
}
"""Openings that count as a rung (judgement: what a hand holds by a mark, the mixture hardly moving)."""


@dataclass(frozen=True, slots=True)
class Held:
    """The rider's own note: held at a rung from one moment of the log to another, in seconds."""

    at: Rung
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Sorted:
    """What each row came to, (row,): its reason or ``USED``, its rung's place, and its lambda."""

    reason: Whole
    rung: Whole
    lam: Array


def settling(known: Known) -> float:
    """Give how long a throttle must have been held, in seconds, before the probe tells of it."""
    return WALLS.value + _LAGS * known.delay.lag


def sort(samples: Samples, known: Known, *, held: Sequence[Held] = ()) -> Sorted:
    """Give what each row of a piece of log came to.

    Rows near both ends know too little of what was before or comes after: the
    caller hands in some more on both sides.
    """
    lam = _belonging(samples, known)
    there = np.zeros(len(samples)) if samples.lam is None else lam
    rung, is_known = _rungs(samples, held)
    told: dict[Reason, Mask] = {
        "no number": ~usable(there),
        "probe waking": samples.time + known.delay.dead < known.awake_at,
        "end of the scale": (there == known.low) | (there == known.high),
        "engine cold": _is_cold(samples),
        "not running": _stands(samples),
        "overrun": _is_driven(samples, known),
        "jump": _jumps(there),
        "moving": ~_is_still(samples, settling(known)),
        "between rungs": is_known & (rung < 0),
        "no opening known": ~is_known,
    }
    reason = np.full(len(samples), USED)
    for place in range(len(REASONS) - 1, -1, -1):
        if REASONS[place] in told:
            reason[told[REASONS[place]]] = place
    return Sorted(reason, rung, there)


def _belonging(samples: Samples, known: Known) -> Array:
    """Give what the probe shows of each row: the row nearest to a dead time later."""
    lam = np.asarray(samples.lam)
    late = samples.time + known.delay.dead
    after = np.searchsorted(samples.time, late).clip(1, len(lam) - 1)
    nearer = late - samples.time[after - 1] < samples.time[after] - late
    place = after - nearer
    off = np.abs(samples.time[place] - late)
    return np.where(off < 2.0 * known.step, lam[place], np.nan)


def _is_cold(samples: Samples) -> Mask:
    if samples.warmth is None:
        return np.zeros(len(samples), dtype=np.bool_)
    return np.asarray(samples.warmth < WARM.value + FREEZING)


def _stands(samples: Samples) -> Mask:
    if samples.rpm is None:
        return np.zeros(len(samples), dtype=np.bool_)
    return np.asarray(samples.rpm < FIRED.value)


def _is_driven(samples: Samples, known: Known) -> Mask:
    """Say where the bike drives the engine: throttle shut, and far above the idle speed."""
    if samples.rpm is None or samples.throttle is None:
        return np.zeros(len(samples), dtype=np.bool_)
    fast = samples.rpm > OVERRUN.value * known.idle
    return np.asarray(fast & (samples.throttle <= SPANS[Rung.SHUT][1]))


def _jumps(lam: Array) -> Mask:
    """Say which rows stand apart from both their neighbours on the same side."""
    before, after = np.diff(lam, prepend=np.nan), -np.diff(lam, append=np.nan)
    apart = np.minimum(np.abs(before), np.abs(after)) > JUMP.value
    return np.asarray(apart & (np.sign(before) == np.sign(after)))


def _is_still(samples: Samples, over: float) -> Mask:
    """Say which rows come after a time ``over`` in which the hand and the engine speed stood still."""
    step = np.median(np.diff(samples.time)) if len(samples) > 1 else 1.0
    rows = max(1, round(over / max(float(step), 1e-6)))
    still = _span(samples.time, rows) <= 1.5 * over + 2.0 * step
    smooth = max(1, round(_SMOOTH / max(float(step), 1e-6)))
    if samples.throttle is not None:
        still &= _span(_smoothed(samples.throttle, smooth), rows) <= THROTTLE_STILL.value
    if samples.rpm is not None:
        speed = np.log(np.maximum(samples.rpm, 1.0))
        still &= _span(_smoothed(speed, smooth), rows) <= SPEED_STILL.value
    return np.asarray(still)


def _smoothed(column: Array, rows: int) -> Array:
    """Give the mean of the last ``rows`` rows."""
    total = np.cumsum(np.concatenate([np.repeat(column[:1], rows), column]))
    bad = ~np.isfinite(column)
    if bad.any():
        known = np.where(bad, np.interp(np.arange(len(column)), *_finite(column)), column)
        return np.where(bad, np.nan, _smoothed(known, rows)) if np.isfinite(known).all() else column
    return np.asarray((total[rows:] - total[:-rows]) / rows)


def _finite(column: Array) -> tuple[Whole, Array]:
    good = np.flatnonzero(np.isfinite(column))
    return (good, column[good]) if len(good) else (np.zeros(1, dtype=np.int64), np.full(1, np.nan))


def _span(column: Array, rows: int) -> Array:
    """Give largest less smallest among each row and the ``rows`` before it; nan where any is nan."""
    return _largest(column, rows + 1) + _largest(-column, rows + 1)


def _largest(column: Array, rows: int) -> Array:
    """Give the largest of the last ``rows`` rows, in one pass forward and one back over blocks.

    Source: [van-herk1992], from memory.
    """
    blocks = -(-(len(column) + rows) // rows)
    padded = np.full(blocks * rows, -np.inf)
    padded[rows - 1 : rows - 1 + len(column)] = column
    table = padded.reshape(blocks, rows)
    forward = np.maximum.accumulate(table, axis=1).ravel()
    back = np.maximum.accumulate(table[:, ::-1], axis=1)[:, ::-1].ravel()
    return np.asarray(np.maximum(forward[rows - 1 : rows - 1 + len(column)], back[: len(column)]))


def _rungs(samples: Samples, held: Sequence[Held]) -> tuple[Whole, Mask]:
    """Give each row's rung by its place, -1 between two, and whether the opening is known at all."""
    rung = np.full(len(samples), -1)
    is_known = np.zeros(len(samples), dtype=np.bool_)
    if samples.throttle is not None:
        is_known |= np.isfinite(samples.throttle)
        for at, (low, high) in SPANS.items():
            rung[(samples.throttle >= low) & (samples.throttle <= high)] = RUNGS.index(at)
    for note in held:
        inside = (samples.time >= note.start) & (samples.time <= note.end)
        rung[inside] = RUNGS.index(note.at)
        is_known |= inside
    return rung, is_known
