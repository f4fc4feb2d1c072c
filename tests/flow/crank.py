"""The breathing of an engine written once more, plainly, for a general-purpose ODE solver.

The equations are those of ``docs/model/engine.md``; nothing of the product's
kernel is used, neither its stepping nor its formulas.
"""

import math
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from floatbowl.flow import engine
from floatbowl.flow.engine import Case

Array = NDArray[np.float64]

GAMMA = 1.4
LEVEL = 2e-4
"""Relative pressure difference below which the orifice law is made linear: its root has no slope at zero."""

SMALL = np.array([1e-8, 1e-10, 1e-10, 1e-5, 1e-7, *[1e-9] * 3, 1e-3, 1e-5, 1e-10])
"""What counts as nothing: of each state, then of each sum."""


@dataclass(frozen=True)
class Cycle:
    """What one steady cycle gives: mean flows in kg/s, mean pulls in Pa."""

    carb_air: float
    leak_air: float
    engine_air: float
    pilot_pull: float
    port_pull: float
    square_flow: float
    """Mean of flow times its own size, (kg/s)2: what the needle jet feels."""


def orifice(area: float, one: tuple[float, float], two: tuple[float, float], gas: float) -> float:
    """Give the mass flow from the first side, (pressure, temperature), to the second."""
    if one[0] < two[0]:
        return -orifice(area, two, one, gas)
    ratio = two[0] / one[0]
    if ratio > 1.0 - LEVEL:
        return _law(area, one, 1.0 - LEVEL, gas) * (1.0 - ratio) / LEVEL
    return _law(area, one, ratio, gas)


def _law(area: float, before: tuple[float, float], ratio: float, gas: float) -> float:
    ratio = max(ratio, (2.0 / (GAMMA + 1.0)) ** (GAMMA / (GAMMA - 1.0)))
    bracket = ratio ** (2.0 / GAMMA) - ratio ** ((GAMMA + 1.0) / GAMMA)
    return area * before[0] * math.sqrt(2.0 * GAMMA / (GAMMA - 1.0) * bracket / (gas * before[1]))


@dataclass(frozen=True)
class Machine:
    """One case, unpacked into geometry and laws."""

    case: Array

    def get(self, column: Case) -> float:
        """Give one number of the case."""
        return float(self.case[column])

    def down(self, degree: float) -> float:
        """Give the piston's way from top dead centre, as a share of the stroke, from the crank triangle."""
        angle = math.radians(degree)
        crank, rod = 0.5, self.get(Case.ROD_TO_STROKE)
        pin = crank * math.cos(angle) + math.sqrt(rod**2 - (crank * math.sin(angle)) ** 2)
        return crank + rod - pin

    def whole(self) -> float:
        """Give the crank angle of a whole cycle."""
        return 720.0 if self.get(Case.KIND) == engine.VALVE else 360.0

    def period(self) -> float:
        """Give how long a whole cycle lasts, in seconds."""
        return self.whole() / (6.0 * self.get(Case.RPM))

    def filled(self, degree: float, pressure: float, temperature: float) -> tuple[float, float]:
        """Give mass and heat of the gas that fills cylinder or crankcase."""
        held = pressure * self.volume(degree)
        return held / (self.get(Case.GAS_CONSTANT) * temperature), held / (GAMMA - 1.0)

    def bore(self) -> float:
        """Give the cylinder's bore from swept volume and stroke over bore."""
        return math.cbrt(4.0 * self.get(Case.SWEPT_VOLUME) / (math.pi * self.get(Case.STROKE_TO_BORE)))

    def volume(self, degree: float) -> float:
        """Give the volume of cylinder (four-stroke) or crankcase."""
        swept = self.get(Case.SWEPT_VOLUME)
        dead = swept / (self.get(Case.COMPRESSION_RATIO) - 1.0)
        way = self.down(degree)
        return dead + swept * (way if self.get(Case.KIND) == engine.VALVE else 1.0 - way)

    def inlet(self, degree: float) -> float:
        """Give the effective inlet area: valve, reed block or port."""
        cd, across = engine.VALVE_DISCHARGE.value, self.get(Case.VALVE_DIAMETER)
        seat = 0.25 * math.pi * across**2
        if self.get(Case.KIND) == engine.VALVE:
            lasts = self.get(Case.INLET_OPENS) + 180.0 + self.get(Case.INLET_SHUTS)
            since = (degree + self.get(Case.INLET_OPENS)) % 720.0
            if since > lasts:
                return 0.0
            lift = self.get(Case.VALVE_LIFT) * math.sin(math.pi * since / lasts) ** 2
            return cd * min(math.pi * across * lift, 0.88 * seat)
        if self.get(Case.KIND) == engine.REED:
            return cd * seat
        return cd * seat * _port(self.down(degree), self.down(self.get(Case.INLET_OPENS)))

    def transfer(self, degree: float) -> float:
        """Give the effective area of a two-stroke's transfers."""
        if self.get(Case.KIND) == engine.VALVE:
            return 0.0
        full = (
            engine.VALVE_DISCHARGE.value
            * engine.TRANSFER_AREA_SHARE.value
            * 0.25
            * math.pi
            * self.bore() ** 2
        )
        return full * _port(1.0 - self.down(degree), 1.0 - self.down(self.get(Case.TRANSFER_OPENS)))


def _port(way: float, way_at_opening: float) -> float:
    return min(1.0, max(0.0, (way_at_opening - way) / (0.7 * way_at_opening)))


