"""What the engine breathes at each opening and speed, without any fuel in it.

``breathe`` runs the crank-angle model for each draw. ``AirTable`` runs it once
on a few values of what may be uncertain or broken and gives the rest by
straight lines between, one uncertain thing at a time: thousands of draws then
cost next to nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numba as nb
import numpy as np

from floatbowl.flow.air import ISA_DENSITY
from floatbowl.flow.choke import flap_hindrance
from floatbowl.flow.engine import NODES, WIDTH, Case, Out, breathe_cases
from floatbowl.flow.holes import round_area
from floatbowl.flow.slide import open_area, slide_discharge

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from floatbowl.bike.bike import Bike
    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]

NEEDLE_SHADOW = 0.096
"""Needle diameter over bore, for its shadow in the open area (judgement: 2.5 mm in a bore of 26)."""

PIPE_WIDTH = 0.22
"""Width of a tuned pipe's speed range as a share of its tuned speed (judgement)."""

LINE = ((0.0, 0.0), (0.0625, 0.20), (0.125, 0.28), (0.25, 0.45), (0.5, 0.70), (0.75, 0.87), (1.0, 1.0))
"""Riding line: opening, and speed as a share of the way from idle to greatest power (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Where to work it out: ``opening`` (throttle,), 0 to 1, and ``rpm`` (throttle, rpm)."""

    opening: Array
    rpm: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Breath:
    """Results of the air side; ``table`` is (draw or 1, throttle, rpm, ``Out``) in SI."""

    table: Array

    @property
    def flows(self) -> Array:
        """Give the pulse: signed carburettor flow in sorted slices, kg/s."""
        return self.table[..., :NODES]

    @property
    def carb_air(self) -> Array:
        """Give the mean air through the carburettor, kg/s."""
        return self.table[..., Out.CARB_AIR]

    @property
    def air(self) -> Array:
        """Give all the air the engine gets, leak included, kg/s."""
        return self.table[..., Out.CARB_AIR] + self.table[..., Out.LEAK_AIR]


def riding_line(bike: Bike, openings: Array) -> Grid:
    """Give the grid along which the bike is ridden: one speed in rpm for each opening, a share.

    Source: common practice, see ``LINE``.
    """
    idle, peak = bike.engine.idle_rpm.value, bike.engine.peak_rpm.value
    places, shares = zip(*LINE, strict=True)
    rpm = idle + (peak - idle) * np.interp(openings, places, shares)
    return Grid(opening=np.asarray(openings, dtype=np.float64), rpm=rpm[:, None])


def lift_at(p: Parameters, opening: Array) -> Array:
    """Give the slide's lift (draw, throttle) in m at each opening, a share of the way from stop to full.

    Source: own derivation; the cable is taken as straight.
    """
    idle = np.atleast_1d(np.asarray(p.idle_lift, dtype=np.float64))[:, None]
    full = np.atleast_1d(np.asarray(p.full_lift, dtype=np.float64))[:, None]
    return idle + opening * (full - idle)


def breathe(p: Parameters, grid: Grid) -> Breath:
    """Run the crank-angle model for every draw of ``p`` at every place of ``grid``.

    Source: own derivation, see ``flow.engine``.
    """
    rows = cases(p, grid)
    return Breath(table=breathe_cases(rows.reshape(-1, len(Case))).reshape(*rows.shape[:3], WIDTH))


def cases(p: Parameters, grid: Grid) -> Array:
    """Give what the crank-angle model needs to know, (draw, throttle, rpm, ``Case``), in SI and degrees.

    Source: own derivation, see ``flow.engine``.
    """
    rows = np.empty((p.draws, *grid.rpm.shape, len(Case)))
    lift = lift_at(p, grid.opening)
    bore = _column(p.bore)
    opening = lift / bore
    discharge = slide_discharge(opening) * _column(p.slide_discharge)
    slide = discharge * open_area(lift, bore, NEEDLE_SHADOW * bore)
    rows[..., Case.RPM] = grid.rpm
    rows[..., Case.SLIDE_AREA] = slide[:, :, None]
    rest = {
        Case.AMBIENT_PRESSURE: p.ambient_pressure,
        Case.AMBIENT_TEMPERATURE: p.ambient_temperature,
        Case.GAS_CONSTANT: p.gas_constant,
        Case.LEAK_AREA: p.leak_area,
        Case.INLET_LENGTH: p.inlet_length,
        Case.INLET_AREA: round_area(p.bore),
        Case.INLET_LOSS: p.inlet_loss,
        Case.PORT_VOLUME: p.port_volume,
        Case.FILTER_LOSS: p.filter_loss / np.square(p.full_flow) * ISA_DENSITY / np.asarray(p.air_density),
        Case.CHOKE_AREA: flap_hindrance(round_area(p.bore), p.choke_shut),
        Case.PORT_HEATING: p.port_heating,
        Case.SWEPT_VOLUME: p.swept_volume,
        Case.STROKE_TO_BORE: p.stroke_to_bore,
        Case.ROD_TO_STROKE: p.rod_to_stroke,
        Case.COMPRESSION_RATIO: p.compression_ratio,
        Case.VALVE_DIAMETER: p.valve_diameter,
        Case.VALVE_LIFT: p.valve_lift,
        Case.INLET_OPENS: p.inlet_opens,
        Case.INLET_SHUTS: p.inlet_shuts,
        Case.TRANSFER_OPENS: p.transfer_opens,
        Case.KIND: p.kind,
    }
    for place, value in rest.items():
        rows[..., place] = np.reshape(np.asarray(value, dtype=np.float64), (-1, 1, 1))
    tuned = pipe_pull(grid.rpm / _cube(p.peak_rpm), _cube(p.pipe_suction))
    rows[..., Case.BACK_PRESSURE] = _cube(p.back_pressure) - tuned
    return rows


