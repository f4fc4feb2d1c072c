"""The fuel networks against a slow second writing of them, and against laws they must obey."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from floatbowl.flow import balance, holes, main_jet
from floatbowl.flow.balance import Fed, Part, Place, feed
from floatbowl.flow.breath import breathe
from floatbowl.flow.engine import NODES
from floatbowl.flow.mixture import _parts, _places
from floatbowl.units import GRAVITY
from tests.flow.bikes import RUNG_OPENINGS, SIZES, Size, line, ordinary, unlike
from tests.flow.networks import Network

Array = NDArray[np.float64]

AMBIENT = 101325.0


def networks(size: Size, rng: np.random.Generator, count: int) -> tuple[Array, Array, Array]:
    """Give pulses, places and parts of random bikes around one, at the six rungs."""
    p = unlike(ordinary(size), rng, count)
    grid = line(size, RUNG_OPENINGS)
    breath = breathe(p, grid)
    return np.asarray(breath.flows), _places(p, grid, breath), _parts(p)


@pytest.mark.reference
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_networks_are_those_solved_slowly(size: Size, rng: np.random.Generator) -> None:
    """Fuel of needle jet and pilot is that of a plain second writing solved by bracketing."""
    flows, places, parts = networks(size, rng, 12)
    fed = feed(flows, places, parts, np.full(12, AMBIENT))[:, :, 0]
    for draw, throttle in np.ndindex(12, len(RUNG_OPENINGS)):
        slow = Network(flows[draw, throttle, 0], places[draw, throttle, 0], parts[draw])
        # the kernel stops its rounds at 0.02 Pa of head: 0.1 % where the needle jet only just wakes
        assert fed[draw, throttle, Fed.MAIN] == pytest.approx(slow.main(), rel=1e-3, abs=1e-9)
        assert fed[draw, throttle, Fed.PILOT] == pytest.approx(slow.pilot(AMBIENT), rel=1e-5, abs=1e-11)


JETS = st.floats(0.3e-3, 2.2e-3)


@given(JETS, st.floats(0.01, 6e4), st.floats(2e-4, 3e-3), st.sampled_from([2.0, 3.0]))
def test_the_kernel_has_the_closed_law_of_a_jet(
    bore: float, drop: float, viscosity: float, length: float
) -> None:
    """The compiled jet is the short tube of ``flow.holes``, to rounding, whole or partly blocked."""
    area = float(holes.round_area(bore))
    law = holes.through_short_tube(
        bore, length_over_bore=length, drop=drop, density=745.0, viscosity=viscosity
    )
    assert balance.jet_flow(area, bore, drop, 745.0, viscosity, length, 1.0) == pytest.approx(float(law))
    blocked = balance.jet_flow(0.5 * area, bore, drop, 745.0, viscosity, length, 1.0)
    whole = balance.jet_flow(0.5 * area, bore * 0.5**0.5, drop, 745.0, viscosity, length, 1.0)
    assert blocked == pytest.approx(whole)


def test_no_drop_or_no_hole_is_no_fuel() -> None:
    """Nothing flows through a jet without a drop, against one, or without a hole."""
    assert balance.jet_flow(1e-6, 1.1e-3, 0.0, 745.0, 5e-4, 2.0, 1.0) == 0.0
    assert balance.jet_flow(1e-6, 1.1e-3, -50.0, 745.0, 5e-4, 2.0, 1.0) == 0.0
    assert balance.jet_flow(0.0, 0.0, 500.0, 745.0, 5e-4, 2.0, 1.0) == 0.0


def simple(**changes: float) -> tuple[Array, Array]:
    """Give a place and a part row without heads, bleeds, inertia or pilot: ring and main jet in series."""
    place, part = np.zeros((1, 1, 1, len(Place))), np.zeros((1, len(Part)))
    plain = {Place.SIGNAL: 2e7, Place.RING: 1e-6, Place.RING_AREA: 1.4e-6}
    rest = {
        Part.REVERSE: 1.0,
        Part.MAIN_AREA: 1e-6,
        Part.MAIN_BORE: 1.13e-3,
        Part.MAIN_SCALE: 1.0,
        Part.SLIP: 5.0,
        Part.FUEL_DENSITY: 745.0,
        Part.FUEL_VISCOSITY: 1e-9,  # so thin that the discharge is that of no viscosity at all
        Part.AIR_DENSITY: 1.2,
        Part.BLEED_DEPTH: 0.008,
    }
    for place_column, value in plain.items():
        place[..., place_column] = value
    for part_column, value in rest.items():
        part[..., part_column] = value
    for name, value in changes.items():
        if name in Place.__members__:
            place[..., Place[name]] = value
        else:
            part[..., Part[name]] = value
    return place, part


def main_fuel(flows: Array, place: Array, part: Array) -> float:
    """Give the fuel of the needle jet, kg/s."""
    return float(feed(flows[None, None, None], place, part, np.full(1, AMBIENT))[0, 0, 0, Fed.MAIN])


def test_ring_and_main_jet_in_series() -> None:
    """Without bleed and head the two holes act as one: their areas add as inverse squares."""
    flow = 8e-3
    fuel = main_fuel(np.full(NODES, flow), *simple())
    both = holes.in_series(1e-6, float(holes.ultimate_discharge(2.0)) * 1e-6)
    # the discharge still lacks 0.5 % of its ultimate value at Reynolds numbers that were measured; at
    # this viscosity what is lacking has faded as one over the number
    assert fuel == pytest.approx(float(both) * np.sqrt(2.0 * 745.0 * 2e7) * flow, rel=1e-4)


@given(st.lists(st.floats(0.0, 0.03), min_size=NODES, max_size=NODES).filter(lambda m: sum(m) > 1e-3))
def test_without_inertia_and_head_the_pulse_does_not_matter(pulse: list[float]) -> None:
    """With the fuel following at once (power 1/2) and no head only the mean air counts, not its pulse."""
    flows = np.array(pulse)
    even = main_fuel(np.full(NODES, flows.mean()), *simple())
    assert main_fuel(flows, *simple()) == pytest.approx(even, rel=2e-4)


@given(st.floats(1.1, 20.0))
def test_inertia_makes_a_pulse_richer(rate: float) -> None:
    """A pulse draws more through fuel that runs on than an even stream does, the faster the more."""
    flows = np.linspace(0.0, 0.02, NODES)
    slow, fast = (main_fuel(flows, *simple(CYCLE_RATE=speed)) for speed in (1.0, rate * 10.0))
    even = main_fuel(np.full(NODES, flows.mean()), *simple(CYCLE_RATE=10.0))
    assert even < slow < fast < even * np.sqrt(np.mean(flows**2)) / flows.mean()


def test_air_that_comes_back_counts_by_its_share() -> None:
    """With a share of 1 the needle jet cannot tell the way of the air; with 0 it feels only what goes in."""
    flows = np.array([-0.01, 0.01] * (NODES // 2))
    both = main_fuel(flows, *simple(REVERSE=1.0))
    one = main_fuel(flows, *simple(REVERSE=0.0))
    assert both == pytest.approx(main_fuel(np.abs(flows), *simple()), rel=1e-6)
    assert one == pytest.approx(0.5 * both, rel=1e-3)


@given(st.floats(0.0, 4.0), st.floats(-0.012, 0.012))
def test_nothing_flows_below_the_whole_head(short: float, mix: float) -> None:
    """Up to the weight of the fuel between level and mouth the needle jet is dry, wherever the air joins.

    A high level once did not lower this threshold at all: fuel stayed away until the book's head was
    overcome and then came with a jump.
    """
    lip = 0.014
    weight = 745.0 * GRAVITY * lip
    flow = np.sqrt(weight / 2e7)
    dry = simple(LIP=lip, MIX_DEPTH=mix, SIGNAL=2e7 * (1.0 - 0.01 * (short + 0.01)))
    wet = simple(LIP=lip, MIX_DEPTH=mix, SIGNAL=2e7 * (1.0 + 0.01 * (short + 0.1)))
    assert main_fuel(np.full(NODES, flow), *dry) == 0.0
    assert main_fuel(np.full(NODES, flow), *wet) > 0.0


def test_a_bowl_that_is_too_full_drowns_the_needle_jet() -> None:
    """With the level above the mouth fuel runs without any air, the more the higher."""
    still = np.zeros(NODES)
    levels = [main_fuel(still, *simple(LIP=lip, MIX_DEPTH=lip - 0.014)) for lip in (0.001, -0.001, -0.004)]
    assert levels[0] == 0.0
    assert 0.0 < levels[1] < levels[2]


@given(st.floats(-2000.0, 0.0), st.floats(10.0, 3000.0), st.floats(0.0, 2e-6))
def test_a_starved_bowl_is_never_a_source_of_fuel(surplus: float, pull: float, bleed: float) -> None:
    """With the bowl's pressure below that of the mouth the fuel is less, down to none, and never an error."""
    flows = np.full(NODES, np.sqrt(pull / 2e7))
    here = {"MAIN_AIR": bleed, "LIP": 0.014, "BLEED_DEPTH": -0.002}
    full = main_fuel(flows, *simple(SURPLUS=0.0, **here))
    starved = main_fuel(flows, *simple(SURPLUS=surplus, **here))
    assert 0.0 <= starved <= full * (1.0 + 1e-6)


