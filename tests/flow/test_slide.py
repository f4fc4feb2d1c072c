"""The slide: areas against geometry, the pull's ramp, and what a cutaway does."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from floatbowl.flow import slide

BORES = st.floats(0.012, 0.045)
SHARES = st.floats(0.0, 1.0)
NOTHING = 1e-15
"""An area, in square metres, far below any that counts: what rounding leaves of a bore nearly shut."""


@pytest.mark.reference
@pytest.mark.parametrize(("height", "area"), [(1.0, 6.98), (3.5, 44.4), (7.0, 120.4), (14.0, 307.9)])
def test_areas_under_a_slide_in_a_bore_of_28(height: float, area: float) -> None:
    """Areas of a segment worked out by hand from the chord, in square millimetres."""
    # three and four digits are given
    found = slide.segment_area(height * 1e-3, 0.028)
    assert float(found) * 1e6 == pytest.approx(area, rel=1e-3)


@given(BORES, SHARES)
def test_a_segment_and_its_fellow_fill_the_bore(bore: float, share: float) -> None:
    """What is open below a slide and what is shut above it make the whole circle."""
    below = slide.segment_area(share * bore, bore)
    above = slide.segment_area((1.0 - share) * bore, bore)
    assert float(below + above) == pytest.approx(np.pi * bore**2 / 4.0, rel=1e-7)


@given(BORES, SHARES)
def test_a_segment_is_the_sum_of_its_chords(bore: float, share: float) -> None:
    """The closed form is the integral of the width of the bore over the height."""
    radius = 0.5 * bore
    chords, _ = quad(lambda h: 2.0 * np.sqrt(max(2.0 * radius * h - h * h, 0.0)), 0.0, share * bore)
    assert float(slide.segment_area(share * bore, bore)) == pytest.approx(chords, rel=1e-5, abs=1e-12)


@given(BORES, SHARES, SHARES, st.floats(0.0015, 0.003))
def test_more_lift_is_never_less_area(bore: float, one: float, two: float, needle: float) -> None:
    """Segment and open area both follow the lift one way."""
    low, high = sorted((one * bore, two * bore))
    assert slide.segment_area(low, bore) <= slide.segment_area(high, bore) + NOTHING
    # the needle's shadow is a strip of even width: where the bore narrows above, it counts a trifle too much
    assert slide.open_area(low, bore, needle) <= slide.open_area(high, bore, needle) * (1.0 + 2e-3) + NOTHING


def test_beyond_the_bore_it_is_the_whole_circle() -> None:
    """A slide that lifts further than the bore opens no more."""
    assert slide.segment_area(0.05, 0.028) == slide.segment_area(0.028, 0.028)
    assert float(slide.segment_area(-0.001, 0.028)) == 0.0


@given(SHARES, SHARES, st.floats(0.1, 0.4), st.floats(0.0, 0.1))
def test_the_pull_comes_up_smoothly_from_its_floor_to_all_of_it(
    one: float, two: float, reach: float, floor: float
) -> None:
    """The ramp starts at its floor, never falls, and ends at the full pull."""
    low, high = sorted((one, two))
    ramp = np.asarray(slide.signal_ramp(np.array([0.0, low, high, 3.0]), reach, floor))
    assert ramp[0] == pytest.approx(floor)
    assert np.all(np.diff(ramp) >= -1e-15)
    assert ramp[3] == pytest.approx(1.0)


@given(st.floats(0.05, 1.0), st.floats(0.5e-3, 4e-3), st.floats(0.3, 1.0))
def test_a_taller_cutaway_pulls_less(opening: float, cutaway: float, share: float) -> None:
    """The section over the needle jet grows with the cutaway, and the pull falls with it."""
    bore, more = 0.028, 0.5e-3
    lift = opening * bore
    heights = lift + share * np.array([cutaway, cutaway + more])
    pull = np.asarray(slide.signal_per_flow(slide.open_area(heights, bore, 0.0025), 1.6, 1.2))
    # the needle's even shadow counts a trifle too much at the narrow top of the bore
    assert pull[1] <= pull[0] * (1.0 + 1e-3)


def test_the_pull_is_the_dynamic_pressure_times_the_gain() -> None:
    """The pull by squared flow is the half density times speed squared of the mean stream, times the gain."""
    flow, section, density = 8e-3, 2e-4, 1.2
    speed = flow / (density * section)
    assert slide.signal_per_flow(section, 1.4, density) * flow**2 == pytest.approx(
        1.4 * 0.5 * density * speed**2
    )


def test_the_slide_passes_more_easily_the_further_it_is_open() -> None:
    """Discharge runs from a sharp edge's to a rounded throat's."""
    found = np.asarray(slide.slide_discharge(np.linspace(0.0, 1.0, 11)))
    assert np.all(np.diff(found) > 0.0)
    assert found[0] == slide.SHARP_DISCHARGE.value
    assert found[-1] == pytest.approx(slide.SHARP_DISCHARGE.value + slide.OPEN_GAIN.value)
