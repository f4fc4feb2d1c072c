"""Petrol, ethanol and the oil mixed in: what they weigh, how thin they run, how much air they burn.

Petrol is not one substance. Its figures are those of an ordinary pump petrol
with the range that pump petrols show.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import (
    FREEZING,
    MEGAJOULE,
    MILLIPASCAL_SECOND,
    JoulePerKg,
    Kelvin,
    KgPerCubicMetre,
    NewtonPerMetre,
    PascalSecond,
    PerKelvin,
    Ratio,
)

# Source: [iupac-atoms], conventional atomic weights.
CARBON, HYDROGEN, OXYGEN = 12.011, 1.008, 15.999
OXYGEN_IN_AIR = 0.20939
"""Share of the molecules of dry air that are oxygen: the composition of [cipm2007]."""
AIR_WEIGHT = 28.965
"""Molecular weight of dry air of that composition."""

DENSITY_AT = FREEZING + 15.0
"""Temperature at which the trade states densities of fuel, K."""
VISCOSITY_AT = FREEZING + 20.0
"""Temperature at which the viscosities below are stated, K."""

_MJ = MEGAJOULE
_MPAS = MILLIPASCAL_SECOND


@dataclass(frozen=True, slots=True, kw_only=True)
class Elements:
    """Mass fractions of carbon, hydrogen and oxygen in a fuel."""

    carbon: Ratio
    hydrogen: Ratio
    oxygen: Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    """A liquid that goes into the tank. SI units; each field says at what it is stated."""

    elements: Elements
    density: Figure
    """At 15 C, kg/m3."""
    expansion: Figure
    """Loss of density with warmth, as a share of that at 15 C, 1/K."""
    viscosity: Figure
    """At 20 C, Pa s."""
    thinning: Figure
    """How fast it thins with warmth, K: see ``warm_viscosity``."""
    heating_value: Figure
    """Lower heating value, J/kg."""
    surface_tension: Figure
    """At 20 C, N/m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelState:
    """What the jets meter, at its temperature. Floats, or arrays of shape (draw,).

    ``air_per_fuel`` is the dry air that a kilogram burns completely, oil
    included as far as it burns. ``heating_value`` counts the same oil.
    """

    density: KgPerCubicMetre
    viscosity: PascalSecond
    air_per_fuel: Ratio
    heating_value: JoulePerKg
    surface_tension: NewtonPerMetre


def elements_of(*, carbon: Ratio, hydrogen: Ratio, oxygen: Ratio = 0.0) -> Elements:
    """Give the mass fractions of a substance from the numbers of its atoms.

    Source: [iupac-atoms].

    >>> round(elements_of(carbon=2, hydrogen=6, oxygen=1).oxygen, 3)
    0.347
    """
    c, h, o = carbon * CARBON, hydrogen * HYDROGEN, oxygen * OXYGEN
    whole = c + h + o
    return Elements(carbon=c / whole, hydrogen=h / whole, oxygen=o / whole)


def air_per_fuel(elements: Elements) -> Ratio:
    """Give the dry air in kilograms that burns a kilogram of fuel with nothing left over.

    Carbon goes to carbon dioxide and hydrogen to water; the fuel's own oxygen
    is used first.

    Source: [heywood1988] chapter 3, from memory: balance of atoms.

    >>> round(air_per_fuel(elements_of(carbon=8, hydrogen=18)), 2)
    15.14
    """
    oxygen = (
        elements.carbon / CARBON + elements.hydrogen / (4.0 * HYDROGEN) - elements.oxygen / (2.0 * OXYGEN)
    )
    return oxygen / OXYGEN_IN_AIR * AIR_WEIGHT


def warm_density(density: KgPerCubicMetre, *, expansion: PerKelvin, temperature: Kelvin) -> KgPerCubicMetre:
    """Give a liquid's density at a temperature from its density at 15 C.

    Holds within 0.2 per cent from 0 to 40 C.

    Source: [astm-d1250], from memory: near 15 C the table is a straight line.

    >>> float(round(warm_density(745.0, expansion=1.2e-3, temperature=298.15), 2))
    736.06
    """
    return density * (1.0 - expansion * (temperature - DENSITY_AT))


