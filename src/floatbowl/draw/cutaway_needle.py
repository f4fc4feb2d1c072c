"""The needle with its tapers and grooves, its clip and washer. Heights count from the slide's underside."""

from __future__ import annotations

from itertools import pairwise

from floatbowl.draw.cutaway_shape import Edge, Shape, box, mirrored
from floatbowl.draw.cutaway_slide import boss_half
from floatbowl.draw.section import NeedleSize, Section
from floatbowl.draw.svg import Point

TIP_CHAMFER = 0.7
"""Length of the cone at the needle's tip, mm (judgement)."""


def groove_height(needle: NeedleSize) -> float:
    """Give how high a groove is cut: as high as the clip is thick, less where they stand close."""
    return min(0.5, 0.55 * needle.pitch.mm)


def clip_height(needle: NeedleSize) -> float:
    """Give the height of the clip's underside above the slide's underside."""
    return needle.above_slide - needle.groove(needle.clip)


def needle(s: Section) -> Shape:
    """Give the needle: a measured shank is inked, and so is a head whose grooves were measured."""
    one = s.needle
    right = (*_head(one), *_shank(one))
    shank = _shank(one)
    assumed = one.is_shape_assumed
    head = (*reversed(_head(one)),)
    edges = [Edge(side, assumed) for side in (shank, mirrored(shank))]
    edges += [Edge(side, one.are_grooves_assumed) for side in (head, mirrored(head))]
    edges.append(Edge((head[-1], mirrored(head)[-1]), one.are_grooves_assumed))
    return Shape(
        key="needle",
        metal="needle",
        ring=(*right, *reversed(mirrored(right))),
        edges=tuple(edges),
        has_outline=False,
    )


def _head(one: NeedleSize) -> tuple[Point, ...]:
    """Give the right side of the head from its blunt end down past the last groove."""
    half, top = one.top.mm / 2, one.above_slide
    deep, high = 0.66 * half, groove_height(one)
    points = [(0.72 * half, top), (half, top - min(0.3, 0.5 * one.first_groove.mm))]
    for number in range(1, one.grooves + 1):
        low = top - one.groove(number)
        points += [(half, low + high), (deep, low + high), (deep, low), (half, low)]
    return tuple(points)


def _shank(one: NeedleSize) -> tuple[Point, ...]:
    """Give the right side of the shank from the last groove to the tip."""
    top, last = one.above_slide, one.groove(one.grooves)
    points = [(one.top.mm / 2, top - last)]
    points += [(d.mm / 2, top - x.mm) for x, d in one.stations if x.mm > last]
    tip, end = one.tip.mm / 2, top - one.length.mm
    cone = min(TIP_CHAMFER, 0.5 * (one.length.mm - last))
    chamfer = max(end + cone, min(points[-1][1], end + cone))
    kept = [point for point in points if point[1] > chamfer]
    return (*kept, (_half_at(one, top - chamfer), chamfer), (0.35 * tip, end), (0.0, end))


def _half_at(one: NeedleSize, along: float) -> float:
    """Give half the needle's diameter at a distance from its blunt end."""
    for (x, d), (to_x, to_d) in pairwise(one.stations):
        if x.mm < along <= to_x.mm:
            return (d.mm + (along - x.mm) / (to_x.mm - x.mm) * (to_d.mm - d.mm)) / 2
    return (one.top if along <= one.stations[0][0].mm else one.tip).mm / 2


def clip(s: Section) -> tuple[Shape, ...]:
    """Give the clip in its groove, on its seat, and the washer under it."""
    one, low = s.needle, clip_height(s.needle)
    half = one.top.mm / 2
    wide = boss_half(s) - 0.15 * s.wall
    plate = box(0.66 * half, low, wide, low + groove_height(one))
    shapes = [Shape(key="clip", metal="plate", ring=r, has_outline=False) for r in (plate, mirrored(plate))]
    if one.washer > 0.0:
        ring = box(half + 0.05, low - one.washer, wide, low)
        shapes += [
            Shape(key="washer", metal="brass", ring=r, is_assumed=False) for r in (ring, mirrored(ring))
        ]
    return tuple(shapes)
