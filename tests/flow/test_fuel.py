"""Fuels against a library and printed tables, and against themselves."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import elementary, fuel
from floatbowl.units import FREEZING, MEGAJOULE
from tests.reference.check_values.rows import ROWS

SHARES = st.floats(0.0, 1.0)
TEMPERATURES = st.floats(FREEZING - 10.0, FREEZING + 45.0)
FIELDS = ("density", "viscosity", "air_per_fuel", "heating_value", "surface_tension")


def _values(state: fuel.FuelState) -> list[float]:
    return [float(getattr(state, name)) for name in FIELDS]


# --- against the world -------------------------------------------------------------------------------------


@pytest.mark.reference
@pytest.mark.parametrize("celsius", [0.0, 10.0, 20.0, 30.0, 40.0])
def test_ethanol_agrees_with_a_library(celsius: float) -> None:
    """Ethanol's density agrees with CoolProp to 0.2 per cent and its viscosity to 3, as the laws say."""
    state = fuel.fuel_state(1.0, temperature=FREEZING + celsius)
    theirs = [PropsSI(key, "P", 101_325.0, "T", FREEZING + celsius, "Ethanol") for key in ("D", "V")]
    assert state.density == pytest.approx(theirs[0], rel=2e-3)
    assert state.viscosity == pytest.approx(theirs[1], rel=3e-2)


@pytest.mark.reference
@pytest.mark.parametrize("substance", ["n-Heptane", "Toluene", "n-Octane"])
def test_what_petrol_is_made_of_thins_as_petrol_does(substance: str) -> None:
    """From 0 to 40 C the hydrocarbons of petrol thin by our petrol's law, to 5 per cent over the whole way.

    Heptane and octane bracket the light and the heavy end, toluene stands for the aromatics.
    """
    cold, warm = (PropsSI("V", "P", 101_325.0, "T", FREEZING + c, substance) for c in (0.0, 40.0))
    ours = [
        fuel.warm_viscosity(1.0, thinning=fuel.PETROL.thinning.value, temperature=FREEZING + c)
        for c in (0.0, 40.0)
    ]
    assert ours[0] / ours[1] == pytest.approx(cold / warm, rel=0.05)


@pytest.mark.reference
def test_ethanol_has_the_surface_tension_of_a_library() -> None:
    """Ethanol's surface tension agrees with CoolProp's, to 2 per cent, the spread of our figure."""
    theirs = PropsSI("I", "T", FREEZING + 20.0, "Q", 0.0, "Ethanol")
    assert fuel.ETHANOL.surface_tension.value == pytest.approx(theirs, rel=0.02)


@pytest.mark.reference
def test_petrol_swells_as_the_petroleum_tables_say() -> None:
    """The petroleum tables' expansion at our petrol's density lies near the middle of our figure."""
    density, expansion = fuel.PETROL.density.value, fuel.PETROL.expansion
    tables = (346.42 + 0.4388 * density) / density**2
    assert expansion.low < tables < expansion.high
    assert expansion.value == pytest.approx(tables, rel=0.02)


def _printed(name: str) -> float:
    return next(float(row.value) for row in ROWS if row.id == name)


@pytest.mark.reference
def test_petrol_burns_as_what_it_is_made_of() -> None:
    """Paraffin and toluene, mixed until they have petrol's hydrogen, give petrol's heat to 1.5 per cent.

    The two stand for some hundred substances; heats of combustion within a family differ by about 1 per cent.
    """
    paraffin, toluene, petrol = (
        fuel.elements_of(carbon=8, hydrogen=18),
        fuel.elements_of(carbon=7, hydrogen=8),
        fuel.PETROL.elements,
    )
    share = (petrol.hydrogen - toluene.hydrogen) / (paraffin.hydrogen - toluene.hydrogen)
    heat = share * _printed("LHV-iso-octane") + (1.0 - share) * _printed("LHV-toluene")
    assert fuel.PETROL.heating_value.value / MEGAJOULE == pytest.approx(heat, rel=0.015)
    assert _printed("LHV-toluene") < fuel.PETROL.heating_value.value / MEGAJOULE < _printed("LHV-n-heptane")


