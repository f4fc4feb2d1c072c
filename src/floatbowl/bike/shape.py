"""Where the needle stands, and measures that cannot all be true of one carburettor.

Heights are in metres from the floor of the bore under the middle of the slide,
up is positive. The clip sits on its seat in the slide, so the needle's blunt end
stands above the seat by the place of the groove the clip is in; a washer under
the clip lifts it further. A higher groove number therefore lifts the needle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Carb, Needle
from floatbowl.bike.measure import Measure
from floatbowl.bike.setup import Setup
from floatbowl.units import MILLIMETRE, Metre

ContradictionKey = Literal[
    "no such groove",
    "needle through main jet",
    "needle out of jet",
    "needle too thick",
    "needle stations out of order",
    "needle swells",
    "grooves off the needle",
    "slide hits needle jet",
    "cutaway too tall",
    "cutaway below nothing",
    "bypass too large",
    "bypass too far up",
    "outlet too large",
]

IDLE_LIFT_OF_BORE = 0.035
"""Lift of a slide resting on its idle stop, as a share of the bore (judgement: 0.9 mm on a bore of 26)."""
IDLE_LIFT_SPREAD_OF_BORE = 0.010
TALLEST_RISE_OF_BORE = 0.35
"""A needle jet that stands higher than this cannot be cleared by any pocket in the slide (judgement)."""
TALLEST_CUTAWAY_OF_BORE = 0.25
WIDEST_PORT_OF_BORE = 0.125
"""Pilot outlet and bypass holes are drilled far smaller than this (judgement)."""
HIGHEST_BYPASS_OF_LIFT = 0.5

SURE_WHEN_MEASURED = 2.0
"""Standard deviations by which measured numbers must disagree before we call it a contradiction."""
SURE_WHEN_ASSUMED = 3.0
"""The same where one of the numbers is our own assumption, which may simply be wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Measures that cannot all be true. ``key`` names the sentence.

    ``numbers`` are what the sentence needs, each with its unit in its name
    (``rise_mm``) or a plain count (``clip``). ``fields`` names the measures
    involved, the likeliest slip first, as ``carb.needle.length`` and the like.
    """

    key: ContradictionKey
    numbers: tuple[tuple[str, float], ...]
    fields: tuple[str, ...]

    def number(self, name: str) -> float:
        """Give one of the numbers by its name."""
        return dict(self.numbers)[name]


def fitted_needle(bike: Bike, setup: Setup) -> Needle:
    """Give the needle that hangs in the slide: the setup's, else the carburettor's own."""
    return bike.carb.needle if setup.needle is None else setup.needle


def needle_mouth_position(bike: Bike, setup: Setup, lift: Metre) -> Metre:
    """Give the place on the needle, from its blunt end, that stands in the needle jet's mouth.

    ``lift`` is that of the slide's underside above the floor of the bore.

    >>> from floatbowl.bike.assume import assume_bike
    >>> sizes = {"bore": 0.026, "needle_seat": 0.008, "needle_jet_rise": 0.0028}
    >>> needle = {"length": 0.038, "first_groove": 0.0012, "groove_pitch": 0.001}
    >>> bike = assume_bike(
    ...     name="Magpie", what="", engine={"strokes": 4, "swept_volume": 124e-6},
    ...     carb={**sizes, "needle": needle}, fuel={},
    ... )
    >>> third = Setup(number=1, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    >>> round(needle_mouth_position(bike, third, lift=0.026), 6)  # 26 + 8 + 1.2 + 2 - 2.8 mm
    0.0344
    """
    return lift + blunt_end_above_slide(bike, setup) - bike.carb.needle_jet_rise.value


def blunt_end_above_slide(bike: Bike, setup: Setup) -> float:
    """Give the height of the needle's blunt end above the slide's underside, in metres."""
    needle = fitted_needle(bike, setup)
    groove = needle.first_groove.value + (setup.clip_from_top - 1) * needle.groove_pitch.value
    return bike.carb.needle_seat.value + groove + setup.needle_washer_mm * MILLIMETRE


def idle_lift(carb: Carb) -> Measure:
    """Give the slide's lift at the idle stop as far as it can be guessed from the bore alone."""
    bore = carb.bore.value
    return Measure(IDLE_LIFT_OF_BORE * bore, IDLE_LIFT_SPREAD_OF_BORE * bore, "assumed")


def diameter_along(needle: Needle, position: float) -> Measure:
    """Give the needle's diameter at a place measured from its blunt end, both in metres."""
    first, last = needle.stations[0], needle.stations[-1]
    if position <= first.distance.value:
        return first.diameter
    for here, there in pairwise(needle.stations):
        if position <= there.distance.value:
            share = (position - here.distance.value) / (there.distance.value - here.distance.value)
            value = (1.0 - share) * here.diameter.value + share * there.diameter.value
            wider = max(here.diameter, there.diameter, key=lambda diameter: diameter.spread)
            return Measure(value, wider.spread, _origin(here.diameter, there.diameter))
    return last.diameter


def contradictions(bike: Bike, setup: Setup) -> tuple[Contradiction, ...]:
    """Name every way in which these measures cannot all be true.

    Only what is surely wrong is named: the disagreement must exceed what the
    measures' spreads allow, and somebody must have measured one of them. Our
    own assumptions never contradict each other.
    """
    needle = tuple(_needle_itself(fitted_needle(bike, setup), bike, setup))
    hung = () if needle else tuple(_needle_in_place(bike, setup))
    return (*needle, *hung, *_slide(bike, setup), *_pilot_ports(bike.carb))


def _origin(*measures: Measure) -> Literal["measured", "assumed"]:
    return "assumed" if any(measure.is_assumed for measure in measures) else "measured"


def _is_surely_negative(*terms: tuple[float, Measure]) -> bool:
    """Say whether a sum of factor times measure lies below zero beyond doubt."""
    measures = [measure for factor, measure in terms if factor]
    if all(measure.is_assumed for measure in measures):
        return False
    sure = SURE_WHEN_ASSUMED if _origin(*measures) == "assumed" else SURE_WHEN_MEASURED
    total = math.fsum(factor * measure.value for factor, measure in terms)
    spread = math.hypot(*(factor * measure.spread for factor, measure in terms))
    return total < -sure * spread


def _exact(value: float) -> Measure:
    return Measure(value, 0.0, "measured")


def _mm(metres: float) -> float:
    return metres / MILLIMETRE


def _place(bike: Bike, setup: Setup) -> str:
    """Name where the fitted needle's measures live."""
    return "carb.needle" if fitted_needle(bike, setup) is bike.carb.needle else "setup.needle"


def _needle_itself(needle: Needle, bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    place = _place(bike, setup)
    if not 1 <= setup.clip_from_top <= needle.grooves:
        yield Contradiction(
            key="no such groove",
            numbers=(("clip", setup.clip_from_top), ("grooves", needle.grooves)),
            fields=("setup.clip_from_top", f"{place}.grooves"),
        )
    last_groove = needle.first_groove.value + (needle.grooves - 1) * needle.groove_pitch.value
    if _is_surely_negative(
        (1.0, needle.length), (-1.0, needle.first_groove), (1.0 - needle.grooves, needle.groove_pitch)
    ):
        yield Contradiction(
            key="grooves off the needle",
            numbers=(("last_groove_mm", _mm(last_groove)), ("length_mm", _mm(needle.length.value))),
            fields=(f"{place}.groove_pitch", f"{place}.grooves", f"{place}.first_groove", f"{place}.length"),
        )
    yield from _stations(needle, place)


def _stations(needle: Needle, place: str) -> Iterator[Contradiction]:
    for here, there in pairwise(needle.stations):
        if there.distance.value <= here.distance.value:
            yield Contradiction(
                key="needle stations out of order",
                numbers=(("here_mm", _mm(here.distance.value)), ("there_mm", _mm(there.distance.value))),
                fields=(f"{place}.straight", f"{place}.length", f"{place}.stations"),
            )
        elif _is_surely_negative((1.0, here.diameter), (-1.0, there.diameter)):
            yield Contradiction(
                key="needle swells",
                numbers=(("here_mm", _mm(here.diameter.value)), ("there_mm", _mm(there.diameter.value))),
                fields=(f"{place}.tip", f"{place}.top", f"{place}.stations"),
            )
    end = needle.stations[-1].distance
    if _is_surely_negative((1.0, needle.length), (-1.0, end)):
        yield Contradiction(
            key="needle stations out of order",
            numbers=(("here_mm", _mm(end.value)), ("there_mm", _mm(needle.length.value))),
            fields=(f"{place}.stations", f"{place}.length"),
        )


def _needle_in_place(bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    yield from _through_main_jet(bike, setup)
    yield from _out_of_jet(bike, setup)
    yield from _too_thick(bike, setup)


def _through_main_jet(bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    """Try the lowest groove: where the needle clears the main jet there, it clears it everywhere."""
    carb, needle, place = bike.carb, fitted_needle(bike, setup), _place(bike, setup)
    shut = idle_lift(carb)
    below_floor = needle.length.value - needle.first_groove.value - carb.needle_seat.value - shut.value
    if _is_surely_negative(
        (1.0, carb.main_jet_top),
        (1.0, shut),
        (1.0, carb.needle_seat),
        (1.0, needle.first_groove),
        (-1.0, needle.length),
    ):
        yield Contradiction(
            key="needle through main jet",
            numbers=(
                ("length_mm", _mm(needle.length.value)),
                ("tip_below_floor_mm", _mm(below_floor)),
                ("jet_below_floor_mm", _mm(carb.main_jet_top.value)),
            ),
            fields=(f"{place}.length", "carb.main_jet_top", "carb.needle_seat", f"{place}.first_groove"),
        )


def _out_of_jet(bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    carb, needle, place = bike.carb, fitted_needle(bike, setup), _place(bike, setup)
    mouth = float(needle_mouth_position(bike, setup, carb.full_lift.value))
    if _is_surely_negative(
        (1.0, needle.length),
        (1.0, carb.needle_jet_rise),
        (-1.0, carb.full_lift),
        (-1.0, carb.needle_seat),
        (-1.0, needle.first_groove),
        (1.0 - setup.clip_from_top, needle.groove_pitch),
        (-1.0, _exact(setup.needle_washer_mm * MILLIMETRE)),
    ):
        yield Contradiction(
            key="needle out of jet",
            numbers=(
                ("length_mm", _mm(needle.length.value)),
                ("needed_mm", _mm(mouth)),
                ("full_lift_mm", _mm(carb.full_lift.value)),
            ),
            fields=(f"{place}.length", "carb.full_lift", "carb.needle_seat", "carb.needle_jet_rise"),
        )


def _too_thick(bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    """Try what is in the jet when the slide is shut: as it rises, only thinner parts follow."""
    carb, needle, place = bike.carb, fitted_needle(bike, setup), _place(bike, setup)
    mouth = float(needle_mouth_position(bike, setup, idle_lift(carb).value))
    inside = [diameter_along(needle, mouth)]
    inside += [station.diameter for station in needle.stations if station.distance.value >= mouth]
    thickest = max(inside, key=lambda diameter: diameter.value)
    if _is_surely_negative((1.0, carb.needle_jet_bore), (-1.0, thickest)):
        yield Contradiction(
            key="needle too thick",
            numbers=(("needle_mm", _mm(thickest.value)), ("jet_mm", _mm(carb.needle_jet_bore.value))),
            fields=("carb.needle_jet_bore", f"{place}.top", f"{place}.stations"),
        )


def _slide(bike: Bike, setup: Setup) -> Iterator[Contradiction]:
    carb = bike.carb
    if _is_surely_negative((TALLEST_RISE_OF_BORE, carb.bore), (-1.0, carb.needle_jet_rise)):
        yield Contradiction(
            key="slide hits needle jet",
            numbers=(("rise_mm", _mm(carb.needle_jet_rise.value)), ("bore_mm", _mm(carb.bore.value))),
            fields=("carb.needle_jet_rise", "carb.bore"),
        )
    cutaway = stamped_number(setup.cutaway)
    if cutaway is not None:
        yield from _cutaway(cutaway, carb)


def _cutaway(cutaway_mm: float, carb: Carb) -> Iterator[Contradiction]:
    tallest_mm = _mm(TALLEST_CUTAWAY_OF_BORE * carb.bore.value)
    numbers = (("cutaway_mm", cutaway_mm), ("tallest_mm", tallest_mm))
    if cutaway_mm < 0.0:
        yield Contradiction(key="cutaway below nothing", numbers=numbers, fields=("setup.cutaway",))
    elif cutaway_mm > tallest_mm:
        yield Contradiction(key="cutaway too tall", numbers=numbers, fields=("setup.cutaway", "carb.bore"))


def stamped_number(stamp: str) -> float | None:
    """Give the number a stamp stands for, or None when it is not a plain number.

    >>> stamped_number("2.5"), stamped_number("?"), stamped_number("inf")
    (2.5, None, None)
    """
    try:
        number = float(stamp)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def _pilot_ports(carb: Carb) -> Iterator[Contradiction]:
    widest = (WIDEST_PORT_OF_BORE, carb.bore)
    widest_mm = _mm(WIDEST_PORT_OF_BORE * carb.bore.value)
    if _is_surely_negative(widest, (-1.0, carb.pilot_outlet_bore)):
        yield Contradiction(
            key="outlet too large",
            numbers=(("hole_mm", _mm(carb.pilot_outlet_bore.value)), ("widest_mm", widest_mm)),
            fields=("carb.pilot_outlet_bore", "carb.bore"),
        )
    for count, hole in enumerate(carb.bypass, start=1):
        if _is_surely_negative(widest, (-1.0, hole.diameter)):
            yield Contradiction(
                key="bypass too large",
                numbers=(("hole", count), ("hole_mm", _mm(hole.diameter.value)), ("widest_mm", widest_mm)),
                fields=(f"carb.bypass[{count}].diameter", "carb.bore"),
            )
        if _is_surely_negative((HIGHEST_BYPASS_OF_LIFT, carb.full_lift), (-1.0, hole.uncovered_at)):
            yield Contradiction(
                key="bypass too far up",
                numbers=(
                    ("hole", count),
                    ("uncovered_mm", _mm(hole.uncovered_at.value)),
                    ("highest_mm", _mm(HIGHEST_BYPASS_OF_LIFT * carb.full_lift.value)),
                ),
                fields=(f"carb.bypass[{count}].uncovered_at", "carb.full_lift"),
            )
