"""The choke, a layer of its own: the flap in the mouth, or the plunger over its own way from bowl to bore."""

from __future__ import annotations

from math import cos, radians, sin

from floatbowl.draw.cutaway_shape import Shape, box
from floatbowl.draw.section import Section

FLAP_SET_DEG = 12.0
"""How far from upright the drawn flap stands when it is shut (judgement)."""


def choke_shapes(s: Section) -> tuple[Shape, ...]:
    """Give the shapes of the choke, shown as set; a carburettor without one gives none."""
    return {"flap": _flap, "plunger": _plunger, "none": _nothing}[s.choke](s)


def _nothing(_: Section) -> tuple[Shape, ...]:
    return ()


def _flap(s: Section) -> tuple[Shape, ...]:
    """Give the flap across the mouth, turning about the middle of the bore."""
    x, y, half = -0.62 * s.mouth_length.mm - 1.5 * s.wall, s.bore.mm / 2, 0.49 * s.bore.mm
    lean, thick = radians(90.0 - FLAP_SET_DEG), 0.45 * s.wall
    way, across = (cos(lean), sin(lean)), (-sin(lean), cos(lean))
    ring = tuple(
        (x + a * half * way[0] + b * thick * across[0], y + a * half * way[1] + b * thick * across[1])
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    return (Shape(key="choke flap", metal="choke", ring=ring),)


def _plunger(s: Section) -> tuple[Shape, ...]:
    """Give the plunger, and its way from the bowl's ceiling to the bore behind the outlet port."""
    w = s.wall
    x = s.outlet_port.x + 3.2 * w
    roof, ceiling = s.bore.mm, s.ceiling.mm
    return (
        Shape(key="choke way", metal="choke", ring=box(x - 0.7 * w, ceiling, x + 0.7 * w, 0.0)),
        Shape(key="choke plunger", metal="choke", ring=box(x - 1.6 * w, roof, x + 1.6 * w, roof + 4.0 * w)),
    )