def warm_viscosity(viscosity: PascalSecond, *, thinning: Kelvin, temperature: Kelvin) -> PascalSecond:
    """Give a liquid's viscosity at a temperature from its viscosity at 20 C.

    Holds within 3 per cent from 0 to 40 C for light fuels and alcohols.

    Source: [andrade1930], from memory; ``thinning`` fitted to [coolprop].

    >>> float(round(warm_viscosity(0.5e-3, thinning=1000.0, temperature=273.15) * 1e3, 3))
    0.642
    """
    return viscosity * np.exp(thinning * (1.0 / temperature - 1.0 / VISCOSITY_AT))


def mass_share(volume_share: Ratio, *, density: KgPerCubicMetre, other_density: KgPerCubicMetre) -> Ratio:
    """Give the share by mass of a liquid whose share by volume is known, in a blend of two.

    ``density`` is the liquid's, ``other_density`` that of what it is mixed into.

    Source: [geometry]: volumes taken to add, which for petrol and ethanol is right to 0.3 per cent.

    >>> float(round(mass_share(0.10, density=794.0, other_density=745.0), 4))
    0.1059
    """
    mass = volume_share * density
    return mass / (mass + (1.0 - volume_share) * other_density)


def mix(share: Ratio, *, of: Ratio, into: Ratio) -> Ratio:
    """Give the mean of two values, by share: densities by volume; heating value and air by mass.

    Source: [geometry].

    >>> mix(0.25, of=8.0, into=4.0)
    5.0
    """
    return share * of + (1.0 - share) * into


def mix_viscosity(mass_fraction: Ratio, *, of: PascalSecond, into: PascalSecond) -> PascalSecond:
    """Give the viscosity of a blend of two liquids: the mean of the logarithms, by mass.

    Good to about a tenth for blends of petrol with ethanol or with a little oil.

    Source: [arrhenius1887], from memory: the plain mixing rule.

    >>> float(round(mix_viscosity(0.5, of=4.0, into=1.0), 6))
    2.0
    """
    return into * (of / into) ** mass_fraction


PETROL = Liquid(
    elements=elements_of(carbon=1.0, hydrogen=1.87),
    density=Figure(
        745.0, 720.0, 780.0, "doe-fuel-properties, range of specific gravity; middle from common practice"
    ),
    expansion=Figure(
        1.2e-3, 1.05e-3, 1.3e-3, "astm-d1250, from memory; n-heptane in coolprop gives the same"
    ),
    viscosity=Figure(
        0.41 * _MPAS,
        0.36 * _MPAS,
        0.55 * _MPAS,
        "doe-fuel-properties: 0.37 to 0.44 at 15.6 C; more from memory",
    ),
    thinning=Figure(1000.0, 950.0, 1100.0, "coolprop: n-heptane 960, toluene 1080"),
    heating_value=Figure(
        43.5 * _MJ, 41.9 * _MJ, 44.2 * _MJ, "doe-fuel-properties, range; middle from memory"
    ),
    surface_tension=Figure(0.0215, 0.020, 0.0225, "from memory"),
)
ETHANOL = Liquid(
    elements=elements_of(carbon=2, hydrogen=6, oxygen=1),
    density=Figure(793.7, 791.0, 797.0, "coolprop"),
    expansion=Figure(1.08e-3, 1.05e-3, 1.11e-3, "coolprop, fitted from 0 to 40 C"),
    viscosity=Figure(1.194 * _MPAS, 1.15 * _MPAS, 1.23 * _MPAS, "coolprop"),
    thinning=Figure(1700.0, 1600.0, 1800.0, "coolprop, fitted from 0 to 40 C"),
    heating_value=Figure(
        26.8 * _MJ, 26.5 * _MJ, 27.0 * _MJ, "doe-fuel-properties Table 2; thermo gives 26.82"
    ),
    surface_tension=Figure(0.0224, 0.0220, 0.0228, "thermo"),
)
OIL = Liquid(
    elements=elements_of(carbon=1.0, hydrogen=1.95),
    density=Figure(870.0, 850.0, 900.0, "common practice"),
    expansion=Figure(0.75e-3, 0.65e-3, 0.85e-3, "astm-d1250, from memory"),
    viscosity=Figure(50.0 * _MPAS, 30.0 * _MPAS, 80.0 * _MPAS, "from memory: diluted two-stroke oil as sold"),
    thinning=Figure(3500.0, 2500.0, 4500.0, "from memory: thin mineral oil, halves in about 17 K"),
    heating_value=Figure(42.5 * _MJ, 41.0 * _MJ, 43.5 * _MJ, "from memory"),
    surface_tension=Figure(0.030, 0.027, 0.033, "from memory"),
)
BURNT_OIL = Figure(
    0.35, 0.0, 0.7, "judgement: part burns, part leaves as smoke or stays; no measurement at hand"
)
"""Share of the oil that burns."""


