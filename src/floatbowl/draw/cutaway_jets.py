"""The brass: needle jet with hood and bleed holes, main jet, pilot jet, air jets, and the fuel in them."""

from __future__ import annotations

from floatbowl.draw.cutaway_body import Passages, pilot_brass_top
from floatbowl.draw.cutaway_shape import Edge, Shape, box, mirrored
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point

RING_LONG = 7.0
"""Length of the needle jet's narrow part, mm, as the sums have it."""


def narrow_foot(s: Section) -> float:
    """Give the height at which the needle jet widens below its narrow part."""
    return max(s.jet_rise.mm - RING_LONG, 0.5 * (s.jet_rise.mm + s.jet_foot.mm))


def tube_half(s: Section) -> float:
    """Give half the width of the wide part of the needle jet's tube."""
    return s.jet.mm / 2 + 0.45 * s.wall


def bleed_room(s: Section) -> tuple[float, float]:
    """Give bottom and top of the air room round the needle jet.

    Air that joins above the ring rises round the jet to the bore; air that
    bleeds in below it is held by a collar.
    """
    way = Passages(s)
    top = way.main_air + way.width / 2 + 0.4 * s.wall
    if s.jet_kind == "primary":
        return way.main_air - way.width / 2 - 0.4 * s.wall, 0.0
    holes = bleed_heights(s)
    return min(holes[-1], way.main_air) - 1.2 * s.wall, min(top, -0.8)


def bleed_heights(s: Section) -> tuple[float, ...]:
    """Give the heights of the cross holes, the highest first, as far as the jet reaches."""
    lowest = s.jet_foot.mm + 2.2 * s.wall
    first = min(max(s.first_bleed.mm, lowest), narrow_foot(s) - 1.2 * s.wall)
    heights = [first - 2.4 * s.wall * i for i in range(3)]
    return tuple(y for y in heights if y >= lowest) or (first,)


def needle_jet(s: Section) -> tuple[Shape, ...]:
    """Give the two halves of the needle jet; the hood stands on the air side."""
    assumed = s.jet.is_assumed or s.jet_rise.is_assumed
    right = _jet_half(s, hood=0.0)
    left = mirrored(_jet_half(s, hood=s.hood.mm))
    bore = ((s.jet.mm / 2, s.jet_rise.mm), (s.jet.mm / 2, narrow_foot(s)))
    edge = Edge(bore, s.jet.is_assumed)
    back = Edge(mirrored(bore), s.jet.is_assumed)
    return (
        Shape(key="needle jet, air side", metal="brass", ring=left, is_assumed=assumed, edges=(back,)),
        Shape(key="needle jet, engine side", metal="brass", ring=right, is_assumed=assumed, edges=(edge,)),
    )


def _jet_half(s: Section, *, hood: float) -> tuple[Point, ...]:
    inner, outer, hole, rise = s.jet.mm / 2, s.jet_width.mm / 2, s.jet_hole, s.jet_rise.mm
    tube, foot, step = tube_half(s), s.jet_foot.mm, narrow_foot(s)
    low, high = bleed_room(s)
    collar = () if s.jet_kind == "primary" else ((hole, high), (hole, 0.0))
    step_in = inner + 0.3 * s.wall
    lip = ((step_in, rise + hood), (step_in, rise)) if hood else ()
    return (
        (outer, rise + hood),
        *lip,
        (inner, rise),
        (inner, step),
        (tube, step - 0.6 * s.wall),
        (tube, foot),
        (hole, foot),
        (hole, low),
        (outer, low),
        (outer, high),
        *collar,
        (outer, 0.0),
    )


def bleed_holes(s: Section) -> tuple[Shape, ...]:
    """Give the cross holes through which bleed air joins the fuel; none where it joins above the ring."""
    if s.jet_kind == "primary":
        return ()
    half, tube, outer = 0.32 * s.wall, tube_half(s), s.jet_width.mm / 2
    right = [box(tube, y - half, outer, y + half) for y in bleed_heights(s)]
    rings = [ring for one in right for ring in (one, mirrored(one))]
    assumed = s.first_bleed.is_assumed
    return tuple(Shape(key="bleed hole", metal="air", ring=ring, is_assumed=assumed) for ring in rings)


def bleed_annulus(s: Section) -> tuple[Shape, ...]:
    """Give the room round the needle jet."""
    low, high = bleed_room(s)
    right = box(s.jet_width.mm / 2, low, s.jet_hole, high)
    return tuple(Shape(key="bleed room", metal="air", ring=ring) for ring in (right, mirrored(right)))


def _main_width(s: Section) -> float:
    return max(3.0 * s.wall, tube_half(s) + 0.7 * s.wall, s.main_jet.mm / 2 + 1.0 * s.wall)


def main_jet(s: Section) -> tuple[Shape, ...]:
    """Give the main jet and the holder that carries it under the needle jet."""
    jet, holder = _main_half(s), _holder_half(s)
    assumed = s.main_jet.is_assumed
    return (
        *(Shape(key="holder", metal="brass", ring=ring) for ring in (holder, mirrored(holder))),
        *(Shape(key="main jet", metal="brass", ring=r, is_assumed=assumed) for r in (jet, mirrored(jet))),
    )


