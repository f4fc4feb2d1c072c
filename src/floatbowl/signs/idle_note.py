"""The idle by ear: whether it hunts, how even it is, how long it hangs after a blip, whether it sinks.

Its speed says nothing by itself, since the idle stop may stand anywhere. Hunting
is told by makers under lean and under rich alike; hanging and wandering go with
a lean idle and with air that leaks in.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import Rung
from floatbowl.figures import Figure
from floatbowl.signs.rises import rises

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.faults import Ailment
    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import IdleNoteReading

    Array = NDArray[np.float64]

QUESTION = "Record ten seconds of idle, warm, and one blip: does it hunt, does it hang, does it sink?"

SHORT_AT = Figure(0.10, 0.05, 0.16, "judgement: shortage at idle from which a lean idle is heard")
RICH_AT = Figure(0.16, 0.08, 0.25, "judgement: excess at idle from which a rich idle is heard")
AIR_AT = Figure(0.20, 0.10, 0.35, "judgement: extra air at idle, as a share, from which a leak is heard")

HUNTS_ANYWAY = Figure(0.05, 0.02, 0.10, "judgement: a light flywheel hunts a little by itself")
HUNTS_SHORT = Figure(0.55, 0.35, 0.75, "judgement: hunting stands first under lean")
HUNTS_RICH = Figure(0.25, 0.10, 0.40, "judgement: makers' lists have hunting under rich as well")
HUNTS_LEAKING = Figure(0.40, 0.20, 0.60, "judgement: air that leaks in makes an idle wander and hunt")
HUNTS_AILING = Figure(0.30, 0.10, 0.50, "judgement: worn seats and tight valves hunt")
"""Share of idles that hunt, for each cause."""

UNEVEN_ANYWAY = Figure(0.15, 0.08, 0.30, "judgement: many a sound single idles unevenly")
UNEVEN_SHORT = Figure(0.45, 0.25, 0.65, "judgement: a lean idle misses strokes")
UNEVEN_RICH = Figure(0.40, 0.20, 0.60, "judgement: a rich idle misses strokes too")
UNEVEN_LEAKING = Figure(0.50, 0.30, 0.70, "judgement: an idle that is high and wanders speaks of a leak")
UNEVEN_AILING = Figure(0.40, 0.20, 0.60, "judgement: weak spark, bad fuel and a tight valve miss strokes")
"""Share of idles that are uneven, for each cause."""
EVEN_WANDER = Figure(0.010, 0.004, 0.025, "judgement: wander of an even idle, as a share of its speed")
UNEVEN_WANDER = Figure(0.035, 0.012, 0.10, "judgement: wander of an uneven idle")

HANGS_ANYWAY = Figure(0.04, 0.02, 0.10, "judgement: a cable that drags, a stop set high")
HANGS_SHORT = Figure(0.50, 0.30, 0.70, "judgement: a lean idle comes down slowly")
HANGS_LEAKING = Figure(0.65, 0.45, 0.85, "judgement: a leak keeps the revs up")
HANGS_STICKING = Figure(0.75, 0.50, 0.90, "judgement: a slide that does not come home keeps them up")
"""Share of blips after which it hangs, for each cause."""
SETTLES_IN = Figure(0.55, 0.25, 1.2, "judgement: seconds of the last of the fall of a sound single")
HANGS_FOR = Figure(2.0, 0.9, 4.5, "judgement: seconds of the last of the fall where it hangs")

SINKS_ANYWAY = Figure(0.08, 0.03, 0.20, "judgement: an idle set low sinks by itself")
SINKS_RICH = Figure(0.50, 0.30, 0.70, "judgement: a rich idle comes down dead and recovers")
"""Share of blips after which it sinks below its idle and comes back."""

ASTRAY = Figure(0.05, 0.02, 0.10, "judgement: not warm yet, a hand that moved")
"""Share of what is heard that says nothing of the bike."""
_LEAST, _MOST = float(np.log(0.0005)), float(np.log(20.0))
"""Where, as a logarithm, a stray wander or a stray time of hanging may lie."""
_MISSES: tuple[Ailment, ...] = ("weak spark", "stale fuel", "tight valve")


@dataclass(frozen=True, slots=True)
class Drawn:
    """What each draw's idle would sound like, (draw,): wander as a share, the hang in seconds."""

    hunts: NDArray[np.bool_]
    wander: Array
    hangs: Array
    sinks: NDArray[np.bool_]


def share_hunts(seen: Seen) -> Array:
    """Give how often each draw's idle is heard to hunt, (draw,)."""
    short, rich, air = _causes(seen)
    ailing = HUNTS_AILING.value * seen.ails("tight valve")
    causes = (HUNTS_SHORT.value * short, HUNTS_RICH.value * rich, HUNTS_LEAKING.value * air, ailing)
    return _any_of(HUNTS_ANYWAY.value, *causes)