def blend_state(ethanol_share: Ratio, *, temperature: Kelvin) -> FuelState:
    """Give what petrol with a share of ethanol by volume is like; no oil in it yet.

    Source: [doe-fuel-properties] for the pure fuels; mixed by ``mix`` and ``mix_viscosity``.

    >>> state = blend_state(0.10, temperature=288.15)
    >>> round(float(state.air_per_fuel), 2), round(float(state.density), 1)
    (14.02, 749.9)
    """
    by_mass = mass_share(ethanol_share, density=ETHANOL.density.value, other_density=PETROL.density.value)
    return FuelState(
        density=mix(ethanol_share, of=_density(ETHANOL, temperature), into=_density(PETROL, temperature)),
        viscosity=mix_viscosity(
            by_mass, of=_viscosity(ETHANOL, temperature), into=_viscosity(PETROL, temperature)
        ),
        air_per_fuel=mix(by_mass, of=air_per_fuel(ETHANOL.elements), into=air_per_fuel(PETROL.elements)),
        heating_value=mix(by_mass, of=ETHANOL.heating_value.value, into=PETROL.heating_value.value),
        surface_tension=mix(
            ethanol_share, of=ETHANOL.surface_tension.value, into=PETROL.surface_tension.value
        ),
    )


def fuel_state(
    ethanol_share: Ratio,
    *,
    temperature: Kelvin,
    oil_ratio: Ratio = 0.0,
    burnt_oil: Ratio = BURNT_OIL.value,
) -> FuelState:
    """Give what the jets meter: petrol, ethanol and oil together, at their temperature.

    ``ethanol_share`` is by volume, 0 to 1. ``oil_ratio`` is petrol to oil by
    volume, 40 for 40:1; 0 means no oil. ``burnt_oil`` is the share of the oil
    that burns and so asks for air. Arrays of shape (draw,) are welcome for
    each. Surface tension is that at 20 C and stays within its own spread from
    0 to 40 C.

    Source: [doe-fuel-properties] for the pure fuels; mixed by ``mix`` and ``mix_viscosity``.

    >>> state = fuel_state(0.0, temperature=288.15, oil_ratio=32.0, burnt_oil=0.0)
    >>> round(float(state.air_per_fuel), 2), round(float(state.density), 1)
    (14.09, 748.8)
    """
    fuel = blend_state(ethanol_share, temperature=temperature)
    volume = np.where(np.asarray(oil_ratio) > 0.0, 1.0 / (1.0 + np.maximum(oil_ratio, 1e-9)), 0.0)
    by_mass = mass_share(volume, density=OIL.density.value, other_density=_density_at_15(ethanol_share))
    return FuelState(
        density=mix(volume, of=_density(OIL, temperature), into=fuel.density),
        viscosity=mix_viscosity(by_mass, of=_viscosity(OIL, temperature), into=fuel.viscosity),
        air_per_fuel=mix(by_mass, of=burnt_oil * air_per_fuel(OIL.elements), into=fuel.air_per_fuel),
        heating_value=mix(by_mass, of=burnt_oil * OIL.heating_value.value, into=fuel.heating_value),
        surface_tension=mix(volume, of=OIL.surface_tension.value, into=fuel.surface_tension),
    )


