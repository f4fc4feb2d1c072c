"""Fuel level and pressure in the bowl."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import bowl


@given(st.floats(0.01, 0.03), st.floats(0.01, 0.03))
def test_a_smaller_float_height_is_a_higher_fuel_level(one: float, two: float) -> None:
    """The fuel stands above its book level by as much as the float height is below its own."""
    low, high = sorted((one, two))
    assert bowl.level_drop(low, 0.018) <= bowl.level_drop(high, 0.018)
    assert float(bowl.level_drop(0.018, 0.018)) == 0.0


@given(st.floats(0.0, 5000.0), st.floats(-500.0, 0.0))
def test_a_bowl_that_breathes_behind_the_filter_does_not_feel_it(loss: float, offset: float) -> None:
    """Vented in the airbox the bowl has the mouth's pressure; outside it has the filter's loss more."""
    assert float(bowl.bowl_surplus(loss, offset, 1.0)) == pytest.approx(offset)
    assert float(bowl.bowl_surplus(loss, offset, 0.0)) == pytest.approx(loss + offset)