@pytest.mark.reference
def test_oil_that_burns_hardly_shifts_the_mixture() -> None:
    """At 32:1, oil that does not burn leans by 3.4 per cent, oil that burns wholly by less than 0.5."""
    neat = fuel.fuel_state(0.0, temperature=fuel.DENSITY_AT)
    shifts = [
        elementary.fuel_factor(
            neat, after=fuel.fuel_state(0.0, temperature=fuel.DENSITY_AT, oil_ratio=32.0, burnt_oil=burnt)
        )
        for burnt in (0.0, 1.0)
    ]
    assert shifts[0] == pytest.approx(1.034, abs=0.001)
    assert shifts[1] == pytest.approx(1.0, abs=0.005)


def test_premix_is_thicker_by_a_sixth() -> None:
    """At 32:1 and 20 C the mix is about 15 per cent more viscous than petrol, from memory of the trade."""
    neat, mixed = (fuel.fuel_state(0.0, temperature=fuel.VISCOSITY_AT, oil_ratio=r) for r in (0.0, 32.0))
    assert mixed.viscosity / neat.viscosity == pytest.approx(1.15, abs=0.06)


# --- against itself ----------------------------------------------------------------------------------------


@pytest.mark.property
@given(temperature=TEMPERATURES, share=SHARES, burnt=SHARES)
def test_no_oil_is_no_change(temperature: float, share: float, burnt: float) -> None:
    """An oil ratio of nothing, or of a million to one, leaves the blend as it is, however much oil burns."""
    blend = _values(fuel.blend_state(share, temperature=temperature))
    assert _values(fuel.fuel_state(share, temperature=temperature, burnt_oil=burnt)) == blend
    trace = fuel.fuel_state(share, temperature=temperature, oil_ratio=1e6, burnt_oil=burnt)
    assert _values(trace) == pytest.approx(blend, rel=2e-5)


@pytest.mark.property
@given(temperature=TEMPERATURES)
def test_a_blend_of_one_is_that_one(temperature: float) -> None:
    """Without ethanol the blend is petrol, with nothing else it is ethanol."""
    for share, liquid in ((0.0, fuel.PETROL), (1.0, fuel.ETHANOL)):
        state = fuel.blend_state(share, temperature=temperature)
        alone = [
            fuel.warm_density(
                liquid.density.value, expansion=liquid.expansion.value, temperature=temperature
            ),
            fuel.warm_viscosity(
                liquid.viscosity.value, thinning=liquid.thinning.value, temperature=temperature
            ),
            fuel.air_per_fuel(liquid.elements),
            liquid.heating_value.value,
            liquid.surface_tension.value,
        ]
        assert _values(state) == pytest.approx(alone, rel=1e-14)


@pytest.mark.property
@given(temperature=TEMPERATURES, share=st.floats(0.0, 0.9), more=st.floats(0.01, 0.1))
def test_more_ethanol_is_leaner_at_the_same_jets(temperature: float, share: float, more: float) -> None:
    """More ethanol asks for less air, gives less heat, is denser and thicker: at the same jets, leaner."""
    less, much = (fuel.fuel_state(s, temperature=temperature) for s in (share, share + more))
    assert much.air_per_fuel < less.air_per_fuel
    assert much.heating_value < less.heating_value
    assert much.density > less.density
    assert much.viscosity > less.viscosity
    assert elementary.fuel_factor(less, after=much) > 1.0


@pytest.mark.property
@given(temperature=TEMPERATURES, share=SHARES, ratio=st.floats(15.0, 200.0), burnt=st.floats(0.0, 0.7))
def test_more_oil_is_leaner_and_thicker(temperature: float, share: float, ratio: float, burnt: float) -> None:
    """More oil, of which at most 7 in 10 parts burn, makes petrol leaner and every fuel thicker."""
    thin, rich_in_oil = (
        fuel.fuel_state(share, temperature=temperature, oil_ratio=r, burnt_oil=burnt)
        for r in (ratio * 1.2, ratio)
    )
    assert rich_in_oil.viscosity > thin.viscosity
    petrol_only = [
        fuel.fuel_state(0.0, temperature=temperature, oil_ratio=r, burnt_oil=burnt)
        for r in (ratio * 1.2, ratio)
    ]
    assert elementary.fuel_factor(petrol_only[0], after=petrol_only[1]) > 1.0


