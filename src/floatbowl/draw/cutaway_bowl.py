"""The bowl: its wall, the fuel in it to its level, the float and its valve behind the cut."""

from __future__ import annotations

from floatbowl.draw.cutaway_shape import Corner, Shape, box, mirrored, rounded
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point


def bowl(s: Section) -> Shape:
    """Give the bowl's wall with its drain, cut through the middle."""
    w, inside, floor, rim = s.wall, s.bowl_width.mm / 2, s.bowl_floor.mm, _rim(s)
    outside, low = inside + 2.6 * w, floor - 2.6 * w
    right: list[Corner] = [
        (inside, rim),
        (outside, rim),
        (outside, low, 8.0 * s.grown),
        (6.0 * w, low),
        (6.0 * w, low - 1.0 * w, 0.3 * w),
    ]
    left: list[Corner] = [(-corner[0], *corner[1:]) for corner in reversed(right)]
    return Shape(key="bowl", metal="body", ring=(*rounded([*right, *left, *_inner(s)]),))


def _rim(s: Section) -> float:
    """Give the top of the bowl's wall, under the gasket."""
    return s.gasket.mm - 0.5 * s.wall


def _inner(s: Section) -> list[Corner]:
    """Give the inside of the bowl from the left rim to the right one, with the drain's well."""
    w, inside, floor = s.wall, s.bowl_width.mm / 2, s.bowl_floor.mm
    return [
        (-inside, _rim(s)),
        (-inside, floor, 5.6 * s.grown),
        (-4.2 * w, floor),
        (-4.2 * w, floor - 1.8 * w),
        (4.2 * w, floor - 1.8 * w),
        (4.2 * w, floor),
        (inside, floor, 5.6 * s.grown),
        (inside, _rim(s)),
    ]


def bowl_bottom(s: Section) -> float:
    """Give the lowest place of the whole carburettor."""
    return s.bowl_floor.mm - 3.6 * s.wall


def bowl_air(s: Section) -> Shape:
    """Give the room inside bowl and ceiling."""
    inside, w = s.bowl_width.mm / 2, s.wall
    lid: list[Corner] = [
        (inside - 1.2 * w, s.gasket.mm),
        (inside - 1.2 * w, s.ceiling.mm),
        (-inside + 1.2 * w, s.ceiling.mm),
        (-inside + 1.2 * w, s.gasket.mm),
    ]
    return Shape(key="bowl air", metal="air", ring=rounded([*_inner(s), *lid]), has_outline=False)


def fuel_top(s: Section) -> float:
    """Give the height to which the fuel is drawn: its level, as far as the bowl reaches."""
    return min(max(s.fuel_level.mm, s.bowl_floor.mm + 1.0), s.ceiling.mm)


def fuel(s: Section) -> Shape:
    """Give the fuel that stands in the bowl."""
    ring = (*_side(s, fuel_top(s)), *_deep(s), *mirrored(reversed(_side(s, fuel_top(s)))))
    return Shape(key="fuel", metal="fuel", ring=tuple(ring), has_outline=False)


def _side(s: Section, level: float) -> tuple[Point, ...]:
    """Give the fuel's left edge from its surface down: along the lid's pocket, then along the bowl."""
    inside, w, gasket = s.bowl_width.mm / 2, s.wall, s.gasket.mm
    if level <= _rim(s):
        return ((-inside, level),)
    pocket = -inside + 1.2 * w
    return (pocket, level), (pocket, min(level, gasket)), (-inside, min(level, gasket)), (-inside, _rim(s))


def _deep(s: Section) -> tuple[Point, ...]:
    """Give the inside of the bowl below its rim; the rounded corners are the wall's own."""
    points = rounded([*_inner(s), (0.0, _rim(s) + 1.0)])
    return points[1:-2]


def gasket(s: Section) -> tuple[Shape, ...]:
    """Give the gasket between body and bowl."""
    inside, w, top = s.bowl_width.mm / 2, s.wall, s.gasket.mm
    right = box(inside, top - 0.5 * w, inside + 2.6 * w, top)
    return tuple(
        Shape(key="gasket", metal="plate", ring=ring, has_outline=False) for ring in (right, mirrored(right))
    )


def float_ghost(s: Section) -> Shape:
    """Give the float behind the cut: its lower edge stands the float height under the gasket face."""
    w, inside = s.wall, s.bowl_width.mm / 2
    left, right = -inside + 2.0 * w, -s.tower - 1.8 * w
    low = max(s.gasket.mm - s.float_height.mm, s.bowl_floor.mm + 0.6)
    top = max(min(fuel_top(s) + 2.0 * w, s.ceiling.mm - 0.6 * w), low + 1.0)
    corners: list[Corner] = [
        (left, low, 2.2 * w),
        (right, low, 2.2 * w),
        (right, top - 0.8 * w, 1.4 * w),
        (left, top, 1.4 * w),
    ]
    return Shape(key="float", metal="ghost", ring=rounded(corners), is_assumed=False)


def float_valve(s: Section) -> tuple[Shape, ...]:
    """Give the float valve's seat and needle, behind the cut."""
    w, top = s.wall, s.ceiling.mm
    x = (-s.bowl_width.mm / 2 - s.tower) / 2 - 1.0 * w
    seat = box(x - 2.0 * w, top - 2.6 * w, x + 2.0 * w, top)
    cone = (
        (x - 0.9 * w, top - 4.2 * w),
        (x + 0.9 * w, top - 4.2 * w),
        (x + 0.9 * w, top - 1.8 * w),
        (x, top - 0.5 * w),
        (x - 0.9 * w, top - 1.8 * w),
    )
    return (
        Shape(key="float valve seat", metal="ghost", ring=seat),
        Shape(key="float valve", metal="ghost", ring=cone),
    )
