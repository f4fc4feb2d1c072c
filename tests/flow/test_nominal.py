"""From the bike on the stand to the numbers of the sums."""

from dataclasses import fields, replace

import numpy as np
import pytest

from floatbowl.bike.assume import likely_main_bore, likely_pilot_bore
from floatbowl.bike.faults import FAULTS
from floatbowl.bike.measure import Measure
from floatbowl.flow import air, stamps
from floatbowl.flow.engine import PISTON_PORT, REED, VALVE
from floatbowl.flow.holes import round_area
from floatbowl.flow.nominal import nominal
from floatbowl.flow.parameters import Parameters
from tests.flow.bikes import MILD, ORDINARY, SIZES, Size, bike_of

FUEL_SCREW, AIR_SCREW = SIZES[3], SIZES[0]


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_every_number_is_one_finite_number(size: Size) -> None:
    """A bike that is hardly known still gives every number, each finite and of the right sign."""
    p = nominal(bike_of(size), ORDINARY, MILD)
    may_be_negative = {"level_drop", "mix_depth", "bowl_offset"}
    for field in fields(Parameters):
        value = np.asarray(getattr(p, field.name), dtype=np.float64)
        assert np.all(np.isfinite(value)), field.name
        assert field.name in may_be_negative or np.all(value >= 0.0), field.name
    assert p.draws == 1


def test_stamps_become_bores() -> None:
    """Jets by stamp are those of their scale; one not known is the likely one for the bike."""
    bike = bike_of(FUEL_SCREW)
    p = nominal(bike, replace(ORDINARY, main="105", pilot="38"), MILD)
    assert float(np.asarray(p.main_area)) == pytest.approx(float(round_area(1.05e-3)))
    assert float(np.asarray(p.pilot_area)) == pytest.approx(float(round_area(0.38e-3)))
    likely = nominal(bike, ORDINARY, MILD)
    assert float(np.asarray(likely.main_area)) == pytest.approx(float(round_area(likely_main_bore(bike))))
    assert float(np.asarray(likely.pilot_area)) == pytest.approx(float(round_area(likely_pilot_bore(bike))))
    by_flow = replace(bike, carb=replace(bike.carb, main_scale="flow"))
    other = nominal(by_flow, replace(ORDINARY, main="105"), MILD)
    assert float(np.asarray(other.main_area)) == pytest.approx(float(round_area(stamps.bore_by_flow(105.0))))


def test_a_lower_groove_lifts_the_needle() -> None:
    """One groove further from the blunt end lifts the needle by a pitch; a washer by its thickness."""
    bike = bike_of(FUEL_SCREW)
    third, fourth, washer = (
        float(np.asarray(nominal(bike, setup, MILD).needle_position))
        for setup in (ORDINARY, replace(ORDINARY, clip_from_top=4), replace(ORDINARY, needle_washer_mm=0.5))
    )
    assert fourth - third == pytest.approx(bike.carb.needle.groove_pitch.value)
    assert washer - third == pytest.approx(0.5e-3)


def test_a_smaller_float_height_raises_the_level() -> None:
    """Half a millimetre less float height is half a millimetre more fuel; unmeasured means by the book."""
    bike = bike_of(FUEL_SCREW)
    book = bike.carb.float_height.value * 1e3
    p = nominal(bike, replace(ORDINARY, float_height_mm=book - 0.5), MILD)
    assert float(np.asarray(p.level_drop)) == pytest.approx(-0.5e-3)
    assert nominal(bike, ORDINARY, MILD).level_drop == 0.0


def test_inlet_and_screw_are_told_apart() -> None:
    """Valve, reed and piston port, fuel and air screw reach the sums as what they are."""
    kinds = {size: nominal(bike_of(size), ORDINARY, MILD).kind for size in (SIZES[0], SIZES[8], SIZES[12])}
    assert list(kinds.values()) == [VALVE, REED, PISTON_PORT]
    assert nominal(bike_of(AIR_SCREW), ORDINARY, MILD).screw_is_air == 1.0
    assert nominal(bike_of(FUEL_SCREW), ORDINARY, MILD).screw_is_air == 0.0


def test_the_stop_is_set_on_a_mild_day_at_sea_level() -> None:
    """The stop stays where it was set: a hot day on a hill changes the air and not the slide."""
    bike = bike_of(FUEL_SCREW)
    hill = replace(MILD, pressure=Measure(80000.0, 100.0), temperature=Measure(308.15, 1.0))
    here, there = nominal(bike, ORDINARY, MILD), nominal(bike, ORDINARY, hill)
    assert here.idle_lift == there.idle_lift
    assert there.air_density < here.air_density
    moist = air.density(80000.0, temperature=308.15, humidity=MILD.humidity.value)
    assert float(np.asarray(there.air_density)) == pytest.approx(float(moist))


def test_warm_fuel_is_thin_fuel() -> None:
    """The fuel has the day's temperature."""
    bike = bike_of(FUEL_SCREW)
    cold, warm = (
        nominal(bike, ORDINARY, replace(MILD, temperature=Measure(kelvin, 1.0)))
        for kelvin in (273.15, 308.15)
    )
    assert warm.fuel_viscosity < cold.fuel_viscosity
    assert warm.fuel_density < cold.fuel_density


def test_every_fault_changes_a_number_that_exists() -> None:
    """The faults name fields of the parameters."""
    names = {field.name for field in fields(Parameters)}
    assert {change.parameter for fault in FAULTS for change in fault.changes} <= names
