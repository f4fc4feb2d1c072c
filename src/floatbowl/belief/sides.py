"""Two tables for every setup: fuel over the fuel wanted, of each main side and of each pilot side.

The main side of a setup is main jet, needle, clip and slide; the pilot side is
pilot jet and screw. The float is in both. Faults, model error and what each
engine wants belong to a draw, not to a setup, and are folded into both tables.

Source: own derivation, docs/model/every.md.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from floatbowl.belief.scene import LEAST_FUEL
from floatbowl.flow.breath import Breath
from floatbowl.flow.mixture import mixture

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from floatbowl.belief.scene import Stage
    from floatbowl.bike.day import Day
    from floatbowl.bike.setup import Setup
    from floatbowl.flow.parameters import Parameters
    from floatbowl.units import Real

    Array = NDArray[np.float64]
    Single = NDArray[np.float32]
    Whole = NDArray[np.int64]

_MOST_AT_ONCE = 16_384
"""Draws of all rows together that are worked out in one go, so that the room they take stays small."""
_Side = Literal["main", "pilot"]
_SIDES: dict[_Side, tuple[str, ...]] = {"main": ("main", "needle", "cutaway"), "pilot": ("pilot", "screw")}
"""The parts of each side."""
_PARTS: dict[str, tuple[str, ...]] = {
    "main": ("main",),
    "needle": ("needle", "clip_from_top", "needle_washer_mm"),
    "cutaway": ("cutaway",),
    "pilot": ("pilot",),
    "screw": ("screw_turns",),
}
"""The parts that are told apart, and the fields of a setup that say which is fitted."""
_MOVES: dict[str, tuple[str, ...]] = {
    "main": ("main_area",),
    "needle": ("needle_distances", "needle_diameters", "needle_position"),
    "cutaway": ("cutaway",),
    "pilot": ("pilot_area",),
    "screw": ("screw_turns",),
}
"""The flow parameters that each part moves, and no other part does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """Likely bikes on one day: rows of unknowns (draw, unknown) and faults (draw, 2) on their stage.

    ``setup`` is any setup with the float as it is to be; the other parts are swapped.
    """

    stage: Stage
    setup: Setup
    day: Day
    z: Array
    fault: Whole


def main_side(crowd: Crowd, setups: Sequence[Setup]) -> Single:
    """Give main fuel over all the fuel wanted, (setup, rung, draw), for the main side of each setup."""
    p = replace(_parameters(crowd, crowd.setup), pilot_outlet_area=0.0, bypass_share=0.0)
    return _share_of_wanted(crowd, p, setups, side="main")


def pilot_side(crowd: Crowd, setups: Sequence[Setup]) -> Single:
    """Give pilot fuel over all the fuel wanted, (setup, rung, draw), for the pilot side of each setup."""
    p = replace(_parameters(crowd, crowd.setup), signal_gain=0.0, ring_discharge=0.0)
    return _share_of_wanted(crowd, p, setups, side="pilot")


def _parameters(crowd: Crowd, setup: Setup) -> Parameters:
    return crowd.stage.parameters(setup, crowd.day, crowd.z, crowd.fault)


def _share_of_wanted(crowd: Crowd, p: Parameters, setups: Sequence[Setup], *, side: _Side) -> Single:
    """Run one side for all setups, many at a time; the other side of ``p`` is shut."""
    stage, draws = crowd.stage, len(crowd.z)
    breath = stage.air(crowd.day).at(p)
    wanted = _fuel_wanted(crowd, p, breath)
    moved = _Moved(crowd, _SIDES[side])
    out = np.empty((len(setups), wanted.shape[1], draws), dtype=np.float32)
    for first, some in _batches(setups, max(1, _MOST_AT_ONCE // draws)):
        each = Breath(table=np.tile(breath.table, (len(some), 1, 1, 1)))
        m = mixture(_stacked(p, [moved.of(setup) for setup in some], draws), stage.grid, breath=each)
        fuel = m.main_fuel if side == "main" else m.pilot_fuel
        kept = np.maximum(fuel, LEAST_FUEL * m.air)[:, :, 0].reshape(len(some), draws, -1)
        out[first : first + len(some)] = (kept / wanted).transpose(0, 2, 1)
    return out


def _fuel_wanted(crowd: Crowd, p: Parameters, breath: Breath) -> Array:
    """Give the fuel that each draw's engine wants, less its model error, (draw, rung), kg/s."""
    burns = np.reshape(p.dry_share / np.asarray(p.air_per_fuel), (-1, 1)) * breath.air[:, :, 0]
    stage = crowd.stage
    return np.asarray(burns / stage.wanted(crowd.z) * np.exp(-stage.strays(crowd.z)))


def _batches(setups: Sequence[Setup], size: int) -> Iterator[tuple[int, Sequence[Setup]]]:
    for first in range(0, len(setups), size):
        yield first, setups[first : first + size]


class _Moved:
    """What each part of a setup does to the flow parameters; each part is worked out once."""

    def __init__(self, crowd: Crowd, parts: tuple[str, ...]) -> None:
        self._crowd = crowd
        self._parts = parts
        self._known: dict[tuple[object, ...], dict[str, object]] = {}

    def of(self, setup: Setup) -> dict[str, object]:
        """Give the flow parameters that the parts of this side move."""
        fields: dict[str, object] = {}
        for part in self._parts:
            fields.update(self._by_part(part, setup))
        return fields

    def _by_part(self, part: str, setup: Setup) -> dict[str, object]:
        fitted = {field: getattr(setup, field) for field in _PARTS[part]}
        key = (part, *fitted.values())
        if key not in self._known:
            p = _parameters(self._crowd, replace(self._crowd.setup, **fitted))
            self._known[key] = {field: getattr(p, field) for field in _MOVES[part]}
        return self._known[key]


def _stacked(p: Parameters, rows: Sequence[dict[str, object]], draws: int) -> Parameters:
    """Give ``p`` once for each row, with the row's fields in it, as if all were draws of one bike."""
    fields = {name: getattr(p, name) for name in p.__dataclass_fields__}
    stacked = {
        name: _in_rows([row[name] for row in rows], draws) if name in rows[0] else _again(value, len(rows))
        for name, value in fields.items()
    }
    return replace(p, **stacked)  # type: ignore[arg-type]


def _again(value: object, times: int) -> object:
    if isinstance(value, tuple):
        return tuple(_again(item, times) for item in value)
    return np.tile(value, times) if isinstance(value, np.ndarray) and value.ndim else value


def _in_rows(values: Sequence[object], draws: int) -> object:
    """Put one value, or one tuple of them, for each row after each other, every one as wide as the draws."""
    if isinstance(values[0], tuple):
        most = max(len(value) for value in values if isinstance(value, tuple))
        longer = [_longer(value, most) for value in values if isinstance(value, tuple)]
        return tuple(_in_rows(items, draws) for items in zip(*longer, strict=True))
    return np.concatenate([np.broadcast_to(np.asarray(value, dtype=np.float64), draws) for value in values])


def _longer(stations: tuple[Real, ...], count: int) -> tuple[Real, ...]:
    """Say the last station again: the same needle, in as many stations as another has."""
    return (*stations, *(stations[-1:] * (count - len(stations))))
