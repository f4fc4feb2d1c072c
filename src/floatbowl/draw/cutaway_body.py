"""The casting: bore with bell and flare, the slide's well, the towers, the cap, and what is drilled in it."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.draw.cutaway_shape import Corner, Edge, Shape, along, box, rounded, smooth
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point

BELL_FROM = 0.63
"""Where the bell begins, as a share of the way from the slide's middle to the mouth (judgement)."""
BELL_POWER = 1.8


@dataclass(frozen=True, slots=True)
class Bore:
    """The bore's roof and floor along its length."""

    s: Section

    @property
    def half(self) -> float:
        """Give half the width of the slide."""
        return self.s.slide_width.mm / 2

    @property
    def bell_from(self) -> float:
        """Give where the bell begins, x."""
        return -max(BELL_FROM * self.s.mouth_length.mm, self.half + 1.0)

    def widening(self, x: float) -> float:
        """Give how far the wall stands out from the straight bore."""
        s = self.s
        if x < self.bell_from:
            share = (self.bell_from - x) / (s.mouth_length.mm + self.bell_from)
            return float((s.mouth.mm - s.bore.mm) / 2 * max(share, 0.0) ** BELL_POWER)
        share = (x - self.half) / (s.outlet_length.mm - self.half)
        return (s.outlet.mm - s.bore.mm) / 2 * smooth(share)

    def roof(self, x: float) -> float:
        """Give the height of the roof."""
        return self.s.bore.mm + self.widening(x)

    def floor(self, x: float) -> float:
        """Give the height of the floor."""
        return -self.widening(x)


@dataclass(frozen=True, slots=True)
class Passages:
    """Heights and widths of what is drilled between mouth, jets and ports."""

    s: Section

    @property
    def _room(self) -> tuple[float, float]:
        """Give bottom and top of the metal between the bell's lip and the bowl's ceiling."""
        return self.s.ceiling.mm, -(self.s.mouth.mm - self.s.bore.mm) / 2

    @property
    def width(self) -> float:
        """Give the width of an air passage."""
        bottom, top = self._room
        return min(1.4 * self.s.wall, 0.30 * (top - bottom))

    @property
    def main_air(self) -> float:
        """Give the height of the main air passage."""
        bottom, top = self._room
        return top - 0.25 * (top - bottom) - 0.1

    @property
    def pilot_air(self) -> float:
        """Give the height of the pilot air passage."""
        bottom, top = self._room
        return bottom + 0.25 * (top - bottom) + 0.1

    @property
    def gallery(self) -> float:
        """Give the height of the pilot gallery under its ports."""
        return 0.42 * self.s.ceiling.mm

    @property
    def gallery_half(self) -> float:
        """Give half the width of gallery and riser."""
        return 0.6 * self.s.wall


def well_top(s: Section) -> float:
    """Give the height at which the cap closes the slide's well."""
    return s.full_lift.mm + s.slide_height.mm + 4.0 * s.grown


def well_wall(s: Section) -> float:
    """Give how far out the wall of the well reaches."""
    return s.slide_width.mm / 2 + 3.6 * s.wall


def cap_top(s: Section) -> float:
    """Give the height of the cap's nipple, the highest of all that stands still."""
    return well_top(s) + 2.6 * s.wall + 3.4 * s.wall


def bore_air(s: Section) -> tuple[Shape, ...]:
    """Give the air in bore and well, the ground of all."""
    bore = Bore(s)
    mouth, outlet = -s.mouth_length.mm, s.outlet_length.mm
    ring = (*along(bore.roof, mouth, outlet, 48), *along(bore.floor, outlet, mouth, 48))
    half = bore.half
    return (
        Shape(key="bore", metal="air", ring=ring, has_outline=False),
        Shape(key="well", metal="air", ring=box(-half, 0.0, half, well_top(s)), has_outline=False),
    )


def body(s: Section) -> tuple[Shape, ...]:
    """Give the casting in its four pieces; the straight bore is inked where it was measured."""
    pieces = (
        ("body over the mouth", _over_mouth(s), _roofs(s)[0]),
        ("body over the outlet", _over_outlet(s), _roofs(s)[1]),
        ("body under the mouth", _under_mouth(s), _floors(s)[0]),
        ("body under the outlet", _under_outlet(s), _floors(s)[1]),
    )
    return tuple(
        Shape(key=key, metal="body", ring=rounded(corners), edges=(edge,)) for key, corners, edge in pieces
    )


