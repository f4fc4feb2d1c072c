"""The insets: the areas beside them are those of the sums, to the digit shown, at every lift."""

from __future__ import annotations

import re

import numpy as np
import pytest

from floatbowl.belief.belief import Belief
from floatbowl.bike.place import assume_day
from floatbowl.draw.insets import bore_inset, needle_mm, open_mm2, ring_inset, ring_mm2
from floatbowl.draw.stops import set_out
from floatbowl.flow.breath import NEEDLE_SHADOW, lift_at
from floatbowl.flow.mixture import ring_at
from floatbowl.flow.nominal import nominal
from floatbowl.flow.slide import open_area
from tests.bike.bikes import bike_with, setup_with
from tests.draw.carburettors import Case, cases
from tests.draw.pictured import SVG, read
from tests.draw.polygons import numbers

MM, MM2 = 1e-3, 1e-6
OPENINGS = np.array([0.0, 0.125, 0.25, 0.5, 0.75, 1.0])


@pytest.fixture(scope="module")
def thrown(seed: int) -> list[Case]:
    """Throw two hundred bikes."""
    return cases(np.random.default_rng(seed + 2), 200)


@pytest.mark.property
def test_areas_are_those_of_the_sums(thrown: list[Case]) -> None:
    """Both areas equal, at every rung, what the flow works with for this bike in this setup."""
    for one in thrown:
        _, travel = set_out(one.bike, one.setup)
        p = nominal(one.bike, one.setup, assume_day(), idle_lift=travel.shut * MM)
        lifts = lift_at(p, OPENINGS)
        rings, opened = (
            ring_at(p, lifts)[0] / MM2,
            np.asarray(open_area(lifts, p.bore, NEEDLE_SHADOW * p.bore))[0] / MM2,
        )
        for place, lift in enumerate(lifts[0] / MM):
            assert ring_mm2(one.bike, one.setup, lift) == pytest.approx(rings[place], rel=1e-9)
            assert open_mm2(one.bike, lift) == pytest.approx(opened[place], rel=1e-9)


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.25, 1.0])
def test_the_figures_shown_are_those_areas(thrown: list[Case], opening: float) -> None:
    """What stands beside an inset is the area to the digit shown, and at a rung so is its table."""
    for one in thrown[:60]:
        _, travel = set_out(one.bike, one.setup)
        lift = travel.at(opening)
        shown = (
            (bore_inset(one.bike, one.setup, lift_mm=lift), open_mm2(one.bike, lift), 0),
            (ring_inset(one.bike, one.setup, lift_mm=lift), ring_mm2(one.bike, one.setup, lift), 2),
        )
        for drawing, area, decimals in shown:
            text = read(drawing).find(f".//{SVG}text[@data-table]")
            assert text is not None
            assert text.text == f"{area:.{decimals}f} mm\N{SUPERSCRIPT TWO}"
            assert tabled(text.get("data-table", ""), lift) == pytest.approx(area, abs=0.02 * 10.0**-decimals)


def tabled(table: str, lift: float) -> float:
    """Read a table as the browser does: evenly between its lines."""
    flat = numbers(table.replace(":", " "))
    return float(np.interp(lift, flat[::2], flat[1::2]))


def test_the_table_is_fine_and_reaches_both_stops() -> None:
    """The drag finds a line about every quarter of a millimetre, from the idle stop to full lift."""
    bike, setup = bike_with(), setup_with()
    _, travel = set_out(bike, setup)
    text = read(bore_inset(bike, setup)).find(f".//{SVG}text[@data-table]")
    assert text is not None
    lifts = np.array(numbers(text.get("data-table", "").replace(":", " "))[::2])
    assert (lifts[0], lifts[-1]) == (pytest.approx(travel.shut), pytest.approx(travel.full))
    assert np.diff(lifts).max() < 0.3
    assert min(abs(lifts - travel.at(0.25))) < 1e-3


