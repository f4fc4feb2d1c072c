"""Swap lines: the air beyond which another part is the better bet.

A part is the better bet where it leaves fewer minutes of trouble, on the mean
of the likely bikes that are sound, everything else staying as it is. Its swap
line is where two of them leave the same. Each of the twenty has such a line of
its own, and those lines are how far the swap line is to be trusted.

Source: own derivation, docs/model/carry.md.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from floatbowl.advice.cost import minutes_left
from floatbowl.advice.rank import Panel
from floatbowl.belief.belief import OF
from floatbowl.bike.drawer import SCREW_FEWEST_TURNS, SCREW_MOST_TURNS, SCREW_STEPS
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.flow.stamps import jet_number

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from numpy.typing import NDArray

    from floatbowl.advice.air_way import AirWay
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.bike import Bike
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup
    from floatbowl.flow.breath import Breath

    Array = NDArray[np.float64]

SWAPPED = ("main", "pilot", "clip", "screw")
"""The parts that are swapped for the air, in the order in which they are thought of."""
_WEIGHED = 150
"""Draws on which the better bet is weighed, beside the twenty."""
_STEPS = 120
"""Places along the way at which the better bet is looked for before a line is drawn closer."""
_CLOSE = 1e-5
"""Thickness, kg/m3, to which a line is drawn: far closer than the digit shown."""
_LEAST_SIZE, _MOST_SIZE = 0.8, 1.25
"""Jets that far from the fitted one, as shares of its number, are not tried for another day's air."""
_CLIPS = 2
_ALL, _TWENTY = slice(None), slice(OF)
_LEFT_OUT = 2
"""Of the twenty, how many lie beyond each end of a range that holds 16 in 20."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """A value with how far it is to be trusted: 16 in 20 lie between ``low`` and ``high``.

    An end is None where it lies beyond what was gone through.
    """

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapLine:
    """Where one part takes over from another: ``thin`` the better bet in thinner air, ``thick`` in thicker.

    ``thickness`` is in kg/m3; ``there`` in metres up the hill, or in kelvin on
    the thermometer, as the way was that it lies on.
    """

    part: str
    thin: str | float
    thick: str | float
    thickness: Range
    there: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The air in which one part is the best bet, kg/m3, and the same on its way, in metres or kelvin.

    ``setup`` is the whole setup with that part in it.
    """

    part: str
    stamp: str | float
    setup: Setup
    thin: float
    thick: float
    there: tuple[float, float]


class Scan:
    """What setups would do along a way: worked out wholly at each of its days, and straight between them."""

    def __init__(self, belief: Belief, way: AirWay) -> None:
        """Look at the likely bikes once; ``belief`` is that of here and now."""
        self.belief = belief
        self.way = way
        self._panel = Panel.of(belief, weighed=_WEIGHED)
        self._known: dict[tuple[Setup, int], Array] = {}
        self._breaths: dict[int, Breath] = {}

    def _error(self, setup: Setup, k: int) -> Array:
        """Give the error of a setup on one of the days, (panel, rung); the twenty stand first."""
        key = (replace(setup, number=0), k)
        if key not in self._known:
            b, panel, day = self.belief, self._panel, self.way.days[k]
            z, fault = b.z[panel.draws], b.fault[panel.draws]
            if k not in self._breaths:
                self._breaths[k] = b.stage.breathed(b.setup, day, z, fault)
            seen = b.stage.seen(setup, day, z, fault, breath=self._breaths[k])
            self._known[key] = np.asarray(panel.now + (seen.error - panel.worked))
        return self._known[key]

    def errors_at(self, setup: Setup, thick: Array, *, who: slice | NDArray[np.bool_] = _ALL) -> Array:
        """Give the error at any thickness on the way, (thickness, panel, rung), of ``who`` on the panel."""
        knots = self.way.thick
        at = np.interp(thick, knots, np.arange(len(knots)))
        below = np.minimum(at.astype(np.int64), len(knots) - 2)
        needed = sorted({*below.tolist(), *(below + (at > below)).tolist()})
        errors = np.stack([self._error(setup, k)[who] for k in needed])
        share = (at - below)[:, None, None]
        low, high = (np.searchsorted(needed, below + step) for step in (0, 1))
        return np.asarray((1.0 - share) * errors[low] + share * errors[np.minimum(high, len(needed) - 1)])

    def left(self, setup: Setup, thick: Array) -> Array:
        """Give the mean minutes of trouble left on the sound bikes, (thickness,)."""
        return np.asarray(self._minutes(setup, thick, self._panel.sound).mean(axis=1))

    def left_of_twenty(self, setup: Setup, thick: Array) -> Array:
        """Give the minutes of trouble left of each of the twenty, (thickness, 20)."""
        return self._minutes(setup, thick, _TWENTY)

    def _minutes(self, setup: Setup, thick: Array, who: slice | NDArray[np.bool_]) -> Array:
        b = self.belief
        error = self.errors_at(setup, thick, who=who)
        return minutes_left(error, b.close_enough, strokes=b.bike.engine.strokes)


