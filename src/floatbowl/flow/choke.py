"""The cold start circuit: a flap before the slide, or a plunger with its own jet."""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import Ratio, SquareMetre

ENRICHENER_AREA = Figure(0.30e-6, 0.15e-6, 0.50e-6, "from memory: plunger jets of 0.5 to 0.8 mm")
"""Area of an enrichener's own jet, m2."""
ENRICHENER_PULL = Figure(0.06, 0.02, 0.15, "judgement: pull left in the plunger's well beside its air hole")
"""Share of the engine's pull that reaches an enrichener's jet past its own air hole."""
FLAP_AREA_SHARE = Figure(0.16, 0.08, 0.30, "judgement: area left by a shut choke flap")
"""Share of the bore that a shut flap leaves open."""


def flap_area(bore_area: SquareMetre, shut: Ratio) -> SquareMetre:
    """Give the area left by a choke flap that is shut by a share of its way, 0 open to 1 shut.

    Source: judgement, linear in the way.

    >>> float(flap_area(1.0, 0.0))
    1.0
    """
    return np.asarray(bore_area) * (1.0 - np.asarray(shut) * (1.0 - FLAP_AREA_SHARE.value))


def flap_hindrance(bore_area: SquareMetre, shut: Ratio) -> SquareMetre:
    """Give the area whose pressure loss is what the flap adds to the open bore: without end when open.

    Source: own derivation, loss of the narrow place less that of the open bore.

    >>> float(flap_hindrance(1.0, 0.0))
    inf
    >>> round(float(flap_hindrance(1.0, 1.0)), 3)
    0.162
    """
    left = flap_area(bore_area, shut)
    with np.errstate(divide="ignore"):
        return left * bore_area / np.sqrt(np.maximum(np.square(bore_area) - left**2, 0.0))
