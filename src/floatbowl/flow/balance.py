"""Finds the pulls at which air, fuel, jets, ring and bleeds agree.

Two small networks, each with one unknown pull: the main one (ring round the
needle in series with main jet and air bleed) and the pilot one (pilot jet and
its air behind a list of holes). Both balances rise steadily with the unknown,
so a bracketed false-position search always ends.

Source: own derivation from square-law passages in series and parallel; the
two-phase factor is that of separated flow at a given slip
[arias2005]; the short-tube discharge is [lichtarowicz1965], checked against
``flow.holes``.
"""

from __future__ import annotations

import math
from enum import IntEnum
from typing import TYPE_CHECKING

import numba as nb
import numpy as np

from floatbowl.flow.engine import NODES
from floatbowl.flow.holes import HIGHEST_REYNOLDS
from floatbowl.flow.main_jet import BLEED_SPAN, MAIN_LENGTH, PILOT_LENGTH
from floatbowl.flow.needle import RING_LENGTH
from floatbowl.flow.pilot import AIR_JET_DISCHARGE, OUTLET_DISCHARGE
from floatbowl.units import GRAVITY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.units import KgPerCubicMetre, KgPerSecond, Metre, Pascal, PascalSecond, Ratio, SquareMetre


class Place(IntEnum):
    """Columns of the place array (draw, throttle, rpm, place): what differs along throttle and speed."""

    SIGNAL = 0
    """Pull at the needle jet per squared flow, 1/(kg m)."""
    RING = 1
    """Effective area of the ring round the needle (discharge included), m2."""
    RING_AREA = 2
    """Plain area of that ring, m2."""
    SURPLUS = 3
    """Pressure in the bowl above that at the carburettor's mouth, Pa."""
    PILOT_PULL = 4
    """Pull of the engine at the pilot outlet below the bowl's pressure, Pa."""
    OUTLET = 5
    """Area of outlet and bypass holes that feel the engine, m2."""
    COVERED = 6
    """Area of bypass holes that still feel the air side and let air in, m2."""
    CYCLE_RATE = 7
    """Inlet pulses a second, 1/s."""


class Part(IntEnum):
    """Columns of the part array (draw, part): what does not change with throttle and speed."""

    REVERSE = 0
    MAIN_AREA = 1
    MAIN_BORE = 2
    MAIN_SCALE = 3
    MAIN_AIR = 4
    BLEED_DEPTH = 5
    SLIP = 6
    LIP = 7
    MIX_DEPTH = 8
    SURFACE_PULL = 9
    PILOT_AREA = 10
    PILOT_BORE = 11
    PILOT_SCALE = 12
    PILOT_AIR = 13
    PILOT_HEAD = 14
    ENRICHENER = 15
    ENRICHENER_SHARE = 16
    FUEL_DENSITY = 17
    FUEL_VISCOSITY = 18
    AIR_DENSITY = 19
    CHOKE_PULL = 20
    """Pull of a choke flap per squared flow, 1/(kg m)."""
    PRIMARY = 21
    """1 for a needle jet whose air joins after the ring, else 0."""


class Fed(IntEnum):
    """Columns of the result (draw, throttle, rpm, fed)."""

    MAIN = 0
    """Fuel through the main jet, kg/s."""
    PILOT = 1
    """Fuel through the pilot jet and, when open, the enrichener, kg/s."""
    PULL = 2
    """Even pull that would draw the same fuel from the needle jet, Pa."""
    WELL = 3
    """Pull in the needle jet's well, Pa."""


_kernel = nb.njit(cache=True, nogil=True, error_model="numpy")
_MAIN_L, _PILOT_L = MAIN_LENGTH.value, PILOT_LENGTH.value
_SPAN, _RING_L = BLEED_SPAN.value, RING_LENGTH.value
_CD_OUT, _CD_AIR = OUTLET_DISCHARGE.value, AIR_JET_DISCHARGE.value
_WELL_INERTIA = 6000.0
"""Length over area of jet and well, 1/m (judgement)."""
_MOST_PULL_SHARE = 0.45
_SEARCH = 40
_MAIN_SIDE, _PILOT_SIDE = 0, 1
_CLOSE = 1e-7
_MOST_ROUNDS = 12
_SAME_HEAD = 0.02
"""Change of the head between two rounds, Pa, at which the column has settled; 0.003 % of the fuel."""
_SAME_Q = 2e-5
"""The same for the power of the mean."""


