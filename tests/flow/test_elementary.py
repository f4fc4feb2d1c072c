"""The textbook carburettor against the holes it is made of; the books' own numbers are elsewhere."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import air, elementary, holes
from floatbowl.units import GRAVITY

RATIOS = st.floats(0.53, 0.9999)
DEPRESSIONS = st.floats(300.0, 20_000.0)
BOOK = {"throat": 0.022, "jet": 0.0012, "throat_discharge": 0.82, "jet_discharge": 0.70}
FLUIDS = {"air_density": 1.2, "fuel_density": 750.0}


@pytest.mark.property
@given(ratio=RATIOS)
def test_squeezed_air_flows_less(ratio: float) -> None:
    """The compressibility factor is below one and is the ratio of the gas formula to the liquid's."""
    factor = float(elementary.compressibility_factor(ratio))
    assert 0.0 < factor < 1.0
    before, temperature, constant = 1e5, 290.0, 287.05
    gas = holes.gas_through_hole(
        1e-4,
        before=before,
        after=ratio * before,
        temperature=temperature,
        gas_constant=constant,
        discharge=0.8,
    )
    plain = holes.through_hole(
        1e-4, drop=before * (1.0 - ratio), density=before / (constant * temperature), discharge=0.8
    )
    assert factor == pytest.approx(gas / plain, rel=1e-9)


@pytest.mark.property
@given(depression=DEPRESSIONS, lip=st.floats(0.0, 0.02))
def test_air_to_fuel_is_the_ratio_of_two_holes(depression: float, lip: float) -> None:
    """It is air through the throat over fuel through the jet; no fuel where the lip holds it."""
    ours = float(elementary.air_to_fuel(depression, lip=lip, **BOOK, **FLUIDS))
    left = depression - 750.0 * GRAVITY * lip
    if left <= 0.0:
        assert np.isinf(ours)
        return
    throat = holes.through_hole(
        holes.round_area(BOOK["throat"]), drop=depression, density=1.2, discharge=BOOK["throat_discharge"]
    )
    jet = holes.through_hole(
        holes.round_area(BOOK["jet"]), drop=left, density=750.0, discharge=BOOK["jet_discharge"]
    )
    assert ours == pytest.approx(throat / jet, rel=1e-9)


@pytest.mark.property
@given(depression=DEPRESSIONS, lip=st.floats(0.001, 0.02))
def test_a_lip_leans_most_at_little_pull(depression: float, lip: float) -> None:
    """A lip makes it leaner, less so as the pull grows, and a bigger jet makes it richer."""
    plain, lipped = (elementary.air_to_fuel(depression, lip=at, **BOOK, **FLUIDS) for at in (0.0, lip))
    harder = elementary.air_to_fuel(depression * 1.1, lip=lip, **BOOK, **FLUIDS)
    assert plain < lipped
    assert harder <= lipped
    bigger = elementary.air_to_fuel(depression, lip=0.0, **{**BOOK, "jet": 0.0013}, **FLUIDS)
    assert bigger == pytest.approx(plain * (1.2 / 1.3) ** 2, rel=1e-12)


@pytest.mark.property
@given(lip=st.floats(0.001, 0.02))
def test_fuel_starts_at_the_critical_speed(lip: float) -> None:
    """At the critical air speed the dynamic pressure just carries the fuel to the lip."""
    speed = elementary.critical_air_speed(lip, **FLUIDS)
    assert 0.5 * 1.2 * speed**2 == pytest.approx(750.0 * GRAVITY * lip, rel=1e-12)


@pytest.mark.property
@given(depression=DEPRESSIONS, loss=st.floats(1.0, 5000.0))
def test_a_cleaner_enriches(depression: float, loss: float) -> None:
    """No loss is no change; the more loss, the richer."""
    assert elementary.with_air_cleaner(14.0, depression=depression, loss=0.0) == 14.0
    little, much = (
        elementary.with_air_cleaner(14.0, depression=depression, loss=x) for x in (loss, 2.0 * loss)
    )
    assert much < little < 14.0


@pytest.mark.property
@given(ratio=st.floats(0.5, 1.2))
def test_the_jet_that_follows_the_air_keeps_lambda(ratio: float) -> None:
    """Fuel goes by the square of the bore: the jet's factor squared undoes the factor on lambda."""
    assert elementary.lambda_factor(ratio) / elementary.jet_size_factor(ratio) ** 2 == pytest.approx(
        1.0, rel=1e-12
    )


@pytest.mark.parametrize(("height", "richer"), [(1000.0, 4.7), (2000.0, 9.4), (3000.0, 13.9)])
def test_the_rule_of_height(height: float, richer: float) -> None:
    """On the standard day it goes 4.7, 9.4 and 13.9 per cent richer at 1000, 2000 and 3000 m."""
    factor = elementary.lambda_factor(air.isa_density(height) / air.ISA_DENSITY)
    assert 100.0 * (1.0 - factor) == pytest.approx(richer, abs=0.06)


@pytest.mark.property
@given(speed=st.floats(20.0, 150.0))
def test_the_throat_passes_its_air(speed: float) -> None:
    """The throat found for an air flow passes that flow by the gas formula, where nothing is lost."""
    state = {"temperature": 300.0, "gas_constant": 287.0, "discharge": 1.0}
    area = elementary.throat_area(0.08, speed=speed, pressure=1e5, **state)
    ratio = elementary.throat_pressure_ratio(speed, **state)
    assert holes.gas_through_hole(area, before=1e5, after=1e5 * ratio, **state) == pytest.approx(
        0.08, rel=1e-9
    )