@pytest.mark.property
@given(temperature=TEMPERATURES, share=SHARES, oil=st.sampled_from([0.0, 20.0, 50.0]))
def test_warm_fuel_is_lighter_and_thinner(temperature: float, share: float, oil: float) -> None:
    """Warmth makes fuel lighter and thinner and leaves the air it burns as it was."""
    cold, warm = (
        fuel.fuel_state(share, temperature=t, oil_ratio=oil) for t in (temperature, temperature + 1.0)
    )
    assert warm.density < cold.density
    assert warm.viscosity < cold.viscosity
    assert warm.air_per_fuel == cold.air_per_fuel


@pytest.mark.property
@given(share=SHARES, of=st.floats(500.0, 1000.0), into=st.floats(500.0, 1000.0))
def test_a_share_by_mass_keeps_the_masses(share: float, of: float, into: float) -> None:
    """Volumes and masses of the parts add up to those of the blend."""
    by_mass = fuel.mass_share(share, density=of, other_density=into)
    whole = fuel.mix(share, of=of, into=into)
    assert by_mass * whole == pytest.approx(share * of, rel=1e-12, abs=1e-12)
    assert 1.0 / whole == pytest.approx(fuel.mix(by_mass, of=1.0 / of, into=1.0 / into), rel=1e-12)


@pytest.mark.property
@given(carbon=st.floats(1.0, 12.0), hydrogen=st.floats(0.0, 26.0), oxygen=st.floats(0.0, 2.0))
def test_elements_add_up(carbon: float, hydrogen: float, oxygen: float) -> None:
    """Mass fractions add to one, and an oxygen atom in the fuel saves the air that carries one."""
    parts = fuel.elements_of(carbon=carbon, hydrogen=hydrogen, oxygen=oxygen)
    assert parts.carbon + parts.hydrogen + parts.oxygen == pytest.approx(1.0, rel=1e-14)
    weight = carbon * fuel.CARBON + hydrogen * fuel.HYDROGEN + oxygen * fuel.OXYGEN
    molecules = carbon + hydrogen / 4.0 - oxygen / 2.0
    air = molecules / fuel.OXYGEN_IN_AIR * fuel.AIR_WEIGHT
    assert fuel.air_per_fuel(parts) * weight == pytest.approx(air, rel=1e-9, abs=1e-9)


@pytest.mark.property
@given(temperature=st.floats(240.0, 310.0), air_to_fuel=st.floats(2.0, 20.0))
def test_warm_and_thin_mixtures_are_vapour(temperature: float, air_to_fuel: float) -> None:
    """The vapour share lies between 0 and 1 and never falls with warmth or with more air to the fuel."""
    here = float(fuel.vapour_share(temperature, air_to_fuel=air_to_fuel))
    assert 0.0 < here <= 1.0
    assert fuel.vapour_share(temperature + 1.0, air_to_fuel=air_to_fuel) >= here
    assert fuel.vapour_share(temperature, air_to_fuel=air_to_fuel * 1.05) >= here


def test_draws_come_through_as_draws(rng: np.random.Generator) -> None:
    """Arrays of shape (draw,) in every argument give arrays of that shape, each as its own numbers give."""
    ethanol, burnt = rng.uniform(0.0, 0.2, 7), rng.uniform(0.0, 0.7, 7)
    oil = np.array([0.0, 20.0, 32.0, 40.0, 0.0, 50.0, 100.0])
    together = fuel.fuel_state(ethanol, temperature=290.0, oil_ratio=oil, burnt_oil=burnt)
    for name in FIELDS:
        assert np.shape(getattr(together, name)) == (7,)
    for i in (0, 3, 6):
        alone = fuel.fuel_state(
            float(ethanol[i]), temperature=290.0, oil_ratio=float(oil[i]), burnt_oil=float(burnt[i])
        )
        assert [getattr(together, name)[i] for name in FIELDS] == pytest.approx(_values(alone), rel=1e-14)


def test_the_oil_halves_in_thickness_as_its_figure_says() -> None:
    """The oil's thinning is that of an oil which halves in about 17 K."""
    ratio = math.log(2.0) / fuel.OIL.thinning.value * fuel.VISCOSITY_AT**2
    assert ratio == pytest.approx(17.0, abs=1.0)
