"""What the engine gets while the throttle is snapped open."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.signal import lsim

from floatbowl.flow import transient
from floatbowl.flow.breath import Grid, lift_at
from floatbowl.flow.mixture import mixture, ring_at
from floatbowl.flow.needle import RING_LENGTH
from floatbowl.flow.power import LAMBDA_OF_MOST_TORQUE, torque_factor
from tests.flow.bikes import RUNG_OPENINGS, SIZES, Size, line, ordinary

Array = NDArray[np.float64]

WELL = 6_000.0
"""Length over area of jet and well, 1/m, as in ``flow.balance``."""
NOTHING = {"lag": 0.0, "share": 0.0, "dwell": 0.0}
USUAL = {
    "lag": transient.SIGNAL_LAG.value,
    "share": transient.WALL_SHARE.value,
    "dwell": transient.WALL_TIME.value,
}
STARTS = RUNG_OPENINGS[:-1]

airs = st.lists(st.floats(1.0, 3.0), min_size=3, max_size=3).map(np.cumprod)
errors = arrays(np.float64, 3, elements=st.floats(-0.5, 0.5))
lags = st.floats(0.0, 0.1)


def extremes(wanted: Array, error: Array, *, step: float = transient.STEP, **fuel: float) -> Array:
    """Give the least and the greatest averaged error of one snap, for any lag and film."""
    plain = transient.averages(step=step, **NOTHING)
    counts = transient.averages(step=step, **fuel)
    return np.array(transient.over_the_way(wanted, error, fuel_counts=counts, wanted_counts=plain))


def snapped(size: Size) -> tuple[Array, Array]:
    """Give fuel wanted and error, (rung, node), of an ordinary bike that is right at every rung."""
    p = ordinary(size)
    held, passed = mixture(p, line(size, RUNG_OPENINGS)), mixture(p, transient.way(line(size, RUNG_OPENINGS)))
    want_at = np.log(held.lam[0, :, 0])
    want = np.interp(transient.way(line(size, RUNG_OPENINGS)).opening, RUNG_OPENINGS, want_at)
    off = want - np.log(np.minimum(passed.lam[0, :, 0], 6.0))
    wanted = passed.air[0, :, 0] / np.exp(want)
    first = held.air[0, :-1, 0] / np.exp(want_at[:-1])
    return (
        np.column_stack([first, *wanted.reshape(2, -1)]),
        np.column_stack([np.zeros(len(STARTS)), *off.reshape(2, -1)]),
    )


def test_the_film_follows_a_general_solver() -> None:
    """Fuel past the walls is that of an adaptive solver of the film's own balance, within 0.01 %."""
    step, share, dwell = 0.002, 0.4, 0.3
    times = np.arange(400) * step
    metered = 1.0 + np.minimum(times / 0.08, 1.0)

    def film(t: float, mass: Array) -> Array:
        return np.asarray(share * np.interp(t, times, metered) - mass / dwell)

    found = solve_ivp(
        film, (0.0, times[-1]), [share * dwell], t_eval=times, rtol=1e-9, atol=1e-12, max_step=0.002
    )
    expected = (1.0 - share) * metered + found.y[0] / dwell
    ours = transient.past_the_walls(metered, step=step, share=share, dwell=dwell)
    np.testing.assert_allclose(ours, expected, rtol=1e-4)


def test_lag_and_film_together_are_a_linear_system() -> None:
    """Lag and film in a row give what a stock solver of linear systems gives for their state equations."""
    step, lag, share, dwell = 0.0005, 0.02, 0.4, 0.3
    times = np.arange(1600) * step
    pull = np.minimum(times / 0.08, 1.0)
    states = np.array([[-1.0 / lag, 0.0], [1.0 / dwell, -1.0 / dwell]])
    _, expected, _ = lsim(
        (states, np.array([[1.0 / lag], [0.0]]), np.array([[1.0 - share, share]]), np.array([[0.0]])),
        pull,
        times,
    )
    late = transient.following(pull, step=step, lag=lag)
    ours = transient.past_the_walls(late, step=step, share=share, dwell=dwell)
    np.testing.assert_allclose(ours, expected, atol=2e-5)


