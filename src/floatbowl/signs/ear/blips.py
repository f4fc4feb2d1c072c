"""What the engine does after a blip: how long it hangs, and whether it sinks below its idle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear.comb import HOP
from floatbowl.signs.ear.idle import idle_speed

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.track import Track

    Array = NDArray[np.float64]

LEAST_TOP = 1.7
"""Speed over the idle that makes a blip."""
FROM, TO = 0.5, 0.1
"""The fall is timed from half of the way down to a tenth of it, over the idle."""
_SINKS = 0.08
"""How far under its idle, as a share, it must go to be said to sink."""
_AFTER = 3.0
"""Seconds after the fall in which it may sink and come back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blip:
    """One blip: when it was quickest, how quick, seconds of the last of the fall, and whether it sank."""

    at: float
    top_rpm: float
    hangs: float
    """Seconds from half of the way down to a tenth of the way above the idle."""
    sinks: bool


def blips(track: Track) -> tuple[Blip, ...]:
    """Give every blip of a track that fell back to the idle again."""
    idle = idle_speed(track)
    if idle is None:
        return ()
    above = track.rpm > LEAST_TOP * idle
    edges = np.flatnonzero(np.diff(np.concatenate([[False], above, [False]]).astype(int)))
    found = [_blip(track, idle, int(first), int(last)) for first, last in edges.reshape(-1, 2)]
    return tuple(blip for blip in found if blip is not None)


def _blip(track: Track, idle: float, first: int, last: int) -> Blip | None:
    top = first + int(track.rpm[first:last].argmax())
    height = float(track.rpm[top]) - idle
    falling = track.rpm[top:] - idle
    half = _first(falling < FROM * height)
    down = _first(falling < TO * height)
    if half is None or down is None:
        return None
    after = track.rpm[top + down : top + down + round(_AFTER / HOP)]
    return Blip(
        at=float(track.seconds[top]),
        top_rpm=float(track.rpm[top]),
        hangs=(down - half) * HOP,
        sinks=bool(np.quantile(after, 0.05) < (1.0 - _SINKS) * idle),
    )


def _first(where: NDArray[np.bool_]) -> int | None:
    """Give the first place that holds, or None."""
    return int(where.argmax()) if where.any() else None
