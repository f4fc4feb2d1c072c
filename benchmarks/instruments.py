"""Is a belief told by a log or by gas as sure as it may be? ``python -m benchmarks.instruments N SEED``.

N bikes are drawn from the belief itself and tell. The boast is a third where the
belief is as sure as it may be, more where it is too sure.
"""

import sys

from tests.belief.calibrated import Plan, boast, boast_error, case, ranks_of
from tests.belief.told import MEASURED


def main(count: int, seed: int) -> None:
    """Print boast and mean rank, and how often 16 of 20 hold the truth, for each instrument."""
    for name in MEASURED:
        plan = Plan(draws=500, seed=seed, with_advice=False, told=(name,))
        made = [case(number, plan) for number in range(count)]
        inside = sum(float(one.inside.mean()) for one in made) / count
        told = f"boast {boast(made):.3f} +- {boast_error(made):.3f}"
        mean = float(ranks_of(made, "error").mean())
        print(f"{name}: {count} bikes, {told}, mean rank {mean:.3f}, inside {inside:.2f}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