@given(st.floats(0.0, 0.8), st.floats(0.05, 1.0), st.floats(0.2, 5.0))
def test_fuel_is_neither_made_nor_lost_on_the_walls(share: float, dwell: float, grown: float) -> None:
    """Over a long time what went in came out, but for what the film has grown by."""
    step = dwell / 200.0
    metered = np.where(np.arange(4001) < 1, 1.0, grown)
    out = transient.past_the_walls(metered, step=step, share=share, dwell=dwell)
    went_in, came_out = (float(np.trapezoid(fuel, dx=step)) for fuel in (metered, out))
    grew = share * dwell * (grown - 1.0)
    assert went_in - came_out == pytest.approx(grew, abs=0.01 * share * dwell * abs(grown - 1.0) + 1e-9)
    assert out[-1] == pytest.approx(grown, rel=1e-6)


@given(airs, errors)
def test_with_no_lag_and_dry_walls_a_snap_shows_the_steady_mixture(wanted: Array, error: Array) -> None:
    """Nothing late, nothing wetted: the extremes lie within the nodes' own and hold the end's."""
    least, most = extremes(wanted, error, **NOTHING)
    assert least >= error.min() - 1e-9
    assert most <= error.max() + 1e-9
    assert least <= error[-1] + 1e-9
    assert most >= error[-1] - 1e-9


@given(st.floats(0.1, 10.0), st.floats(-0.5, 0.5))
def test_a_throttle_that_does_not_move_shows_the_steady_error(wanted: float, error: float) -> None:
    """With the same at every node, as at full, a snap feels like holding."""
    still = np.full((1, 1, 3), wanted)
    felt = transient.snap_error(still, np.full((1, 1, 3), error), opening=np.array([1.0]))
    assert float(felt[0, 0]) == pytest.approx(error, abs=1e-9)


@given(airs, errors, arrays(np.float64, 3, elements=st.floats(0.0, 0.3)), st.sampled_from([0.0, 0.125, 0.5]))
def test_more_steady_fuel_never_feels_like_less(
    wanted: Array, error: Array, more: Array, start: float
) -> None:
    """Richer at any node, the felt error of a snap is as rich or richer."""
    opening = np.array([start])
    poor, rich = (
        transient.snap_error(wanted[None, None], off[None, None], opening=opening)[0, 0]
        for off in (error, error + more)
    )
    assert rich >= poor - 1e-9


@given(airs, lags, lags)
def test_a_longer_lag_is_never_richer(wanted: Array, one: float, other: float) -> None:
    """While the air grows, fuel that follows later leaves every moment as short or shorter."""
    short, long = sorted((one, other))
    film = {"share": 0.35, "dwell": 0.35}
    error = np.zeros(3)
    assert np.all(
        extremes(wanted, error, lag=long, **film) <= extremes(wanted, error, lag=short, **film) + 1e-9
    )


@given(airs, st.floats(0.0, 0.7), st.floats(0.0, 0.7))
def test_wetter_walls_are_never_richer(wanted: Array, one: float, other: float) -> None:
    """While the air grows, a larger share on the walls leaves every moment as short or shorter."""
    dry, wet = sorted((one, other))
    rest = {"lag": 0.02, "dwell": 0.35}
    error = np.zeros(3)
    assert np.all(
        extremes(wanted, error, share=wet, **rest) <= extremes(wanted, error, share=dry, **rest) + 1e-9
    )


@given(airs, errors)
def test_only_shares_of_the_fuel_matter(wanted: Array, error: Array) -> None:
    """Twice as large an engine with the same mixture feels the same snap."""
    np.testing.assert_allclose(extremes(2.0 * wanted, error, **USUAL), extremes(wanted, error, **USUAL))


def test_the_time_step_is_small_enough() -> None:
    """Errors shrink as the step is halved, and the usual step is within 0.003 of a very fine one."""
    wanted, error = np.array([1.0, 1.7, 2.0]), np.array([0.0, -0.05, -0.13])
    fine = extremes(wanted, error, step=0.00025, **USUAL)
    off = [np.abs(extremes(wanted, error, step=step, **USUAL) - fine).max() for step in (0.008, 0.004)]
    assert off[0] < 0.003
    assert off[1] < 0.5 * off[0]


def test_every_rung_but_the_last_has_its_way() -> None:
    """The way runs upwards at the rung's speed, to full, or from the idle stop to a quarter."""
    grid = line(SIZES[4], RUNG_OPENINGS)
    way = transient.way(grid)
    middle, end = way.opening.reshape(2, -1)
    assert np.all((grid.opening[:-1] < middle) & (middle < end))
    assert end.tolist() == [0.25, 1.0, 1.0, 1.0, 1.0]
    np.testing.assert_array_equal(way.rpm, np.tile(grid.rpm[:-1], (2, 1)))