def share_uneven(seen: Seen) -> Array:
    """Give how often each draw's idle is uneven, (draw,)."""
    short, rich, air = _causes(seen)
    ailing = np.max([seen.ails(one) for one in _MISSES], axis=0)
    causes = (UNEVEN_SHORT.value * short, UNEVEN_RICH.value * rich, UNEVEN_LEAKING.value * air)
    return _any_of(UNEVEN_ANYWAY.value, *causes, UNEVEN_AILING.value * ailing)


def share_hangs(seen: Seen) -> Array:
    """Give how often each draw hangs after a blip, (draw,)."""
    short, _, air = _causes(seen)
    sticking = HANGS_STICKING.value * seen.ails("sticking slide")
    return _any_of(HANGS_ANYWAY.value, HANGS_SHORT.value * short, HANGS_LEAKING.value * air, sticking)


def share_sinks(seen: Seen) -> Array:
    """Give how often each draw sinks below its idle after a blip, (draw,)."""
    _, rich, _ = _causes(seen)
    return _any_of(SINKS_ANYWAY.value, SINKS_RICH.value * rich)


def _causes(seen: Seen) -> tuple[Array, Array, Array]:
    """Give how much each draw's idle is short, rich, and full of extra air: each from 0 to 1."""
    error = seen.error_at(Rung.SHUT)
    short = rises(-error - SHORT_AT.value, width=0.03)
    rich = rises(error - RICH_AT.value, width=0.04)
    return short, rich, rises(seen.extra_air - AIR_AT.value, width=0.05)


def _any_of(*shares: Array | float) -> Array:
    """Give how often at least one cause is at work, each by itself.

    >>> float(_any_of(0.5, 0.5))
    0.75
    """
    left: Array | float = 1.0
    for share in shares:
        left = left * (1.0 - share)
    return np.asarray(1.0 - left)


def log_likelihood(reading: IdleNoteReading, seen: Seen) -> Array:
    """Give the logarithm of the density of what was heard for each draw, (draw,).

    What was not listened for, as the hang without a blip, says nothing. How
    uneven an idle is counts where it does not hunt: one cause is told once.
    """
    total = _log_share(share_hunts(seen), is_so=reading.hunts_per_s is not None)
    if reading.hunts_per_s is None:
        total = total + _log_of_two(
            reading.wander_pct / 100.0, share_uneven(seen), EVEN_WANDER, UNEVEN_WANDER
        )
    if reading.hangs_s is not None:
        total = total + _log_of_two(reading.hangs_s, share_hangs(seen), SETTLES_IN, HANGS_FOR)
    if reading.after_blip is not None:
        total = total + _log_share(share_sinks(seen), is_so=reading.after_blip == "sinks")
    return np.asarray(total)


def _log_share(share: Array, *, is_so: bool) -> Array:
    mixed = ASTRAY.value / 2.0 + (1.0 - ASTRAY.value) * share
    return np.asarray(np.log(mixed if is_so else 1.0 - mixed))


def _log_of_two(value: float, share: Array, usual: Figure, worse: Figure) -> Array:
    """Give the logarithm of the density, in the value's logarithm, of one of two kinds or a stray one."""
    at = float(np.log(max(value, 1e-3)))
    told = (1.0 - share) * _bell(at, usual) + share * _bell(at, worse)
    return np.asarray(np.log((1.0 - ASTRAY.value) * told + ASTRAY.value / (_MOST - _LEAST)))


def _bell(at: float, kind: Figure) -> float:
    off = (at - float(np.log(kind.value))) / kind.log_spread
    return float(np.exp(-0.5 * off**2) / (kind.log_spread * np.sqrt(2.0 * np.pi)))


def draw(seen: Seen, rng: Generator) -> Drawn:
    """Draw what each draw's idle would sound like."""
    return Drawn(
        hunts=_drawn_share(share_hunts(seen), rng),
        wander=_drawn_of_two(share_uneven(seen), EVEN_WANDER, UNEVEN_WANDER, rng),
        hangs=_drawn_of_two(share_hangs(seen), SETTLES_IN, HANGS_FOR, rng),
        sinks=_drawn_share(share_sinks(seen), rng),
    )


def _drawn_share(share: Array, rng: Generator) -> NDArray[np.bool_]:
    return np.asarray(rng.random(share.shape) < ASTRAY.value / 2.0 + (1.0 - ASTRAY.value) * share)


def _drawn_of_two(share: Array, usual: Figure, worse: Figure, rng: Generator) -> Array:
    is_worse = rng.random(share.shape) < share
    middle = np.where(is_worse, np.log(worse.value), np.log(usual.value))
    spread = np.where(is_worse, worse.log_spread, usual.log_spread)
    told = middle + spread * rng.standard_normal(share.shape)
    stray = rng.uniform(_LEAST, _MOST, share.shape)
    return np.asarray(np.exp(np.where(rng.random(share.shape) < ASTRAY.value, stray, told)))
