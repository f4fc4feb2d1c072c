"""The air we assume at a place until somebody reads an instrument."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.bike.place import assume_day, standard_height, standard_pressure

# Table of the standard atmosphere, geopotential height in metres and pressure in hectopascal, four digits.
STANDARD = [(0.0, 1013.25), (500.0, 954.61), (1000.0, 898.74), (2000.0, 794.95), (3000.0, 701.08)]


@pytest.mark.reference
@pytest.mark.parametrize(("height", "hectopascal"), STANDARD)
def test_the_standard_pressure_is_that_of_the_table(height: float, hectopascal: float) -> None:
    """The standard atmosphere 1976 [standard-atmosphere-1976], to the half digit it prints."""
    assert standard_pressure(height) / 100.0 == pytest.approx(hectopascal, abs=0.02)


@pytest.mark.property
@given(st.floats(-400.0, 5500.0))
def test_height_and_pressure_lead_back_to_each_other(height: float) -> None:
    """The height of a height's pressure is that height."""
    assert standard_height(standard_pressure(height)) == pytest.approx(height, abs=1e-6)


def test_what_was_read_is_measured_and_the_rest_is_assumed() -> None:
    """A thermometer alone leaves pressure and dampness in pencil."""
    day = assume_day("Tarn Hollow", height=1450.0, temperature=288.65)
    assert (day.temperature.is_assumed, day.pressure.is_assumed, day.humidity.is_assumed) == (
        False,
        True,
        True,
    )
    assert day.pressure.value == pytest.approx(85_080.0, abs=50.0)


def test_a_barometer_tells_the_height_when_nobody_else_does() -> None:
    """851 hPa at the door is about 1,450 m up."""
    assert assume_day(pressure=85_100.0).height == pytest.approx(1450.0, abs=10.0)


def test_nothing_known_leaves_the_pressure_wide() -> None:
    """Without height and barometer the pressure's spread is more than the weather's."""
    assert assume_day().pressure.spread > assume_day(height=200.0).pressure.spread
