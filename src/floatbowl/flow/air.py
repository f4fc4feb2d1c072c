"""Moist air: how dense, how much of it is oxygen-bearing, how viscous; and the standard atmosphere."""

from __future__ import annotations

import numpy as np

from floatbowl.units import (
    FREEZING,
    GRAVITY,
    JoulePerKgKelvin,
    Kelvin,
    KgPerCubicMetre,
    Metre,
    Pascal,
    PascalSecond,
    Ratio,
)

# The constants of CIPM-2007 carry the letters of the paper, so that they can be laid beside it.
# Source: [cipm2007], read from public implementations that agree; exact by definition, hence no spread.
CIPM_A = 1.2378847e-5
CIPM_B = -1.9121316e-2
CIPM_C = 33.93711047
CIPM_D = -6.3431645e3
CIPM_ALPHA = 1.00062
CIPM_BETA = 3.14e-8
CIPM_GAMMA = 5.6e-7
CIPM_A0 = 1.58123e-6
CIPM_A1 = -2.9331e-8
CIPM_A2 = 1.1043e-10
CIPM_B0 = 5.707e-6
CIPM_B1 = -2.051e-8
CIPM_C0 = 1.9898e-4
CIPM_C1 = -2.376e-6
CIPM_D1 = 1.83e-11
"""The paper's small d; its capital D stands above."""
CIPM_E = -0.765e-8
CIPM_DRY_MASS = 28.96546e-3
"""Molar mass of dry air with 400 parts of carbon dioxide in a million, kg/mol."""
CIPM_VAPOUR_MASS = 18.01528e-3
CIPM_PRESSURE = 1.0
"""The pascal whose multiples the exponential counts."""
CIPM_R = 8.314472
"""Gas constant as the paper uses it, J/(mol K)."""

# Source: [isa1976] and [icao7488]; agreed values, exact.
ISA_TEMPERATURE = 288.15
ISA_PRESSURE = 101325.0
ISA_DENSITY = 1.225
ISA_LAPSE = 0.0065
"""Fall of temperature with height, K/m."""
ISA_GAS_CONSTANT = 287.05287
EARTH_RADIUS = 6356766.0
"""The radius with which the standard turns geometric into geopotential height."""

# Source: [isa1976], Sutherland's law for air.
SUTHERLAND_FACTOR = 1.458e-6
"""kg/(m s K^0.5)"""
SUTHERLAND_TEMPERATURE = 110.4


def saturation_pressure(temperature: Kelvin) -> Pascal:
    """Give the pressure of water vapour over water at which the air can hold no more.

    Holds from 0 to 40 C; below freezing it stays the value over water, which is
    what weather stations mean by relative humidity.

    Source: [cipm2007].

    >>> float(round(saturation_pressure(293.15), 1))
    2339.2
    """
    power = CIPM_A * temperature**2 + CIPM_B * temperature + CIPM_C + CIPM_D / temperature
    return CIPM_PRESSURE * np.exp(power)


def enhancement(pressure: Pascal, *, temperature: Kelvin) -> Ratio:
    """Give the factor by which air holds more vapour than empty space would.

    Source: [cipm2007].

    >>> float(round(enhancement(101325.0, temperature=293.15), 5))
    1.00403
    """
    return CIPM_ALPHA + CIPM_BETA * pressure + CIPM_GAMMA * (temperature - FREEZING) ** 2


def vapour_fraction(pressure: Pascal, *, temperature: Kelvin, humidity: Ratio) -> Ratio:
    """Give the share of the molecules of the air that are water.

    ``humidity`` is the relative humidity, 0 to 1.

    Source: [cipm2007].

    >>> float(round(vapour_fraction(101325.0, temperature=293.15, humidity=0.5), 5))
    0.01159
    """
    full = enhancement(pressure, temperature=temperature) * saturation_pressure(temperature)
    return humidity * full / pressure


def compressibility(pressure: Pascal, *, temperature: Kelvin, vapour: Ratio) -> Ratio:
    """Give the factor by which moist air fills less room than an ideal gas.

    ``vapour`` is ``vapour_fraction``. The letters are those of the paper.

    Source: [cipm2007].

    >>> float(round(compressibility(101325.0, temperature=293.15, vapour=0.0116), 5))
    0.99961
    """
    t = temperature - FREEZING
    once = (
        CIPM_A0
        + CIPM_A1 * t
        + CIPM_A2 * t**2
        + (CIPM_B0 + CIPM_B1 * t) * vapour
        + (CIPM_C0 + CIPM_C1 * t) * vapour**2
    )
    twice = CIPM_D1 + CIPM_E * vapour**2
    over = pressure / temperature
    return 1.0 - over * once + over**2 * twice


def _moles_of_air(pressure: Pascal, *, temperature: Kelvin, vapour: Ratio) -> Ratio:
    z = compressibility(pressure, temperature=temperature, vapour=vapour)
    return pressure / (z * CIPM_R * temperature)