def _roofs(s: Section) -> tuple[Edge, Edge]:
    bore, high = Bore(s), s.bore.mm
    left = Edge(((bore.bell_from, high), (-bore.half, high)), s.bore.is_assumed)
    return left, Edge(((bore.half, high), (bore.half + 6.0 * s.grown, high)), s.bore.is_assumed)


def _floors(s: Section) -> tuple[Edge, Edge]:
    bore = Bore(s)
    left = Edge(((bore.bell_from, 0.0), (-s.jet_hole, 0.0)), s.bore.is_assumed)
    return left, Edge(((s.jet_hole, 0.0), (bore.half + 6.0 * s.grown, 0.0)), s.bore.is_assumed)


def _over_mouth(s: Section) -> list[Corner]:
    bore, g, w = Bore(s), s.grown, s.wall
    mouth, wall, top = s.mouth_length.mm, well_wall(s), well_top(s)
    saddle = s.bore.mm + 5.4 * w
    lip = (s.bore.mm + s.mouth.mm) / 2 + 4.6 * w
    return [
        *along(bore.roof, -mouth, -bore.half, 18),
        (-bore.half, top),
        (-wall, top),
        (-wall, s.bore.mm + 9.5 * g, 4.5 * g),
        (-wall - 5.2 * g, saddle, 4.0 * g),
        (-0.80 * mouth, saddle, 1.6 * g),
        (-0.86 * mouth, lip, 1.2 * g),
        (-mouth, lip, 0.6 * g),
    ]


def _over_outlet(s: Section) -> list[Corner]:
    bore, g, w = Bore(s), s.grown, s.wall
    outlet, wall, top = s.outlet_length.mm, well_wall(s), well_top(s)
    tube = (s.bore.mm + s.spigot.mm) / 2
    return [
        *along(bore.roof, outlet, bore.half, 18),
        (bore.half, top),
        (wall, top),
        (wall, s.bore.mm + 10.2 * g, 4.5 * g),
        (wall + 4.7 * g, tube, 3.6 * g),
        *_lip(outlet, tube, w),
    ]


def _lip(outlet: float, tube: float, w: float, *, up: float = 1.0) -> list[Corner]:
    """Give the bead that holds the rubber, at a spigot's end."""
    bead = tube + 0.9 * w * up
    return [
        (outlet - 3.4 * w, tube, 0.3 * w),
        (outlet - 2.8 * w, bead, 0.3 * w),
        (outlet - 0.9 * w, bead, 0.4 * w),
        (outlet, tube, 0.3 * w),
    ]


def _under_mouth(s: Section) -> list[Corner]:
    bore, g, w = Bore(s), s.grown, s.wall
    mouth, inside = s.mouth_length.mm, s.bowl_width.mm / 2
    outside, ceiling, gasket = inside + 2.6 * w, s.ceiling.mm, s.gasket.mm
    foot = s.jet_foot.mm - 1.6 * w
    return [
        *along(bore.floor, -mouth, -s.jet_hole, 22),
        (-s.jet_hole, foot),
        (-s.tower, foot, 0.7 * w),
        (-s.tower, ceiling, 1.8 * g),
        (-inside + 1.2 * w, ceiling, 1.2 * g),
        (-inside + 1.2 * w, gasket),
        (-outside, gasket),
        (-outside, ceiling - 0.5 * w, 0.9 * g),
        (-mouth, ceiling - 0.5 * w, 0.6 * g),
    ]


def _under_outlet(s: Section) -> list[Corner]:
    bore, g, w = Bore(s), s.grown, s.wall
    outlet, inside = s.outlet_length.mm, s.bowl_width.mm / 2
    outside, ceiling, gasket = inside + 2.6 * w, s.ceiling.mm, s.gasket.mm
    tube = (s.bore.mm - s.spigot.mm) / 2
    foot, tower = s.jet_foot.mm - 1.6 * w, pilot_tower_foot(s)
    left, right = s.pilot_x.mm - 3.3 * w, s.pilot_x.mm + 3.3 * w
    return [
        *along(bore.floor, s.jet_hole, outlet, 22),
        *reversed(_lip(outlet, tube, w, up=-1.0)),
        (outside, tube, 2.6 * g),
        (outside, gasket),
        (inside - 1.2 * w, gasket),
        (inside - 1.2 * w, ceiling, 1.2 * g),
        (right, ceiling, 0.9 * g),
        (right, tower, 0.7 * w),
        (left, tower, 0.7 * w),
        (left, ceiling, 0.6 * g),
        (s.tower, ceiling, 0.6 * g),
        (s.tower, foot, 0.7 * w),
        (s.jet_hole, foot),
    ]


