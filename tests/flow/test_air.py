"""Moist air and the standard atmosphere against two libraries and against themselves."""

import numpy as np
import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import HAPropsSI, PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import air

PRESSURES = st.floats(60_000.0, 110_000.0)
TEMPERATURES = st.floats(258.15, 315.15)
HUMIDITIES = st.floats(0.0, 1.0)
HEIGHTS = st.floats(-300.0, 6000.0)


def _days() -> list[tuple[float, float, float]]:
    places = [(p, t) for p in (70_000.0, 85_000.0, 101_325.0) for t in (275.15, 288.15, 303.15, 313.15)]
    return [(p, t, h) for p, t in places for h in (0.0, 0.3, 0.6, 0.9)]


@pytest.mark.reference
@pytest.mark.parametrize(("pressure", "temperature", "humidity"), _days())
def test_density_agrees_with_a_library(pressure: float, temperature: float, humidity: float) -> None:
    """Moist and dry density agree with CoolProp from 2 to 40 C.

    CoolProp takes virial equations of its own. Its enhancement factor differs from ours by some thousandths
    of a vapour pressure that is up to a tenth of the whole: hence 5 parts in 10,000.
    """
    theirs = [1.0 / HAPropsSI(key, "P", pressure, "T", temperature, "R", humidity) for key in ("Vha", "Vda")]
    ours = [f(pressure, temperature=temperature, humidity=humidity) for f in (air.density, air.dry_density)]
    assert ours == pytest.approx(theirs, rel=5e-4)


@pytest.mark.reference
@pytest.mark.parametrize("temperature", [275.15, 288.15, 303.15, 313.15])
def test_saturation_agrees_with_a_library(temperature: float) -> None:
    """Vapour pressure times enhancement agrees with CoolProp's vapour in saturated air to half a per cent."""
    theirs = HAPropsSI("psi_w", "P", 101_325.0, "T", temperature, "R", 1.0)
    ours = air.vapour_fraction(101_325.0, temperature=temperature, humidity=1.0)
    assert ours == pytest.approx(theirs, rel=5e-3)


@pytest.mark.reference
@pytest.mark.parametrize("temperature", [258.15, 273.15, 293.15, 313.15])
def test_viscosity_agrees_with_a_library(temperature: float) -> None:
    """Sutherland's law agrees with CoolProp's dry air to 0.6 per cent, the known error of the old law."""
    assert air.viscosity(temperature) == pytest.approx(
        PropsSI("V", "T", temperature, "P", 101_325.0, "Air"), rel=6e-3
    )


@pytest.mark.reference
def test_viscosity_of_wet_air_is_as_the_docstring_says() -> None:
    """Leaving the vapour out makes air too viscous by less than 2.5 per cent up to 40 C."""
    theirs = HAPropsSI("M", "P", 101_325.0, "T", 313.15, "R", 1.0)
    assert 0.0 < air.viscosity(313.15) / theirs - 1.0 < 0.025


@pytest.mark.reference
@pytest.mark.parametrize("height", [0.0, 300.0, 1450.0, 2500.0, 4000.0, 6000.0])
def test_standard_atmosphere_agrees_with_two_libraries(height: float) -> None:
    """Temperature, pressure and density at a geometric height agree with ambiance and fluids.

    All three evaluate one closed form; the gas constants differ in the sixth digit and fluids keeps
    an exponent of its own, so one part in ten thousand.
    """
    above = air.geopotential_height(height)
    ours = [air.isa_temperature(above), air.isa_pressure(above), air.isa_density(above)]
    one, other = Atmosphere(height), ATMOSPHERE_1976(height)
    assert ours == pytest.approx([one.temperature[0], one.pressure[0], one.density[0]], rel=1e-4)
    assert ours == pytest.approx([other.T, other.P, other.rho], rel=1e-4)
    assert air.viscosity(ours[0]) == pytest.approx(one.dynamic_viscosity[0], rel=1e-4)