def density(pressure: Pascal, *, temperature: Kelvin, humidity: Ratio) -> KgPerCubicMetre:
    """Give the density of moist air: what the pull at the spray holes goes by.

    Stated for 60 to 110 kPa and 15 to 27 C; from -5 to 40 C it stays within
    one part in ten thousand of reference equations.

    Source: [cipm2007] equation 1.

    >>> float(round(density(101325.0, temperature=293.15, humidity=0.5), 4))
    1.1993
    """
    vapour = vapour_fraction(pressure, temperature=temperature, humidity=humidity)
    mass = CIPM_DRY_MASS * (1.0 - vapour) + CIPM_VAPOUR_MASS * vapour
    return _moles_of_air(pressure, temperature=temperature, vapour=vapour) * mass


def dry_density(pressure: Pascal, *, temperature: Kelvin, humidity: Ratio) -> KgPerCubicMetre:
    """Give the mass of dry air in a cubic metre of moist air: the part that burns fuel.

    Source: [cipm2007] equation 1, without the vapour's mass.

    >>> float(round(dry_density(101325.0, temperature=293.15, humidity=0.5), 4))
    1.1906
    """
    vapour = vapour_fraction(pressure, temperature=temperature, humidity=humidity)
    moles = _moles_of_air(pressure, temperature=temperature, vapour=vapour)
    return moles * CIPM_DRY_MASS * (1.0 - vapour)


def dry_pressure(pressure: Pascal, *, temperature: Kelvin, humidity: Ratio) -> Pascal:
    """Give the part of the pressure that is not water vapour's.

    Source: [cipm2007] with Dalton's law.

    >>> float(round(dry_pressure(101325.0, temperature=293.15, humidity=0.5)))
    100151.0
    """
    return pressure * (1.0 - vapour_fraction(pressure, temperature=temperature, humidity=humidity))


def gas_constant(vapour: Ratio) -> JoulePerKgKelvin:
    """Give the gas constant of moist air per kilogram. ``vapour`` is ``vapour_fraction``.

    Source: [cipm2007] equation 1 with the gas taken as ideal.

    >>> float(round(gas_constant(0.0), 2))
    287.05
    """
    return CIPM_R / (CIPM_DRY_MASS * (1.0 - vapour) + CIPM_VAPOUR_MASS * vapour)


def viscosity(temperature: Kelvin) -> PascalSecond:
    """Give the viscosity of dry air by Sutherland's law.

    Holds from 170 to 1900 K at ordinary pressures; vapour lowers it by up to
    2.5 per cent at 40 C, which is left out.

    Source: [isa1976] equation 51.

    >>> float(round(viscosity(288.15) * 1e6, 2))
    17.89
    """
    return SUTHERLAND_FACTOR * temperature**1.5 / (temperature + SUTHERLAND_TEMPERATURE)


def isa_temperature(height: Metre) -> Kelvin:
    """Give the temperature of the standard atmosphere up to 11 km of geopotential height.

    Source: [isa1976].

    >>> isa_temperature(2000.0)
    275.15
    """
    return ISA_TEMPERATURE - ISA_LAPSE * height


def _isa_exponent() -> float:
    return GRAVITY / (ISA_GAS_CONSTANT * ISA_LAPSE)


def isa_pressure(height: Metre) -> Pascal:
    """Give the pressure of the standard atmosphere up to 11 km of geopotential height.

    Source: [isa1976]; exponent 5.25588 from the constants of [icao7488].

    >>> float(round(isa_pressure(2000.0), 1))
    79495.2
    """
    return ISA_PRESSURE * (isa_temperature(height) / ISA_TEMPERATURE) ** _isa_exponent()


def isa_density(height: Metre) -> KgPerCubicMetre:
    """Give the density of the standard atmosphere up to 11 km of geopotential height.

    Source: [isa1976]; exponent 4.25588 from the constants of [icao7488].

    >>> float(round(isa_density(2000.0), 4))
    1.0065
    """
    return ISA_DENSITY * (isa_temperature(height) / ISA_TEMPERATURE) ** (_isa_exponent() - 1.0)


def geopotential_height(height: Metre) -> Metre:
    """Give the geopotential height that belongs to a height measured above the sea.

    Source: [isa1976] equation 18.

    >>> float(round(geopotential_height(2000.0), 2))
    1999.37
    """
    return EARTH_RADIUS * height / (EARTH_RADIUS + height)


def station_pressure(sea_level_pressure: Pascal, *, height: Metre) -> Pascal:
    """Give the pressure at the door from the forecast's sea-level figure.

    ``sea_level_pressure`` is the altimeter setting (QNH). Taken for the
    pressure at the door it would make the air at 1500 m a fifth too dense.

    Source: [icao7488], the altimeter relation.

    >>> float(round(station_pressure(103000.0, height=1500.0), 1))
    86003.1
    """
    n = 1.0 / _isa_exponent()
    fall = np.power(ISA_PRESSURE, n) * ISA_LAPSE / ISA_TEMPERATURE * height
    at_the_door: Pascal = np.power(np.power(sea_level_pressure, n) - fall, 1.0 / n)
    return at_the_door


def density_altitude(air_density: KgPerCubicMetre) -> Metre:
    """Give the height at which the standard atmosphere is as thin as this air.

    Source: [isa1976], the density turned round.

    >>> float(round(density_altitude(1.0066), -1))
    2000.0
    """
    share = (air_density / ISA_DENSITY) ** (1.0 / (_isa_exponent() - 1.0))
    return ISA_TEMPERATURE / ISA_LAPSE * (1.0 - share)
