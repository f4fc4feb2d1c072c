"""Every size of the cut-away in millimetres, and whether somebody measured it.

One frame for all drawing: origin on the floor of the bore under the slide's
middle, x towards the engine, y up. What a bike file does not hold (flares,
spigot, slide, bowl) follows from the bore by rules of size; these are our own
judgement, and such sizes count as assumed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import sqrt
from typing import Any

from floatbowl.bike.assume import LIKELY_CUTAWAY, likely_main_bore, likely_pilot_bore
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Carb, ChokeKind, Needle, NeedleJetKind, ScrewKind, SlideShape, StampScale
from floatbowl.bike.measure import Measure
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import (
    Contradiction,
    blunt_end_above_slide,
    contradictions,
    fitted_needle,
)
from floatbowl.bike.shape import idle_lift as likely_idle_lift
from floatbowl.flow.stamps import UnreadableStamp, bore_by_bore, bore_by_flow, cutaway_height, jet_number
from floatbowl.units import MILLIMETRE, Metre

USUAL_BORE = 26.0
"""The bore, mm, at which the rules of size were set."""

LEAST_CLEAR = 0.4
"""What the pocket in the slide leaves free round the needle jet, mm."""


@dataclass(frozen=True, slots=True)
class Size:
    """A size in mm, and whether nobody measured it."""

    mm: float
    is_assumed: bool = True


@dataclass(frozen=True, slots=True)
class Port:
    """A hole in the floor of the bore: its middle and its diameter."""

    x: float
    across: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedleSize:
    """The needle hung up: distances count from its blunt end, which stands ``above_slide`` the underside."""

    length: Size
    stations: tuple[tuple[Size, Size], ...]
    first_groove: Size
    pitch: Size
    grooves: int
    clip: int
    washer: float
    above_slide: float

    @property
    def top(self) -> Size:
        """Give the diameter of the straight part."""
        return self.stations[0][1]

    @property
    def tip(self) -> Size:
        """Give the diameter at the last station."""
        return self.stations[-1][1]

    def groove(self, number: int) -> float:
        """Give the distance of a groove from the blunt end."""
        return self.first_groove.mm + (number - 1) * self.pitch.mm

    @property
    def is_shape_assumed(self) -> bool:
        """Say whether the shank is not wholly measured."""
        sizes = [self.length, *(size for station in self.stations for size in station)]
        return any(size.is_assumed for size in sizes)

    @property
    def are_grooves_assumed(self) -> bool:
        """Say whether the places of the grooves are not wholly measured."""
        return self.first_groove.is_assumed or self.pitch.is_assumed


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """All sizes of one carburettor in one setup; heights are over the floor of the bore."""

    slide: SlideShape
    screw: ScrewKind
    jet_kind: NeedleJetKind
    choke: ChokeKind
    bore: Size
    mouth: Size
    outlet: Size
    mouth_length: Size
    outlet_length: Size
    spigot: Size
    slide_width: Size
    """Diameter of a round slide, thickness of a flat one."""
    slide_height: Size
    slide_wall: Size
    cutaway: Size
    idle_lift: Size
    full_lift: Size
    seat: Size
    """Height of the clip's seat above the slide's underside."""
    needle: NeedleSize
    jet: Size
    jet_width: Size
    jet_rise: Size
    hood: Size
    jet_foot: Size
    main_jet: Size
    main_jet_top: Size
    main_jet_foot: Size
    pilot_jet: Size
    pilot_x: Size
    pilot_foot: Size
    bypass: tuple[Port, ...]
    outlet_port: Port
    main_air: Size
    pilot_air: Size
    first_bleed: Size
    screw_x: Size
    turns: float
    ceiling: Size
    gasket: Size
    bowl_floor: Size
    bowl_width: Size
    fuel_level: Size
    float_height: Size
    troubles: tuple[Contradiction, ...] = ()
    """Measures that contradict each other: they are drawn as told, and the page names them."""

    @property
    def grown(self) -> float:
        """Give the bore over the usual one: lengths grow with it."""
        return self.bore.mm / USUAL_BORE

    @property
    def wall(self) -> float:
        """Give the factor by which walls and brass grow: slower than the bore."""
        return sqrt(self.grown)

    @property
    def jet_hole(self) -> float:
        """Give half the width of the hole in which the needle jet stands."""
        return self.jet_width.mm / 2 + 0.55 * self.wall

    @property
    def tower(self) -> float:
        """Give half the width of the tower round the needle jet."""
        return self.jet_hole + 2.7 * self.wall

    @property
    def pocket(self) -> float:
        """Give how deep the slide is hollowed over the needle jet, on the engine side."""
        return self.jet_rise.mm + LEAST_CLEAR


def section_of(bike: Bike, setup: Setup, *, idle_lift_mm: float | None = None) -> Section:
    """Give every size that the cut-away draws. ``idle_lift_mm`` is where the sums let the slide rest."""
    carb = bike.carb
    grown = carb.bore.value / MILLIMETRE / USUAL_BORE
    walls = sqrt(grown)
    heights = _heights(carb, setup, walls)
    widths = _widths(carb, grown, walls)
    shut = _mm(likely_idle_lift(carb)) if idle_lift_mm is None else Size(idle_lift_mm)
    return Section(
        slide=carb.slide,
        screw=carb.screw,
        jet_kind=carb.needle_jet_kind,
        choke=carb.choke,
        bore=_mm(carb.bore),
        cutaway=_cutaway(setup),
        idle_lift=shut,
        full_lift=_mm(carb.full_lift),
        seat=_mm(carb.needle_seat),
        needle=_needle(bike, setup),
        jet=_mm(carb.needle_jet_bore),
        jet_rise=_mm(carb.needle_jet_rise),
        main_jet=_jet(setup.main, carb.main_scale, likely_main_bore(bike), part="main jet"),
        pilot_jet=_jet(setup.pilot, carb.pilot_scale, likely_pilot_bore(bike), part="pilot jet"),
        main_air=_mm(carb.main_air_bore),
        pilot_air=_mm(carb.pilot_air_bore),
        turns=setup.screw_turns,
        float_height=_float_height(carb, setup),
        troubles=contradictions(bike, setup),
        **heights,
        **widths,
    )


def _mm(measure: Measure) -> Size:
    return Size(measure.value / MILLIMETRE, measure.is_assumed)


def _widths(carb: Carb, grown: float, walls: float) -> dict[str, Any]:
    """Give the sizes that follow from the bore alone, and the places along the bore."""
    bore = carb.bore.value / MILLIMETRE
    jet_width = carb.needle_jet_bore.value / MILLIMETRE + 2.6 * walls
    hole = jet_width / 2 + 0.55 * walls
    thin = max(0.54 * bore, 2.0 * (hole + 3.2 * walls))
    slide = bore + 4.0 if carb.slide == "round" else thin
    pilot = max(bore / 2, hole + 7.1 * walls, slide / 2 - 2.0 * grown)
    inside = max(1.05 * bore, pilot + 8.2 * walls)
    half = slide / 2
    screw = -(inside + 1.3 * walls) if carb.screw == "air" else half + 4.5 * grown
    rules = {
        "mouth": bore + 8.0,
        "outlet": bore + 1.0,
        "mouth_length": max(1.45 * bore, inside + 10.4 * walls),
        "outlet_length": max(1.75 * bore, inside + 16.0 * walls),
        "spigot": bore + 9.0,
        "slide_width": slide,
        "slide_height": bore + 7.0,
        "slide_wall": 1.4 * walls,
        "jet_width": jet_width,
        "hood": 1.7 * grown if carb.needle_jet_kind == "primary" else 0.0,
        "pilot_x": pilot,
        "screw_x": screw,
        "bowl_width": 2.0 * inside,
    }
    return {
        **{name: Size(mm) for name, mm in rules.items()},
        "bypass": _bypass(carb, edge=half - 1.4 * grown, least=hole + 0.8 * walls, grown=grown),
        "outlet_port": Port(half + 4.5 * grown, _mm(carb.pilot_outlet_bore)),
    }


def _bypass(carb: Carb, *, edge: float, least: float, grown: float) -> tuple[Port, ...]:
    """Place the bypass holes from the slide's engine-side edge inwards, the one uncovered first outermost."""
    holes = sorted(carb.bypass, key=lambda hole: hole.uncovered_at.value)
    across = [_mm(hole.diameter) for hole in holes]
    steps = [0.0, *((a.mm + b.mm) / 2 + 0.5 * grown for a, b in pairwise(across))]
    squeeze = min(1.0, (edge - least) / max(sum(steps), 1e-9))
    places = [edge - squeeze * way for way in accumulate(steps)]
    return tuple(Port(x, size) for x, size in zip(places, across, strict=False))


