"""What thousands of likely bikes do in one setup, looked up instead of worked out anew.

The fuel of the needle jet, that of the pilot, and the air are products of areas
and roots of pressures, so their logarithms nearly add up over what is uncertain.
The flow is run once for each unknown at a few of its values, and for each fault
at a few of its severities, all else at the middle; a draw's logarithms are the
middle's plus what each of its unknowns and faults adds, by straight lines
between. How near that comes to the flow itself is told in docs/validity.md.

Source: own derivation, the same sum that ``flow.breath.AirTable`` makes of the air.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numba as nb
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

KNOTS = np.array([-3.0, -1.8, -0.8, 0.0, 0.8, 1.8, 3.0])
"""Where each unknown is tried, in its spreads around the middle."""
SEVERITIES = np.array([0.0, 0.12, 0.3, 0.5, 0.7, 0.88, 1.0])
"""Where each fault is tried."""


class Worked(Protocol):
    """The flow itself, run for rows of unknowns with one fault each."""

    def __call__(self, rows: Array, fault: Whole, severity: Array, /) -> Array:
        """Give whatever is to be looked up, (row, value); ``fault`` and ``severity`` are (row, 2)."""
        ...


@dataclass(frozen=True, slots=True)
class Lookup:
    """One setup on one day. ``middle`` is (value,), ``knots`` (unknown, knot).

    ``added`` (unknown, knot, value) is what an unknown adds at each knot, ``broken`` (fault, knot, value)
    what a fault adds at each severity.
    """

    middle: Array
    knots: Array
    added: Array
    broken: Array

    @classmethod
    def of(cls, worked: Worked, *, middle: Array, spread: Array, flow: int, faults: int) -> Lookup:
        """Run the flow at the middle row, and around it for the first ``flow`` unknowns and each fault.

        ``middle`` and ``spread`` (unknown,) say where the rows lie and how widely.
        """
        each = len(KNOTS)
        knots = middle[:flow, None] + spread[:flow, None] * KNOTS
        rows = np.repeat(middle[None, :], 1 + flow * each + faults * each, axis=0)
        fault = np.full((len(rows), 2), -1)
        severity = np.zeros((len(rows), 2))
        for k in range(flow):
            rows[1 + k * each : 1 + (k + 1) * each, k] = knots[k]
        start = 1 + flow * each
        fault[start:, 0] = np.repeat(np.arange(faults), each)
        severity[start:, 0] = np.tile(SEVERITIES, faults)
        values = worked(rows, fault, severity)
        extra = values[1:] - values[0]
        return cls(
            middle=values[0],
            knots=knots,
            added=extra[: flow * each].reshape(flow, each, -1),
            broken=extra[flow * each :].reshape(faults, each, -1),
        )

    def at(self, row: Array, fault: Whole, severity: Array) -> Array:
        """Give the values of every draw, (draw, value), from its row of unknowns and its faults."""
        return np.asarray(
            _look_up(
                np.ascontiguousarray(row),
                np.ascontiguousarray(fault),
                np.ascontiguousarray(severity),
                self.middle,
                self.knots,
                self.added,
                self.broken,
                SEVERITIES,
            )
        )


@nb.njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _add(out: Array, at: float, knots: Array, added: Array) -> None:
    """Add to ``out`` what lies at a place between knots; a little beyond the last ones the line goes on."""
    last = knots.shape[0] - 2
    below = 0
    while below < last and at > knots[below + 1]:
        below += 1
    up = (at - knots[below]) / (knots[below + 1] - knots[below])
    up = min(max(up, -0.5), 1.5)
    for i in range(out.shape[0]):
        out[i] += (1.0 - up) * added[below, i] + up * added[below + 1, i]


@nb.njit(cache=True, nogil=True, error_model="numpy")
def _look_up(  # noqa: PLR0913, PLR0917  (draws with their faults, and the tables)
    row: Array,
    fault: Whole,
    severity: Array,
    middle: Array,
    knots: Array,
    added: Array,
    broken: Array,
    severities: Array,
) -> Array:
    out = np.empty((row.shape[0], middle.shape[0]))
    for d in range(row.shape[0]):
        out[d] = middle
        for k in range(knots.shape[0]):
            _add(out[d], row[d, k], knots[k], added[k])
        for slot in range(fault.shape[1]):
            if fault[d, slot] >= 0:
                _add(out[d], severity[d, slot], severities, broken[fault[d, slot]])
    return out
