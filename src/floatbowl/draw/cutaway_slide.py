"""What hangs on the cable: the slide in section, its spring and the cable; heights are over its underside."""

from __future__ import annotations

from floatbowl.draw.cutaway_body import well_top
from floatbowl.draw.cutaway_shape import Edge, Shape, along
from floatbowl.draw.moving import Swept
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point

LEVEL_FROM = 0.13
"""The underside is level from this share of the slide's half width towards the air, on to the engine."""
CUTAWAY_POWER = 1.25
COILS = 9


def cut_height(s: Section, x: float) -> float:
    """Give how far the underside stands above its lowest place: the cutaway, towards the air."""
    half = s.slide_width.mm / 2
    start = LEVEL_FROM * half
    if x >= start:
        return 0.0
    return float(s.cutaway.mm * min(1.0, (start - x) / (half + start)) ** CUTAWAY_POWER)


def pocket_tops(s: Section) -> tuple[float, float]:
    """Give how high the pocket over the needle jet reaches on the air side and on the engine side."""
    most = max(s.seat.mm - 0.9 * s.wall, 0.5)
    return min(s.pocket + s.hood.mm, most), min(s.pocket, most)


def pocket_half(s: Section) -> float:
    """Give half the width of that pocket."""
    return s.jet_width.mm / 2 + 0.6 * s.wall


def guide_half(s: Section) -> float:
    """Give half the width of the hole that the needle hangs in."""
    return s.needle.top.mm / 2 + 0.25 * s.wall


def boss_half(s: Section) -> float:
    """Give half the width of the seat that the clip lies on, between its bosses."""
    return min(guide_half(s) + 1.5 * s.wall, 0.5 * (s.slide_width.mm / 2 - s.slide_wall.mm))


def slide(s: Section) -> tuple[Shape, ...]:
    """Give the two halves of the slide; its underside is inked where the cutaway is known."""
    half = s.slide_width.mm / 2
    air, engine = pocket_tops(s)
    under = along(lambda x: cut_height(s, x), -half, -pocket_half(s), 16)
    level = along(lambda x: cut_height(s, x), half, pocket_half(s), 4)
    known = s.cutaway.is_assumed
    return (
        Shape(
            key="slide, air side", metal="steel", ring=_half(s, under, air, -1.0), edges=(Edge(under, known),)
        ),
        Shape(
            key="slide, engine side",
            metal="steel",
            ring=_half(s, level, engine, 1.0),
            edges=(Edge(level, known),),
        ),
    )


def _half(s: Section, under: tuple[Point, ...], pocket: float, side: float) -> tuple[Point, ...]:
    half, w, seat, top = s.slide_width.mm / 2, s.wall, s.seat.mm, s.slide_height.mm
    guide, inner = guide_half(s), half - s.slide_wall.mm
    boss = boss_half(s)
    upper = (
        (guide, pocket),
        (guide, seat),
        (boss, seat),
        (boss, seat + 1.2 * w),
        (boss + min(1.4 * w, 0.2 * inner), seat + 1.2 * w),
        (boss + min(1.4 * w, 0.2 * inner), seat),
        (inner - min(1.2 * w, 0.15 * inner), seat),
        (inner, seat + 1.0 * w),
        (inner, top),
        (half, top),
    )
    return (*under, (side * pocket_half(s), pocket), *((side * x, y) for x, y in upper))


def _coil_places(s: Section, seat: float) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Give the coils left and right of the cable for a seat of this height."""
    half = 0.69 * (s.slide_width.mm / 2 - s.slide_wall.mm)
    low, high = seat + 1.8 * s.wall, well_top(s) - 1.4 * s.wall
    step = (high - low) / (COILS - 0.5)
    left = tuple((-half, low + step * i) for i in range(COILS))
    right = tuple((half, low + step * (i + 0.5)) for i in range(COILS - 1))
    return left, right


def coils(s: Section) -> tuple[Swept, Swept]:
    """Give the spring's wire where it is cut, left and right: it is squeezed evenly as the slide rises."""
    shut, full = (_coil_places(s, lift + s.seat.mm) for lift in (s.idle_lift.mm, s.full_lift.mm))
    return Swept(shut[0], full[0]), Swept(shut[1], full[1])


def coil_backs(s: Section) -> tuple[Swept, ...]:
    """Give the spring's wire behind the cut, a stroke a coil."""
    left, right = coils(s)
    return tuple(
        Swept((left.shut[i], right.shut[i]), (left.full[i], right.full[i])) for i in range(COILS - 1)
    )


def cable(s: Section) -> Swept:
    """Give the cable from the needle's head to the cap."""
    head = max(s.needle.above_slide, s.seat.mm + s.wall) + 0.8 * s.wall
    end = (0.0, well_top(s) + 7.6 * s.wall)
    return Swept(((0.0, s.idle_lift.mm + head), end), ((0.0, s.full_lift.mm + head), end))