def slopes(time: float, y: Array, *, machine: Machine, start: float, drop: float, shut: bool) -> list[float]:
    """Give d/dt of column flow, port mass, end mass, end heat, reed, and of the six sums of the cycle."""
    get, gas = machine.get, machine.get(Case.GAS_CONSTANT)
    flow, port_mass, mass, heat, reed = y[:5]
    degree = start + 6.0 * get(Case.RPM) * time
    ambient, warm = get(Case.AMBIENT_TEMPERATURE), get(Case.AMBIENT_TEMPERATURE) + get(Case.PORT_HEATING)
    outside = get(Case.AMBIENT_PRESSURE)
    port = port_mass * gas * warm / get(Case.PORT_VOLUME)
    density = outside / (gas * ambient)
    slide = orifice(get(Case.SLIDE_AREA), (outside - drop, ambient), (port, warm), gas)
    by_slide = 0.5 / (density * get(Case.SLIDE_AREA) ** 2)
    by_rest = 0.5 * get(Case.INLET_LOSS) / (density * get(Case.INLET_AREA) ** 2)
    push = slide * abs(slide) * by_slide - flow * abs(flow) * (by_slide + by_rest)
    leak = orifice(get(Case.LEAK_AREA), (outside, ambient), (port, warm), gas)
    into = away = d_heat = d_reed = 0.0
    if not shut:
        into, away, d_heat, d_reed = _end(degree, (mass, heat, reed), (port, warm), machine)
    # Just behind the slide: the port's pull less what moves the air from there to the port.
    felt = outside - port - engine.COLUMN_BEHIND.value * push - by_rest * flow * abs(flow)
    return [
        push * get(Case.INLET_AREA) / get(Case.INLET_LENGTH),
        flow + leak - into,
        into - away,
        d_heat,
        d_reed,
        flow,
        leak,
        into,
        outside - port,
        math.sqrt(max(felt, 0.0)),
        flow * abs(flow),
    ]


def _end(
    degree: float, state: tuple[float, float, float], port: tuple[float, float], machine: Machine
) -> tuple[float, float, float, float]:
    """Give the flows into and out of cylinder or crankcase, and the slopes of its heat and of the reed."""
    get, gas = machine.get, machine.get(Case.GAS_CONSTANT)
    mass, heat, reed = state
    volume = machine.volume(degree)
    pressure = heat * (GAMMA - 1.0) / volume
    inside = (pressure, pressure * volume / (mass * gas))
    area, d_reed = machine.inlet(degree), 0.0
    if get(Case.KIND) == engine.REED:
        crack, full = engine.REED_CRACK.value, engine.REED_FULL.value
        wanted = min(1.0, max(0.0, (port[0] - pressure - crack) / (full - crack)))
        d_reed = (wanted - reed) / engine.REED_LAG.value
        area *= min(1.0, max(0.0, reed))
    into = orifice(area, port, inside, gas)
    pipe = (get(Case.BACK_PRESSURE) * get(Case.AMBIENT_PRESSURE), 1.3 * get(Case.AMBIENT_TEMPERATURE))
    away = orifice(machine.transfer(degree), inside, pipe, gas)
    specific = GAMMA / (GAMMA - 1.0) * gas
    carried = into * (port if into > 0.0 else inside)[1] - away * (inside if away > 0.0 else pipe)[1]
    tick = 1e-3
    grows = (
        (machine.volume(degree + tick) - machine.volume(degree - tick)) / (2.0 * tick) * 6.0 * get(Case.RPM)
    )
    return into, away, specific * carried - pressure * grows, d_reed


def steady(case: Array, *, cycles: int = 10, tolerance: float = 1e-6) -> Cycle:
    """Run the machine until it repeats itself and give its last cycle."""
    machine = Machine(case)
    get = machine.get
    outside, warm = get(Case.AMBIENT_PRESSURE), get(Case.AMBIENT_TEMPERATURE) + get(Case.PORT_HEATING)
    y = np.zeros(11)
    y[1] = outside * get(Case.PORT_VOLUME) / (get(Case.GAS_CONSTANT) * warm)
    y[2:4] = machine.filled(0.0, outside, get(Case.AMBIENT_TEMPERATURE))
    drop, means = 0.0, np.zeros(6)
    for _ in range(cycles):
        y = _one_cycle(machine, y, drop=drop, tolerance=tolerance)
        means = y[5:] / machine.period()
        drop = get(Case.FILTER_LOSS) * means[0] * abs(means[0])
    return Cycle(means[0], means[1], means[2], means[4] ** 2, means[3], means[5])


def _one_cycle(machine: Machine, y: Array, *, drop: float, tolerance: float) -> Array:
    """Run one cycle from the opening of the inlet; a shut valve cuts the cylinder off."""
    get = machine.get
    y = y.copy()
    y[5:] = 0.0
    opens, lasts = 0.0, 360.0
    if get(Case.KIND) == engine.VALVE:
        opens = -get(Case.INLET_OPENS)
        lasts = get(Case.INLET_OPENS) + 180.0 + get(Case.INLET_SHUTS)
        burnt = get(Case.BACK_PRESSURE) * get(Case.AMBIENT_PRESSURE)
        y[2:4] = machine.filled(opens, burnt, engine.RESIDUAL_TEMPERATURE.value)
    for start, span, shut in ((opens, lasts, False), (opens + lasts, machine.whole() - lasts, True)):
        if span > 0.0:
            rule = partial(slopes, machine=machine, start=start, drop=drop, shut=shut)
            took = span / (6.0 * get(Case.RPM))
            found = solve_ivp(rule, (0.0, took), y, "LSODA", rtol=tolerance, atol=SMALL, max_step=took / 40.0)
            assert found.success, found.message
            y = found.y[:, -1]
    return y