def _heights(carb: Carb, setup: Setup, walls: float) -> dict[str, Any]:
    """Give the heights: the ceiling of the bowl leaves air over the fuel, and the bowl holds its jets."""
    rise, lip = _mm(carb.needle_jet_rise), _mm(carb.lip_height)
    book = rise.mm - lip.mm
    top = -carb.main_jet_top.value / MILLIMETRE
    foot = top - 7.0 * walls
    ceiling = min(-7.6, book + 2.4 * walls)
    jet_foot = min(top + 4.6 * walls, ceiling - 3.0 * walls)
    gasket = ceiling - 2.6 * walls
    set_height, book_height = _float_height(carb, setup).mm, carb.float_height.value / MILLIMETRE
    deepest = max(set_height, book_height) + 2.5
    floor = min(gasket - carb.bore.value / MILLIMETRE, gasket - deepest, foot - 5.5 * walls)
    level = book - (set_height - book_height)
    assumed = {
        "main_jet_foot": foot,
        "jet_foot": jet_foot,
        "pilot_foot": min(foot + 5.6 * walls, ceiling - 14.0 * walls),
        "ceiling": ceiling,
        "gasket": gasket,
        "bowl_floor": min(floor, ceiling - 19.0 * walls),
    }
    return {
        "main_jet_top": Size(top, carb.main_jet_top.is_assumed),
        "fuel_level": Size(level, lip.is_assumed or rise.is_assumed),
        "first_bleed": Size(book - carb.bleed_depth.value / MILLIMETRE, carb.bleed_depth.is_assumed),
        **{name: Size(mm) for name, mm in assumed.items()},
    }


