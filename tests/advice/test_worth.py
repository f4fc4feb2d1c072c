"""What it is worth to know more, against plain sums over every outcome."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.advice.cost import LEFT_BROKEN, MENDED
from floatbowl.advice.measure import Outcomes
from floatbowl.advice.worth import Ways
from floatbowl.bike.rung import RUNGS

Array = NDArray[np.float64]
BAND = np.full(len(RUNGS), 0.05)
LEFT_SOUND = 30.0
"""Minutes that a bike still costs once it is mended."""


def ways(minutes: Array, cost: Array, *, broken: NDArray[np.bool_] | None = None) -> Ways:
    """Give ways whose draws are all right, so that only the choice between them counts."""
    draws = cost.shape[1]
    return Ways(
        minutes=minutes,
        cost=cost,
        broken=np.zeros(draws, dtype=bool) if broken is None else broken,
        error=np.zeros((draws, len(RUNGS))),
        close_enough=BAND,
        once_mended=np.full(draws, LEFT_SOUND),
    )


def counted(likely: Array) -> Outcomes:
    """Give a test by how often each draw brings each outcome, (outcome, draw), adding to 1."""
    return Outcomes(often=likely.mean(axis=1), likely=likely)


def by_hand(minutes: Array, cost: Array, likely: Array) -> float:
    """Give what a test saves: after each outcome the cheapest way by its own draws, against that of now."""
    draws = cost.shape[1]
    best_now = min(minutes[w] + sum(cost[w]) / draws for w in range(len(minutes)))
    after = 0.0
    for outcome in likely:
        often = sum(outcome) / draws
        if often > 0.0:
            means = [
                minutes[w] + sum(p * c for p, c in zip(outcome, cost[w], strict=True)) / (often * draws)
                for w in range(len(minutes))
            ]
            after += often * min(means)
    return float(best_now - after)


SMALL = st.integers(0, 2**32 - 1)


@pytest.mark.property
@given(SMALL, st.integers(1, 4), st.integers(2, 6), st.integers(2, 5))
def test_knowing_never_costs(seed: int, some_ways: int, draws: int, outcomes: int) -> None:
    """Whatever may come, knowing is worth what plain sums make it, and never less than nothing."""
    dice = np.random.default_rng(seed)
    minutes, cost = 30.0 * dice.random(some_ways), 200.0 * dice.random((some_ways, draws))
    likely = dice.dirichlet(np.full(outcomes, 0.4), draws).T + 1e-9
    likely /= likely.sum(axis=0)
    worth = ways(minutes, cost).worth(counted(likely))
    assert worth == pytest.approx(by_hand(minutes, cost, likely), abs=1e-6)
    assert worth > -1e-6


def test_what_says_nothing_is_worth_nothing(rng: Generator) -> None:
    """An outcome that every draw brings as often tells nothing and saves nothing."""
    one = ways(20.0 * rng.random(5), 100.0 * rng.random((5, 30)))
    assert one.worth(counted(np.tile([[0.7], [0.3]], (1, 30)))) == pytest.approx(0.0, abs=1e-9)


def test_to_know_all_is_worth_most(rng: Generator) -> None:
    """To tell every draw apart saves more than to tell halves apart, and that no less than nothing."""
    one = ways(20.0 * rng.random(4), 100.0 * rng.random((4, 6)))
    halves = np.repeat(np.eye(2), 3, axis=1)
    all_of_it, half, none = (one.worth(counted(likely)) for likely in (np.eye(6), halves, np.ones((1, 6))))
    assert all_of_it > half > none - 1e-9
    perfect = one.now - float((one.minutes[:, None] + one.cost).min(axis=0).mean())
    assert all_of_it == pytest.approx(perfect)


def test_bikes_told_apart_are_worth_more_later() -> None:
    """With nothing to choose now, to part bikes far short from those with far too much still saves."""
    error = np.where(np.arange(10)[:, None] < 5, -0.2, 0.2) * np.ones(len(RUNGS))
    one = Ways(
        minutes=np.zeros(1),
        cost=np.zeros((1, 10)),
        broken=np.zeros(10, dtype=bool),
        error=error,
        close_enough=BAND,
        once_mended=np.zeros(10),
    )
    parted = np.repeat(np.eye(2), 5, axis=1)
    assert one.worth(counted(np.ones((1, 10)))) == pytest.approx(0.0)
    assert one.worth(counted(parted)) > 100.0


def test_the_gain_of_changing_is_the_best_way_over_leaving_it() -> None:
    """The first way is to leave it: what the cheapest saves over it, and nothing where it is the cheapest."""
    cost = np.array([[40.0, 60.0], [10.0, 20.0], [0.0, 0.0]])
    assert ways(np.array([0.0, 25.0, 90.0]), cost).gain_of_changing == pytest.approx(50.0 - 40.0)
    assert ways(np.array([0.0, 85.0, 90.0]), cost).gain_of_changing == pytest.approx(0.0)


def test_a_look_saves_what_its_fault_would_cost() -> None:
    """A sure look at a fault that half have saves, for those, handing it over broken less the mend."""
    broken = np.array([True, True, False, False])
    cost = np.where(broken, LEFT_BROKEN.value + LEFT_SOUND, 0.0)[None, :]
    one = ways(np.zeros(1), cost, broken=broken)
    saved = one.worth_of_look(broken.astype(float), shown=broken)
    assert saved == pytest.approx(0.5 * (LEFT_BROKEN.value - MENDED.value))


def test_a_look_at_what_nobody_has_saves_nothing() -> None:
    """Where no draw has what it shows, a look that finds something by mistake now and then saves nothing."""
    one = ways(np.zeros(1), np.full((1, 4), 50.0))
    nobody = np.zeros(4, dtype=bool)
    assert one.worth_of_look(np.full(4, 0.05), shown=nobody) == pytest.approx(0.0)
