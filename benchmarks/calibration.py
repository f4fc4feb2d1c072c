"""How honest the belief is: ``python -m benchmarks.calibration 120 1000 7`` (bikes, draws, seed).

Prints the figures of docs/validity.md: rank of the truth rung by rung, counts against what came true, and how
often a fault is suspected rightly and wrongly, on bikes made from before the signs and ridden once.
"""

from __future__ import annotations

import sys

import numpy as np
from scipy.stats import chi2

from floatbowl.bike.rung import RUNGS
from tests.belief.calibrated import Case, boast, boast_error, cases, counts_table

_BINS = 6


def main(bikes: int, draws: int, seed: int) -> None:
    """Make the bikes and print."""
    made = cases(bikes, np.random.default_rng(seed), draws=draws)
    print(f"{bikes} bikes, {draws} draws, seed {seed}")
    print(f"boast {boast(made):.3f} +- {boast_error(made):.3f} (honest 0.333)")
    _ranks(made)
    print("of 20: told, came true")
    for name, many, told, true, error in counts_table(made):
        print(f"  {name:>5} {many:5d} {told:6.1f} {true:6.1f} +- {error:.1f}")
    _faults(made)


def _ranks(made: list[Case]) -> None:
    ranks = np.array([case.rank for case in made])
    for place, rung in enumerate(RUNGS):
        counts = np.histogram(ranks[:, place], bins=_BINS, range=(0.0, 1.0))[0]
        even = len(made) / _BINS
        p = float(chi2.sf(((counts - even) ** 2 / even).sum(), _BINS - 1))
        print(f"  {rung.value:>5} ranks {counts.tolist()} p {p:.3f}")


def _faults(made: list[Case]) -> None:
    chance = np.array([(case.belief.fault >= 0).mean() for case in made])
    broken = np.array([case.truth.fault >= 0 for case in made])
    print(f"broken: believed {chance.mean():.2f}, true {broken.mean():.2f}")
    for low, high in ((0.0, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 1.01)):
        here = (chance >= low) & (chance < high)
        if here.any():
            told, true = chance[here].mean(), broken[here].mean()
            print(f"  {low:.1f}-{high:.1f}: {here.sum():4d} believed {told:.2f} true {true:.2f}")
    named = [
        case.belief.suspects[0].fault == case.belief.fault_keys[case.truth.fault]
        for case in made
        if case.truth.fault >= 0 and case.belief.suspects
    ]
    print(f"of {len(named)} broken bikes the first suspect is right in {np.mean(named):.2f}")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:4]))
