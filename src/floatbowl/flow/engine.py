"""How much air the engine asks for, and how it pulses, one crank degree at a time.

Two volumes (port, and cylinder or crankcase) and one column of air that has
inertia. The slide is a compressible orifice at the mouth of the column. Nothing
here knows of fuel, so one run serves every jetting of the drawer.

Source: own derivation from the filling-and-emptying method (lumped volumes,
quasi-steady orifices, one inertial column); checked against a general-purpose
ODE solver in ``tests/flow/test_engine.py``.
"""

from __future__ import annotations

import math
from enum import IntEnum
from typing import TYPE_CHECKING

import numba as nb
import numpy as np

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.typing import NDArray

NODES = 24
"""How many equal slices of a cycle, sorted by flow, stand for the pulse."""

MOST_CYCLES = 24
"""Cycles after which a run is taken as it is; most settle within six."""

SETTLED = 2e-4
"""Relative change of the mean air flow between cycles at which a run has settled."""

REED_CRACK = Figure(200.0, 50.0, 800.0, "judgement: stiffness of small reeds, no measurement at hand")
"""Pressure difference at which a reed begins to lift, Pa."""
REED_FULL = Figure(2500.0, 1000.0, 6000.0, "judgement: stiffness of small reeds, no measurement at hand")
"""Pressure difference at which a reed stands fully open, Pa."""
REED_LAG = Figure(0.0005, 0.0002, 0.0015, "judgement: a fifth of the period of small reed petals")
"""Time in which a reed follows, s."""
RESIDUAL_TEMPERATURE = Figure(900.0, 700.0, 1100.0, "heywood1988 ch. 6, from memory")
"""Temperature of the gas left in the cylinder when the inlet opens, K."""
VALVE_DISCHARGE = Figure(0.62, 0.55, 0.70, "heywood1988 ch. 6, from memory")
"""Discharge of a poppet valve on its curtain area, and of ports."""
TRANSFER_AREA_SHARE = Figure(0.45, 0.30, 0.60, "judgement: transfer area against piston area")
"""Open transfer area of a two-stroke as a share of the piston's area."""


class Case(IntEnum):
    """Columns of the case matrix, one row for each run. SI units; crank angles in degrees."""

    RPM = 0
    AMBIENT_PRESSURE = 1
    AMBIENT_TEMPERATURE = 2
    GAS_CONSTANT = 3
    SLIDE_AREA = 4
    LEAK_AREA = 5
    INLET_LENGTH = 6
    INLET_AREA = 7
    INLET_LOSS = 8
    PORT_VOLUME = 9
    FILTER_LOSS = 10
    CHOKE_AREA = 11
    PORT_HEATING = 12
    SWEPT_VOLUME = 13
    STROKE_TO_BORE = 14
    ROD_TO_STROKE = 15
    COMPRESSION_RATIO = 16
    VALVE_DIAMETER = 17
    VALVE_LIFT = 18
    INLET_OPENS = 19
    INLET_SHUTS = 20
    TRANSFER_OPENS = 21
    BACK_PRESSURE = 22
    KIND = 23


VALVE, REED, PISTON_PORT = 0.0, 1.0, 2.0


class Out(IntEnum):
    """Columns of the result, after the ``NODES`` slices of signed carburettor flow (kg/s)."""

    CARB_AIR = NODES
    """Mean air through the carburettor, kg/s."""
    LEAK_AIR = NODES + 1
    PILOT_PULL = NODES + 2
    """Mean pull at the pilot outlet as a gas feels it: the square of the mean root, Pa."""
    FILTER_DROP = NODES + 3
    """Fall of pressure across the filter, Pa."""
    PUMPING = NODES + 4
    """Mean effective pressure lost in pumping (four-stroke), Pa."""
    RESIDUAL = NODES + 5
    """Share of burnt gas in the charge (four-stroke)."""
    PORT_PULL = NODES + 6
    """Plain mean of ambient less port pressure, Pa."""
    CYCLES = NODES + 7


