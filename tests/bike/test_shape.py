"""Where the needle stands, and which measures cannot all be true."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import (
    contradictions,
    diameter_along,
    fitted_needle,
    idle_lift,
    needle_mouth_position,
    stamped_number,
)
from tests.bike.bikes import BORES, LIFTS, MM, bare_bike, bike_with, setup_with


def keys(bike: Bike, setup: Setup | None = None) -> list[str]:
    """Name the contradictions of a bike."""
    return [found.key for found in contradictions(bike, setup or setup_with())]


def mouth(bike: Bike, *, clip: int, lift: float) -> float:
    """Give the place on the needle that stands in the jet's mouth."""
    return float(needle_mouth_position(bike, setup_with(clip_from_top=clip), lift))


# --- where the needle stands -------------------------------------------------------------------------------


def test_the_needle_stands_where_the_drawing_has_it() -> None:
    """Full lift, groove 3: 26 + 8 + 1.2 + 2 - 2.8 = 34.4 mm of needle above the jet's mouth."""
    at_full = needle_mouth_position(bike_with(), setup_with(), 26.0 * MM)
    assert at_full == pytest.approx(34.4 * MM)


@pytest.mark.property
@given(clip=st.integers(1, 4), lift=LIFTS)
def test_one_groove_down_lifts_the_needle_by_one_pitch(clip: int, lift: float) -> None:
    """The next groove counted from the blunt end moves the needle by the pitch, at any lift."""
    bike = bike_with()
    here = needle_mouth_position(bike, setup_with(clip_from_top=clip), lift)
    there = needle_mouth_position(bike, setup_with(clip_from_top=clip + 1), lift)
    assert there - here == pytest.approx(bike.carb.needle.groove_pitch.value)


@pytest.mark.property
@given(clip=st.integers(1, 4), lift=LIFTS)
def test_one_groove_down_never_narrows_the_ring(clip: int, lift: float) -> None:
    """What stands in the jet's mouth one groove further down is as thin or thinner: richer."""
    bike = bike_with()
    here, there = (
        diameter_along(bike.carb.needle, mouth(bike, clip=groove, lift=lift)) for groove in (clip, clip + 1)
    )
    assert there.value <= here.value


@pytest.mark.property
@given(washer=st.floats(0.0, 2.0), lift=LIFTS)
def test_a_washer_lifts_the_needle_by_its_thickness(washer: float, lift: float) -> None:
    """A washer under the clip does what a groove does, by its own thickness."""
    bike = bike_with()
    without = needle_mouth_position(bike, setup_with(), lift)
    with_it = needle_mouth_position(bike, setup_with(needle_washer_mm=washer), lift)
    assert with_it - without == pytest.approx(washer * MM, abs=1e-12)


def test_the_setups_needle_hangs_instead_of_the_carburettors_own() -> None:
    """A needle swapped in is the one that counts, and its own first groove hangs it."""
    other = bike_with(needle={"first_groove": 2.2 * MM}).carb.needle
    setup = setup_with(needle=other)
    assert fitted_needle(bike_with(), setup) is other
    moved = needle_mouth_position(bike_with(), setup, 0.0) - needle_mouth_position(
        bike_with(), setup_with(), 0.0
    )
    assert moved == pytest.approx(1.0 * MM)


def test_the_diameter_is_even_above_tapers_between_and_stays_at_the_tip() -> None:
    """Constant to the end of the straight part, half way at half way, constant past the tip."""
    needle = bike_with().carb.needle
    along = [diameter_along(needle, place * MM).value / MM for place in (0.0, 13.0, 25.5, 38.0, 60.0)]
    assert along == pytest.approx([2.51, 2.51, (2.51 + 1.90) / 2, 1.90, 1.90])


# --- contradictions ----------------------------------------------------------------------------------------


def test_the_drawn_sample_has_no_contradiction() -> None:
    """The bike whose every height was checked on paper passes, in each groove."""
    assert [keys(bike_with(), setup_with(clip_from_top=clip)) for clip in range(1, 6)] == [[]] * 5


IMPOSSIBLE = {
    "needle through main jet": bike_with(needle={"length": 41.0 * MM}),
    "needle out of jet": bike_with(needle={"length": 33.0 * MM}),
    "needle too thick": bike_with(needle_jet_bore=2.45 * MM),
    "slide hits needle jet": bike_with(needle_jet_rise=10.0 * MM),
    "needle stations out of order": bike_with(needle={"straight": 40.0 * MM}),
    "needle swells": bike_with(needle={"top": 1.90 * MM, "tip": 2.51 * MM}),
    "grooves off the needle": bike_with(needle={"grooves": 9, "groove_pitch": 5.0 * MM}),
    "bypass too large": bike_with(bypass=[(4.0 * MM, 1.0 * MM)]),
    "bypass too far up": bike_with(bypass=[(0.6 * MM, 20.0 * MM)]),
    "outlet too large": bike_with(pilot_outlet_bore=4.5 * MM),
}


