"""Screw and bypass holes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import pilot

TURNS = st.floats(0.0, 6.0)


@given(TURNS, TURNS, st.floats(5e-8, 6e-7), st.floats(5e-8, 2e-6))
def test_a_screw_further_out_opens_more_and_the_hole_has_the_last_word(
    one: float, two: float, per_turn: float, hole: float
) -> None:
    """More turns are never less area, and the area stays below both the screw's and the hole's."""
    low, high = sorted((one, two))
    areas = np.asarray(pilot.screw_area(np.array([low, high]), per_turn, hole))
    assert areas[0] <= areas[1]
    assert areas[1] <= min(hole, high * per_turn) * (1.0 + 1e-12)


def test_a_seated_screw_shuts() -> None:
    """At nothing out nothing passes; nobody can turn it further in than that."""
    assert float(pilot.screw_area(0.0, 1.5e-7, 1.6e-7)) == 0.0
    assert float(pilot.screw_area(-0.5, 1.5e-7, 1.6e-7)) == 0.0


def test_the_screw_fades_after_three_turns() -> None:
    """Half a turn at 1 does four times and more what it does at 4, on an ordinary fuel screw."""
    early, late = (
        np.diff(pilot.screw_area(np.array([at, at + 0.5]), 1.5e-7, 1.6e-7))[0] for at in (1.0, 4.0)
    )
    assert early > 4.0 * late


@given(st.floats(0.0, 5e-3), st.floats(0.0, 5e-3), st.floats(0.5e-3, 3e-3))
def test_a_rising_slide_lets_a_hole_feel_the_engine_one_way(one: float, two: float, at: float) -> None:
    """The share that feels the engine never falls with lift, is half where said, nearly all far above."""
    low, high = sorted((one, two))
    share = np.asarray(pilot.uncovered_share(np.array([low, high]), at))
    assert 0.0 <= share[0] <= share[1] <= 1.0
    assert float(pilot.uncovered_share(at, at)) == pytest.approx(0.5)
    assert float(pilot.uncovered_share(10.0 * at, at)) > 0.99