WIDTH = NODES + 8

_GAMMA = 1.4
_CV = 1.0 / (_GAMMA - 1.0)
_CP = _GAMMA / (_GAMMA - 1.0)
_SMALL = 5e-4
COLUMN_BEHIND = Figure(0.7, 0.5, 0.9, "judgement: the slide sits in the first third of the inlet")
"""Share of the air column that lies between slide and port; the pilot outlet is before it."""
_BEHIND = COLUMN_BEHIND.value
_CRACK, _FULL, _LAG = REED_CRACK.value, REED_FULL.value, REED_LAG.value
_RESIDUAL_T, _CD_VALVE, _TRANSFER = (
    RESIDUAL_TEMPERATURE.value,
    VALVE_DISCHARGE.value,
    TRANSFER_AREA_SHARE.value,
)
_DEGREE = math.pi / 180.0
_BACK = 1.3
"""Temperature of gas pushed back through the transfers, as a multiple of the ambient one (judgement)."""

_kernel = nb.njit(cache=True, nogil=True, error_model="numpy")


@_kernel
def _psi(ratio: float) -> float:
    """Give the compressible flow function for air, made linear in the last 0.05 % so that it stays smooth."""
    if ratio <= 0.5282817877171742:  # noqa: PLR2004
        return 0.6847314563772704
    if ratio > 1.0 - _SMALL:
        s = (1.0 - _SMALL) ** (2.0 / 7.0)
        return math.sqrt(7.0 * s**5 * (1.0 - s)) * (1.0 - ratio) / _SMALL
    s = ratio ** (2.0 / 7.0)
    return math.sqrt(7.0 * s * s * s * s * s * (1.0 - s))


@_kernel
def _orifice(area: float, p1: float, t1: float, p2: float, t2: float, gas: float) -> float:
    """Give the signed mass flow from side 1 to side 2 through an effective area."""
    if p1 >= p2:
        return area * p1 * _psi(p2 / p1) / math.sqrt(gas * t1)
    return -area * p2 * _psi(p1 / p2) / math.sqrt(gas * t2)


@_kernel
def _downstroke(angle: float, rod: float) -> float:
    """Give the piston's way from top dead centre as a share of the stroke; ``rod`` is rod over stroke."""
    lam = 0.5 / rod
    s = lam * math.sin(angle)
    return 0.5 * (1.0 - math.cos(angle)) + 0.5 * (1.0 - math.sqrt(1.0 - s * s)) / lam


@_kernel
def _valve_area(degree: float, opens: float, shuts: float, diameter: float, lift: float) -> float:
    """Give the open area of a poppet valve: curtain under a squared-sine lift, at most 0.88 of the seat."""
    since = degree + opens
    if since >= 720.0:  # noqa: PLR2004
        since -= 720.0
    duration = opens + 180.0 + shuts
    if since >= duration:
        return 0.0
    s = math.sin(math.pi * since / duration)
    return min(math.pi * diameter * lift * s * s, 0.88 * 0.25 * math.pi * diameter * diameter)


@_kernel
def _port_share(way: float, way_at_opening: float) -> float:
    """Give the uncovered share of a piston-controlled port that reaches full at 70 % of its height."""
    if way_at_opening <= 0.0:
        return 0.0
    return min(1.0, max(0.0, (way_at_opening - way) / (0.7 * way_at_opening)))


@_kernel
def _column(flow: float, drive: float, resist: float, step: float) -> float:
    """Move the air column on by one step, the square-law resistance taken implicitly."""
    return (flow + step * (drive + resist * flow * abs(flow))) / (1.0 + 2.0 * step * resist * abs(flow))


@_kernel
def _no_crossing(into: float, dt: float, p_port: float, p_end: float, stiff: float) -> float:
    """Hold a flow back to what brings the two sides level within one step."""
    level = (p_port - p_end) / (stiff * dt)
    if abs(into) > abs(level):
        return level
    return into


