"""Compiles every kernel once, so that the first question is answered as quickly as the next."""

from __future__ import annotations

import numpy as np

from floatbowl.belief.every import Price, weigh
from floatbowl.belief.lookup import Lookup
from floatbowl.belief.triangle import through_triangle, times_triangle
from floatbowl.flow import warm


def main() -> None:
    """Run the kernels of flow and belief on next to nothing; what is compiled is kept beside the source."""
    warm.main()
    rows, root = np.ones((2, 2)), np.eye(2)
    times_triangle(rows, root)
    through_triangle(rows, root)
    table = Lookup.of(
        lambda tried, _fault, _severity: np.ones((len(tried), 1)),
        middle=np.zeros(2),
        spread=np.ones(2),
        flow=2,
        faults=1,
    )
    table.at(rows, np.full((2, 2), -1), np.zeros((2, 2)))
    _weigh_one()


def _weigh_one() -> None:
    one = np.ones((1, 1, 1), dtype=np.float32)
    weigh(one, one, Price(worth=np.ones(1), band=np.ones(1), is_high=np.ones(1, dtype=bool), floor=0.9))


if __name__ == "__main__":
    main()
