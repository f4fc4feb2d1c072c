"""The drawing for paper: never smaller than true, its numbers apart and on the paper."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floatbowl.draw.printed import printed
from floatbowl.draw.svg import told_of
from floatbowl.draw.true_size import BALLOON_MM, NUMBERS, PER_MM, Room, size_mm, true_size
from tests.bike.bikes import BORES, bare_bike, bike_with, setup_with
from tests.draw.pictured import all_of, number, numbers, read

ROOM = Room(wide=130.0, high=128.0)
ROOMS = st.builds(Room, wide=st.floats(70.0, 200.0), high=st.floats(70.0, 200.0))
SHAPES = st.fixed_dictionaries(
    {
        "bore": BORES,
        "slide": st.sampled_from(["round", "flat"]),
        "screw": st.sampled_from(["air", "fuel"]),
    }
)


@pytest.mark.property
@settings(max_examples=40)
@given(shape=SHAPES, room=ROOMS)
def test_it_fits_its_room_at_its_own_size(shape: dict[str, object], room: Room) -> None:
    """Any carburettor is cut off where the paper ends, and a millimetre stays one."""
    bike = bare_bike(**shape)
    drawing = true_size(bike, setup_with(), room=room)
    wide, high = size_mm(drawing)
    assert wide <= room.wide + 0.02
    assert high <= room.high + 0.02
    box = numbers(read(drawing).attrib["viewBox"])
    assert box[2] / wide == pytest.approx(PER_MM, rel=1e-3)
    assert read(drawing).attrib["data-scale"] == f"{PER_MM:.4f}"


@pytest.mark.property
@settings(max_examples=40)
@given(shape=SHAPES)
def test_the_numbers_stand_apart_and_on_the_paper(shape: dict[str, object]) -> None:
    """No balloon touches another or leaves the paper."""
    drawing = true_size(bare_bike(**shape), setup_with(needle_washer_mm=0.5), room=ROOM)
    wide, high = size_mm(drawing)
    circles = all_of(drawing, "circle", "bal-disc")
    discs = [(number(one, "cx") / PER_MM, number(one, "cy") / PER_MM) for one in circles]
    assert len(discs) == len(NUMBERS)
    for x, y in discs:
        assert BALLOON_MM < x < wide - BALLOON_MM
        assert BALLOON_MM < y < high - BALLOON_MM
    for (x, y), (to_x, to_y) in itertools.combinations(discs, 2):
        assert ((x - to_x) ** 2 + (y - to_y) ** 2) ** 0.5 > 2.0 * BALLOON_MM


def test_every_number_leads_to_its_own_part() -> None:
    """The telling names each number with its part; a part without a washer has no number 9."""
    told = told_of(true_size(bike_with(), setup_with(), room=ROOM))
    assert all(f"{n}, {key}" in told for key, n in NUMBERS.items() if key != "washer")
    assert "9, washer" not in told


def test_what_goes_to_press_is_worked_out() -> None:
    """For the press no variable, no sum, no motion and no page's own type is left in a picture."""
    sheet = printed(true_size(bike_with(), setup_with(), room=ROOM))
    for left in ("var(", "calc(", "@media", "@keyframes", "Label,", "data-shut"):
        assert left not in sheet, left
    assert "Barlow" in sheet
    assert "#18242E" in sheet
