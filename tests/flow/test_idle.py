"""The idle: what keeps an engine turning."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from floatbowl.flow import idle
from floatbowl.flow.breath import Grid, breathe
from floatbowl.flow.mixture import mixture
from floatbowl.flow.parameters import Parameters
from tests.flow.bikes import SIZES, Size, at_height, ordinary

Array = NDArray[np.float64]

RPM = np.arange(600.0, 3001.0, 50.0)
FOUR = SIZES[4]


def speed(p: Parameters) -> Array:
    """Give the speed (draw,) at which each draw idles; not a number where it stalls."""
    grid = Grid(opening=np.zeros(1), rpm=RPM[None, :])
    air = breathe(p, grid)
    spare = idle.spare_pressure(p, air, grid, mixture(p, grid, breath=air).lam)
    return np.asarray(idle.settled_speed(spare[:, 0], RPM))


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_stop_holds_the_speed_it_was_set_for(size: Size) -> None:
    """On the stop, at the mixture it was set at, no pressure is left over at the speed asked for."""
    p = ordinary(size)
    grid = Grid(opening=np.zeros(1), rpm=np.array([[1500.0]]))
    held = replace(p, idle_lift=idle.idle_stop(p, 1500.0))
    spare = idle.spare_pressure(held, breathe(held, grid), grid, np.array(idle.IDLE_LAMBDA.value))
    # lifts are tried in steps of a fifth; a straight line between two leaves a few hundredths of a bar
    assert abs(float(spare[0, 0, 0])) < 6e3


def test_a_stop_further_in_is_a_faster_idle() -> None:
    """More lift at the stop keeps a higher speed, at one mixture."""
    lifts = idle.idle_stop(ordinary(FOUR), 1500.0) * np.array([0.9, 1.0, 1.1, 1.2])
    p = replace(ordinary(FOUR), idle_lift=lifts)
    grid = Grid(opening=np.zeros(1), rpm=RPM[None, :])
    spare = idle.spare_pressure(p, breathe(p, grid), grid, np.array(0.87))
    assert np.all(np.diff(idle.settled_speed(spare[:, 0], RPM)) > 0.0)


def test_the_screw_has_a_best_place() -> None:
    """Turned through its range the screw gives a hump of speed: a stall when lean, a slow fall when rich."""
    p = ordinary(FOUR)
    p = replace(p, pilot_area=1.15**2 * np.asarray(p.pilot_area))
    found = speed(replace(p, screw_turns=np.array([0.3, 0.5, 0.7, 1.0, 1.3, 1.7, 2.5, 6.0])))
    best = int(np.nanargmax(found))
    assert np.isnan(found[0])
    assert 0 < best < len(found) - 1
    assert found[best] > found[-1]


def test_a_leak_stalls_a_fair_idle_and_hangs_a_rich_one() -> None:
    """Extra air leans: a rich idle gains speed by a small leak, and any idle dies by a large one."""
    rich = replace(ordinary(FOUR), screw_turns=2.5, leak_area=np.array([0.0, 0.15, 3.0]) * 1e-6)
    found = speed(rich)
    assert found[1] > found[0]
    assert np.isnan(found[2])


def test_a_blocked_pilot_does_not_idle() -> None:
    """With half the pilot jet blocked the engine stalls."""
    p = ordinary(FOUR)
    assert np.isnan(speed(replace(p, pilot_area=0.5 * np.asarray(p.pilot_area)))[0])


def test_the_idle_falls_on_high_ground() -> None:
    """At 3000 m the same stop gives less air and a slower idle."""
    p = ordinary(FOUR)
    low, high = (speed(at_height(p, height))[0] for height in (0.0, 3000.0))
    assert low - 500.0 < high < low


@given(st.floats(500.0, 12000.0), st.floats(500.0, 12000.0))
def test_friction_grows_with_speed_and_a_two_stroke_has_less(one: float, two: float) -> None:
    """Friction never falls with speed; without valves there is less of it."""
    low, high = sorted((one, two))
    assert idle.friction(low, strokes=4) <= idle.friction(high, strokes=4)
    assert idle.friction(low, strokes=2) < idle.friction(low, strokes=4)


def test_the_settled_speed_is_the_highest_that_keeps() -> None:
    """Where pressure falls through nothing the speed keeps; the highest such is taken, none is a stall."""
    rpm = np.array([1000.0, 2000.0, 3000.0, 4000.0, 5000.0])
    spare = np.array(
        [[1.0, -1.0, 1.0, -3.0, -4.0], [-1.0, 1.0, 2.0, 3.0, 4.0], [-1.0, -1.0, -2.0, -3.0, -4.0]]
    )
    found = idle.settled_speed(spare, rpm)
    assert found[0] == pytest.approx(3250.0)
    assert np.isnan(found[1:]).all()


def test_no_fuel_is_no_work() -> None:
    """At a lambda without end the engine only loses."""
    p = ordinary(FOUR)
    grid = Grid(opening=np.zeros(1), rpm=np.array([[1500.0]]))
    assert idle.spare_pressure(p, breathe(p, grid), grid, np.array(np.inf))[0, 0, 0] < -5e4
