"""How quick the flow is: against a general solver, against the machine, and over many draws.

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

from floatbowl.flow import engine
from floatbowl.flow.breath import AirTable, cases
from floatbowl.flow.engine import NODES, Case, Out, breathe_cases
from floatbowl.flow.mixture import mixture
from floatbowl.flow.parameters import Parameters
from tests.flow import crank
from tests.flow.bikes import RUNG_OPENINGS, SIZES, Size, line, ordinary

Array = NDArray[np.float64]

FOUR, REED = SIZES[4], SIZES[11]
DRAWS = 2000
TOLERANCES = (3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5)

STEP_ALWAYS, STEP_OPEN, POWER = 55, 47, 40
"""Sums and products in one step of the kernel, counted from its source: always; while the inlet is open;
and what one power costs, as a logarithm and an exponential of some twenty each."""


def best_of(work: Callable[[], object], times: int) -> float:
    """Give the shortest time of several runs, s: what the machine can do when nothing else disturbs it."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return min(took)


def case_of(size: Size, opening: float) -> Array:
    """Give one case on the riding line, as a matrix of one row."""
    return np.ascontiguousarray(cases(ordinary(size), line(size, np.array([opening]))).reshape(1, len(Case)))


def far_from(found: tuple[float, float], true: tuple[float, float]) -> float:
    """Give the larger of the two relative errors, of the air and of the squared flow."""
    return max(abs(a / b - 1.0) for a, b in zip(found, true, strict=True))


def one_run(case: Array) -> Callable[[], None]:
    """Give a call of the kernel for one case on this one core, its room made beforehand."""
    out, trace, table = np.empty(engine.WIDTH), np.empty(720), np.empty((721, 3))
    row = case[0]
    return lambda: engine._run(row, out, trace, table, 1)  # noqa: SLF001  (without its threads)


def ours(case: Array, steps: int = 1) -> tuple[float, float]:
    """Give mean air and mean squared flow by the kernel."""
    row = breathe_cases(case, steps_per_degree=steps)[0]
    return float(row[Out.CARB_AIR]), float(np.mean(row[:NODES] * np.abs(row[:NODES])))


def solved(case: Array, cycles: int, tolerance: float) -> tuple[float, float]:
    """Give the same two by the general solver."""
    found = crank.steady(case[0], cycles=cycles, tolerance=tolerance)
    return found.carb_air, found.square_flow


@pytest.mark.parametrize("size", [FOUR, REED], ids=str)
@pytest.mark.parametrize("opening", [0.25, 1.0])
def test_kernel_against_a_general_solver(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str], size: Size, opening: float
) -> None:
    """At equal accuracy, over as many cycles, the kernel is over 100 times as quick as solve_ivp."""
    case = case_of(size, opening)
    cycles = int(breathe_cases(case)[0, Out.CYCLES])
    true = solved(case, cycles + 4, 1e-7)
    error = far_from(ours(case), true)
    # the loosest tolerance at which the solver is at least as near to the truth as the kernel
    good = (t for t in TOLERANCES if far_from(solved(case, cycles, t), true) <= error)
    loose = next(good, TOLERANCES[-1])
    theirs = best_of(lambda: solved(case, cycles, loose), 3)
    kernel = best_of(one_run(case), 200)
    benchmark(one_run(case))
    with capsys.disabled():
        print(f"\n{size}, opening {opening}: kernel {kernel * 1e6:.0f} us, solve_ivp {theirs * 1e3:.0f} ms")
        print(f"  at rtol {loose:g}, {cycles} cycles, errors below {error:.2%}: {theirs / kernel:.0f} times")
    assert theirs / kernel > 100.0


@nb.njit(cache=False, fastmath=True)
def _products(start: Array, rounds: int) -> float:
    """Run independent chains of multiply-and-add that fit the registers: as many as the machine can."""
    a = start.copy()
    for _ in range(rounds):
        for k in range(a.shape[0]):
            a[k] = a[k] * 0.999999 + 1e-6
    return float(a.sum())


@nb.njit(cache=False)
def _chain(rounds: int) -> float:
    """Run one chain in which every step waits for the last: a root, a quotient, a product and a sum."""
    x = 1.5
    for _ in range(rounds):
        x = np.sqrt(x) / 1.0001 + 0.3 * x
    return x


