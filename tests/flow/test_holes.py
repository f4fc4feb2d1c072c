"""Holes against a library, against the theory of laminar flow, and against themselves."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.flow_meter import flow_meter_discharge
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from floatbowl.flow import holes

AREAS = st.floats(1e-8, 1e-3)
DROPS = st.floats(1e-3, 5e4)
DENSITIES = st.floats(0.8, 1000.0)
RATIOS = st.floats(1e-3, 1.0)
LENGTHS = st.floats(0.2, 15.0)
REYNOLDS = st.floats(-6.0, 7.0).map(lambda power: 10.0**power)


# --- against the world -------------------------------------------------------------------------------------


@pytest.mark.reference
@pytest.mark.parametrize("drop", [30.0, 1000.0, 20_000.0])
def test_a_hole_passes_what_a_library_says(drop: float) -> None:
    """Our hole and the orifice meter of fluids, its pipe made very wide, agree to rounding."""
    theirs = flow_meter_discharge(  # type: ignore[no-untyped-call]  # fluids brings no types
        D=10.0, Do=1e-3, P1=1e5 + drop, P2=1e5, rho=745.0, C=0.7
    )
    ours = holes.through_hole(holes.round_area(1e-3), drop=drop, density=745.0, discharge=0.7)
    assert ours == pytest.approx(theirs, rel=1e-9)


def _flux(after: float, *, before: float, temperature: float) -> float:
    """Give mass flow by area from the enthalpy that real air loses on its way at constant entropy."""
    entropy, enthalpy = (PropsSI(key, "P", before, "T", temperature, "Air") for key in ("S", "H"))
    there, density = (PropsSI(key, "P", after, "S", entropy, "Air") for key in ("H", "D"))
    return float(density * np.sqrt(2.0 * max(enthalpy - there, 0.0)))


@pytest.mark.reference
@pytest.mark.parametrize("after", [99_000.0, 90_000.0, 75_000.0, 60_000.0])
def test_gas_agrees_with_real_air_on_an_isentrope(after: float) -> None:
    """The gas formula agrees with CoolProp's enthalpy drop to 0.2 per cent: real air is not quite ideal."""
    ours = holes.gas_through_hole(
        1.0, before=1e5, after=after, temperature=300.0, gas_constant=287.05, discharge=1.0
    )
    assert ours == pytest.approx(_flux(after, before=1e5, temperature=300.0), rel=2e-3)


@pytest.mark.reference
def test_choking_agrees_with_real_air() -> None:
    """The most that CoolProp's air can pass, and the pressure at which it does, are our choked flow's."""
    best = minimize_scalar(
        lambda after: -_flux(after, before=1e5, temperature=300.0), bounds=(3e4, 8e4), method="bounded"
    )
    ours = holes.gas_through_hole(
        1.0, before=1e5, after=1e4, temperature=300.0, gas_constant=287.05, discharge=1.0
    )
    assert ours == pytest.approx(-best.fun, rel=2e-3)
    assert holes.critical_ratio() == pytest.approx(best.x / 1e5, rel=5e-3)


def _laminar_discharge(reynolds: float, length: float) -> float:
    """Give the discharge coefficient of laminar flow entering a round tube, no loss at the edge.

    ``reynolds`` is made with the speed in the tube. Source: [shah-london].
    """
    along = length / reynolds
    root = 3.44 / np.sqrt(along)
    friction = root + (1.25 / (4.0 * along) + 16.0 - root) / (1.0 + 0.00021 / along**2)
    return float(1.0 / np.sqrt(1.0 + 4.0 * friction * along))


def _our_discharge(reynolds: float, length: float) -> float:
    """Give our coefficient where the speed in the tube makes this Reynolds number."""

    def excess(ideal: float) -> float:
        return ideal * float(holes.short_tube_discharge(ideal, length_over_bore=length)) - reynolds

    return float(holes.short_tube_discharge(brentq(excess, 1.0, 1e6), length_over_bore=length))


@pytest.mark.reference
@pytest.mark.parametrize("length", [2.0, 3.0, 5.0, 10.0])
@pytest.mark.parametrize("reynolds", [20.0, 50.0, 100.0, 200.0, 300.0])
def test_slow_short_tubes_agree_with_laminar_theory(reynolds: float, length: float) -> None:
    """At the Reynolds numbers of a pilot jet the correlation agrees with theory within its own scatter, 0.02.

    The same correlation read with the speed in the tube, as some public copies do, falls short by 0.04 at 300
    and by half at 20.
    """
    theory = _laminar_discharge(reynolds, length)
    assert _our_discharge(reynolds, length) == pytest.approx(theory, abs=0.02)
    misread = float(holes.short_tube_discharge(reynolds, length_over_bore=length))
    assert misread < theory - 0.04


