"""The two insets: the bore seen from the engine, the ring round the needle much enlarged, and their areas.

The areas are those of the sums: ``flow.slide.open_area`` and
``flow.needle.ring_area`` at the same lifts.
"""

from __future__ import annotations

from typing import Literal

from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import fitted_needle, needle_mouth_position
from floatbowl.draw.moving import Travel, table
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Attribute, Svg, element, line_path, picture, plain
from floatbowl.flow.breath import NEEDLE_SHADOW
from floatbowl.flow.needle import needle_diameter, ring_area
from floatbowl.flow.slide import open_area
from floatbowl.units import MILLIMETRE, SQUARE_MILLIMETRE
from floatbowl.words import drawing as words

STYLE = (
    ".ins-open{fill:var(--bore)}.ins-slide{fill:var(--steel)}.ins-jet{fill:var(--brass)}"
    ".ins-needle{fill:var(--paper)}.ins-ring{fill:var(--fuel)}"
    ".ins-edge,.ins-fine,.ins-hidden{fill:none;stroke:var(--ink);stroke-width:calc(1.8px*var(--thick))}"
    ".ins-fine{stroke-width:calc(.9px*var(--thick))}"
    ".ins-hidden{stroke:var(--pencil);stroke-width:calc(.9px*var(--thick));stroke-dasharray:5 3}"
    ".ins-edge.assumed,.ins-fine.assumed{stroke:var(--pencil);stroke-dasharray:4 3}"
    ".ins-words{font-family:Label,'Arial Narrow',sans-serif;font-stretch:condensed;font-size:15px;"
    "font-weight:500;fill:var(--pencil)}"
    ".ins-area{font-family:Label,'Arial Narrow',sans-serif;font-stretch:condensed;font-size:22px;"
    "font-weight:600;fill:var(--ink)}"
)
"""Inks of the insets."""

WIDE, TALL = 280.0, 128.0
_DISC = 120.0
"""Width of the round pictures, units."""
_MIDDLE = TALL / 2
_TEXT = _DISC + 18.0
OPEN_DECIMALS, RING_DECIMALS = 0, 2


def open_mm2(bike: Bike, lift_mm: float) -> float:
    """Give the open area under the slide, mm2, as the sums have it."""
    bore = bike.carb.bore.value
    area = open_area(lift_mm * MILLIMETRE, bore, NEEDLE_SHADOW * bore)
    return float(area) / SQUARE_MILLIMETRE


def needle_mm(bike: Bike, setup: Setup, lift_mm: float) -> float:
    """Give the needle's diameter in the needle jet's mouth, mm, as the sums have it."""
    needle = fitted_needle(bike, setup)
    across = needle_diameter(
        needle_mouth_position(bike, setup, lift_mm * MILLIMETRE),
        [station.distance.value for station in needle.stations],
        [station.diameter.value for station in needle.stations],
    )
    return float(across) / MILLIMETRE


def ring_mm2(bike: Bike, setup: Setup, lift_mm: float) -> float:
    """Give the open ring between needle and needle jet, mm2, as the sums have it."""
    needle = needle_mm(bike, setup, lift_mm) * MILLIMETRE
    return float(ring_area(bike.carb.needle_jet_bore.value, needle)) / SQUARE_MILLIMETRE


def bore_inset(
    bike: Bike, setup: Setup, *, lift_mm: float | None = None, belief: Belief | None = None, key: str = "bore"
) -> Svg:
    """Draw the bore from the engine, the slide across it, and the open area beside it.

    ``key`` makes the clip's name its own where several bikes share a page.
    """
    s, travel = set_out(bike, setup, lift_mm=lift_mm, belief=belief)
    scale = _DISC / s.bore.mm
    name = f"ins-clip-{key}"
    middle = _DISC / 2 + 2.0
    clip = element("clipPath", element("circle", cx=middle, cy=_MIDDLE, r=_DISC / 2), id=name)
    inside = element(
        "g",
        element("rect", x=0, y=0, width=_DISC + 4, height=TALL, class_="ins-open"),
        _needle_jet(s, middle, scale),
        _slide(s, travel, scale),
        clip_path=f"url(#{name})",
    )
    rim = _circle(middle, _DISC / 2, class_=_lined("ins-edge", is_assumed=s.bore.is_assumed))
    area = open_mm2(bike, travel.lift)
    told = _told(
        words.OPEN_TO_AIR,
        words.area_words(area, decimals=OPEN_DECIMALS),
        decimals=OPEN_DECIMALS,
        data_table=table(travel.steps(), lambda lift: open_mm2(bike, lift)),
    )
    telling = words.bore_telling(lift_mm=travel.lift, area=area)
    return _inset(clip, inside, rim, told, title=words.OPEN_TO_AIR, described=telling, class_="ins-bore")


def _floor(s: Section, scale: float) -> float:
    return _MIDDLE + s.bore.mm / 2 * scale


