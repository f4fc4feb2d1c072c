"""The ring round the needle."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import needle

STATIONS = ((0.012, 0.020, 0.032), (2.50e-3, 2.40e-3, 1.90e-3))
ALONG = st.floats(0.0, 0.06)


@given(ALONG)
def test_the_needle_is_straight_then_evenly_tapered_then_ends(along: float) -> None:
    """Between measured stations the diameter is that of a straight line, outside them it keeps."""
    expected = np.interp(along, *STATIONS)
    assert float(needle.needle_diameter(along, *STATIONS)) == pytest.approx(expected, rel=1e-12)


@given(ALONG, ALONG, st.floats(0.0, 1.5e-3))
def test_a_lifted_needle_never_shuts_the_ring(one: float, two: float, cone: float) -> None:
    """For any needle that only grows thinner, further along means a ring at least as wide."""
    low, high = sorted((one, two))
    tapers = (STATIONS[0], (2.5e-3, 2.5e-3 - cone, 2.5e-3 - 1.5 * cone))
    ring = np.asarray(needle.ring_area(2.6e-3, needle.needle_diameter(np.array([low, high]), *tapers)))
    assert ring[0] <= ring[1] * (1.0 + 1e-12)


@given(st.floats(1.5e-3, 4e-3), st.floats(0.0, 5e-3))
def test_the_ring_is_the_jet_less_the_needle(jet: float, across: float) -> None:
    """Ring and needle together are the needle jet's hole; a needle too thick shuts it, no more."""
    ring = float(needle.ring_area(jet, across))
    assert ring == pytest.approx(max(np.pi * (jet**2 - across**2) / 4.0, 0.0), rel=1e-9, abs=1e-18)


def test_stations_may_differ_between_draws() -> None:
    """Columns of draws go through as they are: one needle for each."""
    thick, thin = np.array([[2.50e-3], [2.48e-3]]), np.array([[2.0e-3], [1.8e-3]])
    found = needle.needle_diameter(np.array([[0.010, 0.020, 0.040]]), (0.010, 0.030), (thick, thin))
    assert found == pytest.approx(np.array([[2.50, 2.25, 2.0], [2.48, 2.14, 1.8]]) * 1e-3)


def test_a_hundredth_of_a_millimetre_counts() -> None:
    """A needle jet wider by 0.01 mm opens 0.041 square millimetres: a tenth of an ordinary ring."""
    more = needle.ring_area(2.61e-3, 2.5e-3) - needle.ring_area(2.60e-3, 2.5e-3)
    assert float(more) * 1e6 == pytest.approx(0.041, abs=5e-4)  # the derivative, pi/2 x 2.6 x 0.01
