"""The riding line, and the table that stands for thousands of runs of the engine."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.bike.rung import RUNGS
from floatbowl.flow.breath import AirTable, breathe, lift_at, pipe_pull, riding_line
from floatbowl.flow.engine import NODES, Out
from floatbowl.flow.mixture import mixture
from floatbowl.flow.parameters import Parameters
from tests.flow.bikes import OPENED, RUNG_OPENINGS, SIZES, Size, at_height, bike_of, line, ordinary

Array = NDArray[np.float64]

DRAWS = 60


def table_of(p: Parameters, size: Size) -> AirTable:
    """Make a table over what may differ between draws of one bike."""
    spread = np.exp(0.22 * np.array([-2.6, -1.3, 0.0, 1.3, 2.6]))
    return AirTable.around(
        p,
        line(size, RUNG_OPENINGS),
        knots={
            "inlet_length": p.inlet_length * spread,
            "port_volume": p.port_volume * spread,
            "inlet_loss": p.inlet_loss * spread**1.5,
            "filter_loss": np.array([0.0, 60.0, 120.0, 250.0, 500.0, 1000.0, 2000.0, 3500.0]),
            "leak_area": np.array([0.0, 0.03, 0.08, 0.2, 0.5, 1.2, 2.6, 4.5]) * 1e-6,
            "idle_lift": np.array([0.55, 0.75, 1.0, 1.3, 1.7, 2.3, 3.2]) * p.idle_lift,
        },
    )


def draws_of(p: Parameters, rng: np.random.Generator) -> Parameters:
    """Give draws as a belief has them: lengths and volumes uncertain, a leak or a loss here and there."""

    def about(value: object) -> Array:
        return np.asarray(np.asarray(value) * np.exp(0.22 * rng.standard_normal(DRAWS)))

    return replace(
        p,
        inlet_length=about(p.inlet_length),
        port_volume=about(p.port_volume),
        inlet_loss=about(p.inlet_loss),
        filter_loss=rng.uniform(40.0, 400.0, DRAWS),
        leak_area=np.where(rng.random(DRAWS) < 0.3, rng.uniform(0.0, 2e-6, DRAWS), 0.0),
        idle_lift=np.asarray(p.idle_lift) * rng.uniform(0.9, 1.1, DRAWS),
    )


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_table_stands_for_the_runs(size: Size, rng: np.random.Generator) -> None:
    """Between its knots the table gives the lambda of the run itself, to the few per cent stated here."""
    p = ordinary(size)
    q, grid = draws_of(p, rng), line(size, RUNG_OPENINGS)
    ours, true = table_of(p, size).at(q), breathe(q, grid)
    lam = np.log(mixture(q, grid, breath=ours).lam[:, 1:, 0] / mixture(q, grid, breath=true).lam[:, 1:, 0])
    wrong = np.sqrt(np.mean(lam**2, axis=0))
    # One uncertain thing at a time: what two do together is left out. Inlet length and port volume meet in
    # resonance, the more the further the slide is open and the larger the engine. Seen: 0.2 % up to a
    # quarter with valves, 1 % with reeds, and at full opening 1 to 4 %, 8 % on the largest single.
    assert np.all(wrong < np.array([0.003, 0.012, 0.03, 0.05, 0.09]))
    # at idle leak and slide compete for one filling
    assert np.sqrt(np.mean(np.log(ours.air[:, 0] / true.air[:, 0]) ** 2)) < 0.08


@pytest.mark.parametrize("size", SIZES[::4], ids=str)
def test_the_table_keeps_the_pulse(size: Size, rng: np.random.Generator) -> None:
    """The slices of the table add up to its air, and their power means are those of the run within 5 %."""
    p = ordinary(size)
    q = draws_of(p, rng)
    ours, true = table_of(p, size).at(q).table, breathe(q, line(size, RUNG_OPENINGS)).table
    assert np.allclose(ours[..., :NODES].mean(axis=-1), ours[..., Out.CARB_AIR], rtol=1e-9)
    means = [np.mean(np.abs(table[..., :NODES]) ** 1.5, axis=-1) ** (1.0 / 1.5) for table in (ours, true)]
    assert np.quantile(np.abs(np.log(means[0] / means[1])), 0.95) < 0.05


def test_the_table_is_exact_at_its_knots() -> None:
    """With one thing moved to a knot the table is the run itself."""
    size = SIZES[3]
    p = ordinary(size)
    table, grid = table_of(p, size), line(size, RUNG_OPENINGS)
    for change in ({}, {"leak_area": 0.5e-6}, {"filter_loss": 2000.0}, {"idle_lift": 1.3 * p.idle_lift}):
        q = replace(p, **change)
        assert np.allclose(table.at(q).table, breathe(q, grid).table, rtol=1e-9, atol=1e-12)


def test_the_table_can_be_asked_for_a_few_rungs() -> None:
    """Picked rungs are those of the whole."""
    size = SIZES[3]
    p = ordinary(size)
    table = table_of(p, size)
    q = replace(p, leak_area=np.array([0.1, 0.7]) * 1e-6)
    assert np.array_equal(table.at(q, throttles=(0, 4)).table, table.at(q).table[:, [0, 4]])


def test_the_riding_line_runs_from_idle_to_greatest_power() -> None:
    """Shut is idle, full is greatest power, and between them more throttle is more speed."""
    bike = bike_of(SIZES[3])
    grid = riding_line(bike, OPENED)
    assert grid.rpm[0, 0] == pytest.approx(bike.engine.idle_rpm.value)
    assert grid.rpm[-1, 0] == pytest.approx(bike.engine.peak_rpm.value)
    assert np.all(np.diff(grid.rpm[:, 0]) > 0.0)


def test_the_slide_lifts_from_its_stop_to_the_top() -> None:
    """Opening is the share of the way from the idle stop to full lift, for each draw."""
    p = replace(ordinary(SIZES[3]), idle_lift=np.array([0.5e-3, 1.5e-3]))
    lift = lift_at(p, np.array([0.0, 0.5, 1.0]))
    assert lift[:, 0] == pytest.approx([0.5e-3, 1.5e-3])
    assert lift[:, 2] == pytest.approx(p.full_lift)
    assert lift[:, 1] == pytest.approx(0.5 * (lift[:, 0] + lift[:, 2]))


def test_a_pipe_pulls_most_at_its_own_speed() -> None:
    """The pipe's pull is all there at the tuned speed, and next to nothing at a third of it."""
    pull = pipe_pull(np.array([0.33, 0.8, 1.0, 1.2]), np.array(0.10))
    assert pull[2] == pytest.approx(0.10)
    assert pull[0] < 0.001
    assert pull[1] == pytest.approx(pull[3])


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_engines_of_all_sizes_breathe_what_they_should(size: Size) -> None:
    """At full opening and greatest power the engine takes what an ordinary one of its size does.

    From memory of many engines: four-strokes 0.75 to 1.0 of the swept volume, small carburettors less,
    two-strokes 0.55 to 0.95.
    """
    p = ordinary(size)
    air = breathe(p, line(size, np.array([1.0]))).air[0, 0, 0]
    per_second = size.peak_rpm / 60.0 / (size.strokes / 2.0)
    filled = air / (p.air_density * np.asarray(p.swept_volume) * per_second)
    assert 0.55 < filled < 1.05


def test_there_is_a_place_for_every_rung() -> None:
    """Rungs and openings are in one order."""
    assert [rung.opening for rung in RUNGS] == list(RUNG_OPENINGS)


def test_height_changes_the_air_and_not_the_bike() -> None:
    """Control: a bike at a height differs from itself in the air's fields only."""
    p = ordinary(SIZES[3])
    high = at_height(p, 2000.0)
    assert high.idle_lift == p.idle_lift
    assert float(np.asarray(high.ambient_pressure)) == pytest.approx(
        79495.0, rel=1e-4
    )  # the standard's table