@_kernel
def jet_flow(
    area: SquareMetre,
    bore: Metre,
    drop: Pascal,
    density: KgPerCubicMetre,
    viscosity: PascalSecond,
    length: Ratio,
    scale: Ratio,
) -> KgPerSecond:
    """Give the fuel through a jet as a short tube; ``scale`` is a factor on its discharge.

    Source: [lichtarowicz1965] equations 7 and 12, as in ``flow.holes.through_short_tube``.
    """
    if drop <= 0.0 or area <= 0.0:
        return 0.0
    speed = math.sqrt(2.0 * density * drop)
    # A jet partly blocked keeps the bore that its area leaves.
    across = min(bore, math.sqrt(4.0 * area / math.pi))
    reynolds = across * speed / viscosity
    measured = min(reynolds, HIGHEST_REYNOLDS)
    ultimate = 0.827 - 0.0085 * length
    root = 7.5 * math.log10(0.00015 * measured) ** 2
    bump = 0.005 * length / (1.0 + root) * measured / reynolds
    discharge = reynolds / (reynolds * (1.0 / ultimate - bump) + 20.0 * (1.0 + 2.25 * length))
    return scale * area * speed * discharge


@_kernel
def _mixed_volume(share: float, slip: float, air: float, fuel: float) -> float:
    """Give the momentum-weighted volume of a mixture, m3/kg; ``share`` is air by mass."""
    return (share / air + slip * (1.0 - share) / fuel) * (share + (1.0 - share) / slip)


@_kernel
def _main_parts(pull: float, surplus: float, p: NDArray[np.float64]) -> tuple[float, float]:
    """Give fuel and bleed air of the well at a pull below the bowl's pressure, kg/s."""
    rho_f, rho_a = p[17], p[19]
    fuel = float(jet_flow(p[1], p[2], pull - rho_f * GRAVITY * p[8], rho_f, p[18], _MAIN_L, p[3]))
    drawn = (pull / (rho_f * GRAVITY) - p[5]) / _SPAN
    open_share = min(1.0, max(0.0, drawn))
    air = _CD_AIR * p[4] * open_share * math.sqrt(2.0 * rho_a * max(pull - surplus, 0.0))
    return fuel, air


@_kernel
def _main_excess(pull: float, drive: float, here: NDArray[np.float64], p: NDArray[np.float64]) -> float:
    """Give how far the losses at this pull exceed the drive, Pa; rises with the pull."""
    fuel, air = _main_parts(pull, here[3], p)
    ring = here[1]
    if p[21] > 0.0 or air <= 0.0:
        through = fuel
        volume = 1.0 / p[17]
    else:
        through = fuel + air
        volume = _mixed_volume(air / through, p[6], p[19], p[17])
    return float(through * through * volume / (2.0 * ring * ring) + pull - drive)


@_kernel
def _drive(
    flows: NDArray[np.float64], here: NDArray[np.float64], p: NDArray[np.float64], head: float, q: float
) -> float:
    """Give the power mean of the needle jet's pull above ``head`` over the pulse, Pa."""
    total = 0.0
    for k in range(NODES):
        m = flows[k]
        square = m * m
        pull = here[0] * square + here[3]
        if m < 0.0:
            pull = p[0] * here[0] * square + here[3] - p[20] * square
        else:
            pull += p[20] * square
        if pull > head:
            total += math.exp(q * math.log(pull - head))
    if total <= 0.0:
        return 0.0
    return math.exp(math.log(total / NODES) / q)


@_kernel
def _pilot_parts(pull: float, here: NDArray[np.float64], p: NDArray[np.float64]) -> tuple[float, float]:
    """Give fuel and air of the pilot passage at a pull below the bowl's pressure, kg/s."""
    rho_f = p[17]
    fuel = float(jet_flow(p[10], p[11], pull - rho_f * GRAVITY * p[14], rho_f, p[18], _PILOT_L, p[12]))
    air = (_CD_AIR * p[13] + _CD_OUT * here[6]) * math.sqrt(2.0 * p[19] * max(pull - here[3], 0.0))
    return fuel, air


@_kernel
def _pilot_excess(pull: float, engine: float, here: NDArray[np.float64], p: NDArray[np.float64]) -> float:
    """Give how far what comes in exceeds what the holes let out, as squared flow times volume, Pa."""
    fuel, air = _pilot_parts(pull, here, p)
    through = fuel + air
    if through <= 0.0:
        return pull - engine
    volume = _mixed_volume(air / through, p[6], p[19], p[17])
    out = _CD_OUT * here[5]
    return float(through * through * volume / (2.0 * out * out) + pull - engine)


@_kernel
def _excess(side: int, pull: float, most: float, here: NDArray[np.float64], p: NDArray[np.float64]) -> float:
    """Give how far the losses of one side at this pull exceed the pull to be had, Pa; rises with the pull."""
    if side == _MAIN_SIDE:
        return _main_excess(pull, most, here, p)
    return _pilot_excess(pull, most, here, p)


@_kernel
def _balanced_pull(
    side: int, low: float, most: float, here: NDArray[np.float64], p: NDArray[np.float64]
) -> float:
    """Find the pull at which one side balances, from where nothing flows up to all the pull to be had, Pa.

    False position, halving the end that stays (the Illinois rule), so that both ends close in.
    """
    high = most
    f_low, f_high = _excess(side, low, most, here, p), _excess(side, high, most, here, p)
    stayed = 0
    pull = high
    for _ in range(_SEARCH):
        pull = (low * f_high - high * f_low) / (f_high - f_low)
        f = _excess(side, pull, most, here, p)
        if abs(f) < _CLOSE * most or high - low < _CLOSE * most:
            break
        if f > 0.0:
            high, f_high = pull, f
            if stayed == 1:
                f_low *= 0.5
            stayed = 1
        else:
            low, f_low = pull, f
            if stayed == -1:
                f_high *= 0.5
            stayed = -1
    return pull