@pytest.mark.parametrize("strokes", [2, 4])
def test_an_ordinary_bike_that_is_right_does_not_bog(strokes: int) -> None:
    """With its ladder right, the middle ordinary bike feels a snap within 0.05 at every rung."""
    bikes = [snapped(size) for size in SIZES if size.strokes == strokes]
    felt = [transient.snap_error(wanted[None], off[None], opening=STARTS)[0] for wanted, off in bikes]
    assert np.all(np.abs(np.median(felt, axis=0)) < 0.05)


def test_a_carburettor_too_large_bogs_first() -> None:
    """Snapped from an eighth, the 450 with the largest bore is the shortest of the four-strokes."""
    from_an_eighth = {}
    for size in SIZES:
        if size.strokes == 4:
            wanted, off = snapped(size)
            from_an_eighth[size.bore_mm] = transient.snap_error(wanted[None], off[None], opening=STARTS)[0, 1]
    assert min(from_an_eighth, key=lambda bore: from_an_eighth[bore]) == 39


def over_a_fine_way(fuel: Array, wanted: Array, along: Array) -> Array:
    """Give the extremes by following the fuel moment by moment between many places of the way."""
    step = 0.001
    opened = np.minimum(np.arange(401) * step / transient.OPENED_IN.value, 1.0)
    late = transient.following(np.interp(opened, along, fuel), step=step, lag=USUAL["lag"])
    got = transient.past_the_walls(late, step=step, share=USUAL["share"], dwell=USUAL["dwell"])
    asked = np.interp(opened, along, wanted)
    width = round(transient.FELT_OVER.value / step)
    off = [
        np.log(np.trapezoid(got[k : k + width + 1]) / np.trapezoid(asked[k : k + width + 1]))
        for k in range(len(got) - width)
    ]
    return np.array([min(off), max(off)])


@pytest.mark.parametrize("place", [1, 2, 3, 4])
@pytest.mark.parametrize("size", [SIZES[4], SIZES[7], SIZES[11]], ids=str)
def test_three_nodes_stand_for_the_whole_way(size: Size, place: int) -> None:
    """From an eighth up, three nodes give the extremes of thirty-three, followed step by step.

    Within 0.02: less than half of what is close enough.
    """
    p, grid = ordinary(size), line(size, RUNG_OPENINGS)
    along = np.linspace(0.0, 1.0, 33)
    opening = RUNG_OPENINGS[place] + along * (1.0 - RUNG_OPENINGS[place])
    fine = mixture(p, Grid(opening=opening, rpm=np.full((33, 1), grid.rpm[place, 0])))
    want_at = np.log(mixture(p, grid).lam[0, :, 0])
    wanted = fine.air[0, :, 0] / np.exp(np.interp(opening, RUNG_OPENINGS, want_at))
    fuel = fine.air[0, :, 0] / fine.lam[0, :, 0]
    asked, off = snapped(size)
    ours = extremes(asked[place], off[place], **USUAL)
    np.testing.assert_allclose(ours, over_a_fine_way(fuel, wanted, along), atol=0.02)


def test_what_is_swallowed_costs_a_tenth_of_the_pull() -> None:
    """From lambda 0.87 the swallowed error, short or over, leaves between 0.88 and 0.92 of the most pull."""
    most = torque_factor(LAMBDA_OF_MOST_TORQUE)
    for sign in (-1.0, 1.0):
        left = torque_factor(0.87 * np.exp(sign * transient.SWALLOWED.value)) / most
        assert 0.88 < left < 0.92


def test_inertia_is_part_of_the_lag() -> None:
    """The fuel column's inertia takes 2 to 25 ms once the slide is open, in the middle 4 to 8 ms."""
    found = np.concatenate([inertia(size) for size in SIZES])
    assert found.min() > 0.002
    assert found.max() < 0.025
    assert 0.004 < np.median(found) < 0.008
    assert np.median(found) < transient.SIGNAL_LAG.value


def inertia(size: Size) -> Array:
    """Give length over area times flow over twice the pull, s, at the ends of an ordinary bike's ways."""
    p, way = ordinary(size), transient.way(line(size, RUNG_OPENINGS))
    full = mixture(p, way)
    ends = slice(len(STARTS) + 1, None)
    column = WELL + RING_LENGTH.value / ring_at(p, lift_at(p, way.opening))[0, ends]
    return np.asarray(column * full.main_fuel[0, ends, 0] / (2.0 * full.pull[0, ends, 0]))
