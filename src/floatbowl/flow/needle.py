"""The ring between needle and needle jet, by slide lift."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import Metre, SquareMetre

RING_DISCHARGE = Figure(0.70, 0.55, 0.88, "judgement: off-centre needle, laminar gap")
"""Discharge of the ring round the needle."""
RING_LENGTH = Figure(0.007, 0.004, 0.010, "judgement: length of the needle jet's narrow part")
"""Length over which the ring is narrow, m: sets the inertia of the fuel there."""


def needle_diameter(along: Metre, distances: Sequence[Metre], diameters: Sequence[Metre]) -> Metre:
    """Give the needle's diameter at a distance from its blunt end.

    ``distances`` and ``diameters`` are the stations, blunt end first: constant
    before the first, evenly tapered between two, constant after the last. All
    broadcast against ``along``.

    Source: own derivation, straight lines between measured stations.

    >>> round(float(needle_diameter(0.020, (0.010, 0.030), (0.0025, 0.0021))), 6)
    0.0023
    """
    across = np.asarray(diameters[0], dtype=np.float64)
    for i in range(1, len(distances)):
        span = np.maximum(np.asarray(distances[i]) - distances[i - 1], 1e-9)
        share = np.clip((along - np.asarray(distances[i - 1])) / span, 0.0, 1.0)
        across = np.asarray(across + (np.asarray(diameters[i]) - diameters[i - 1]) * share)
    return across


def ring_area(jet_bore: Metre, needle: Metre) -> SquareMetre:
    """Give the open ring between needle and needle jet; a needle too thick leaves nothing.

    Source: own derivation, difference of two circles.

    >>> round(float(ring_area(0.0026, 0.002515)) * 1e6, 4)
    0.3415
    """
    return np.asarray(0.25 * np.pi * np.maximum(np.asarray(jet_bore) ** 2 - np.asarray(needle) ** 2, 0.0))
