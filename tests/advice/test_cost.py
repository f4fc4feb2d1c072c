"""Minutes: what an error costs, and what danger costs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.advice.cost import (
    BAND_OFF,
    FAR_SHORT,
    HARM,
    MINUTES,
    STRIP_DOWNS,
    is_far_short,
    minutes_left,
    minutes_of,
    minutes_off,
    share_a_strip_down,
)
from floatbowl.belief.unknowns import CLOSE_ENOUGH
from floatbowl.bike.rung import RUNGS

BAND = np.array(CLOSE_ENOUGH)
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


PARTS = st.sets(st.sampled_from(sorted(MINUTES)))


@pytest.mark.parametrize("part", MINUTES)
def test_one_part_takes_its_own_minutes(part: str) -> None:
    """A job of one part takes that part's minutes, and a job of none takes none."""
    assert minutes_of([part]) == MINUTES[part].value
    assert minutes_of([]) == 0.0


@pytest.mark.parametrize(
    ("parts", "minutes"),
    [
        (("main", "pilot"), 15.0 + 20.0 - 10.0),
        (("main", "pilot", "float"), 15.0 + 20.0 + 35.0 - 20.0),
        (("clip", "cutaway"), 15.0 + 30.0 - 12.0),
        (("main", "clip"), 15.0 + 15.0),
        (("main", "pilot", "clip", "needle", "screw"), 25.0 + 28.0 + 3.0),
    ],
)
def test_a_strip_down_counts_once(parts: tuple[str, ...], minutes: float) -> None:
    """Parts behind one strip-down share it: the bowl's ten minutes and the slide's twelve count once each."""
    assert minutes_of(parts) == pytest.approx(minutes)


@pytest.mark.property
@given(PARTS, PARTS)
def test_one_job_is_never_longer_than_two(one: set[str], other: set[str]) -> None:
    """Done together, parts take no longer than apart, and no less than either alone."""
    together = minutes_of(one | other)
    assert together <= minutes_of(one) + minutes_of(other) + 1e-9
    assert together >= max(minutes_of(one), minutes_of(other)) - 1e-9


@pytest.mark.parametrize("one", MINUTES)
@pytest.mark.parametrize("other", MINUTES)
def test_sharing_a_strip_down_goes_both_ways(one: str, other: str) -> None:
    """Two parts share a strip-down whichever is named first, the screw with none; then only is time saved."""
    shared = share_a_strip_down(one, other)
    assert shared == share_a_strip_down(other, one)
    if "screw" in {one, other}:
        assert not shared
    elif one != other:
        assert shared == (minutes_of([one, other]) < minutes_of([one]) + minutes_of([other]))


def test_every_part_has_its_minutes_and_no_part_two_strip_downs() -> None:
    """A part lies behind one strip-down at most and takes longer than that alone."""
    behind = [part for parts, _ in STRIP_DOWNS for part in parts]
    assert len(behind) == len(set(behind))
    for parts, minutes in STRIP_DOWNS:
        assert all(MINUTES[part].value > minutes for part in parts)
