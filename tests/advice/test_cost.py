"""Minutes: what an error costs, and what danger costs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.advice.cost import BAND_OFF, FAR_SHORT, HARM, is_far_short, minutes_left, minutes_off
from floatbowl.bike.rung import RUNGS

BAND = np.array([0.07, 0.05, 0.05, 0.05, 0.03, 0.03])
ERRORS = st.lists(st.floats(-0.5, 0.5), min_size=6, max_size=6)


def test_right_costs_nothing() -> None:
    """A bike that is right everywhere costs no time, and next to no danger."""
    right = np.zeros((1, len(RUNGS)))
    assert minutes_off(right, BAND).sum() == 0.0
    assert minutes_left(right, BAND, strokes=4)[0] < 0.01 * HARM[4].value


@pytest.mark.property
@given(ERRORS, st.integers(0, 5), st.floats(1.0, 3.0))
def test_further_off_never_costs_less_time(errors: list[float], rung: int, times: float) -> None:
    """Away from right at one rung the time only grows, to either side alike."""
    near = np.array([errors])
    far = near.copy()
    far[0, rung] *= times
    assert minutes_off(far, BAND).sum() >= minutes_off(near, BAND).sum() - 1e-9
    assert minutes_off(-near, BAND) == pytest.approx(minutes_off(near, BAND))


def test_far_off_each_band_costs_another_try() -> None:
    """Far off, one more band at a rung costs what another try does."""
    row = np.zeros((2, len(RUNGS)))
    row[:, 3] = [0.50, 0.55]
    cost = minutes_off(row, BAND).sum(axis=1)
    assert cost[1] - cost[0] == pytest.approx(BAND_OFF.value, rel=0.02)


def test_short_at_full_is_dearer_than_too_much() -> None:
    """Far short at 3/4 or full costs more than as far too much, most on a two-stroke; at 1/4 it does not."""
    for rung, is_high in ((2, False), (4, True), (5, True)):
        short = np.zeros((1, len(RUNGS)))
        short[0, rung] = -2.0 * FAR_SHORT
        dearer = [
            float((minutes_left(short, BAND, strokes=n) - minutes_left(-short, BAND, strokes=n))[0])
            for n in (4, 2)
        ]
        if is_high:
            assert dearer == pytest.approx([HARM[4].value, HARM[2].value], rel=0.02)
        else:
            assert dearer == pytest.approx([0.0, 0.0], abs=0.01 * HARM[2].value)


def test_far_short_looks_at_three_quarters_and_full() -> None:
    """A bike is far short if it is so at 3/4 or at full, whatever it does below."""
    rows = np.zeros((4, len(RUNGS)))
    rows[0, :4] = -0.5
    rows[1, 4] = -0.11
    rows[2, 5] = -0.11
    rows[3, 4:] = 0.5
    assert is_far_short(rows).tolist() == [False, True, True, False]
