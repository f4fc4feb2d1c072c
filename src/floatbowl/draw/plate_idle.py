"""Plate 4: the floor of the bore much enlarged, the slide on its stop and at 1/8: which port gives what."""

from __future__ import annotations

from floatbowl.belief.belief import Belief
from floatbowl.bike.rung import Rung
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.marks import arrow_head, line, text
from floatbowl.draw.plate_window import window
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg, element, picture
from floatbowl.units import MILLIMETRE

STYLE = (
    ".idle-fuel{fill:none;stroke:var(--fuel-line);stroke-width:calc(3.4px*var(--thick))}"
    ".idle-air{fill:none;stroke:var(--air);stroke-width:calc(2.4px*var(--thick));stroke-dasharray:6 3}"
    ".idle-fuel-head{fill:var(--fuel-line)}.idle-air-head{fill:var(--air)}"
)

WIDE, TALL = 680.0, 500.0
_EACH, _TOP, _HIGH = 334.0, 40.0, 400.0


def idle_plate(belief: Belief) -> Svg:
    """Draw both windows, with what comes through each port."""
    section, travel = set_out(belief.bike, belief.setup, belief=belief)
    frame = _frame(section)
    stops = ((Rung.SHUT, 2.0), (Rung.EIGHTH, WIDE - _EACH - 2.0))
    drawn = []
    for at, x in stops:
        lift = travel.at(at.opening)
        drawn += [
            window(belief, frame, lift_mm=lift, at=(x, _TOP), has_air=False),
            element(
                "g",
                *_flows(belief, section, frame, lift),
                *_names(section, frame, lift),
                transform=f"translate({x:g} {_TOP:g})",
            ),
            text(x, 24, _head(at), class_="mk-strong mk-big"),
        ]
    return picture(
        *drawn,
        *_key(),
        view=(0.0, 0.0, WIDE, TALL),
        title="Idle and the two ports",
        described=(
            "Slide on its stop: mixture comes from the outlet behind it, the bypass lets air in. "
            "Slide at 1/8: mixture comes from the bypass too."
        ),
        class_="plate",
    )


def _head(at: Rung) -> str:
    return "slide on its stop" if at is Rung.SHUT else "slide at 1/8"


def _frame(s: Section) -> Frame:
    middle = (s.bypass[-1].x if s.bypass else s.outlet_port.x - 6.0 * s.grown, s.outlet_port.x)
    left = middle[0] - 7.0 * s.grown
    right = middle[1] + 4.0 * s.grown
    scale = _EACH / (right - left)
    tall = _HIGH / scale
    return Frame(left, -0.56 * tall, right, 0.44 * tall, scale)


def _flows(belief: Belief, s: Section, frame: Frame, lift: float) -> list[Svg]:
    """Draw an arrow at each port: mixture out where the engine sucks, air in where it does not."""
    holes = sorted(belief.bike.carb.bypass, key=lambda hole: hole.uncovered_at.value)
    drawn = [_out(frame, s.outlet_port.x, s, high=3.4 * s.wall)]
    for port, hole in zip(s.bypass, holes, strict=True):
        is_open = lift >= hole.uncovered_at.value / MILLIMETRE
        drawn.append(_out(frame, port.x, s, high=0.55 * lift) if is_open else _into(frame, port.x, s))
    return drawn


def _out(frame: Frame, x: float, s: Section, *, high: float) -> Svg:
    start, end = frame.place((x, -1.2 * s.wall)), frame.place((x + 2.6 * s.grown, high))
    long = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    along = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
    shaft = line(start, (end[0] - 9 * along[0], end[1] - 9 * along[1]), class_="idle-fuel")
    return element("g", shaft, arrow_head(end, along=along, size=15.0))


def _into(frame: Frame, x: float, s: Section) -> Svg:
    start, end = frame.place((x - 1.0 * s.grown, 0.55 * s.idle_lift.mm)), frame.place((x, -2.2 * s.wall))
    mouth = frame.place((x, 0.0))
    return element(
        "g",
        line(start, mouth, class_="idle-air"),
        line(mouth, (end[0], end[1] - 9), class_="idle-air"),
        arrow_head(end, along=(0.0, 1.0), size=11.0),
    )


def _names(s: Section, frame: Frame, lift: float) -> list[Svg]:
    """Name slide and ports where they are drawn."""
    deep = -1.5 * s.wall
    first = s.bypass[-1].x if s.bypass else s.outlet_port.x
    slide = frame.place((s.slide_width.mm / 2 - 0.6, lift + 1.4 * s.grown))
    outlet, bypass = frame.place((s.outlet_port.x + 0.9, deep)), frame.place((first - 0.9, deep))
    return [
        text(*slide, "slide", class_="mk-strong mk-halo", anchor="end"),
        text(*outlet, "outlet", class_="mk-strong mk-halo"),
        *([text(*bypass, "bypass", class_="mk-strong mk-halo", anchor="end")] if s.bypass else []),
    ]


def _key() -> list[Svg]:
    y = 474.0
    return [
        line((2, y - 5), (44, y - 5), class_="idle-fuel"),
        text(54, y, "mixture comes out", class_="mk-strong"),
        line((240, y - 5), (282, y - 5), class_="idle-air"),
        text(292, y, "air goes in", class_="mk-strong"),
        text(400, y, "left of each picture the air side, right the engine", class_="mk-pencil"),
    ]