@_kernel
def _geometry(c: NDArray[np.float64], steps: int, table: NDArray[np.float64]) -> None:
    """Fill (angle, quantity): volume of cylinder or crankcase, inlet area, transfer area, all in SI.

    The inlet column of a reed holds its full area; how far it stands open is a state.
    """
    four = c[23] == VALVE
    n = (720 if four else 360) * steps
    swept = c[13]
    bore = (4.0 * swept / (math.pi * c[14])) ** (1.0 / 3.0)
    dead = swept / (c[16] - 1.0)
    port = _CD_VALVE * 0.25 * math.pi * c[17] * c[17]
    transfer = _CD_VALVE * _TRANSFER * 0.25 * math.pi * bore * bore
    inlet_way = _downstroke(c[19] * _DEGREE, c[15])
    transfer_way = 1.0 - _downstroke(c[21] * _DEGREE, c[15])
    for i in range(n + 1):
        degree = (i % n) / steps
        way = _downstroke(degree * _DEGREE, c[15])
        if four:
            table[i, 0] = dead + swept * way
            table[i, 1] = _CD_VALVE * _valve_area(degree, c[19], c[20], c[17], c[18])
            table[i, 2] = 0.0
        else:
            table[i, 0] = dead + swept * (1.0 - way)
            table[i, 1] = port if c[23] == REED else port * _port_share(way, inlet_way)
            table[i, 2] = transfer * _port_share(1.0 - way, transfer_way)