@pytest.mark.parametrize("key", IMPOSSIBLE)
def test_each_impossible_shape_is_named_and_nothing_else_is(key: str) -> None:
    """One measure of the sample made impossible gives that one contradiction."""
    assert keys(IMPOSSIBLE[key]) == [key]


@pytest.mark.parametrize(
    ("settings", "key"),
    [
        ({"clip_from_top": 0}, "no such groove"),
        ({"clip_from_top": 6}, "no such groove"),
        ({"cutaway": "7"}, "cutaway too tall"),
        ({"cutaway": "-1"}, "cutaway below nothing"),
    ],
)
def test_each_impossible_setting_is_named(settings: dict[str, Any], key: str) -> None:
    """A groove that is not there, a cutaway taller than a quarter of the bore or below nothing."""
    assert keys(bike_with(), setup_with(**settings)) == [key]


def test_a_contradiction_brings_the_numbers_for_its_sentence() -> None:
    """The numbers are in millimetres: with 41 mm the tip stands 30.9 mm deep, the jet at 28.6."""
    found = contradictions(IMPOSSIBLE["needle through main jet"], setup_with())[0]
    assert found.number("tip_below_floor_mm") == pytest.approx(41.0 - 8.0 - 1.2 - 0.91)
    assert found.number("jet_below_floor_mm") == pytest.approx(28.6)
    assert found.fields[0] == "carb.needle.length"


def test_a_swapped_needle_is_blamed_under_its_own_name() -> None:
    """When the setup's needle is too long, the setup's field is named, not the carburettor's."""
    long = bike_with(needle={"length": 41.0 * MM}).carb.needle
    found = contradictions(bike_with(), setup_with(needle=long))
    assert [one.fields[0] for one in found] == ["setup.needle.length"]


@pytest.mark.property
@given(bore=BORES, clip=st.integers(1, 5), strokes=st.sampled_from([2, 4]), swept=st.floats(45e-6, 460e-6))
def test_assumptions_alone_never_contradict_each_other(
    bore: float, clip: int, strokes: int, swept: float
) -> None:
    """A bike of which only the bore is known is never refused for what we assumed of it."""
    bike = assume_bike(
        name="Wren", what="", engine={"strokes": strokes, "swept_volume": swept}, carb={"bore": bore}, fuel={}
    )
    assert keys(bike, setup_with(clip_from_top=clip, cutaway="2.5")) == []


@pytest.mark.property
@given(length=st.floats(20.0, 60.0), bore=BORES)
def test_a_measured_needle_is_refused_only_far_from_what_we_assume(length: float, bore: float) -> None:
    """With all else assumed, a needle within three spreads of fitting is believed, not refused."""
    bike = bare_bike(bore=bore, needle={"length": length * MM})
    carb, needle = bike.carb, bike.carb.needle
    gap = carb.main_jet_top.value + carb.needle_seat.value + needle.first_groove.value + idle_lift(carb).value
    spread = (
        sum(
            one.spread**2
            for one in (carb.main_jet_top, carb.needle_seat, needle.first_groove, idle_lift(carb))
        )
        + needle.length.spread**2
    ) ** 0.5
    is_named = "needle through main jet" in keys(bike)
    if not {"needle stations out of order", "grooves off the needle", "needle swells"} & set(keys(bike)):
        assert is_named == (gap - needle.length.value < -3.0 * spread)


@pytest.mark.property
@given(rise=st.floats(0.0, 0.6), bore=BORES)
def test_the_slide_hits_a_jet_that_stands_past_a_third_of_the_bore(rise: float, bore: float) -> None:
    """Well past 0.35 of the bore the slide hits; well below it never does."""
    found = keys(bare_bike(bore=bore, needle_jet_rise=rise * bore))
    if not 0.34 < rise < 0.36:
        assert ("slide hits needle jet" in found) == (rise > 0.35)


@pytest.mark.property
@given(text=st.text(max_size=12))
def test_any_text_can_stand_for_a_stamp(text: str) -> None:
    """Whatever is stamped is read as a finite number or not at all."""
    number = stamped_number(text)
    assert number is None or abs(number) < float("inf")


def test_a_stamp_that_is_no_number_contradicts_nothing() -> None:
    """A cutaway nobody could read is not judged."""
    assert keys(bike_with(), setup_with(cutaway="?")) == []


def test_a_spread_is_carried_by_the_idle_lift() -> None:
    """The idle lift is our guess and says so."""
    guess = idle_lift(bike_with().carb)
    assert [guess.value, guess.spread] == pytest.approx([0.91 * MM, 0.26 * MM])
    assert guess.is_assumed