# --- against itself ----------------------------------------------------------------------------------------


@pytest.mark.property
@given(area=AREAS, drop=DROPS, density=DENSITIES, more=st.floats(1.001, 10.0))
def test_more_drop_more_flow_and_back(area: float, drop: float, density: float, more: float) -> None:
    """Flow grows with drop, is nothing at no drop, turns round with it, and gives the drop back."""

    def flow(at: float) -> float:
        return float(holes.through_hole(area, drop=at, density=density, discharge=0.7))

    assert flow(drop * more) > flow(drop) > flow(0.0) == 0.0
    assert flow(-drop) == -flow(drop)
    back = holes.drop_across(flow(-drop), area=area, density=density, discharge=0.7)
    assert back == pytest.approx(-drop, rel=1e-12)


@pytest.mark.property
@given(before=st.floats(5e4, 2e5), share=st.floats(1e-9, 0.02), temperature=st.floats(250.0, 330.0))
def test_liquid_and_gas_formulas_meet(before: float, share: float, temperature: float) -> None:
    """At a small drop a gas flows as a liquid of its density; the gap closes in proportion to the drop."""
    density = before / (287.05 * temperature)
    after = before * (1.0 - share)
    gas = holes.gas_through_hole(
        1e-4, before=before, after=after, temperature=temperature, gas_constant=287.05, discharge=0.8
    )
    liquid = holes.through_hole(1e-4, drop=before - after, density=density, discharge=0.8)
    # first order of psi / sqrt(2 (1 - r)): 1 - 3/(4 gamma) x; a half leaves room for the second order
    assert gas == pytest.approx(liquid * (1.0 - 0.75 / 1.4 * share), rel=0.5 * share**2 + 1e-7)


@pytest.mark.property
@given(ratio=RATIOS, less=st.floats(0.1, 0.999), gamma=st.floats(1.1, 1.67))
def test_gas_never_flows_less_for_a_lower_back_pressure(ratio: float, less: float, gamma: float) -> None:
    """The flow function rises as the pressure behind falls, and stays where it chokes."""
    high, low = (float(holes.flow_function(r, gamma=gamma)) for r in (ratio, ratio * less))
    assert low >= high
    choked = float(holes.flow_function(holes.critical_ratio(gamma), gamma=gamma))
    assert low <= choked * (1.0 + 1e-15)
    if ratio < holes.critical_ratio(gamma):
        assert low == high == choked


@pytest.mark.parametrize("gamma", [1.2, 1.3, 1.4, 1.67])
def test_choking_has_no_step_and_no_kink(gamma: float) -> None:
    """Just above the critical ratio the flow function departs from its top by the square of the distance."""
    critical = float(holes.critical_ratio(gamma))
    top = float(holes.flow_function(critical, gamma=gamma))
    near, far = (top - float(holes.flow_function(critical + d, gamma=gamma)) for d in (1e-4, 2e-4))
    assert 0.0 < near < 1e-7
    assert far / near == pytest.approx(4.0, rel=0.01)


@pytest.mark.property
@given(one=st.floats(2e4, 2e5), other=st.floats(2e4, 2e5))
def test_gas_flows_back_as_it_flows_forth(one: float, other: float) -> None:
    """Turned round, the pressures give the same flow the other way; equal pressures give none."""

    def flow(before: float, after: float) -> float:
        state = {"temperature": 290.0, "gas_constant": 287.05, "discharge": 0.7}
        return float(holes.gas_through_hole(1e-4, before=before, after=after, **state))

    assert flow(one, other) == -flow(other, one)
    assert flow(one, one) == 0.0
    assert np.sign(flow(one, other)) == np.sign(one - other)


@pytest.mark.property
@given(reynolds=REYNOLDS, more=st.floats(1.01, 100.0), length=LENGTHS)
def test_a_short_tube_passes_better_the_faster(reynolds: float, more: float, length: float) -> None:
    """The coefficient rises with the Reynolds number, in the measured range and beyond it on both sides."""
    slow, fast = (
        float(holes.short_tube_discharge(r, length_over_bore=length)) for r in (reynolds, reynolds * more)
    )
    assert 0.0 < slow < fast <= float(holes.ultimate_discharge(length)) <= 0.81 + 1e-12


@pytest.mark.property
@given(length=LENGTHS, edge=st.sampled_from([holes.HIGHEST_REYNOLDS, 10.0]))
def test_the_edges_of_the_measured_range_have_no_step(length: float, edge: float) -> None:
    """Across either edge of the measured range the coefficient goes on without a step."""
    below, above = (
        float(holes.short_tube_discharge(edge * s, length_over_bore=length)) for s in (1.0 - 1e-9, 1.0 + 1e-9)
    )
    assert above == pytest.approx(below, rel=1e-8)