@pytest.mark.property
@given(pressure=PRESSURES, temperature=TEMPERATURES, humidity=HUMIDITIES)
def test_thick_air_is_high_pressed_cold_and_dry(pressure: float, temperature: float, humidity: float) -> None:
    """Air gets thinner with less pressure, more warmth and more damp; so does its dry part, and faster."""

    def both(p: float, t: float, h: float) -> np.ndarray:
        return np.array([f(p, temperature=t, humidity=h) for f in (air.density, air.dry_density)])

    here = both(pressure, temperature, humidity)
    assert (both(pressure * 0.99, temperature, humidity) < here).all()
    assert (both(pressure, temperature + 1.0, humidity) < here).all()
    damper = both(pressure, temperature, humidity + 0.05) / here
    assert damper[1] < damper[0] < 1.0


@pytest.mark.property
@given(pressure=PRESSURES, temperature=TEMPERATURES)
def test_without_vapour_all_air_is_dry(pressure: float, temperature: float) -> None:
    """At no humidity the moist and the dry density, pressure and gas constant are one."""
    moist = air.density(pressure, temperature=temperature, humidity=0.0)
    assert moist == pytest.approx(air.dry_density(pressure, temperature=temperature, humidity=0.0), rel=1e-14)
    assert air.dry_pressure(pressure, temperature=temperature, humidity=0.0) == pressure
    z = air.compressibility(pressure, temperature=temperature, vapour=0.0)
    assert pressure == pytest.approx(z * moist * air.gas_constant(0.0) * temperature, rel=1e-12)


@pytest.mark.property
@given(pressure=PRESSURES, temperature=TEMPERATURES, humidity=HUMIDITIES)
def test_the_gas_constant_goes_with_the_density(pressure: float, temperature: float, humidity: float) -> None:
    """Pressure is compressibility times density times gas constant times temperature, damp or not."""
    vapour = air.vapour_fraction(pressure, temperature=temperature, humidity=humidity)
    z = air.compressibility(pressure, temperature=temperature, vapour=vapour)
    density = air.density(pressure, temperature=temperature, humidity=humidity)
    assert pressure == pytest.approx(z * density * air.gas_constant(vapour) * temperature, rel=1e-12)


@pytest.mark.property
@given(height=HEIGHTS)
def test_density_altitude_undoes_the_standard_density(height: float) -> None:
    """The standard density at a height has that height as its density altitude."""
    assert air.density_altitude(air.isa_density(height)) == pytest.approx(height, abs=1e-6)


@pytest.mark.property
@given(height=HEIGHTS, sea_level=st.floats(95_000.0, 105_000.0))
def test_the_door_reads_less_than_the_forecast(height: float, sea_level: float) -> None:
    """At no height the door reads the forecast; on a standard day the standard; higher reads less."""
    assert air.station_pressure(sea_level, height=0.0) == pytest.approx(sea_level, rel=1e-12)
    standard = air.station_pressure(air.ISA_PRESSURE, height=height)
    assert standard == pytest.approx(air.isa_pressure(height), rel=1e-10)
    lower, higher = (air.station_pressure(sea_level, height=h) for h in (height, height + 10.0))
    assert higher < lower


def test_a_forecast_taken_for_the_door_misleads_by_a_fifth() -> None:
    """At 1500 m the sea-level figure taken as it stands makes the air 20 per cent too dense."""
    door = air.station_pressure(air.ISA_PRESSURE, height=1500.0)
    right, wrong = (air.density(p, temperature=278.4, humidity=0.5) for p in (door, air.ISA_PRESSURE))
    assert wrong / right == pytest.approx(1.20, abs=0.005)


@pytest.mark.property
@given(height=st.floats(0.0, 8000.0))
def test_geopotential_height_is_a_little_less(height: float) -> None:
    """Geopotential height is below the measured one by about height squared over the radius of the earth."""
    short = height - air.geopotential_height(height)
    assert short == pytest.approx(height**2 / air.EARTH_RADIUS, rel=2e-3, abs=1e-9)


def test_arrays_give_what_floats_give() -> None:
    """An array of days gives the same densities as the days one by one."""
    pressure, temperature, humidity = np.array(_days()).T
    together = air.density(pressure, temperature=temperature, humidity=humidity)
    alone = [air.density(p, temperature=t, humidity=h) for p, t, h in _days()]
    assert together == pytest.approx(alone, rel=1e-14)
