"""Between which stops the slide moves, so that cut-away, insets and ladder stand at the same lift."""

from __future__ import annotations

from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw.moving import Travel
from floatbowl.draw.section import Section, section_of
from floatbowl.units import MILLIMETRE

LEAST_TRAVEL = 0.1
"""A slide that is told to have no travel at all is drawn with this much, mm."""


def stop_mm(belief: Belief | None) -> float | None:
    """Give where the sums let the slide rest, mm over the floor of the bore; None without a belief."""
    if belief is None:
        return None
    return float(belief.stage.middle(belief.setup, belief.day).idle_lift) / MILLIMETRE


def travel_of(s: Section, *, lift_mm: float | None = None) -> Travel:
    """Give the slide's travel; a lift outside it stands at the nearer stop, none at the idle stop."""
    shut, full = s.idle_lift.mm, max(s.full_lift.mm, s.idle_lift.mm + LEAST_TRAVEL)
    lift = shut if lift_mm is None else min(full, max(shut, lift_mm))
    return Travel(shut, full, lift)


def set_out(
    bike: Bike, setup: Setup, *, lift_mm: float | None = None, belief: Belief | None = None
) -> tuple[Section, Travel]:
    """Give the sizes and the travel that every picture of this bike is drawn from."""
    s = section_of(bike, setup, idle_lift_mm=stop_mm(belief))
    return s, travel_of(s, lift_mm=lift_mm)
