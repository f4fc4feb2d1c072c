"""The six plates of the wall chart: each one picture, to one scale, made from this very bike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import fitted_needle
from floatbowl.draw.insets import ring_mm2
from floatbowl.draw.plate_fault import fault_plate
from floatbowl.draw.plate_hill import hill_plate
from floatbowl.draw.plate_idle import idle_plate
from floatbowl.draw.plate_lift import lift_plate
from floatbowl.draw.plate_ring import ring_plate
from floatbowl.draw.plate_say import say_plate
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg
from floatbowl.jobs import WallChart
from floatbowl.words.chart import Plate, Rings, hole_mm2, plates_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A plate with its picture."""

    plate: Plate
    picture: Svg


def wall_chart(chart: WallChart) -> tuple[Shown, ...]:
    """Draw and tell all six plates."""
    rings = rings_of(chart)
    drawn: dict[str, Callable[[], Svg]] = {
        "lift": lambda: lift_plate(chart),
        "say": lambda: say_plate(chart.card.stand.belief),
        "ring": lambda: ring_plate(chart.card.stand.belief, rings),
        "idle": lambda: idle_plate(chart.card.stand.belief),
        "hill": lambda: hill_plate(chart),
        "fault": fault_plate,
    }
    return tuple(Shown(plate=plate, picture=drawn[plate.key]()) for plate in plates_of(chart, rings))


def rings_of(chart: WallChart) -> Rings:
    """Give the rings round the needle, as the sums have them, now and with the needle one groove higher."""
    belief = chart.card.stand.belief
    bike, setup = belief.bike, belief.setup
    section, travel = set_out(bike, setup, belief=belief)
    lifts = [travel.at(at.opening) for at in RUNGS]
    raised = _raised(setup, fitted_needle(bike, setup).grooves)
    return Rings(
        now=tuple(ring_mm2(bike, setup, lift) for lift in lifts),
        raised=tuple(ring_mm2(bike, raised, lift) for lift in lifts),
        hole=hole_mm2(section.main_jet.mm),
    )


def _raised(setup: Setup, grooves: int) -> Setup:
    """Hang the needle one groove higher; from the last groove a washer does the same."""
    if setup.clip_from_top < grooves:
        return replace(setup, clip_from_top=setup.clip_from_top + 1)
    return replace(setup, needle_washer_mm=setup.needle_washer_mm + 1.0)
