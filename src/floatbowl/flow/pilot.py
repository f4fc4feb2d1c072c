"""Pilot jet, air or fuel screw, bypass holes and outlet."""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.flow.holes import in_series
from floatbowl.units import Metre, Ratio, SquareMetre

OUTLET_DISCHARGE = Figure(0.65, 0.55, 0.80, "judgement: short drilled outlets under two-phase flow")
"""Discharge of the pilot outlet and of the bypass holes."""
AIR_JET_DISCHARGE = Figure(0.80, 0.72, 0.88, "lichtarowicz1965 at high Reynolds number, short drilled jets")
"""Discharge of an air jet."""
HOLE_STEEPNESS = Figure(
    3.0, 2.0, 4.0, "judgement: set so that the idle hands over smoothly on every bike of the family"
)
"""Power with which a bypass hole comes to feel the engine as the slide lifts."""
PILOT_MIX_HEIGHT = Figure(
    0.004, 0.0, 0.010, "judgement: height of the pilot's mixing place above the fuel level"
)
"""Height of the place where the pilot's fuel meets its air above the fuel level, m."""


def screw_area(turns: Ratio, per_turn: SquareMetre, hole: SquareMetre) -> SquareMetre:
    """Give the area that a mixture screw leaves of the hole it sits before.

    The needle of the screw and the hole are in series: the hole has the last
    word after two or three turns.

    Source: common practice for the sense, own derivation for the form.

    >>> round(float(screw_area(2.0, 0.15e-6, 0.16e-6)) * 1e6, 3)
    0.141
    """
    return in_series(np.maximum(turns, 0.0) * per_turn, hole)


def uncovered_share(lift: Metre, uncovered_at: Metre) -> Ratio:
    """Give the share of a bypass hole that feels the engine; the rest feels the air side.

    The hole lies in the floor a little way before the slide's edge. The
    pressure under the slide falls over a length of about the gap, so the hole
    comes to feel the engine as the gap grows: half at ``uncovered_at``, and
    never all at once.

    Source: own derivation for the length; judgement for the power, decisions/0011.

    >>> float(uncovered_share(0.002, 0.002))
    0.5
    """
    closer = np.maximum(np.asarray(lift, dtype=np.float64), 1e-9) / uncovered_at
    risen = closer**HOLE_STEEPNESS.value
    return np.asarray(risen / (1.0 + risen))
