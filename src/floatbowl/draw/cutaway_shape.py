"""Shapes of the cut-away as plain polygons in millimetres, and how they reach the paper.

A shape knows its outline and which stretches of it are inked or pencilled;
tests look at the same polygons that are drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from floatbowl.draw.svg import Point, Svg, element, line_path

Metal = Literal["body", "steel", "brass", "needle", "fuel", "air", "mix", "ghost", "plate", "cap", "choke"]

HATCHINGS: dict[Metal, str] = {
    "body": "body",
    "cap": "steel",
    "steel": "steel",
    "brass": "brass",
    "choke": "choke",
}
"""The pattern over each metal that is cut."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch of an outline that is surer, or less sure, than the rest."""

    points: tuple[Point, ...]
    is_assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A part in section: its closed outline, what it is made of, and whether its outline is assumed.

    ``edges`` are drawn over the outline; where they stand alone, ``has_outline`` is off.
    """

    key: str
    metal: Metal
    ring: tuple[Point, ...]
    is_assumed: bool = True
    edges: tuple[Edge, ...] = ()
    has_outline: bool = True


@dataclass(frozen=True, slots=True)
class Frame:
    """The window on the drawing: its sides in mm, and units for a millimetre."""

    left: float
    bottom: float
    right: float
    top: float
    scale: float

    def place(self, point: Point) -> Point:
        """Give a point's place on paper: y turns over here, once."""
        x, y = point
        return (x - self.left) * self.scale, (self.top - y) * self.scale

    @property
    def width(self) -> float:
        """Give the width in units."""
        return (self.right - self.left) * self.scale

    @property
    def height(self) -> float:
        """Give the height in units."""
        return (self.top - self.bottom) * self.scale


def drawn(shape: Shape, frame: Frame) -> Svg:
    """Draw a shape: its ground, its hatching with its outline, then the stretches that differ."""
    d = line_path([frame.place(point) for point in shape.ring], is_closed=True)
    line = line_class(shape.metal, is_assumed=shape.is_assumed) if shape.has_outline else ""
    ground = f"cut-{shape.metal}"
    if shape.metal in HATCHINGS:
        hatching = f"url(#pat-{HATCHINGS[shape.metal]})"
        layers = [element("path", d=d, class_=ground), element("path", d=d, fill=hatching, class_=line)]
    else:
        layers = [element("path", d=d, class_=f"{line} {ground}".strip())]
    layers += [_edge(edge, shape.metal, frame) for edge in shape.edges]
    return element("g", *layers, data_part=shape.key)


def _edge(edge: Edge, metal: Metal, frame: Frame) -> Svg:
    d = line_path([frame.place(point) for point in edge.points])
    return element("path", d=d, class_=f"{line_class(metal, is_assumed=edge.is_assumed)} cut-open")


def line_class(metal: Metal, *, is_assumed: bool) -> str:
    """Give the classes of a part's line: wide for castings, narrow for brass, dashed where assumed."""
    width = "cut-fine" if metal in {"brass", "air", "mix", "ghost", "choke"} else "cut-edge"
    return f"{width} assumed" if is_assumed else width


def mirrored(points: Iterable[Point], *, about: float = 0.0) -> tuple[Point, ...]:
    """Turn points over about an upright line."""
    return tuple((2.0 * about - x, y) for x, y in points)


def moved(points: Iterable[Point], *, up: float) -> tuple[Point, ...]:
    """Lift points."""
    return tuple((x, y + up) for x, y in points)


def box(left: float, bottom: float, right: float, top: float) -> tuple[Point, ...]:
    """Give the corners of a rectangle."""
    return (left, bottom), (right, bottom), (right, top), (left, top)


def smooth(share: float) -> float:
    """Ease from 0 to 1 with level ends."""
    t = min(1.0, max(0.0, share))
    return t * t * (3.0 - 2.0 * t)


def along(line: Callable[[float], float], start: float, end: float, count: int) -> tuple[Point, ...]:
    """Take points along a line y(x), both ends among them."""
    places = [start + (end - start) * i / count for i in range(count + 1)]
    return tuple((x, line(x)) for x in places)


Corner = tuple[float, float] | tuple[float, float, float]

_FILLET_POINTS = 5


def rounded(corners: Sequence[Corner]) -> tuple[Point, ...]:
    """Round the corners of a closed outline; a third number is that corner's radius."""
    count = len(corners)
    points: list[Point] = []
    for i, corner in enumerate(corners):
        points += _fillet(_bare(corners[i - 1]), corner, _bare(corners[(i + 1) % count]))
    return tuple(points)


def _bare(corner: Corner) -> Point:
    return corner[0], corner[1]


def _fillet(before: Point, corner: Corner, after: Point) -> list[Point]:
    here = _bare(corner)
    into, out = hypot(before[0] - here[0], before[1] - here[1]), hypot(after[0] - here[0], after[1] - here[1])
    wanted = corner[2] if len(corner) > 2 else 0.0  # noqa: PLR2004  (x, y, and perhaps a radius)
    radius = min(wanted, 0.48 * into, 0.48 * out)
    if radius <= 0.0:
        return [here]
    start = _towards(here, before, radius / into)
    end = _towards(here, after, radius / out)
    return [_curve(start, here, end, i / _FILLET_POINTS) for i in range(_FILLET_POINTS + 1)]


def _towards(here: Point, there: Point, share: float) -> Point:
    return here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])


def _curve(start: Point, middle: Point, end: Point, share: float) -> Point:
    return _towards(_towards(start, middle, share), _towards(middle, end, share), share)
