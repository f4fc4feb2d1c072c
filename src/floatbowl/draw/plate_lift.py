"""Plate 1: the cut-away half open with its air and fuel, and how high the air would lift fuel."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.bike.rung import RUNGS
from floatbowl.draw.cutaway_bowl import bowl_bottom, fuel_top
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.marks import arrow_head, box, line, text
from floatbowl.draw.plate_window import window
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Point, Svg, element, picture
from floatbowl.jobs import WallChart

STYLE = ".lift-bar{fill:var(--fuel);stroke:var(--fuel-line);stroke-width:calc(1.6px*var(--thick))}"

WIDE, TALL = 680.0, 500.0
_SHOWN_WIDE = 436.0
_TOP = 4.0
_LEFT, _FOOT, _HIGH, _STEP, _BAR = 468.0, 446.0, 60.0, 36.0, 24.0
_TALLEST_MM = 130.0
"""Height of fuel that the bars show at least, so that weak pulls look weak."""


def lift_plate(chart: WallChart) -> Svg:
    """Draw both halves."""
    belief = chart.card.stand.belief
    section, travel = set_out(belief.bike, belief.setup, belief=belief)
    frame = _frame(section)
    half = travel.at(0.5)
    return picture(
        window(belief, frame, lift_mm=half, at=(2.0, _TOP)),
        *_presses(section, frame),
        *_bars(chart.plates.pull_mm, chart.plates.lip_mm),
        view=(0.0, 0.0, WIDE, TALL),
        title="How air lifts fuel",
        described=_told(chart.plates.pull_mm, chart.plates.lip_mm),
        class_="plate",
    )


def _told(pulls: Sequence[float], lip: float) -> str:
    told = [f"{at.value}: {pull:.0f} mm" for at, pull in zip(RUNGS, pulls, strict=True)]
    return f"The air's pull would lift fuel, {', '.join(told)}. It must climb {lip:.0f} mm to come out."


def _frame(s: Section) -> Frame:
    left, right = -s.mouth_length.mm + 2.0 * s.grown, s.outlet_length.mm - 8.0 * s.grown
    bottom = bowl_bottom(s) - 0.5
    tall = max((TALL - 2.0 * _TOP) / _SHOWN_WIDE * (right - left), s.bore.mm + 6.0 * s.wall - bottom)
    scale = (TALL - 2.0 * _TOP) / tall
    beside = (_SHOWN_WIDE / scale - (right - left)) / 2.0
    return Frame(left - beside, bottom, right + beside, bottom + tall, scale)


def _presses(s: Section, frame: Frame) -> list[Svg]:
    """Draw the weight of the air on the fuel, and the lesser one where the fuel comes out."""
    surface = fuel_top(s)
    left, right = (side * s.bowl_width.mm for side in (-0.40, 0.40))
    high, low = surface + 4.2 * s.wall, surface + 0.3
    drawn = [
        _arrow(frame.place((x, high)), frame.place((x, low)), wide=True)
        for x in (left, left + 0.08 * s.bowl_width.mm, right)
    ]
    rise, beside = s.jet_rise.mm, 0.62 * s.jet.mm
    drawn.append(
        _arrow(frame.place((beside, rise + 0.4)), frame.place((beside + 2.6 * s.wall, rise + 3.4)), wide=True)
    )
    over, under = frame.place((left, surface - 2.6)), frame.place((beside + 3.4 * s.wall, rise + 5.2))
    return [
        element("g", *drawn, transform=f"translate(2 {_TOP:g})"),
        text(over[0] - 2, over[1] + _TOP, "air presses", class_="mk-strong mk-halo"),
        text(under[0], under[1] + _TOP, "and presses less here", class_="mk-strong mk-halo"),
    ]


def _arrow(start: Point, end: Point, *, wide: bool) -> Svg:
    (x, y), (to_x, to_y) = start, end
    long = ((to_x - x) ** 2 + (to_y - y) ** 2) ** 0.5
    along = ((to_x - x) / long, (to_y - y) / long)
    shaft = line(
        start, (to_x - 7 * along[0], to_y - 7 * along[1]), class_="mk-outline" if wide else "mk-line"
    )
    return element("g", shaft, arrow_head(end, along=along, size=11.0 if wide else 9.0))


def _bars(pulls: Sequence[float], lip: float) -> list[Svg]:
    tallest = max(_TALLEST_MM, *pulls)
    per_mm = (_FOOT - _HIGH) / tallest
    drawn: list[Svg] = [
        text(_LEFT - 8, 22, "how high the air's pull", class_="mk-strong"),
        text(_LEFT - 8, 41, "would lift fuel, mm", class_="mk-strong"),
    ]
    for i, (at, pull) in enumerate(zip(RUNGS, pulls, strict=True)):
        x, tall = _LEFT + _STEP * i, pull * per_mm
        drawn += [
            box(x, _FOOT - tall, _BAR, tall, class_="lift-bar"),
            text(x + _BAR / 2, _FOOT - tall - 6, f"{pull:.0f}", class_="mk-strong", anchor="middle"),
            text(x + _BAR / 2, _FOOT + 20, at.value, class_="mk-strong", anchor="middle"),
        ]
    y = _FOOT - lip * per_mm
    right = _LEFT + _STEP * len(RUNGS) - 10
    return [
        *drawn,
        line((_LEFT - 10, _FOOT), (right, _FOOT)),
        line((_LEFT - 10, y), (right, y), class_="ring-hole"),
        text(_LEFT - 8, _FOOT + 42, f"thick line: it must climb {lip:.0f} mm", class_="mk-pencil"),
    ]
