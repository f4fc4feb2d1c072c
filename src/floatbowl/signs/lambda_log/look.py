"""What must be known of a log before its rows are gone through: how late the probe is, when it woke."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.lambda_log import delay
from floatbowl.signs.lambda_log.delay import Delay, Stretch
from floatbowl.signs.lambda_log.samples import usual_step

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from floatbowl.signs.lambda_log.samples import Samples

    Array = NDArray[np.float64]

FIRED = Figure(400.0, 200.0, 700.0, "judgement: below this an engine does not run, rpm")
IDLE_USUAL = Figure(
    1500.0, 1100.0, 2000.0, "judgement: idle of a small engine, rpm, where the log never idles"
)
AWAKE = 0.02
"""Change of lambda, in 2 seconds, that shows a probe to be awake (judgement)."""
AFTER_WAKING = 5.0
"""Seconds after a probe's first change that are not yet trusted (judgement)."""
CAN_BE = (0.5, 2.0)
"""Lambda outside this is no number of a running engine's probe."""
_AT_AN_END = 0.002
"""Share of rows at exactly the outermost number from which that is the end of the scale (judgement)."""


@dataclass(frozen=True, slots=True)
class Known:
    """What holds for the whole log, times in seconds; ``low`` and ``high`` are the scale's ends, or nan."""

    step: float
    delay: Delay
    awake_at: float
    low: float
    high: float
    idle: float
    """Engine speed at idle, rpm."""


def look(stretches: Sequence[Samples]) -> Known:
    """Look at pieces of a log, the first of which is its beginning."""
    low, high = _ends(stretches)
    awake = _awake_at(stretches[0])
    return Known(
        step=float(np.median([usual_step(one.time) for one in stretches])),
        delay=delay.estimate([_stretch(one, low, high, awake) for one in stretches if _moves(one)]),
        awake_at=awake,
        low=low,
        high=high,
        idle=_idle(stretches),
    )


def _moves(one: Samples) -> bool:
    return len(one) > 1 and one.lam is not None and (one.throttle is not None or one.rpm is not None)


def _stretch(one: Samples, low: float, high: float, awake: float) -> Stretch:
    """Give what the probe showed where it could tell, and what moved it."""
    lam = np.asarray(one.lam)
    tells = usable(lam) & (lam != low) & (lam != high) & (one.time >= awake)
    drivers = [] if one.throttle is None else [one.throttle]
    if one.rpm is not None:
        drivers.append(np.log(np.maximum(one.rpm, FIRED.value)))
    return Stretch(one.time, np.where(tells, lam, np.nan), np.column_stack(drivers))


def usable(lam: Array) -> NDArray[np.bool_]:
    """Say which rows hold a lambda at all."""
    return np.isfinite(lam) & (lam > CAN_BE[0]) & (lam < CAN_BE[1])


def _ends(stretches: Sequence[Samples]) -> tuple[float, float]:
    """Give the numbers at which the scale ends: outermost, and shown too often to be chance."""
    lam = np.concatenate([np.asarray(one.lam) for one in stretches])
    lam = lam[usable(lam)]
    if len(lam) == 0:
        return np.nan, np.nan
    often = max(3.0, _AT_AN_END * len(lam))
    low, high = float(lam.min()), float(lam.max())
    return (
        low if (lam == low).sum() > often and _stands_apart(lam, low) else np.nan,
        high if (lam == high).sum() > often and _stands_apart(lam, high) else np.nan,
    )


def _stands_apart(lam: Array, end: float) -> bool:
    """Say whether the outermost number is shown far more often than its neighbours."""
    values, counts = np.unique(lam, return_counts=True)
    inner = counts[1:6] if end == values[0] else counts[-6:-1]
    return len(inner) == 0 or counts[values == end][0] > 3.0 * inner.mean()


def _awake_at(first: Samples) -> float:
    """Give when the probe first moved, and a while after; the beginning if it was awake then."""
    lam, time = np.asarray(first.lam), first.time
    good = usable(lam)
    if not good.any():
        return float(time[-1])
    step = max(1, round(2.0 / usual_step(time)))
    early = np.flatnonzero(good & (time <= time[0] + 2.0))
    if len(early) and np.ptp(lam[early]) > AWAKE:
        return float(time[0])
    moved = np.flatnonzero(good[step:] & good[:-step] & (np.abs(lam[step:] - lam[:-step]) > AWAKE))
    if not len(moved):
        return float(time[0])
    return float(time[moved[0] + step] + AFTER_WAKING)


def _idle(stretches: Sequence[Samples]) -> float:
    """Give the engine speed at idle: the slowest it runs at for a while."""
    speeds = [one.rpm for one in stretches if one.rpm is not None]
    if not speeds:
        return IDLE_USUAL.value
    rpm = np.concatenate(speeds)
    rpm = rpm[np.isfinite(rpm) & (rpm > FIRED.value)]
    if not len(rpm):
        return IDLE_USUAL.value
    return float(min(np.quantile(rpm, 0.05), IDLE_USUAL.high))
