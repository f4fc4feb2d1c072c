"""The sizes of the cut-away: what was measured is taken as it is, the rest follows and counts as assumed."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from floatbowl.bike.assume import LIKELY_CUTAWAY
from floatbowl.draw.section import Section, Size, section_of
from floatbowl.draw.stops import set_out
from tests.bike.bikes import bare_bike, bike_with, setup_with
from tests.draw.carburettors import Case, cases

MM = 1e-3

HELD = {
    "bore": "bore",
    "full_lift": "full_lift",
    "seat": "needle_seat",
    "jet": "needle_jet_bore",
    "jet_rise": "needle_jet_rise",
    "main_air": "main_air_bore",
    "pilot_air": "pilot_air_bore",
}
"""Sizes that the bike holds, by their names there."""
RULED = (
    *("mouth", "outlet", "mouth_length", "outlet_length", "spigot", "slide_width", "slide_height"),
    *("slide_wall", "jet_width", "hood", "jet_foot", "main_jet_foot", "pilot_x", "pilot_foot", "screw_x"),
    *("ceiling", "gasket", "bowl_floor", "bowl_width"),
)
"""Sizes that no bike file holds."""


@pytest.fixture(scope="module")
def thrown(seed: int) -> list[Case]:
    """Throw three hundred bikes."""
    return cases(np.random.default_rng(seed), 300)


def sizes(section: Section) -> dict[str, Size]:
    """Give the sizes of a section by name."""
    found = {field.name: getattr(section, field.name) for field in fields(section)}
    return {name: value for name, value in found.items() if isinstance(value, Size)}


def test_what_the_bike_holds_is_drawn_as_it_stands(thrown: list[Case]) -> None:
    """Every measure of the bike comes through in mm, measured or assumed as the bike has it."""
    for one in thrown:
        section = sizes(section_of(one.bike, one.setup))
        for name, held in HELD.items():
            measure = getattr(one.bike.carb, held)
            assert section[name].mm == pytest.approx(measure.value / MM)
            assert section[name].is_assumed is measure.is_assumed


def test_what_follows_by_rule_counts_as_assumed(thrown: list[Case]) -> None:
    """Flares, spigot, slide and bowl stand in no bike file, so they are never inked."""
    for one in thrown:
        section = sizes(section_of(one.bike, one.setup))
        assert [name for name in RULED if not section[name].is_assumed] == []


def test_a_stamp_is_known_or_assumed() -> None:
    """A stamped part is what the stamp says; with "?" or one we cannot read it is a likely one."""
    known = section_of(bare_bike(), setup_with(main="110", pilot="40", cutaway="2.0"))
    assert (known.main_jet, known.pilot_jet, known.cutaway) == (
        Size(pytest.approx(1.10), is_assumed=False),  # type: ignore[arg-type]
        Size(pytest.approx(0.40), is_assumed=False),  # type: ignore[arg-type]
        Size(pytest.approx(2.0), is_assumed=False),  # type: ignore[arg-type]
    )
    for stamp in ("?", "<b>", "1e9"):
        odd = section_of(bare_bike(), setup_with(main=stamp, pilot=stamp, cutaway=stamp))
        assert odd.main_jet.is_assumed
        assert odd.pilot_jet.is_assumed
        assert odd.cutaway == Size(pytest.approx(LIKELY_CUTAWAY.value / MM))  # type: ignore[arg-type]


def test_the_sample_stands_as_on_paper() -> None:
    """The sample's heights by hand: tip at 8.9 + 1.2 - 38 = -27.9 in the first groove, jet top at -28.6."""
    section = section_of(bike_with(), setup_with(clip_from_top=1), idle_lift_mm=0.9)
    assert 0.9 + section.needle.above_slide - section.needle.length.mm == pytest.approx(-27.9)
    assert section.main_jet_top.mm == pytest.approx(-28.6)
    assert section.slide_width.mm == pytest.approx(30.0)
    assert section.slide_height.mm == pytest.approx(33.0)


def test_a_lower_float_height_raises_the_fuel() -> None:
    """The fuel level follows the float height one to one, as in the sums."""
    book = section_of(bare_bike(), setup_with(float_height_mm=18.0))
    raised = section_of(bare_bike(), setup_with(float_height_mm=17.0))
    assert raised.fuel_level.mm - book.fuel_level.mm == pytest.approx(1.0)


def test_the_fuel_stands_at_its_lip(thrown: list[Case]) -> None:
    """At the book float height the level lies the lip's height below the needle jet's mouth."""
    for one in thrown:
        section = section_of(one.bike, replace(one.setup, float_height_mm=None))
        lip = one.bike.carb.lip_height.value / MM
        assert section.jet_rise.mm - section.fuel_level.mm == pytest.approx(lip)


def test_heights_stand_in_order(thrown: list[Case]) -> None:
    """Floor, ceiling, gasket, jets and the bowl's floor follow each other downwards in every carburettor."""
    for one in thrown:
        s = section_of(one.bike, one.setup)
        down = (0.0, s.ceiling.mm, s.gasket.mm, s.main_jet_foot.mm, s.bowl_floor.mm)
        assert list(down) == sorted(down, reverse=True)
        assert s.ceiling.mm > s.jet_foot.mm > s.main_jet_top.mm > s.main_jet_foot.mm
        assert s.gasket.mm > s.pilot_foot.mm > s.bowl_floor.mm


def test_ports_stand_where_the_slide_lets_them(thrown: list[Case]) -> None:
    """Every bypass hole lies under the slide and clear of the needle jet, the outlet behind the slide."""
    for one in thrown:
        s = section_of(one.bike, one.setup)
        half = s.slide_width.mm / 2
        for port in s.bypass:
            assert s.jet_hole < port.x - port.across.mm / 2
            assert port.x + port.across.mm / 2 < half
        assert s.outlet_port.x - s.outlet_port.across.mm / 2 > half


def test_contradicting_measures_are_named() -> None:
    """A needle that cannot fit is drawn as told, and the section says what is wrong."""
    section = section_of(bike_with(needle={"length": 52.0 * MM}), setup_with())
    assert [trouble.key for trouble in section.troubles] == ["needle through main jet"]


@pytest.mark.parametrize(("asked", "drawn"), [(None, 0.9), (-3.0, 0.9), (6.5, 6.5), (99.0, 26.0)])
def test_a_lift_outside_the_travel_stands_at_its_stop(asked: float | None, drawn: float) -> None:
    """The slide is drawn between its stops, whatever lift is asked for."""
    _, travel = set_out(bike_with(), setup_with(), lift_mm=asked)
    assert travel.lift == pytest.approx(drawn, abs=0.02)
