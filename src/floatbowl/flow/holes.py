"""Flow through holes: liquid, gas, choked gas, and the short tubes that jets are.

Every flow takes its sign from the drop: turn the pressures round and the same
mass flows back.
"""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import (
    JoulePerKgKelvin,
    Kelvin,
    KgPerCubicMetre,
    KgPerSecond,
    Metre,
    Pascal,
    PascalSecond,
    Ratio,
    SquareMetre,
)

AIR_GAMMA = 1.4
"""Ratio of the specific heats of air (dry air at 20 C: 1.400; moist air is up to 0.005 lower)."""

SHORT_TUBE_SCATTER = Figure(0.0, -0.02, 0.02, "lichtarowicz1965, scatter of the correlation as quoted")
"""What the correlation for short tubes leaves open, added to the discharge coefficient."""
THIN_PLATE_DISCHARGE = Figure(
    0.61, 0.59, 0.64, "from memory: sharp hole in a thin plate, the classic jet contraction"
)
SHORTEST_TUBE = 1.5
"""Length over bore below which the jet may not fill the tube again."""
LONGEST_TUBE = 10.0
"""Length over bore up to which the correlation was measured."""
HIGHEST_REYNOLDS = 2e4
"""Reynolds number up to which the correlation was measured."""

_LEAST_REYNOLDS = 1e-30


def round_area(diameter: Metre) -> SquareMetre:
    """Give the area of a round hole.

    Source: [geometry].

    >>> float(round(round_area(2e-3) * 1e6, 4))
    3.1416
    """
    return np.pi * diameter**2 / 4.0


def round_diameter(area: SquareMetre) -> Metre:
    """Give the diameter of the round hole that has this area.

    Source: [geometry].

    >>> float(round(round_diameter(np.pi * 1e-6) * 1e3, 6))
    2.0
    """
    return np.sqrt(4.0 * area / np.pi)


def through_hole(
    area: SquareMetre, *, drop: Pascal, density: KgPerCubicMetre, discharge: Ratio
) -> KgPerSecond:
    """Give the mass flow that a pressure drop pushes through a hole.

    Holds for a liquid, or for a gas while the drop is small beside the pressure.

    Source: [keswani] chapter 9, example 9.1 works it for a jet.

    >>> float(round(through_hole(1e-6, drop=2000.0, density=740.0, discharge=0.7), 6))
    0.001204
    """
    return discharge * area * np.sign(drop) * np.sqrt(2.0 * density * np.abs(drop))


def drop_across(
    mass_flow: KgPerSecond, *, area: SquareMetre, density: KgPerCubicMetre, discharge: Ratio
) -> Pascal:
    """Give the pressure drop that pushes this mass flow through a hole: ``through_hole`` turned round.

    Source: [keswani] chapter 9, example 9.1, turned round.

    >>> int(round(drop_across(0.001204, area=1e-6, density=740.0, discharge=0.7)))
    1999
    """
    ideal = mass_flow / (discharge * area)
    return ideal * np.abs(ideal) / (2.0 * density)


def critical_ratio(gamma: Ratio = AIR_GAMMA) -> Ratio:
    """Give the pressure ratio, after over before, at and below which a gas flows at the speed of sound.

    Source: [heywood1988] appendix C, from memory.

    >>> float(round(critical_ratio(), 4))
    0.5283
    """
    return np.power(2.0 / (gamma + 1.0), gamma / (gamma - 1.0))


def flow_function(pressure_ratio: Ratio, *, gamma: Ratio = AIR_GAMMA) -> Ratio:
    """Give psi: the mass flow of a gas through a hole, made free of area, pressure and temperature.

    ``pressure_ratio`` is pressure after over pressure before, 0 to 1. The flow
    is without loss up to the throat and chokes at ``critical_ratio``.

    Source: [heywood1988] appendix C, from memory.

    >>> float(round(flow_function(0.8), 5))
    0.56066
    """
    ratio = np.maximum(pressure_ratio, critical_ratio(gamma))
    # r^(2/g) - r^((g+1)/g), written so that it keeps its digits while the ratio is close to 1
    lost = -np.expm1((gamma - 1.0) / gamma * np.log(ratio))
    return np.sqrt(2.0 * gamma / (gamma - 1.0) * ratio ** (2.0 / gamma) * lost)


def gas_through_hole(  # noqa: PLR0913  (the hole, both sides, the gas)
    area: SquareMetre,
    *,
    before: Pascal,
    after: Pascal,
    temperature: Kelvin,
    gas_constant: JoulePerKgKelvin,
    discharge: Ratio,
    gamma: Ratio = AIR_GAMMA,
) -> KgPerSecond:
    """Give the mass flow of a gas through a hole, choked or not.

    ``temperature`` is that of the side the gas comes from. Where ``after`` is
    the higher pressure the flow is negative: back through the hole.

    Source: [heywood1988] appendix C, from memory.

    >>> float(round(gas_through_hole(1e-4, before=1e5, after=4e4, temperature=300.0, gas_constant=287.0,
    ...     discharge=1.0), 6))
    0.023336
    """
    high = np.maximum(before, after)
    low = np.minimum(before, after)
    speed = np.sqrt(gas_constant * temperature)
    flow = discharge * area * high / speed * flow_function(low / high, gamma=gamma)
    return np.sign(before - after) * flow


