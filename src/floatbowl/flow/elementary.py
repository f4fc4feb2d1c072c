"""The carburettor of the textbooks: one throat, one jet, a lip. The plain rule beside the full model.

It has no slide, no needle and no pilot. It is what the published worked
examples treat, and what a rule of thumb about height or weather rests on.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.flow.holes import AIR_GAMMA, flow_function, round_area
from floatbowl.units import (
    GRAVITY,
    JoulePerKgKelvin,
    Kelvin,
    KgPerCubicMetre,
    KgPerSecond,
    Metre,
    MetrePerSecond,
    Pascal,
    Ratio,
    SquareMetre,
)

if TYPE_CHECKING:
    from floatbowl.flow.fuel import FuelState


def throat_pressure_ratio(
    speed: MetrePerSecond,
    *,
    temperature: Kelvin,
    gas_constant: JoulePerKgKelvin,
    discharge: Ratio,
    gamma: Ratio = AIR_GAMMA,
) -> Ratio:
    """Give pressure in the throat over pressure before it, for a speed of the air there.

    ``discharge`` is the ratio of that speed to the speed without loss.

    Source: [mathur-sharma] chapter 11, example 11.1.

    >>> float(round(throat_pressure_ratio(90.0, temperature=300.0, gas_constant=287.0, discharge=0.8), 4))
    0.9284
    """
    heat = gamma / (gamma - 1.0) * gas_constant
    cooled = 1.0 - (speed / discharge) ** 2 / (2.0 * heat * temperature)
    return np.power(cooled, gamma / (gamma - 1.0))


def throat_area(  # noqa: PLR0913  (the flow, the gas, its state and the throat)
    air: KgPerSecond,
    *,
    speed: MetrePerSecond,
    pressure: Pascal,
    temperature: Kelvin,
    gas_constant: JoulePerKgKelvin,
    discharge: Ratio,
    gamma: Ratio = AIR_GAMMA,
) -> SquareMetre:
    """Give the throat that passes this much air at this speed.

    Source: [mathur-sharma] chapter 11, example 11.1.

    >>> area = throat_area(5.0 / 60.0, speed=90.0, pressure=101300.0, temperature=300.0, gas_constant=287.0,
    ...     discharge=0.8)
    >>> float(round(area * 1e4, 2))
    8.3
    """
    ratio = throat_pressure_ratio(
        speed, temperature=temperature, gas_constant=gas_constant, discharge=discharge, gamma=gamma
    )
    cooled = temperature * ratio ** ((gamma - 1.0) / gamma)
    return air / (speed * ratio * pressure / (gas_constant * cooled))


def compressibility_factor(pressure_ratio: Ratio, *, gamma: Ratio = AIR_GAMMA) -> Ratio:
    """Give the air that passes a throat, over what it would be if air could not be squeezed.

    ``pressure_ratio`` is throat over entry, below 1.

    Source: [heywood1988] chapter 7, from memory.

    >>> float(round(compressibility_factor(0.9), 4))
    0.9449
    """
    return flow_function(pressure_ratio, gamma=gamma) / np.sqrt(2.0 * (1.0 - pressure_ratio))


def air_to_fuel(  # noqa: PLR0913  (throat and jet, air and fuel)
    depression: Pascal,
    *,
    throat: Metre,
    jet: Metre,
    throat_discharge: Ratio,
    jet_discharge: Ratio,
    air_density: KgPerCubicMetre,
    fuel_density: KgPerCubicMetre,
    lip: Metre,
) -> Ratio:
    """Give kilograms of air to a kilogram of fuel, with air taken as if it could not be squeezed.

    ``throat`` and ``jet`` are diameters, ``lip`` the height of the nozzle above
    the fuel. Below the depression that lifts the fuel over the lip no fuel
    flows and the answer is infinite. For squeezed air multiply by
    ``compressibility_factor``.

    Source: [mathur-sharma] chapter 11, example 11.8.

    >>> float(round(air_to_fuel(7000.0, throat=0.020, jet=0.00125, throat_discharge=0.85, jet_discharge=0.66,
    ...     air_density=1.2, fuel_density=750.0, lip=0.005), 2))
    13.22
    """
    left = np.maximum(depression - fuel_density * GRAVITY * lip, 0.0)
    areas = throat_discharge * round_area(throat) / (jet_discharge * round_area(jet))
    with np.errstate(divide="ignore"):
        return areas * np.sqrt(air_density * depression / fuel_density) / np.sqrt(left)


def critical_air_speed(
    lip: Metre, *, air_density: KgPerCubicMetre, fuel_density: KgPerCubicMetre
) -> MetrePerSecond:
    """Give the speed of the air in the throat, without loss, at which fuel first comes over the lip.

    Source: [mathur-sharma] chapter 11, example 11.8.

    >>> float(round(critical_air_speed(0.005, air_density=1.2, fuel_density=750.0), 2))
    7.83
    """
    return np.sqrt(2.0 * GRAVITY * lip * fuel_density / air_density)


def with_air_cleaner(air_to_fuel_without: Ratio, *, depression: Pascal, loss: Pascal) -> Ratio:
    """Give air to fuel after an air cleaner is fitted, the bowl open to the outside, air flow the same.

    ``depression`` is the throat's without it and ``loss`` the cleaner's. The
    fuel feels both, the air is as before: richer.

    Source: [mathur-sharma] chapter 11, example 11.9.

    >>> float(round(with_air_cleaner(14.0, depression=17900.0, loss=4000.0), 2))
    12.66
    """
    return air_to_fuel_without * np.sqrt(depression / (depression + loss))


def lambda_factor(density_ratio: Ratio) -> Ratio:
    """Give the factor on lambda when the air becomes thinner or thicker and no jet is changed.

    ``density_ratio`` is the air's density now over that before.

    Source: [mathur-sharma] chapter 11, example 11.7; [heywood1988] chapter 7, from memory.

    >>> float(round(lambda_factor(0.82162), 4))
    0.9064
    """
    return np.sqrt(density_ratio)


def jet_size_factor(density_ratio: Ratio) -> Ratio:
    """Give the factor on the main jet's diameter that keeps lambda when the air changes.

    Source: [mathur-sharma] chapter 11, example 11.7, turned round: fuel goes by the jet's area.

    >>> float(round(jet_size_factor(0.82162), 4))
    0.9521
    """
    return np.power(density_ratio, 0.25)


def fuel_factor(before: FuelState, *, after: FuelState) -> Ratio:
    """Give the factor on lambda when other fuel goes into the tank and no jet is changed.

    Viscosity is left out: a pilot jet shifts somewhat further than this.

    Source: [mathur-sharma] chapter 11: fuel through a jet goes by the root of its density.

    >>> from floatbowl.flow.fuel import fuel_state
    >>> neat, blend = (fuel_state(share, temperature=288.15) for share in (0.0, 0.10))
    >>> round(float(fuel_factor(neat, after=blend)), 3)
    1.039
    """
    burns = before.air_per_fuel / after.air_per_fuel
    return burns * np.sqrt(before.density / after.density)