@pytest.mark.property
def test_the_ring_is_drawn_as_wide_as_it_is(thrown: list[Case]) -> None:
    """In the picture the area between the circles over the scale's square is the area that is told."""
    for one in thrown[:60]:
        s, travel = set_out(one.bike, one.setup, lift_mm=0.4 * one.bike.carb.full_lift.value / MM)
        circles = list(read(ring_inset(one.bike, one.setup, lift_mm=travel.lift)).iter(f"{SVG}circle"))
        jet, needle = (float(circles[i].get("r", "")) for i in (2, 4))
        scale = jet / (s.jet.mm / 2)
        drawn = np.pi * (jet**2 - needle**2) / scale**2
        assert drawn == pytest.approx(ring_mm2(one.bike, one.setup, travel.lift), abs=0.002)


@pytest.mark.property
def test_the_slide_is_drawn_as_high_as_it_stands(thrown: list[Case]) -> None:
    """In the bore's picture the slide's edge stands the lift above the floor, at the bore's own scale."""
    for one in thrown[:60]:
        s, travel = set_out(one.bike, one.setup, lift_mm=5.0)
        root = read(bore_inset(one.bike, one.setup, lift_mm=5.0))
        group, rim = root.find(f".//{SVG}g[@data-rise]"), root.findall(f".//{SVG}circle")[-1]
        assert group is not None
        radius, middle = float(rim.get("r", "")), float(rim.get("cy", ""))
        edge = numbers(group[-1].get("d", ""))[1] + numbers(group.get("transform", ""))[1]
        assert (middle + radius - edge) / (2 * radius / s.bore.mm) == pytest.approx(travel.lift, abs=0.02)


def test_a_thick_needle_leaves_no_ring() -> None:
    """A needle as thick as its jet is drawn within it, and the area is nothing."""
    bike, setup = bike_with(needle={"top": 2.9 * MM}), setup_with()
    assert ring_mm2(bike, setup, 0.9) == 0.0
    circles = list(read(ring_inset(bike, setup)).iter(f"{SVG}circle"))
    assert float(circles[4].get("r", "")) <= float(circles[2].get("r", "")) + 0.01
    assert needle_mm(bike, setup, 0.9) == pytest.approx(2.9)


def test_two_bikes_on_a_page_keep_their_clips_apart() -> None:
    """With a key of its own each inset's clip has its own name."""
    bike, setup = bike_with(), setup_with()
    page = bore_inset(bike, setup, key="a") + bore_inset(bike, setup, key="b")
    ids = re.findall(r'\bid="([\w-]+)"', page)
    assert len(ids) == len(set(ids)) == 2


def test_measured_rims_are_inked() -> None:
    """The bore's rim and the jet's are solid where measured and dashed where not."""
    measured, assumed = bike_with(), bike_with(needle_jet_bore=None, needle=dict.fromkeys(["top"]))
    assert "assumed" not in rim_of(measured)
    assert "assumed" in rim_of(assumed)


def rim_of(bike: object) -> str:
    """Give the classes of the needle jet's rim."""
    circles = list(read(ring_inset(bike, setup_with())).iter(f"{SVG}circle"))  # type: ignore[arg-type]
    return circles[3].get("class", "")


def test_insets_and_drawing_stand_at_the_same_stop(belief: Belief) -> None:
    """With a belief the idle stop is the sums' own, here as in the cut-away."""
    _, travel = set_out(belief.bike, belief.setup, belief=belief)
    stop = belief.stage.middle(belief.setup, belief.day).idle_lift / MM
    assert travel.shut == pytest.approx(stop)
    drawing = bore_inset(belief.bike, belief.setup, belief=belief)
    text = read(drawing).find(f".//{SVG}text[@data-table]")
    assert text is not None
    assert text.text == f"{open_mm2(belief.bike, travel.shut):.0f} mm\N{SUPERSCRIPT TWO}"