def drop_reynolds(bore: Metre, *, drop: Pascal, density: KgPerCubicMetre, viscosity: PascalSecond) -> Ratio:
    """Give the Reynolds number of a hole with the speed that the drop would give without any loss.

    It is the ordinary Reynolds number of the hole divided by its discharge coefficient.

    Source: [calculix] file cd_lichtarowicz.f, which divides the ordinary number by the coefficient.

    >>> int(round(drop_reynolds(4e-4, drop=1000.0, density=740.0, viscosity=5e-4)))
    973
    """
    return bore * np.sqrt(2.0 * density * np.abs(drop)) / viscosity


def ultimate_discharge(length_over_bore: Ratio) -> Ratio:
    """Give the discharge coefficient of a short tube with a square edge when viscosity no longer matters.

    Measured for a length of 1.5 to 10 bores. Longer tubes keep the value of 10.
    Below 1.5 the coefficient falls evenly to that of a thin plate, since the
    jet fills the tube less and less surely (our judgement).

    Source: [lichtarowicz1965] equation 7 as quoted by [calculix].

    >>> float(round(ultimate_discharge(2.0), 4))
    0.81
    """
    long = np.clip(length_over_bore, 2.0, LONGEST_TUBE)
    filled = np.minimum(np.asarray(length_over_bore) / SHORTEST_TUBE, 1.0)
    thin = THIN_PLATE_DISCHARGE.value
    return thin + (0.827 - 0.0085 * long - thin) * filled


def short_tube_discharge(reynolds: Ratio, *, length_over_bore: Ratio) -> Ratio:
    """Give the discharge coefficient of a short tube with a square edge, such as a jet.

    ``reynolds`` is ``drop_reynolds``: made with the loss-free speed, not with
    the speed in the tube. Public copies of the correlation differ in this.
    Only the loss-free speed gives a viscous limit in which flow is in
    proportion to drop; the other stops all flow below a certain drop. It also
    agrees within 0.02 with the theory of laminar flow entering a tube, while
    the other reading gives half of that theory and less at low speed.

    Measured from 10 to 20,000 and for 2 to 10 bores of length, to within 0.02.
    Below 10 the same expression goes over into viscous flow. Above 20,000 what
    is still missing from ``ultimate_discharge`` fades as one over the number.
    Neither has a step, and the coefficient always rises.

    Source: [lichtarowicz1965] equation 12 as quoted by [calculix].

    >>> float(round(short_tube_discharge(300.0, length_over_bore=3.0), 4))
    0.5671
    """
    reynolds = np.maximum(reynolds, _LEAST_REYNOLDS)
    measured_length = np.minimum(length_over_bore, LONGEST_TUBE)
    measured = np.minimum(reynolds, HIGHEST_REYNOLDS)
    bump = 0.005 * measured_length / (1.0 + 7.5 * np.log10(0.00015 * measured) ** 2) * measured / reynolds
    viscous = 20.0 * (1.0 + 2.25 * length_over_bore)
    return reynolds / (reynolds * (1.0 / ultimate_discharge(length_over_bore) - bump) + viscous)


def through_short_tube(
    bore: Metre,
    *,
    length_over_bore: Ratio,
    drop: Pascal,
    density: KgPerCubicMetre,
    viscosity: PascalSecond,
) -> KgPerSecond:
    """Give the mass flow of a liquid through a short tube with a square edge, such as a jet.

    The Reynolds number follows from the drop alone, so nothing need be
    searched for. Where it is small the flow is in proportion to the drop.

    Source: [lichtarowicz1965] equations 7 and 12 as quoted by [calculix].

    >>> float(round(through_short_tube(1.125e-3, length_over_bore=2.0, drop=1500.0, density=745.0,
    ...     viscosity=5e-4) * 1e3, 3))
    1.178
    """
    reynolds = drop_reynolds(bore, drop=drop, density=density, viscosity=viscosity)
    discharge = short_tube_discharge(reynolds, length_over_bore=length_over_bore)
    return through_hole(round_area(bore), drop=drop, density=density, discharge=discharge)


def in_series(first: SquareMetre, second: SquareMetre) -> SquareMetre:
    """Give the one hole that passes what two pass one behind the other.

    Both are effective areas: discharge coefficient times area. Holds for one
    liquid whose speed is lost between the two.

    Source: [geometry]: the drops of ``through_hole`` add.

    >>> float(round(in_series(3.0, 4.0), 9))
    2.4
    """
    both = np.hypot(first, second)
    return first * second / np.where(both > 0.0, both, 1.0)


def in_parallel(first: SquareMetre, second: SquareMetre) -> SquareMetre:
    """Give the one hole that passes what two pass side by side. Both are effective areas.

    Source: [geometry]: the flows of ``through_hole`` add.

    >>> in_parallel(3e-6, 4e-6)
    7e-06
    """
    return first + second
