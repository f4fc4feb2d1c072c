"""What an idle does by ear: how quick, how even, and whether it goes up and down in a beat of its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.ear.comb import HOP

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.track import Track

    Array = NDArray[np.float64]

SLOWEST_HUNT, QUICKEST_HUNT = 0.2, 2.5
"""How often in a second an idle may hunt."""
LEAST_DEPTH = Figure(0.025, 0.015, 0.04, "judgement: what a person hears as up and down")
"""How far up and down, as a share of the speed, an idle must go to be said to hunt."""
LEAST_OF_ALL = Figure(0.5, 0.35, 0.65, "judgement: a hunt is a beat, not a wander; tried on made-up sounds")
"""Share of all its movement that must lie in one beat."""
QUICKEST_IDLE = Figure(
    3200.0, 2500.0, 4000.0, "judgement: no small single idles above, but for a stuck slide"
)
"""Speed in rpm above which it is taken for a held throttle."""
_FINE = 4
"""Beats looked at, for each that the recording can tell apart."""
_RIDDEN = 1.5
"""Speed over the usual one beyond which it is no idle, but a hand on the throttle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IdleHeard:
    """An idle by ear: rpm and its standard deviation, wander as a share, and how it hunts if it does."""

    rpm: float
    spread: float
    wander: float
    """How uneven it was: standard deviation over the speed, a hunt left out."""
    hunts: float | None
    """Times up and down in a second; None where it does not hunt."""
    depth: float
    """How far it hunts up and down, as a share of the speed."""


def idle_heard(track: Track) -> IdleHeard | None:
    """Give the idle in a track; None where there is none, as when the throttle was never shut."""
    usual = idle_speed(track)
    if usual is None:
        return None
    here = track.is_heard & (track.rpm < _RIDDEN * usual) & (track.rpm > usual / _RIDDEN)
    line = np.log(track.rpm[here] / usual)
    hunts, depth, rest = _hunt(track.seconds[here], line)
    doubt = float(np.median(track.spread[here] / track.rpm[here]))
    wander = float(np.sqrt(max(_robust(rest) ** 2 - doubt**2, 0.0)))
    alone = max(len(line) * HOP, 1.0)
    return IdleHeard(
        rpm=float(np.exp(line.mean()) * usual),
        spread=usual * float(np.sqrt(doubt**2 + wander**2 / alone)),
        wander=wander,
        hunts=hunts,
        depth=depth,
    )


def idle_speed(track: Track) -> float | None:
    """Give the speed it comes back to: the middle of the lower half of what was heard."""
    if not track.is_told or not track.is_heard.any():
        return None
    speeds = track.rpm[track.is_heard]
    low = float(np.median(speeds[speeds <= np.median(speeds)]))
    near = speeds[(speeds < _RIDDEN * low) & (speeds > low / _RIDDEN)]
    return float(np.median(near))


def is_idle(track: Track) -> bool:
    """Say whether a track is an idle, with or without blips, and no engine held or pulled."""
    usual = idle_speed(track)
    if usual is None or usual > QUICKEST_IDLE.value:
        return False
    heard = track.rpm[track.is_heard]
    near = (heard < _RIDDEN * usual) & (heard > usual / _RIDDEN)
    return bool(near.mean() > _MOSTLY)


_MOSTLY = 0.5


def _robust(values: Array) -> float:
    """Give the standard deviation, by the middle half, which a stray moment does not move."""
    low, high = np.quantile(values, (0.25, 0.75))
    return float((high - low) / 1.349)


def _hunt(seconds: Array, line: Array) -> tuple[float | None, float, Array]:
    """Give how often it hunts, how deep, and what is left of the movement without it.

    A beat is fitted at every rate; it is a hunt where one beat holds most of
    all movement and goes deep enough.
    """
    span = float(seconds[-1] - seconds[0])
    bare = line - np.polyval(np.polyfit(seconds, line, 1), seconds)
    rates = np.arange(max(SLOWEST_HUNT, 2.0 / span), QUICKEST_HUNT, 1.0 / (_FINE * span))
    if len(rates) == 0:
        return None, 0.0, bare
    fitted = [_fitted(seconds, bare, rate) for rate in rates]
    best = int(np.argmax([float(one.var()) for one in fitted]))
    beat = fitted[best]
    depth = float(np.sqrt(2.0) * beat.std())
    is_hunt = depth > LEAST_DEPTH.value and float(beat.var()) > LEAST_OF_ALL.value * float(bare.var())
    return (float(rates[best]), depth, bare - beat) if is_hunt else (None, 0.0, bare)


def _fitted(seconds: Array, line: Array, rate: float) -> Array:
    """Give the beat of a rate that fits best, its loudness and place bending slowly."""
    turn = 2.0 * np.pi * rate * seconds
    slow = np.linspace(-1.0, 1.0, len(seconds))
    basis = np.stack([np.cos(turn), np.sin(turn), slow * np.cos(turn), slow * np.sin(turn)], axis=1)
    return np.asarray(basis @ np.linalg.lstsq(basis, line, rcond=None)[0])