def _density_at_15(ethanol_share: Ratio) -> KgPerCubicMetre:
    return mix(ethanol_share, of=ETHANOL.density.value, into=PETROL.density.value)


def _density(liquid: Liquid, temperature: Kelvin) -> KgPerCubicMetre:
    return warm_density(liquid.density.value, expansion=liquid.expansion.value, temperature=temperature)


def _viscosity(liquid: Liquid, temperature: Kelvin) -> PascalSecond:
    return warm_viscosity(liquid.viscosity.value, thinning=liquid.thinning.value, temperature=temperature)


def blend_elements(ethanol_share: Ratio) -> Elements:
    """Give the mass fractions of carbon, hydrogen and oxygen in petrol with a share of ethanol by volume.

    Source: [geometry], masses add.

    >>> round(float(blend_elements(0.10).oxygen), 4)
    0.0368
    """
    by_mass = mass_share(ethanol_share, density=ETHANOL.density.value, other_density=PETROL.density.value)
    pure = ((getattr(one, name) for one in (ETHANOL.elements, PETROL.elements)) for name in _ELEMENTS)
    return Elements(
        **{name: mix(by_mass, of=of, into=into) for name, (of, into) in zip(_ELEMENTS, pure, strict=True)}
    )


_ELEMENTS = ("carbon", "hydrogen", "oxygen")


def hydrogen_per_carbon(elements: Elements) -> Ratio:
    """Give the atoms of hydrogen to each atom of carbon.

    Source: [iupac-atoms].

    >>> round(hydrogen_per_carbon(elements_of(carbon=8, hydrogen=18)), 6)
    2.25
    """
    return elements.hydrogen / HYDROGEN * CARBON / elements.carbon


def oxygen_per_carbon(elements: Elements) -> Ratio:
    """Give the atoms of oxygen to each atom of carbon.

    Source: [iupac-atoms].

    >>> round(oxygen_per_carbon(elements_of(carbon=2, hydrogen=6, oxygen=1)), 6)
    0.5
    """
    return elements.oxygen / OXYGEN * CARBON / elements.carbon


VAPOUR_TEMPERATURES = (-20.0, -10.0, 0.0, 10.0, 20.0)
"""Celsius."""
VAPOUR_AIR_TO_FUEL = (3.65, 14.6)


def _vapour(value: float) -> Figure:
    low, high = max(0.0, value - 0.1), min(1.0, value + 0.1)
    return Figure(value, low, high, "thermo: own ideal flash of a petrol of seven parts; an upper bound")


VAPOUR_SHARE = (
    tuple(_vapour(value) for value in (0.22, 0.30, 0.39, 0.51, 0.65)),
    tuple(_vapour(value) for value in (0.416, 0.55, 0.706, 0.857, 0.99)),
)
"""Share of petrol that is vapour at rest, by air to fuel (rows) and temperature (columns), at 101 kPa."""


def vapour_share(temperature: Kelvin, *, air_to_fuel: Ratio) -> Ratio:
    """Give the share of the petrol that would turn to vapour in air of this temperature, given time.

    An upper bound: a cold engine gives it no time. Between the table's places
    it is even in temperature and in the logarithm of air to fuel; outside them
    the edge is kept.

    Source: [thermo] for the vapour pressures; own ideal flash of a petrol of seven parts.

    >>> round(float(vapour_share(273.15, air_to_fuel=14.6)), 3)
    0.706
    """
    celsius = np.asarray(temperature) - FREEZING
    rich, even = (np.interp(celsius, VAPOUR_TEMPERATURES, [f.value for f in row]) for row in VAPOUR_SHARE)
    along = np.interp(np.log(air_to_fuel), np.log(VAPOUR_AIR_TO_FUEL), (0.0, 1.0))
    return mix(along, of=even, into=rich)
