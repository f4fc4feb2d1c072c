"""One part of the carburettor in ink, the rest pencilled: the drawing on a card of the strip sheet.

The same shapes as in the cut-away, so that the sheet teaches where a part sits
while it asks for it. What is beside the carburettor (the inlet rubber, a vent's
hose, the crankcase) is drawn as a sign: nobody measures its shape.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import hypot

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw import cutaway_body as casting
from floatbowl.draw import cutaway_bowl as bowl
from floatbowl.draw.cutaway import frame_of, moving_shapes, still_shapes
from floatbowl.draw.cutaway_choke import choke_shapes
from floatbowl.draw.cutaway_shape import Frame, Shape, box, drawn
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Point, Svg, element, line_path, picture, plain
from floatbowl.words.parts import alone_words

STYLE = (
    ".lone-rest [class^='cut-']{fill:none}.lone-rest [fill^='url']{fill:none}"
    ".lone-rest .cut-edge,.lone-rest .cut-fine,.lone-rest .cut-edge.assumed,.lone-rest .cut-fine.assumed"
    "{stroke:var(--pencil);stroke-width:calc(1px*var(--thick));stroke-dasharray:none;opacity:.8}"
    ".lone-ink .cut-edge,.lone-ink .cut-fine{stroke-width:calc(2.2px*var(--thick))}"
    ".lone-ink .cut-edge.assumed,.lone-ink .cut-fine.assumed{stroke:var(--ink);stroke-dasharray:5 3;"
    "stroke-width:calc(1.9px*var(--thick))}"
    ".lone-ink .cut-ghost{fill:var(--care);fill-opacity:1}.lone-ink .cut-needle{fill:var(--needle-field)}"
    ".lone-beside{fill:var(--steel);stroke:var(--ink);stroke-width:calc(2.2px*var(--thick));stroke-linejoin:round}"
    ".lone-hose{fill:none;stroke:var(--ink);stroke-linecap:round;stroke-linejoin:round}"
    ".lone-hose-core{fill:none;stroke:var(--card);stroke-linecap:round;stroke-linejoin:round}"
    ".lone-ring{fill:none;stroke:var(--ink);stroke-width:calc(1.3px*var(--thick))}"
)
"""Inks of the card's drawing; what nobody measured of the inked part stays dashed."""

SHOWN_OPEN = 0.45
"""How far the slide is drawn open, as a share of its travel, so that needle and jet are seen apart."""
_BESIDE_MM = 16.0
"""How much is shown on the engine's side beyond the outlet, at a bore of 26 mm."""
_SPIGOT = 0.72
"""From this share of the outlet's length on, the rubber sits on it."""

INKED: dict[str, tuple[str, ...]] = {
    "body": ("body", "bowl"),
    "inlet": (),
    "vent": (),
    "choke": ("choke",),
    "slide": ("slide",),
    "needle": ("needle", "clip", "washer"),
    "float": ("float",),
    "float valve": ("float valve", "float valve seat"),
    "main jet": ("main jet",),
    "needle jet": ("needle jet", "bleed hole"),
    "main air jet": ("main air jet", "main air passage"),
    "pilot jet": ("pilot jet",),
    "pilot air jet": ("pilot air jet", "pilot air passage"),
    "bypass": ("pilot gallery",),
    "screw": (),
    "crankcase": (),
}
"""Which shapes of the cut-away each part of the strip sheet is; a name before a comma counts."""

RINGED: dict[str, tuple[tuple[str, ...], ...]] = {
    "choke": (("choke plunger",), ("choke flap",)),
    "float valve": (("float valve", "float valve seat"),),
    "main air jet": (("main air jet",),),
    "pilot air jet": (("pilot air jet",),),
    "bypass": (("pilot gallery",),),
}
"""Small places that are easily missed: a ring is drawn round the shapes of each."""
RING_CLEAR = 7.0
"""Units between a small part and the ring round it."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What the drawing is made from."""

    section: Section
    frame: Frame
    lift: float
    part: str


def part_in_ink(bike: Bike, setup: Setup, part: str) -> Svg:
    """Draw the carburettor with one part of the strip sheet inked, ``part`` as its cards name it."""
    s, travel = set_out(bike, setup)
    whole = frame_of(s, "whole", margin=8.0)
    beside = _BESIDE_MM * s.grown
    frame = Frame(whole.left, whole.bottom, whole.right + beside, whole.top, whole.scale * 0.8)
    sheet = _Sheet(s, frame, travel.shut + SHOWN_OPEN * (travel.full - travel.shut), part)
    rising = element(
        "g",
        *_layers(sheet, moving_shapes(s)),
        transform=f"translate(0 {plain(-sheet.lift * frame.scale)})",
    )
    return picture(
        *_layers(sheet, _standing(s)),
        rising,
        *_rings(sheet),
        *_BESIDE.get(part, _nothing)(sheet),
        view=(0.0, 0.0, frame.width, frame.height),
        title=alone_words(part),
        class_="lone",
    )


def _standing(s: Section) -> tuple[Shape, ...]:
    fuel_and_float = (bowl.bowl_air(s), bowl.fuel(s), bowl.float_ghost(s), *bowl.float_valve(s))
    return (*casting.bore_air(s), *fuel_and_float, *still_shapes(s), *choke_shapes(s))