def _float_height(carb: Carb, setup: Setup) -> Size:
    if setup.float_height_mm is None:
        return _mm(carb.float_height)
    return Size(setup.float_height_mm, is_assumed=False)


def _needle(bike: Bike, setup: Setup) -> NeedleSize:
    needle: Needle = fitted_needle(bike, setup)
    return NeedleSize(
        length=_mm(needle.length),
        stations=tuple((_mm(station.distance), _mm(station.diameter)) for station in needle.stations),
        first_groove=_mm(needle.first_groove),
        pitch=_mm(needle.groove_pitch),
        grooves=needle.grooves,
        clip=setup.clip_from_top,
        washer=setup.needle_washer_mm,
        above_slide=blunt_end_above_slide(bike, setup) / MILLIMETRE,
    )


def _cutaway(setup: Setup) -> Size:
    return _stamped(lambda: cutaway_height(setup.cutaway), likely=LIKELY_CUTAWAY.value)


def _jet(stamp: str, scale: StampScale, likely: float, *, part: str) -> Size:
    by_stamp = bore_by_flow if scale == "flow" else bore_by_bore

    def read() -> Metre | None:
        number = jet_number(stamp, part=part)
        return None if number is None else by_stamp(number)

    return _stamped(read, likely=likely)


def _stamped(read: Callable[[], Metre | None], *, likely: float) -> Size:
    """Give the size that a stamp means; one that is not known or not readable is assumed."""
    try:
        size = read()
    except UnreadableStamp:
        size = None
    return Size(float(likely if size is None else size) / MILLIMETRE, size is None)
