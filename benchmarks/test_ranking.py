"""How quick it is to rank every setup: against plain broadcasting, and against the machine.

Run with ``python3 go.py test benchmarks --benchmark-enable``. Ratios are made in one run on one machine.
"""

import time
from collections.abc import Callable
from dataclasses import replace

import numba as nb
import numpy as np
import pytest
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture

from floatbowl.belief.every import Price, weigh
from floatbowl.belief.scene import Stage
from floatbowl.belief.sides import Crowd, main_side, pilot_side
from tests.belief.simulated import demo_bike

Array = NDArray[np.float64]
Single = NDArray[np.float32]

MAINS, PILOTS, PLACES, DRAWS = 500, 200, 30, 1000
"""100 000 setups at 30 places on 1000 bikes."""
HIGH = 10
"""Of the 30 places, how many are at 3/4 and full."""
SUMS, SUMS_HIGH = 6, 2
"""Sums, products and comparisons for a pair, place and draw, counted from the source; more at a high one."""
SAMPLE = 4
"""Main sides that plain broadcasting is timed on: all would take minutes."""


def best_of(work: Callable[[], object], times: int) -> tuple[float, float]:
    """Give the shortest time of several runs, s: on the clock, and of all cores together.

    The second hardly feels what else the machine is doing.
    """
    clock, cores = [], []
    for _ in range(times):
        start, spent = time.perf_counter(), time.process_time()
        work()
        clock.append(time.perf_counter() - start)
        cores.append(time.process_time() - spent)
    return min(clock), min(cores)


def sides() -> tuple[Single, Single, Price]:
    """Give two tables of the size of a large drawer, and a price."""
    rng = np.random.default_rng(1)
    share = rng.uniform(0.05, 0.95, (1, PLACES, 1))
    main = share * np.exp(0.2 * rng.standard_normal((MAINS, PLACES, DRAWS)))
    pilot = (1.0 - share) * np.exp(0.2 * rng.standard_normal((PILOTS, PLACES, DRAWS)))
    price = Price(
        worth=np.linspace(30.0, 40.0, PLACES),
        band=np.full(PLACES, 0.05),
        is_high=np.arange(PLACES) >= PLACES - HIGH,
        floor=0.905,
    )
    return main.astype(np.float32), pilot.astype(np.float32), price


def broadcast(main: Single, pilot: Single, price: Price) -> tuple[Single, Single]:
    """Weigh every pair as one would with arrays alone, side after side, as precise as the tables."""
    off = np.empty((len(main), len(pilot)), dtype=np.float32)
    far = np.empty_like(off)
    worth, band = price.worth.astype(np.float32), price.band.astype(np.float32)
    for m, side in enumerate(main):
        fuel = side + pilot
        bands = np.abs(fuel - np.float32(1.0)) / band[:, None]
        near = np.minimum(bands, np.float32(1.0))
        each = near * (bands - np.float32(0.5) * near)
        off[m] = np.einsum("p,qpd->q", worth, each) / main.shape[2]
        far[m] = (fuel[:, price.is_high] < price.floor).any(axis=1).mean(axis=-1)
    return off, far


def double(main: Single, pilot: Single, price: Price) -> tuple[Array, Array]:
    """Weigh one pair after another in double precision."""
    fuel = main.astype(np.float64) + pilot
    bands = np.abs(fuel - 1.0) / price.band[:, None]
    near = np.minimum(bands, 1.0)
    off = (price.worth[:, None] * near * (bands - 0.5 * near)).sum(axis=1).mean(axis=1)
    return off, (fuel[:, price.is_high] < price.floor).any(axis=1).mean(axis=1)


@nb.njit(cache=False, fastmath=True)
def _products(x: Single, rounds: int) -> float:
    """Multiply and add 16 times over with what was loaded once: about as many as one core can."""
    total, one = np.float32(0.0), np.float32(1.0)
    for _ in range(rounds):
        for k in range(x.shape[0]):
            y, t = one, x[k]
            for _ in range(16):
                y = y * t + one
            total += y
    return float(total)


def test_100_000_setups(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """100 000 setups at 30 places on 1000 bikes take less than half a second of two cores.

    A sample equals plain sums in double precision, and plain broadcasting takes over ten times as long.
    """
    main, pilot, price = sides()
    weighed = weigh(main, pilot, price)
    rng = np.random.default_rng(2)
    m, q = rng.integers(MAINS, size=200), rng.integers(PILOTS, size=200)
    off, far = double(main[m], pilot[q], price)
    assert weighed.off[m, q] == pytest.approx(off, rel=1e-5)
    # a bike on the very edge may fall to either side
    assert weighed.far_short[m, q] == pytest.approx(far, abs=1.5e-3)

    clock, cores = best_of(lambda: weigh(main, pilot, price), 9)
    plain = best_of(lambda: broadcast(main[:SAMPLE], pilot, price), 3)[1] * MAINS / SAMPLE
    benchmark(lambda: weigh(main, pilot, price))
    start = np.linspace(0.1, 0.9, 4096, dtype=np.float32)
    _products(start, 10)
    peak = 32.0 * start.size * 10_000 / best_of(lambda: _products(start, 10_000), 5)[1]
    cells = MAINS * PILOTS * PLACES * DRAWS
    speed = cells * (SUMS + SUMS_HIGH * HIGH / PLACES) / cores
    with capsys.disabled():
        print(f"\n100 000 setups x {PLACES} places x {DRAWS} bikes: {clock:.2f} s by the clock")
        print(f"  {cores:.2f} s of all cores together, {cores / cells * 1e9:.3f} ns a cell; each core")
        print(f"  {speed / 1e9:.0f} GFLOP/s of {peak / 1e9:.0f} in bare multiply-and-add, {speed / peak:.0%}")
        print(
            f"  plain broadcasting {plain:.0f} s (from {SAMPLE} of {MAINS} rows): {plain / cores:.0f} times"
        )
    assert cores < 2.0 * 0.5
    assert plain / cores > 10.0


@pytest.mark.parametrize("name", ["magpie", "otter"])
def test_the_tables(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str], name: str) -> None:
    """Two tables for 30 main and 30 pilot sides of 100 bikes take less than a tenth of their 900 scenes."""
    ground = demo_bike(name)
    stage = Stage.of(ground.bike, ground.setup)
    z = np.random.default_rng(1).standard_normal((100, stage.places.size))
    fault = np.full((100, 2), -1)
    crowd = Crowd(stage=stage, setup=ground.setup, day=ground.day, z=z, fault=fault)
    mains = [replace(ground.setup, main=f"{90 + k}") for k in range(30)]
    pilots = [replace(ground.setup, screw_turns=0.5 + 0.1 * k) for k in range(30)]

    def tables() -> tuple[Single, Single]:
        return main_side(crowd, mains), pilot_side(crowd, pilots)

    tables()
    took = best_of(tables, 5)[1]
    scenes = 900 * best_of(lambda: stage.seen(ground.setup, ground.day, z, fault), 9)[1]
    benchmark(tables)
    with capsys.disabled():
        print(
            f"\n{name}: both tables {took * 1e3:.0f} ms of all cores, {took / 36_000 * 1e6:.1f} us an entry"
        )
        print(f"  900 whole scenes {scenes:.1f} s: {scenes / took:.0f} times")
    assert scenes / took > 10.0
