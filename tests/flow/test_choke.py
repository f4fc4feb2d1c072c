"""The cold start circuit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import choke

SHUT = st.floats(0.0, 1.0)
BORE = 6e-4


@given(SHUT, SHUT)
def test_a_flap_further_shut_leaves_less_and_hinders_more(one: float, two: float) -> None:
    """What a flap leaves open, and the area that hinders as it does, both fall as it shuts."""
    low, high = sorted((one, two))
    shut = np.array([low, high])
    assert np.all(np.diff(choke.flap_area(BORE, shut)) <= 0.0)
    with np.errstate(invalid="ignore"):  # two open flaps: without end less without end
        assert not np.any(np.diff(choke.flap_hindrance(BORE, shut)) > 0.0)


@given(st.floats(0.05, 1.0))
def test_the_hindrance_is_the_narrow_place_less_the_open_bore(shut: float) -> None:
    """Loss of the flap and dynamic pressure of the open bore add up to the loss of the narrow place."""
    narrow = choke.flap_area(BORE, shut) ** -2.0
    assert choke.flap_hindrance(BORE, shut) ** -2.0 + BORE**-2.0 == pytest.approx(narrow, rel=1e-9)


def test_a_flap_that_hardly_moves_hinders_hardly() -> None:
    """From open to the first thousandth shut there is no step.

    The flap once counted as an orifice of the whole bore as soon as it left its rest.
    """
    assert float(choke.flap_hindrance(BORE, 0.0)) == np.inf
    assert float(choke.flap_hindrance(BORE, 0.001)) > 20.0 * BORE
