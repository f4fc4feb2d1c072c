"""The cut-away on a page of forms: labelled where there is room, closer and bare where there is not."""

from __future__ import annotations

from functools import lru_cache

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw.cutaway import cutaway
from floatbowl.draw.svg import Svg
from floatbowl.units import MILLIMETRE

OPEN = 0.3
"""How far the slide is drawn open, as a share of the bore: needle and needle jet are seen apart."""


@lru_cache(maxsize=16)
def standing_cutaway(bike: Bike, setup: Setup) -> tuple[Svg, Svg]:
    """Draw the carburettor for a wide page and for a phone; it does not move."""
    lift_mm = OPEN * bike.carb.bore.value / MILLIMETRE
    wide = cutaway(bike, setup, lift_mm=lift_mm)
    return wide, cutaway(bike, setup, lift_mm=lift_mm, crop="phone")
