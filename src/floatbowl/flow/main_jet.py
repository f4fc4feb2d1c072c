"""The main jet and its air bleed."""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import GRAVITY, KgPerCubicMetre, Metre, Pascal, Ratio

MAIN_LENGTH = Figure(2.0, 1.0, 4.0, "judgement: length over bore of small main jets")
"""Length of the main jet's hole over its bore."""
PILOT_LENGTH = Figure(3.0, 1.5, 5.0, "judgement: length over bore of small pilot jets")
"""Length of the pilot jet's hole over its bore."""
BLEED_SPAN = Figure(
    0.012, 0.006, 0.020, "judgement: bleed holes are spread over about a centimetre of the needle jet"
)
"""Height over which the bleed holes are spread, m."""
SLIP = Figure(
    5.0,
    1.5,
    17.0,
    "judgement: between 1, homogeneous flow, reported wrong for carburettors [arias2005], and 25",
)
"""Speed of the air over the speed of the fuel in the mixing passages."""


def bleed_uncovered(pull: Pascal, depth: Metre, span: Metre, density: KgPerCubicMetre) -> Ratio:
    """Give the share of the bleed holes that the pull has uncovered.

    The holes lie below the fuel level from ``depth`` over ``span``. Air comes
    in only when the pull has drawn the well down to a hole: little pull is
    answered with plain fuel, more pull with more air. This is what keeps a bled
    main jet from growing richer with speed.

    Source: own derivation, hydrostatics of the well.

    >>> round(float(bleed_uncovered(1000.0, 0.008, 0.012, 745.0)), 3)
    1.0
    """
    drawn = np.asarray(pull) / (density * GRAVITY)
    return np.clip((drawn - depth) / span, 0.0, 1.0)