def _needle_jet(s: Section, middle: float, scale: float) -> Svg:
    """Draw needle jet and needle on the middle line; the slide comes down before them."""
    floor, jet, needle = _floor(s, scale), s.jet_width.mm * scale, s.needle.top.mm * scale
    rise = s.jet_rise.mm * scale
    shaft = {"x": middle - needle / 2, "y": 0, "width": needle, "height": floor - rise}
    nozzle = {"x": middle - jet / 2, "y": floor - rise, "width": jet, "height": rise + 2.0}
    lines = (
        _lined("ins-fine", is_assumed=s.needle.top.is_assumed),
        _lined("ins-fine", is_assumed=s.jet_rise.is_assumed),
    )
    return element(
        "g",
        element("rect", class_="ins-needle", **shaft),
        element("rect", class_=lines[0], **shaft),
        element("rect", class_="ins-jet", **nozzle),
        element("rect", class_=lines[1], **nozzle),
    )


def _slide(s: Section, travel: Travel, scale: float) -> Svg:
    """Draw the slide as it stands on the floor, lifted by a transform; behind it the cutaway's edge."""
    floor, right = _floor(s, scale), _DISC + 4.0
    high = s.bore.mm * scale + 8.0
    side = _DISC / 2 * (1.0 if s.slide == "round" else 0.94)
    left_edge, right_edge = _DISC / 2 + 2.0 - side, _DISC / 2 + 2.0 + side
    cut = floor - s.cutaway.mm * scale
    body = element("rect", x=0, y=floor - high, width=right, height=high, class_="ins-slide")
    edge = line_path([(0.0, floor), (right, floor)])
    sides = [line_path([(x, floor), (x, floor - high)]) for x in (left_edge, right_edge)]
    cutaway = element("path", d=line_path([(0.0, cut), (right, cut)]), class_="ins-hidden")
    return element(
        "g",
        body,
        *([element("path", d=d, class_="ins-fine") for d in sides] if s.slide == "flat" else []),
        cutaway,
        element("path", d=edge, class_="ins-edge"),
        transform=f"translate(0 {plain(-travel.lift * scale)})",
        data_rise=f"{scale:.4f}",
    )


def ring_inset(
    bike: Bike, setup: Setup, *, lift_mm: float | None = None, belief: Belief | None = None
) -> Svg:
    """Draw the ring round the needle at its mouth, enlarged, and its area beside it."""
    s, travel = set_out(bike, setup, lift_mm=lift_mm, belief=belief)
    scale = (_DISC - 14.0) / s.jet.mm
    middle = _DISC / 2 + 2.0

    def radius(lift: float) -> float:
        return min(needle_mm(bike, setup, lift), s.jet.mm) / 2 * scale

    needle = radius(travel.lift)
    moving: dict[str, Attribute] = {"data_table": table(travel.steps(), radius), "data_sets": "r"}
    area, assumed = ring_mm2(bike, setup, travel.lift), s.needle.is_shape_assumed
    discs = (
        _circle(middle, _DISC / 2, class_="ins-jet"),
        _circle(middle, _DISC / 2, class_="ins-fine"),
        _circle(middle, s.jet.mm / 2 * scale, class_="ins-ring"),
        _circle(middle, s.jet.mm / 2 * scale, class_=_lined("ins-fine", is_assumed=s.jet.is_assumed)),
        _circle(middle, needle, class_="ins-needle", **moving),
        _circle(middle, needle, class_=_lined("ins-fine", is_assumed=assumed), **moving),
    )
    times = scale * MILLIMETRES_IN_PIXEL
    told = _told(
        words.ROUND_NEEDLE,
        words.area_words(area, decimals=RING_DECIMALS),
        decimals=RING_DECIMALS,
        below=words.times_words(times),
        data_table=table(travel.steps(), lambda lift: ring_mm2(bike, setup, lift)),
    )
    telling = words.ring_telling(
        jet_mm=s.jet.mm, needle_mm=needle_mm(bike, setup, travel.lift), area=area, times=times
    )
    return _inset(*discs, told, title=words.ROUND_NEEDLE, described=telling, class_="ins-ring-picture")


MILLIMETRES_IN_PIXEL = 25.4 / 96.0
"""A unit is a pixel, and a pixel by definition the 96th part of an inch: so a scale is stated."""

Kind = Literal["ins-bore", "ins-ring-picture"]


def _inset(*inside: Svg, title: str, described: str, class_: Kind) -> Svg:
    return picture(
        *inside, view=(0.0, 0.0, WIDE, TALL), title=title, described=described, class_=f"ins {class_}"
    )


def _circle(x: float, radius: float, **more: Attribute) -> Svg:
    return element("circle", cx=x, cy=_MIDDLE, r=radius, **more)


def _lined(width: str, *, is_assumed: bool) -> str:
    return f"{width} assumed" if is_assumed else width


def _told(name: str, area: str, *, decimals: int, below: str = "", **moving: Attribute) -> Svg:
    """Write an inset's name and area beside it; the area moves by its table."""
    text = element(
        "text",
        area,
        x=_TEXT,
        y=_MIDDLE + 20.0 - (8.0 if below else 0.0),
        class_="ins-area",
        data_sets="text",
        data_decimals=decimals,
        data_unit=f" {words.SQUARE_MM}",
        **moving,
    )
    lift = 8.0 if below else 0.0
    lines = [element("text", name, x=_TEXT, y=_MIDDLE - 6.0 - lift, class_="ins-words"), text]
    if below:
        lines.append(element("text", below, x=_TEXT, y=_MIDDLE + 33.0, class_="ins-words"))
    return element("g", *lines)