def pilot_tower_foot(s: Section) -> float:
    """Give the height at which the pilot jet's tower ends."""
    return s.ceiling.mm - 7.4 * s.wall


def cap(s: Section) -> Shape:
    """Give the cap over the well."""
    w, wall, top = s.wall, well_wall(s), well_top(s)
    skirt, lid, nipple = wall + 2.5 * w, top + 2.6 * w, 3.3 * w
    corners: list[Corner] = [
        (-skirt, top - 7.5 * w),
        (-wall, top - 7.5 * w),
        (-wall, top),
        (wall, top),
        (wall, top - 7.5 * w),
        (skirt, top - 7.5 * w),
        (skirt, lid - 1.8 * w, 0.4 * w),
        (skirt - 2.0 * w, lid, 0.4 * w),
        (nipple, lid),
        (nipple, cap_top(s), 0.5 * w),
        (-nipple, cap_top(s), 0.5 * w),
        (-nipple, lid),
        (-skirt + 2.0 * w, lid, 0.4 * w),
        (-skirt, lid - 1.8 * w, 0.4 * w),
    ]
    return Shape(key="cap", metal="cap", ring=rounded(corners))


def air_passages(s: Section) -> tuple[Shape, ...]:
    """Give the drilled air ways: to the needle jet, and to the pilot gallery behind the tower's cut."""
    way, mouth, half = Passages(s), s.mouth_length.mm, Passages(s).width / 2
    hole, behind = s.jet_hole, s.jet_hole + 1.2 * s.wall
    riser = s.pilot_x.mm - way.gallery_half
    low, high = way.pilot_air - half, way.pilot_air + half
    main = box(-mouth, way.main_air - half, -hole, way.main_air + half)
    return (
        Shape(key="main air passage", metal="air", ring=main),
        Shape(key="pilot air passage", metal="air", ring=box(-mouth, low, -behind, high)),
        Shape(key="pilot air passage behind", metal="air", ring=box(behind, low, riser, high)),
    )


def hidden_passage(s: Section) -> tuple[tuple[Point, Point], ...]:
    """Give the lines of the pilot's air way where it runs behind the needle jet."""
    way, behind = Passages(s), s.jet_hole + 1.2 * s.wall
    half = way.width / 2
    heights = (way.pilot_air - half, way.pilot_air + half)
    return tuple(((-behind, y), (behind, y)) for y in heights)


def pilot_gallery(s: Section) -> Shape:
    """Give riser, gallery and ports of the pilot as one outline; each port is inked by its own measure."""
    way, ports = Passages(s), sorted((*s.bypass, s.outlet_port), key=lambda port: port.x)
    half, x = way.gallery_half, s.pilot_x.mm
    low, high = way.gallery - half, way.gallery + half
    left = min(ports[0].x - ports[0].across.mm / 2 - 0.3 * s.wall, x - half)
    right = max(ports[-1].x + ports[-1].across.mm / 2 + 0.3 * s.wall, x + half)
    foot = pilot_brass_top(s)
    combs: list[Point] = []
    edges: list[Edge] = []
    for port in ports:
        near, far = port.x - port.across.mm / 2, port.x + port.across.mm / 2
        top = Bore(s).floor(far)
        combs += [(near, high), (near, top), (far, top), (far, high)]
        edges += [Edge(((side, high), (side, top)), port.across.is_assumed) for side in (near, far)]
    ring = (
        (x - half, foot),
        (x - half, low),
        (left, low),
        (left, high),
        *combs,
        (right, high),
        (right, low),
        (x + half, low),
        (x + half, foot),
    )
    return Shape(key="pilot gallery", metal="mix", ring=ring, edges=tuple(edges))


def pilot_brass_top(s: Section) -> float:
    """Give the height of the pilot jet's upper end, inside its tower."""
    return pilot_tower_foot(s) + 3.0 * s.wall