@pytest.mark.parametrize("edge", [holes.SHORTEST_TUBE, holes.LONGEST_TUBE])
def test_the_ends_of_the_measured_lengths_have_no_step(edge: float) -> None:
    """Across 1.5 and 10 bores of length the ultimate coefficient goes on without a step."""
    below, above = (float(holes.ultimate_discharge(edge * s)) for s in (1.0 - 1e-9, 1.0 + 1e-9))
    assert above == pytest.approx(below, rel=1e-8)


JETS = {
    "bore": st.floats(2e-4, 3e-3),
    "length": st.floats(1.0, 6.0),
    "drop": st.floats(0.1, 2e4),
    "viscosity": st.floats(2e-4, 3e-3),
}


def _jet(bore: float, length: float, drop: float, viscosity: float) -> float:
    return float(
        holes.through_short_tube(bore, length_over_bore=length, drop=drop, density=745.0, viscosity=viscosity)
    )


@pytest.mark.property
@given(**JETS)
def test_a_bigger_jet_is_never_leaner(bore: float, length: float, drop: float, viscosity: float) -> None:
    """A jet passes more with more bore, more drop, thinner fuel and less length; nothing at no drop."""
    here = _jet(bore, length, drop, viscosity)
    assert _jet(bore * 1.01, length, drop, viscosity) > here
    assert _jet(bore, length, drop * 1.01, viscosity) > here
    assert _jet(bore, length, drop, viscosity * 1.01) < here
    assert _jet(bore, length * 1.01, drop, viscosity) <= here or length < holes.SHORTEST_TUBE
    assert _jet(bore, length, 0.0, viscosity) == 0.0
    assert _jet(bore, length, -drop, viscosity) == -here


@pytest.mark.property
@given(bore=st.floats(2e-4, 3e-3), length=st.floats(1.0, 6.0), viscosity=st.floats(2e-4, 3e-3))
def test_a_creeping_jet_flows_in_proportion_to_the_drop(bore: float, length: float, viscosity: float) -> None:
    """At a Reynolds number of a hundredth, ten times the drop gives ten times the flow, to a thousandth."""
    drop = (0.01 * viscosity / bore) ** 2 / (2.0 * 745.0)
    assert _jet(bore, length, 10.0 * drop, viscosity) == pytest.approx(
        10.0 * _jet(bore, length, drop, viscosity), rel=1e-3
    )


@pytest.mark.property
@given(first=AREAS, second=AREAS, drop=DROPS)
def test_holes_in_series_share_the_drop(first: float, second: float, drop: float) -> None:
    """One hole of the joint area passes what two in series pass, whose drops add; less than either alone."""
    joint = holes.in_series(first, second)
    flow = holes.through_hole(joint, drop=drop, density=745.0, discharge=1.0)
    parts = sum(float(holes.drop_across(flow, area=a, density=745.0, discharge=1.0)) for a in (first, second))
    assert parts == pytest.approx(drop, rel=1e-9)
    assert joint < min(first, second)
    assert joint == holes.in_series(second, first)


@pytest.mark.property
@given(first=AREAS, second=AREAS, drop=DROPS)
def test_holes_in_parallel_share_the_flow(first: float, second: float, drop: float) -> None:
    """One hole of the joint area passes the flows of two side by side together."""
    flows = [
        float(holes.through_hole(a, drop=drop, density=745.0, discharge=1.0))
        for a in (first, second, float(holes.in_parallel(first, second)))
    ]
    assert flows[2] == pytest.approx(flows[0] + flows[1], rel=1e-12)


def test_a_shut_hole_shuts_the_row() -> None:
    """A shut hole in series lets nothing through, and a wide one changes nothing."""
    assert holes.in_series(0.0, 1e-6) == holes.in_series(0.0, 0.0) == 0.0
    assert holes.in_series(1e-6, 1.0) == pytest.approx(1e-6, rel=1e-9)


def test_arrays_give_what_floats_give(rng: np.random.Generator) -> None:
    """Axes (draw, throttle, rpm) broadcast, and each place holds what its own numbers give."""
    bore = rng.uniform(3e-4, 2e-3, (5, 1, 1))
    drop = rng.uniform(-50.0, 3000.0, (1, 4, 3))
    together = np.asarray(
        holes.through_short_tube(bore, length_over_bore=2.5, drop=drop, density=745.0, viscosity=5e-4)
    )
    assert together.shape == (5, 4, 3)
    alone = _jet(float(bore[3, 0, 0]), 2.5, float(drop[0, 2, 1]), 5e-4)
    assert together[3, 2, 1] == pytest.approx(alone, rel=1e-14)