@_kernel
def _main_circuit(
    flows: NDArray[np.float64], here: NDArray[np.float64], p: NDArray[np.float64], out: NDArray[np.float64]
) -> None:
    """Balance the main side: pulse, inertia of the fuel, weight of the column, ring, jet and bleed."""
    rho_f, rho_a = p[17], p[19]
    lift = p[7] - p[8]
    # Plain fuel stands as high as the mixing place; above that the column may be light.
    plain = rho_f * GRAVITY * p[8] + p[9]
    head = rho_f * GRAVITY * lift + plain
    q = 0.75
    fuel, well, drive = 0.0, 0.0, 0.0
    # Starts from a column of plain fuel: where two columns could stand, the heavier one does.
    for _ in range(_MOST_ROUNDS):
        drive = _drive(flows, here, p, head, q)
        if drive <= 1e-3 or here[1] <= 0.0:  # noqa: PLR2004
            fuel, well, drive = 0.0, 0.0, max(drive, 0.0)
            break
        low = min(0.0, rho_f * GRAVITY * p[8], here[3])
        well = _balanced_pull(_MAIN_SIDE, low, drive + rho_f * GRAVITY * p[8], here, p)
        fuel, air = _main_parts(well, here[3], p)
        light = rho_f
        if air > 0.0 and p[21] <= 0.0:
            void = 1.0 / (1.0 + p[6] * (fuel / air) * rho_a / rho_f)
            light = void * rho_a + (1.0 - void) * rho_f
        new_head = light * GRAVITY * lift + plain
        lag = (_WELL_INERTIA + _RING_L / here[2]) * fuel / (2.0 * drive)
        w = 1.5 * 2.0 * math.pi * here[7] * lag
        new_q = 0.5 + 0.5 * w / (1.0 + w)
        agreed = abs(new_head - head) < _SAME_HEAD and abs(new_q - q) < _SAME_Q
        head, q = new_head, new_q
        if agreed:
            break
    out[0] = fuel
    out[2] = drive
    out[3] = well


@_kernel
def _pilot_circuit(here: NDArray[np.float64], p: NDArray[np.float64], most: float) -> float:
    """Balance the pilot side and give its fuel, kg/s."""
    engine = min(here[4], most)
    fuel = 0.0
    if here[5] > 1e-12 and engine > 1e-3:  # noqa: PLR2004
        low = min(0.0, p[17] * GRAVITY * p[14], here[3])
        pull = _balanced_pull(_PILOT_SIDE, low, engine, here, p)
        fuel, _air = _pilot_parts(pull, here, p)
    if p[15] > 0.0:
        drop = here[4] * p[16] - p[17] * GRAVITY * p[14]
        fuel += float(jet_flow(p[15], math.sqrt(4.0 * p[15] / math.pi), drop, p[17], p[18], _PILOT_L, 1.0))
    return fuel


@nb.njit(cache=True, nogil=True, error_model="numpy", parallel=True)
def _feed_all(
    flows: NDArray[np.float64],
    places: NDArray[np.float64],
    parts: NDArray[np.float64],
    ambient: NDArray[np.float64],
) -> NDArray[np.float64]:
    draws, throttles, speeds, _ = places.shape
    out = np.empty((draws, throttles, speeds, 4))
    for d in nb.prange(draws):
        for t in range(throttles):
            for r in range(speeds):
                here = places[d, t, r]
                _main_circuit(flows[d, t, r], here, parts[d], out[d, t, r])
                out[d, t, r, 1] = _pilot_circuit(here, parts[d], _MOST_PULL_SHARE * ambient[d])
    return out


def feed(
    flows: NDArray[np.float64],
    places: NDArray[np.float64],
    parts: NDArray[np.float64],
    ambient: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Give the fuel (draw, throttle, rpm, ``Fed``) in kg/s and Pa.

    ``flows`` (draw or 1, throttle, rpm, node) is the pulse in kg/s, ``places``
    and ``parts`` as ``Place`` and ``Part``, ``ambient`` (draw,) the pressure
    outside in Pa, which bounds how hard the engine can pull.

    Source: own derivation, see the head of this file.
    """
    pulses = np.broadcast_to(flows, (places.shape[0], *flows.shape[1:]))
    return np.asarray(
        _feed_all(
            np.ascontiguousarray(pulses, dtype=np.float64),
            np.ascontiguousarray(places, dtype=np.float64),
            np.ascontiguousarray(parts, dtype=np.float64),
            np.ascontiguousarray(ambient, dtype=np.float64),
        )
    )