def pipe_pull(speed: Array, suction: Array) -> Array:
    """Give the share of ambient pressure that a tuned two-stroke pipe takes off while the transfers are open.

    ``speed`` is over that of greatest power, where the pipe is tuned; away from
    it the pull fades.

    Source: judgement, a bell of a quarter of the tuned speed; it gives the
    delivery of ordinary engines, 0.6 to 0.9 of the swept volume at full opening.
    """
    return suction * np.exp(-0.5 * ((speed - 1.0) / PIPE_WIDTH) ** 2)


def _cube(value: object) -> Array:
    return np.asarray(value, dtype=np.float64).reshape(-1, 1, 1)


def _column(value: object) -> Array:
    return np.atleast_1d(np.asarray(value, dtype=np.float64))[:, None]


@dataclass(frozen=True, slots=True, kw_only=True)
class AirTable:
    """The air side around one middle bike, ready for many draws.

    ``middle`` is (throttle, rpm, ``Out``). Each uncertain field has its knots;
    ``added`` (all knots, throttle, rpm, ``Out``) is what each knot adds to the
    middle run, field after field, from the places in ``first``.
    """

    middle: Array
    fields: tuple[str, ...]
    knots: tuple[Array, ...]
    first: tuple[int, ...]
    added: Array

    @property
    def middle_air(self) -> Array:
        """Give all the air of the middle bike, (throttle, rpm), kg/s."""
        return np.asarray(self.middle[..., Out.CARB_AIR] + self.middle[..., Out.LEAK_AIR])

    @classmethod
    def around(cls, p: Parameters, grid: Grid, *, knots: Mapping[str, Array]) -> AirTable:
        """Run the middle bike ``p`` and every knot of every field in ``knots``, in one go."""
        names = [(field, float(value)) for field, values in knots.items() for value in values]
        changed = {
            field: np.array([getattr(p, field)] + [v if f == field else getattr(p, field) for f, v in names])
            for field in knots
        }
        table = _logs(breathe(replace(p, **changed), grid).table)  # type: ignore[arg-type]
        counts = [len(values) for values in knots.values()]
        return cls(
            middle=table[0],
            fields=tuple(knots),
            knots=tuple(np.asarray(values, dtype=np.float64) for values in knots.values()),
            first=tuple(int(sum(counts[:k])) for k in range(len(counts))),
            added=table[1:] - table[0],
        )

    def at(self, p: Parameters, *, throttles: tuple[int, ...] | None = None) -> Breath:
        """Give the breath of every draw of ``p``, which may differ from the middle in these fields only.

        ``throttles`` picks places of the table's grid; all of them unless given.
        Beyond its last knot a field counts as that knot.
        """
        picked = list(range(self.middle.shape[0]) if throttles is None else throttles)
        draws = p.draws
        below = np.empty((draws, len(self.fields)), dtype=np.int64)
        share = np.empty((draws, len(self.fields)))
        for k, (field, knots) in enumerate(zip(self.fields, self.knots, strict=True)):
            at = np.interp(np.asarray(getattr(p, field), dtype=np.float64), knots, np.arange(len(knots)))
            whole = np.minimum(at.astype(np.int64), len(knots) - 2)
            below[:, k] = self.first[k] + whole
            share[:, k] = at - whole
        middle = self.middle[picked]
        flat = self.added[:, picked].reshape(self.added.shape[0], -1)
        total = _add_up(middle.reshape(-1), flat, below, share)
        return Breath(table=_plain(total.reshape(draws, *middle.shape)))


@nb.njit(cache=True, nogil=True, error_model="numpy", parallel=True)
def _add_up(
    middle: NDArray[np.float64],
    added: NDArray[np.float64],
    below: NDArray[np.int64],
    share: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Add to the middle what each field adds, by straight lines between its knots: (draw, everything)."""
    draws, fields = below.shape
    out = np.empty((draws, middle.shape[0]))
    for d in nb.prange(draws):
        out[d] = middle
        for k in range(fields):
            low = added[below[d, k]]
            high = added[below[d, k] + 1]
            up = share[d, k]
            for i in range(middle.shape[0]):
                out[d, i] += (1.0 - up) * low[i] + up * high[i]
    return out


def _logs(table: Array) -> Array:
    """Take logarithms of the pulls, which run over orders of magnitude."""
    out = table.copy()
    out[..., Out.PILOT_PULL] = np.log(np.maximum(out[..., Out.PILOT_PULL], 1e-3))
    return out


def _plain(table: Array) -> Array:
    table[..., Out.PILOT_PULL] = np.exp(table[..., Out.PILOT_PULL])
    return table