@given(st.floats(0.0, 2e-6), st.floats(0.0, 2e-6), st.floats(300.0, 3000.0))
def test_more_bleed_is_never_more_fuel_once_the_column_is_light(one: float, two: float, pull: float) -> None:
    """Air through the bleed takes the place of fuel in the ring."""
    low, high = sorted((one, two))
    flows = np.full(NODES, np.sqrt(pull / 2e7))
    less, more = (main_fuel(flows, *simple(MAIN_AIR=area)) for area in (low, high))
    assert more <= less * (1.0 + 1e-6)


def test_a_bleed_that_joins_after_the_ring_takes_nothing() -> None:
    """In a needle jet of the other kind the air joins above the ring and leaves the fuel alone."""
    flows = np.full(NODES, 8e-3)
    none = main_fuel(flows, *simple(PRIMARY=1.0))
    assert main_fuel(flows, *simple(PRIMARY=1.0, MAIN_AIR=1e-6)) == pytest.approx(none)


def test_the_kernel_uncovers_the_bleed_as_the_closed_law_says() -> None:
    """The bleed air in the kernel is that of ``main_jet.bleed_uncovered``."""
    _, part = simple(MAIN_AIR=4e-7)
    for pull in (30.0, 80.0, 120.0, 400.0):
        _, air = balance._main_parts(pull, 0.0, part[0])
        share = main_jet.bleed_uncovered(pull, 0.008, main_jet.BLEED_SPAN.value, 745.0)
        assert air == pytest.approx(0.8 * 4e-7 * float(share) * np.sqrt(2.0 * 1.2 * pull))


def test_a_blocked_pilot_gives_nothing(rng: np.random.Generator) -> None:
    """Without its jet the pilot gives no fuel, without its outlets neither."""
    p = unlike(ordinary(SIZES[3]), rng, 20)
    p = replace(p, enrichener_area=0.0)
    grid = line(SIZES[3], RUNG_OPENINGS)
    breath = breathe(p, grid)
    for changed in (replace(p, pilot_area=0.0), replace(p, pilot_outlet_area=0.0, bypass_share=0.0)):
        fed = feed(breath.flows, _places(changed, grid, breath), _parts(changed), np.full(20, AMBIENT))
        assert np.all(fed[..., Fed.PILOT] == 0.0)