def bands_of(scan: Scan, part: str, drawer: Drawer, *, base: Setup | None = None) -> tuple[Band, ...]:
    """Give the stretches of the way in which each part of one kind is the best bet, thin air first.

    Everything else is as in ``base``, or else as it is fitted. None where only one part is at hand, or
    where the same one is the best bet everywhere and it is the fitted one.
    """
    fitted = base or scan.belief.setup
    tried = _in_reach(scan, candidates(scan.belief.bike, fitted, part, drawer))
    if not tried or tried == [fitted]:
        return ()
    places = np.linspace(scan.way.thick[0], scan.way.thick[-1], _STEPS + 1)
    best = np.argmin(np.stack([scan.left(setup, places) for setup in tried]), axis=0)
    turns = [k for k in range(_STEPS) if best[k] != best[k + 1]]
    edges = [
        _edge(_gain(scan.left, tried[best[k]], tried[best[k + 1]]), places[k], places[k + 1]) for k in turns
    ]
    order = [int(best[0]), *(int(best[k + 1]) for k in turns)]
    ends = [float(places[0]), *edges, float(places[-1])]
    return tuple(
        _band(scan.way, part, tried[k], low, high)
        for k, (low, high) in zip(order, pairwise(ends), strict=True)
    )


def _band(way: AirWay, part: str, setup: Setup, thin: float, thick: float) -> Band:
    there = way.there(np.array([thin, thick]))
    stamp = getattr(setup, PART_FIELDS[part])
    return Band(
        part=part, stamp=stamp, setup=setup, thin=thin, thick=thick, there=(float(there[0]), float(there[1]))
    )


def swap_lines(scan: Scan, bands: Iterable[Band]) -> tuple[SwapLine, ...]:
    """Give the lines between bands of one part, thin air first, each with those of the twenty."""
    return tuple(_line(scan, one, other) for one, other in pairwise(bands))


def _line(scan: Scan, thin: Band, thick: Band) -> SwapLine:
    own = _lines_of_twenty(scan, thin.setup, thick.setup)
    low, high = (float(np.sort(own)[k]) for k in (_LEFT_OUT, OF - 1 - _LEFT_OUT))
    ends = (float(scan.way.thick[0]), float(scan.way.thick[-1]))
    value = thick.thin
    inside = [end if ends[0] < end < ends[1] else None for end in (min(low, value), max(high, value))]
    # the thicker the air, the lower the hill and the colder the day
    low_there, high_there = (None if end is None else float(scan.way.there(end)) for end in inside[::-1])
    return SwapLine(
        part=thin.part,
        thin=thin.stamp,
        thick=thick.stamp,
        thickness=Range(value=value, low=inside[0], high=inside[1]),
        there=Range(value=float(scan.way.there(value)), low=low_there, high=high_there),
    )


def _lines_of_twenty(scan: Scan, thin: Setup, thick: Setup) -> Array:
    """Give where each of the twenty would swap, (20,): an end of the way where it lies beyond."""
    places = np.linspace(scan.way.thick[0], scan.way.thick[-1], _STEPS + 1)
    gain = _gain(scan.left_of_twenty, thin, thick)(places)
    # where a bike changes its mind more than once, it swaps where it has done so for half of those stretches
    return np.asarray(places[0] + (gain <= 0.0).mean(axis=0) * (places[-1] - places[0]))


def _gain(left: Callable[[Setup, Array], Array], thin: Setup, thick: Setup) -> Callable[[Array], Array]:
    """Give what a thick-air part saves over a thin-air one, by thickness."""
    return lambda thickness: left(thin, thickness) - left(thick, thickness)


def _edge(gain: Callable[[Array], Array], low: float, high: float) -> float:
    """Halve a stretch until the place where the gain turns is known."""
    while high - low > _CLOSE:
        middle = (low + high) / 2.0
        low, high = (low, middle) if gain(np.array([middle]))[0] > 0.0 else (middle, high)
    return (low + high) / 2.0


# --- what is tried -----------------------------------------------------------------------------------------


def candidates(bike: Bike, setup: Setup, part: str, drawer: Drawer) -> list[Setup]:
    """Give a setup with one part changed to each size at hand and near, its own among them, smallest first.

    None where what is fitted cannot be read.
    """
    grooves = (setup.needle or bike.carb.needle).grooves
    match part:
        case "main":
            values: list[str | float] = [*_jets_near(setup.main, drawer.mains, part=part)]
        case "pilot":
            values = [*_jets_near(setup.pilot, drawer.pilots, part=part)]
        case "clip":
            clip = setup.clip_from_top
            values = [*range(max(1, clip - _CLIPS), min(grooves, clip + _CLIPS) + 1)]
        case _:
            turned = sorted({setup.screw_turns, *(setup.screw_turns + step for step in SCREW_STEPS)})
            values = [t for t in turned if SCREW_FEWEST_TURNS <= t <= SCREW_MOST_TURNS]
    return [_with_part(setup, part, value) for value in values]


def _with_part(setup: Setup, part: str, value: str | float) -> Setup:
    changed: dict[str, Any] = {PART_FIELDS[part]: value}
    return replace(setup, **changed)


def _jets_near(fitted: str, held: Iterable[str], *, part: str) -> list[str]:
    """Give the fitted jet and those at hand that are near it in size, the smallest first."""
    here = jet_number(fitted, part=part)
    if here is None:
        return []
    numbers = {stamp: jet_number(stamp, part=part) for stamp in dict.fromkeys([fitted, *held])}
    sized = {stamp: float(number) for stamp, number in numbers.items() if number is not None}
    near = [stamp for stamp, number in sized.items() if _LEAST_SIZE <= number / float(here) <= _MOST_SIZE]
    return sorted(near, key=sized.__getitem__)


def _in_reach(scan: Scan, tried: list[Setup]) -> list[Setup]:
    """Give those between the best bets at both ends of the way; others are the best bet nowhere."""
    if not tried:
        return []
    ends = scan.way.thick[[0, -1]]
    best = np.argmin(np.stack([scan.left(setup, ends) for setup in tried]), axis=0)
    return tried[min(best) : max(best) + 1]