def test_share_of_the_machine(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """What share of the machine's multiply-and-add speed, and of its speed on waiting chains, the kernel has.

    One case is a chain: a step needs the pressure that the last one left. So its floor is not the peak but
    the time of the operations that wait for each other, which is stated beside it.
    """
    case = case_of(FOUR, 0.5)
    start = np.linspace(0.1, 1.0, 64)
    _products(start, 10)
    _chain(10)
    peak = 2.0 * start.size * 200_000 / best_of(lambda: _products(start, 200_000), 5)
    link = best_of(lambda: _chain(1_000_000), 5) / 1_000_000
    steps = float(breathe_cases(case)[0, Out.CYCLES]) * 720.0
    each = best_of(one_run(case), 300) / steps
    benchmark(one_run(case))
    is_open = float(case[0, Case.INLET_OPENS] + 180.0 + case[0, Case.INLET_SHUTS]) / 720.0
    flops = STEP_ALWAYS + is_open * STEP_OPEN + (1.0 + is_open) * POWER
    rows = np.repeat(case, 1024, axis=0)
    both = best_of(lambda: breathe_cases(rows), 5) / (rows.shape[0] * steps)
    with capsys.disabled():
        print(f"\none step: {each * 1e9:.0f} ns for {flops:.0f} operations, {flops / each / 1e9:.1f} GFLOP/s")
        print(f"  peak of one core: {peak / 1e9:.0f} GFLOP/s, so {flops / each / peak:.1%} of it")
        print(f"  a root and a quotient that wait for each other take {link * 1e9:.1f} ns; a step is")
        print(f"  {each / link:.1f} of those. {nb.get_num_threads()} threads: {both * 1e9:.0f} ns a step")


def many(size: Size) -> tuple[Parameters, Parameters, AirTable]:
    """Give a bike, its draws and its air table as a belief uses them."""
    rng = np.random.default_rng(1)
    p = ordinary(size)
    spread = np.exp(0.22 * np.array([-2.6, -1.3, 0.0, 1.3, 2.6]))
    knots = {
        "inlet_length": p.inlet_length * spread,
        "port_volume": p.port_volume * spread,
        "filter_loss": np.array([0.0, 60.0, 120.0, 250.0, 500.0, 1000.0, 2000.0, 3500.0]),
        "leak_area": np.array([0.0, 0.03, 0.08, 0.2, 0.5, 1.2, 2.6, 4.5]) * 1e-6,
    }
    table = AirTable.around(p, line(size, RUNG_OPENINGS), knots={k: np.asarray(v) for k, v in knots.items()})
    draws = replace(
        p,
        signal_gain=np.asarray(p.signal_gain) * np.exp(0.2 * rng.standard_normal(DRAWS)),
        inlet_length=np.asarray(p.inlet_length) * np.exp(0.2 * rng.standard_normal(DRAWS)),
        main_area=np.asarray(p.main_area) * np.exp(0.05 * rng.standard_normal(DRAWS)),
        leak_area=np.abs(rng.standard_normal(DRAWS)) * 0.1e-6,
    )
    return p, draws, table


@pytest.mark.parametrize("size", [FOUR, REED], ids=str)
def test_mixture_of_2000_draws(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str], size: Size
) -> None:
    """Two thousand draws at six openings, fuel side and interpolated air, stay below a tenth of a second."""
    _, draws, table = many(size)
    grid = line(size, RUNG_OPENINGS)
    air = best_of(lambda: table.at(draws), 5)
    breath = table.at(draws)
    fuel = best_of(lambda: mixture(draws, grid, breath=breath), 5)
    benchmark(lambda: mixture(draws, grid, breath=table.at(draws)))
    with capsys.disabled():
        each = (air + fuel) / (DRAWS * len(RUNG_OPENINGS))
        print(f"\n{size}: air {air * 1e3:.0f} ms, fuel {fuel * 1e3:.0f} ms, {each * 1e6:.1f} us a place")
    assert air + fuel < 0.1


@pytest.mark.parametrize("size", [FOUR, REED], ids=str)
def test_air_table(benchmark: BenchmarkFixture, size: Size) -> None:
    """Making a table of 26 knots at six openings takes about what so many runs take."""
    p = ordinary(size)
    knots = {"leak_area": np.linspace(0.0, 4e-6, 8), "filter_loss": np.linspace(0.0, 3000.0, 8)}
    benchmark(lambda: AirTable.around(p, line(size, RUNG_OPENINGS), knots=knots))