def _main_half(s: Section) -> tuple[Point, ...]:
    w, top, foot = s.wall, s.main_jet_top.mm, s.main_jet_foot.mm
    half, wide = s.main_jet.mm / 2, _main_width(s)
    mouth = max(0.5 * wide, half + 0.3 * w)
    return (
        (half, top - 1.2 * w),
        (mouth, top),
        (wide, top),
        (wide, top - 4.4 * w),
        (wide + 0.6 * w, top - 4.4 * w),
        (wide + 0.6 * w, foot),
        (mouth - 0.2 * w, foot),
        (half, foot + 1.2 * w),
    )


def _holder_half(s: Section) -> tuple[Point, ...]:
    w, tube, top, foot, wide = s.wall, tube_half(s), s.main_jet_top.mm, s.jet_foot.mm, _main_width(s)
    outer = max(wide + 1.5 * w, s.jet_hole + 1.2 * w)
    return (
        (tube, foot),
        (tube, top),
        (wide, top),
        (wide, top - 2.2 * w),
        (outer, top - 2.2 * w),
        (outer, foot - 1.6 * w),
        (s.jet_hole, foot - 1.6 * w),
        (s.jet_hole, foot),
    )


def pilot_jet(s: Section) -> tuple[Shape, ...]:
    """Give the two halves of the pilot jet in its tower."""
    w, x, half, top, foot = s.wall, s.pilot_x.mm, s.pilot_jet.mm / 2, pilot_brass_top(s), s.pilot_foot.mm
    well, neck = max(0.8 * w, half + 0.2 * w), top - 4.6 * w
    right = (
        (x + half, neck - 1.4 * w),
        (x + well, neck),
        (x + well, top),
        (x + 2.2 * w, top),
        (x + 2.2 * w, neck + 0.4 * w),
        (x + max(1.8 * w, well + 0.5 * w), neck - 0.4 * w),
        (x + max(1.8 * w, well + 0.5 * w), foot),
        (x + max(0.9 * w, half + 0.2 * w), foot),
        (x + half, foot + 1.2 * w),
    )
    assumed = s.pilot_jet.is_assumed
    return tuple(
        Shape(key="pilot jet", metal="brass", ring=ring, is_assumed=assumed)
        for ring in (right, mirrored(right, about=x))
    )


def air_jets(s: Section) -> tuple[Shape, ...]:
    """Give the two air jets at the mouth's lip, each inked by its own measure."""
    way = Passages(s)
    return (
        *_air_jet(s, way.main_air, s.main_air.mm, is_assumed=s.main_air.is_assumed, key="main air jet"),
        *_air_jet(s, way.pilot_air, s.pilot_air.mm, is_assumed=s.pilot_air.is_assumed, key="pilot air jet"),
    )


def _air_jet(s: Section, y: float, bore: float, *, is_assumed: bool, key: str) -> tuple[Shape, ...]:
    way, w, mouth = Passages(s), s.wall, -s.mouth_length.mm
    outer = min(0.47 * (way.main_air - way.pilot_air), way.width / 2 + 0.6 * w)
    hole = min(bore / 2, outer - 0.15)
    wide = min(max(way.width / 2, hole + 0.05), outer - 0.1)
    rings = [
        (
            (mouth, y + side * hole),
            (mouth, y + side * outer),
            (mouth + 4.0 * w, y + side * outer),
            (mouth + 4.0 * w, y + side * wide),
            (mouth + 1.4 * w, y + side * hole),
        )
        for side in (1.0, -1.0)
    ]
    return tuple(Shape(key=key, metal="brass", ring=ring, is_assumed=is_assumed) for ring in rings)


def fuel_columns(s: Section) -> tuple[Shape, ...]:
    """Give the fuel that stands in needle jet and pilot jet."""
    return (
        Shape(key="fuel in the needle jet", metal="fuel", ring=_both(_main_column(s)), has_outline=False),
        Shape(
            key="fuel in the pilot jet",
            metal="fuel",
            ring=_both(_pilot_column(s), about=s.pilot_x.mm),
            has_outline=False,
        ),
    )


def _both(right: tuple[Point, ...], *, about: float = 0.0) -> tuple[Point, ...]:
    return (*right, *reversed(mirrored(right, about=about)))


def _main_column(s: Section) -> tuple[Point, ...]:
    w, inner, tube, top, foot = s.wall, s.jet.mm / 2, tube_half(s), s.main_jet_top.mm, s.main_jet_foot.mm
    half, step = s.main_jet.mm / 2, narrow_foot(s)
    mouth = max(0.5 * _main_width(s), half + 0.3 * w)
    return (
        (inner, s.jet_rise.mm),
        (inner, step),
        (tube, step - 0.6 * w),
        (tube, top),
        (mouth, top),
        (half, top - 1.2 * w),
        (half, foot + 1.2 * w),
        (mouth - 0.2 * w, foot),
    )


def _pilot_column(s: Section) -> tuple[Point, ...]:
    w, x, half, top, foot = s.wall, s.pilot_x.mm, s.pilot_jet.mm / 2, pilot_brass_top(s), s.pilot_foot.mm
    well, neck = max(0.8 * w, half + 0.2 * w), top - 4.6 * w
    return (
        (x + well, top),
        (x + well, neck),
        (x + half, neck - 1.4 * w),
        (x + half, foot + 1.2 * w),
        (x + max(0.9 * w, half + 0.2 * w), foot),
    )
