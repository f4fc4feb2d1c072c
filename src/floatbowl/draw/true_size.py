"""The cut-away for paper: one millimetre is one millimetre, and numbers in balloons instead of names.

Numbers stand in columns outside the drawing, each on a leader that ends with a
dot in its part, as ISO 6433 has item references. A number means the same part
on every card. What is larger than the room on the paper is cut off, the cap
first, and never made smaller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw.cutaway import Cutaway, layers
from floatbowl.draw.cutaway_body import cap_top
from floatbowl.draw.cutaway_bowl import bowl_bottom
from floatbowl.draw.cutaway_labels import Label, labels_of
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Point, Svg, element, line_path, picture, plain
from floatbowl.words import drawing as words
from floatbowl.words.setup_card import TRUE_SIZE

STYLE = (
    ".bal-disc{fill:var(--paper);stroke:var(--ink);stroke-width:calc(1.4px*var(--thick))}"
    ".bal-lead{fill:none;stroke:var(--ink);stroke-width:calc(1px*var(--thick))}"
    ".bal-halo{fill:none;stroke:var(--paper);stroke-width:3.4px}"
    ".bal-dot{fill:var(--ink);stroke:var(--paper);stroke-width:.8px}"
    ".bal-number{font-family:Label,'Arial Narrow',sans-serif;font-stretch:condensed;font-size:20px;"
    "font-weight:600;fill:var(--ink)}"
)

PER_MM = 5.4
"""Units for a millimetre: lines come out 0.33 and 0.17 mm wide, two to one as in ISO 128-2."""

NUMBERS: dict[str, int] = {
    "main jet": 1,
    "pilot jet": 2,
    "needle": 3,
    "clip": 4,
    "needle jet": 5,
    "slide": 6,
    "screw": 7,
    "float": 8,
    "washer": 9,
}
"""The number of each part, by the key of its label."""

BALLOON_MM = 2.9
_BESIDE_MM = 7.4
"""Room at either side for the column of balloons."""
_APART_MM = 1.6
_OVER_MM, _UNDER_MM = 1.5, 1.5
_LEAST_OVER_BORE_MM = 4.0
_DOT_MM = 0.55


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the paper leaves for the drawing, mm."""

    wide: float
    high: float


def true_size(bike: Bike, setup: Setup, *, room: Room, belief: Belief | None = None) -> Svg:
    """Draw the cut-away with its slide shut, numbered, to be printed ``size_mm`` wide and high."""
    s, travel = set_out(bike, setup, belief=belief)
    frame = _window(s, room)
    one = Cutaway(
        bike=bike, setup=setup, section=s, travel=travel, frame=frame, shares=None, margin=_BESIDE_MM * PER_MM
    )
    numbered = [label for label in labels_of(bike, setup, s) if label.key in NUMBERS]
    shown = {"float", *(label.key for label in numbered)}
    told = "; ".join(f"{number}, {key}" for key, number in NUMBERS.items() if key in shown)
    return picture(
        *layers(one, has_air=False),
        *_balloons(numbered if _has_room(s) else [*numbered, _float(s)], frame),
        *([_disc(NUMBERS["float"], frame.place(_float(s).shut))] if _has_room(s) else []),
        view=(0.0, 0.0, frame.width, frame.height),
        title=words.cutaway_title(bike),
        described=f"{TRUE_SIZE} {told}.",
        class_="cut",
        width=f"{frame.right - frame.left:.2f}mm",
        height=f"{frame.top - frame.bottom:.2f}mm",
        data_scale=f"{PER_MM:.4f}",
        data_floor=frame.place((0.0, 0.0))[1],
    )


def size_mm(drawing: Svg) -> tuple[float, float]:
    """Give width and height, in mm, at which a drawing of ``true_size`` is true."""
    box = drawing.split('viewBox="', 1)[1].split('"', 1)[0].split()
    return float(box[2]) / PER_MM, float(box[3]) / PER_MM


def _window(s: Section, room: Room) -> Frame:
    """Choose what of the carburettor is on the paper: all of it, or as much as there is room for."""
    left, right = -s.mouth_length.mm - _BESIDE_MM, s.outlet_length.mm + _BESIDE_MM
    too_wide = max(0.0, (right - left - room.wide) / 2.0)
    bottom = bowl_bottom(s) - _UNDER_MM
    top = max(min(cap_top(s) + _OVER_MM, bottom + room.high), s.bore.mm + _LEAST_OVER_BORE_MM)
    bottom = max(bottom, top - room.high)
    return Frame(left + too_wide, bottom, right - too_wide, top, PER_MM)


def _balloons(labels: Sequence[Label], frame: Frame) -> list[Svg]:
    """Put the balloons of both sides down their columns, each as near to its part as it fits."""
    found: list[Svg] = []
    for is_left in (True, False):
        column = sorted((one for one in labels if one.is_left is is_left), key=lambda one: -one.shut[1])
        heights = _spread([one.shut[1] for one in column], frame)
        x = frame.left + BALLOON_MM + 0.3 if is_left else frame.right - BALLOON_MM - 0.3
        found += [_balloon(one, (x, y), frame) for one, y in zip(column, heights, strict=True)]
    return found


def _spread(wanted: Sequence[float], frame: Frame) -> list[float]:
    """Move heights apart, from the top down, then up again where they would leave the paper."""
    step = 2.0 * BALLOON_MM + _APART_MM
    highest, lowest = frame.top - BALLOON_MM - 0.5, frame.bottom + BALLOON_MM + 0.5
    found: list[float] = []
    for y in wanted:
        found.append(min(y, highest, *(found[-1:] and [found[-1] - step])))
    for i in reversed(range(len(found))):
        found[i] = max(found[i], lowest if i == len(found) - 1 else found[i + 1] + step)
    return found


def _balloon(label: Label, at: Point, frame: Frame) -> Svg:
    x, y = at
    side = 1.0 if label.is_left else -1.0
    start, end = frame.place((x + side * BALLOON_MM, y)), frame.place(label.shut)
    d = line_path([start, end])
    return element(
        "g",
        element("path", d=d, class_="bal-halo"),
        element("path", d=d, class_="bal-lead"),
        element("circle", cx=end[0], cy=end[1], r=_DOT_MM * PER_MM, class_="bal-dot"),
        _disc(NUMBERS[label.key], frame.place(at)),
    )


def _disc(number: int, at: Point) -> Svg:
    x, y = at
    return element(
        "g",
        element("circle", cx=x, cy=y, r=BALLOON_MM * PER_MM, class_="bal-disc"),
        element("text", plain(number), x=x, y=y + 7.0, text_anchor="middle", class_="bal-number"),
    )


def _has_room(s: Section) -> bool:
    """Say whether the float's ghost is wide enough to hold its number; else that stands outside as well."""
    return s.bowl_width.mm / 2 - s.tower - 3.8 * s.wall > 2.0 * BALLOON_MM + 1.0


def _float(s: Section) -> Label:
    """Give the float's place, in the middle of its ghost."""
    x = (-s.bowl_width.mm / 2 - s.tower) / 2
    y = (s.ceiling.mm + max(s.gasket.mm - s.float_height.mm, s.bowl_floor.mm)) / 2
    return Label(
        key="float",
        name="float",
        value="",
        is_assumed=s.float_height.is_assumed,
        shut=(x, y),
        full=(x, y),
        is_left=True,
        wanted=y,
    )