def _layers(sheet: _Sheet, shapes: tuple[Shape, ...]) -> Iterator[Svg]:
    """Draw the shapes in their order, those of the part last, so that no pencil lies over the ink."""
    inked = [shape for shape in shapes if _is_inked(shape, sheet.part)]
    rest = [shape for shape in shapes if shape not in inked]
    yield element("g", *(drawn(shape, sheet.frame) for shape in rest), class_="lone-rest")
    yield element("g", *(drawn(shape, sheet.frame) for shape in inked), class_="lone-ink")


def _is_inked(shape: Shape, part: str) -> bool:
    name = shape.key.partition(",")[0]
    if part in {"body", "choke"}:
        return name.startswith(INKED[part])
    return name in INKED[part]


def _rings(sheet: _Sheet) -> Iterator[Svg]:
    """Draw a ring round each place of a part that is easily missed."""
    shapes = _standing(sheet.section)
    for keys in RINGED.get(sheet.part, ()):
        points = [sheet.frame.place(point) for shape in shapes if shape.key in keys for point in shape.ring]
        if not points:
            continue  # one kind of choke has a plunger, the other a flap
        left, right = min(x for x, _ in points), max(x for x, _ in points)
        top, foot = min(y for _, y in points), max(y for _, y in points)
        radius = hypot(right - left, foot - top) / 2 + RING_CLEAR
        yield element("circle", cx=(left + right) / 2, cy=(top + foot) / 2, r=radius, class_="lone-ring")


# --- what is beside the shapes -----------------------------------------------------------------------------


def _nothing(_: _Sheet) -> Iterator[Svg]:
    yield from ()


def _closed(sheet: _Sheet, ring: tuple[Point, ...], class_: str = "lone-beside") -> Svg:
    places = [sheet.frame.place(point) for point in ring]
    return element("path", d=line_path(places, is_closed=True), class_=class_)


def _rubber(sheet: _Sheet) -> Iterator[Svg]:
    """Draw the inlet rubber over the outlet, cut, with its two clamps."""
    s = sheet.section
    left, right = s.outlet_length.mm * _SPIGOT, s.outlet_length.mm + 0.8 * _BESIDE_MM * s.grown
    thick, clamp = 1.6 * s.wall, 3.0 * s.grown
    for edge, out in ((s.bore.mm + 1.35 * s.wall, 1.0), (-1.35 * s.wall, -1.0)):
        low, high = sorted((edge, edge + out * thick))
        yield _closed(sheet, box(left, low, right, high))
        for x in (left + clamp, right - 2.0 * clamp):
            low, high = sorted((edge + out * thick, edge + out * (thick + 0.6 * s.wall)))
            yield _closed(sheet, box(x, low, x + clamp, high))


def _hose(sheet: _Sheet) -> Iterator[Svg]:
    """Draw the vent's hose out of the bowl's air and down."""
    s = sheet.section
    top, half = bowl.fuel_top(s), s.bowl_width.mm / 2
    way = [(-half + 3.0 * s.wall, top + 1.2 * s.wall), (-half - 2.5 * s.wall, top + 1.2 * s.wall)]
    way += [(-half - 4.0 * s.wall, top - 1.0 * s.wall), (-half - 4.0 * s.wall, bowl.bowl_bottom(s))]
    d = line_path([sheet.frame.place(point) for point in way])
    wide = 1.5 * s.wall * sheet.frame.scale
    yield element("path", d=d, class_="lone-hose", stroke_width=wide)
    yield element("path", d=d, class_="lone-hose-core", stroke_width=wide - 4.0)


def _case(sheet: _Sheet) -> Iterator[Svg]:
    """Draw a stretch of the crankcase with its shaft and seal beyond the rubber."""
    s = sheet.section
    yield from _rubber(sheet)
    x, y = sheet.frame.place((sheet.frame.right, s.bore.mm / 2 - 1.1 * s.bore.mm))
    for share in (0.82, 0.34, 0.2):
        radius = share * s.bore.mm * sheet.frame.scale
        yield element("circle", cx=x - 0.2 * radius, cy=y, r=radius, class_="lone-beside")


def _screw(sheet: _Sheet) -> Iterator[Svg]:
    """Draw the mixture screw end on, its slot askew."""
    s, way = sheet.section, casting.Passages(sheet.section)
    x, y = sheet.frame.place((s.screw_x.mm, way.pilot_air if s.screw == "air" else way.gallery))
    radius = 1.8 * s.wall * sheet.frame.scale
    slot = line_path([(x - 0.7 * radius, y + 0.4 * radius), (x + 0.7 * radius, y - 0.4 * radius)])
    disc = element("circle", cx=x, cy=y, r=radius, class_="cut-screw")
    yield element("g", disc, element("path", d=slot, class_="cut-slot"))
    yield element("circle", cx=x, cy=y, r=radius + RING_CLEAR, class_="lone-ring")


_BESIDE: dict[str, Callable[[_Sheet], Iterator[Svg]]] = {
    "inlet": _rubber,
    "vent": _hose,
    "crankcase": _case,
    "screw": _screw,
}