@_kernel
def _run(
    c: NDArray[np.float64],
    out: NDArray[np.float64],
    trace: NDArray[np.float64],
    table: NDArray[np.float64],
    steps: int,
) -> None:
    """Run one case to its steady cycle and write the result row; ``steps`` a degree of crank."""
    p_amb, t_amb, gas = c[1], c[2], c[3]
    four = c[23] == VALVE
    n = (720 if four else 360) * steps
    dt = 1.0 / (6.0 * c[0] * steps)
    period = n * dt
    rho0 = p_amb / (gas * t_amb)
    slide = c[4]
    k_slide = 1.0 / (2.0 * rho0 * slide * slide)
    k_inlet = c[8] / (2.0 * rho0 * c[7] * c[7])
    k_rest = k_inlet
    if c[11] > 0.0:
        # A choke flap stands before the slide: it takes from the flow, not from what is felt behind.
        k_rest += 1.0 / (2.0 * rho0 * c[11] * c[11])
    push = dt * c[7] / c[6]
    t_port = t_amb + c[12]
    per_mass = gas * t_port / c[9]
    p_exh = c[22] * p_amb
    _geometry(c, steps, table)
    opens = math.ceil(((720.0 - c[19]) % 720.0) * steps) % n
    shuts = math.ceil((180.0 + c[20]) * steps) % n
    port_mass = p_amb / per_mass
    flow, reed, mean, drop, residual = 0.0, 0.0, 0.0, 0.0, 0.0
    air, leak_air, pull, root_pull, work = 0.0, 0.0, 0.0, 0.0, 0.0
    temperature = _RESIDUAL_T if four else t_amb
    mass = p_amb * table[0, 0] / (gas * temperature)
    energy = mass * gas * _CV * temperature
    burnt = mass
    cycles = 0
    for cycle in range(MOST_CYCLES):
        air, leak_air, pull, root_pull, work = 0.0, 0.0, 0.0, 0.0, 0.0
        for i in range(n):
            p_port = port_mass * per_mass
            quasi = _orifice(slide, p_amb - drop, t_amb, p_port, t_port, gas)
            before = flow
            flow = _column(flow, quasi * abs(quasi) * k_slide, k_slide + k_rest, push)
            leak = _orifice(c[5], p_amb, t_amb, p_port, t_port, gas) if c[5] > 0.0 else 0.0
            volume, grown = table[i, 0], table[i + 1, 0]
            area = table[i, 1]
            if four and i == opens:
                # What is left of the burnt charge when the inlet opens.
                mass = p_exh * volume / (gas * _RESIDUAL_T)
                energy = mass * gas * _CV * _RESIDUAL_T
                burnt = mass
            into, away = 0.0, 0.0
            if area > 0.0 or not four:
                p_end = energy / (_CV * volume)
                t_end = energy / (_CV * gas * mass)
                stiff = per_mass + _GAMMA * gas * t_port / volume
                if c[23] == REED:
                    target = min(1.0, max(0.0, (p_port - p_end - _CRACK) / (_FULL - _CRACK)))
                    reed += (target - reed) * min(1.0, dt / _LAG)
                    area *= reed
                if area > 0.0:
                    into = _no_crossing(
                        _orifice(area, p_port, t_port, p_end, t_end, gas), dt, p_port, p_end, stiff
                    )
                if table[i, 2] > 0.0:
                    away = _orifice(table[i, 2], p_end, t_end, p_exh, _BACK * t_amb, gas)
                    away = _no_crossing(away, dt, p_end, p_exh, _GAMMA * gas * t_end / volume)
                heat_in = into * (t_port if into > 0.0 else t_end)
                heat_away = away * (t_end if away > 0.0 else _BACK * t_amb)
                mass += (into - away) * dt
                energy += dt * gas * _CP * (heat_in - heat_away) - p_end * (grown - volume)
                if four and i < 180 * steps:
                    work += p_end * (grown - volume)
            if i == shuts:
                residual = burnt / mass
            port_mass += (flow + leak - into) * dt
            air += flow * dt
            leak_air += leak * dt
            pull += p_amb - p_port
            # Just behind the slide: the port's pull less what moves the air between there and the port.
            below = p_amb - p_port - _BEHIND * (flow - before) / push - k_inlet * flow * abs(flow)
            if below > 0.0:
                root_pull += math.sqrt(below)
            trace[i] = flow
        last, mean = mean, air / period
        drop = c[10] * mean * abs(mean)
        cycles = cycle + 1
        if cycle > 1 and abs(mean - last) < SETTLED * abs(mean):
            break
    _slices(trace, n, out)
    out[NODES] = mean
    out[NODES + 1] = leak_air / period
    out[NODES + 2] = (root_pull / n) ** 2
    out[NODES + 3] = drop
    out[NODES + 4] = p_exh - work / c[13] if four else 0.0
    out[NODES + 5] = residual if four else 0.0
    out[NODES + 6] = pull / n
    out[NODES + 7] = cycles


@_kernel
def _slices(trace: NDArray[np.float64], n: int, out: NDArray[np.float64]) -> None:
    """Sort a cycle's flow and average it in equal slices: the pulse without its order in time."""
    ordered = np.sort(trace[:n])
    per = n // NODES
    for k in range(NODES):
        total = 0.0
        for j in range(per):
            total += ordered[k * per + j]
        out[k] = total / per


@nb.njit(cache=True, nogil=True, error_model="numpy", parallel=True)
def _run_all(cases: NDArray[np.float64], steps: int) -> NDArray[np.float64]:
    rows = cases.shape[0]
    out = np.empty((rows, WIDTH))
    for i in nb.prange(rows):
        trace = np.empty(720 * steps)
        table = np.empty((720 * steps + 1, 3))
        _run(cases[i], out[i], trace, table, steps)
    return out


def breathe_cases(cases: NDArray[np.float64], *, steps_per_degree: int = 1) -> NDArray[np.float64]:
    """Run every row of ``cases`` (row, ``Case``) to its steady cycle; give (row, ``Out``) in SI.

    Source: own derivation, see the head of this file.
    """
    return np.asarray(_run_all(np.ascontiguousarray(cases, dtype=np.float64), steps_per_degree))
