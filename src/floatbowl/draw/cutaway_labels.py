"""Labels of the cut-away: name and value on a leader line; assumed values say so. None lies on another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw.cutaway_body import Passages, well_top
from floatbowl.draw.cutaway_bowl import fuel_top
from floatbowl.draw.cutaway_needle import clip_height
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.cutaway_slide import boss_half
from floatbowl.draw.moving import Swept, Travel, moving_path
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point, Svg, element
from floatbowl.words import drawing as words
from floatbowl.words.names import mixture_screw

LINE = 17.0
"""Units from one line of a label to the next."""
GAP = 9.0
"""Least units between two labels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A part's name and value; its leader ends at ``shut`` and ``full`` at the slide's two stops, mm."""

    key: str
    name: str
    value: str
    is_assumed: bool
    shut: Point
    full: Point
    is_left: bool
    wanted: float
    """Height at which the label would like to stand, mm."""

    @property
    def lines(self) -> int:
        """Count its lines."""
        return 3 if self.is_assumed else 2


def labels_of(bike: Bike, setup: Setup, s: Section) -> tuple[Label, ...]:
    """Give every label, those of the moving parts first."""
    return (*_moving(s), *_standing(bike, setup, s))


def _moving(s: Section) -> tuple[Label, ...]:
    one, half, top = s.needle, s.slide_width.mm / 2, well_top(s)
    seat = clip_height(one)
    wall = half - s.slide_wall.mm / 2
    found = [
        _riding(
            s,
            key="slide",
            name="slide",
            value=words.cutaway_words(s.cutaway.mm),
            is_assumed=s.cutaway.is_assumed,
            at=(-wall, 0.86 * s.slide_height.mm),
            is_left=True,
            wanted=0.88 * top,
        ),
        _riding(
            s,
            key="clip",
            name="clip",
            value=words.groove_words(one.clip, one.grooves),
            is_assumed=False,
            at=(boss_half(s) - 0.3 * s.wall, seat + 0.2),
            is_left=False,
            wanted=0.88 * top,
        ),
        _riding(
            s,
            key="needle",
            name="needle",
            value=words.needle_across(one.top.mm, one.tip.mm),
            is_assumed=one.is_shape_assumed,
            at=(0.3 * one.top.mm, s.pocket - 0.4),
            is_left=False,
            wanted=0.70 * top,
        ),
    ]
    if one.washer > 0.0:
        washer = _riding(
            s,
            key="washer",
            name="washer",
            value=words.washer_words(one.washer),
            is_assumed=False,
            at=(0.3 * s.wall - boss_half(s), seat - one.washer / 2),
            is_left=True,
            wanted=0.70 * top,
        )
        found.append(washer)
    return tuple(found)


def _riding(  # noqa: PLR0913  (a label is what it is made of)
    s: Section, *, key: str, name: str, value: str, is_assumed: bool, at: Point, is_left: bool, wanted: float
) -> Label:
    """Make the label of a part that rides on the slide; ``at`` is over the slide's underside."""
    x, y = at
    return Label(
        key=key,
        name=name,
        value=value,
        is_assumed=is_assumed,
        shut=(x, y + s.idle_lift.mm),
        full=(x, y + s.full_lift.mm),
        is_left=is_left,
        wanted=wanted,
    )


def _standing(bike: Bike, setup: Setup, s: Section) -> tuple[Label, ...]:
    w, way, level = s.wall, Passages(s), fuel_top(s)
    by_air = s.screw == "air"
    screw = (
        (s.screw_x.mm - 0.8 * w, way.pilot_air - 1.0 * w) if by_air else (s.screw_x.mm + 1.0 * w, way.gallery)
    )
    jet = (-s.jet_hole + 0.3 * w, s.jet_foot.mm + 0.4 * w)
    main = (-3.2 * w, s.main_jet_foot.mm + 1.6 * w)
    pilot = (s.pilot_x.mm + 1.7 * w, 0.45 * s.ceiling.mm + 0.55 * s.pilot_foot.mm)
    port = (s.outlet_port.x, -0.9 * w)
    surface = (s.bowl_width.mm / 2 - 4.5 * w, level)
    are_ports_assumed = any(one.across.is_assumed for one in (*s.bypass, s.outlet_port))
    ports, below = words.ports_words(len(s.bypass)), words.level_words(s.jet_rise.mm - s.fuel_level.mm)
    turned = words.turns_words(s.turns)
    main_stamp, pilot_stamp = words.stamp_words(setup.main), words.stamp_words(setup.pilot)
    rows: tuple[tuple[str, str, str, bool, Point, bool], ...] = (
        ("screw", mixture_screw(bike), turned, False, screw, by_air),
        ("needle jet", "needle jet", words.across(s.jet.mm), s.jet.is_assumed, jet, True),
        ("main jet", "main jet", main_stamp, s.main_jet.is_assumed, main, True),
        ("ports", "pilot ports", ports, are_ports_assumed, port, False),
        ("fuel level", "fuel level", below, s.fuel_level.is_assumed, surface, False),
        ("pilot jet", "pilot jet", pilot_stamp, s.pilot_jet.is_assumed, pilot, False),
    )
    return tuple(
        Label(
            key=key,
            name=name,
            value=value,
            is_assumed=is_assumed,
            shut=at,
            full=at,
            is_left=left,
            wanted=at[1],
        )
        for key, name, value, is_assumed, at, left in rows
    )


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with the top of its first line, in units."""

    label: Label
    top: float

    @property
    def bottom(self) -> float:
        """Give the lower end of its last line."""
        return self.top + LINE * self.label.lines


def placed(labels: Sequence[Label], frame: Frame) -> tuple[Placed, ...]:
    """Put the labels of both sides down their columns, as near to their parts as they fit."""
    columns = ([one for one in labels if one.is_left is left] for left in (True, False))
    return tuple(one for column in columns for one in _column(column, frame))


def _column(labels: list[Label], frame: Frame) -> list[Placed]:
    """Push labels down where they would lie on another, then up where they would leave the paper."""
    found: list[Placed] = []
    least = 4.0
    for one in sorted(labels, key=lambda label: -label.wanted):
        wanted = frame.place((0.0, one.wanted))[1] - LINE
        found.append(Placed(one, max(wanted, least)))
        least = found[-1].bottom + GAP
    most = frame.height - 4.0
    for i in reversed(range(len(found))):
        top = min(found[i].top, most - LINE * found[i].label.lines)
        found[i] = Placed(found[i].label, top)
        most = top - GAP
    return found


def _leader_start(one: Placed, frame: Frame, margin: float) -> Point:
    """Give where a label's leader begins, beside its first line."""
    x = margin - 4.0 if one.label.is_left else frame.width - margin + 4.0
    return x, one.top + 0.72 * LINE


def drawn_label(one: Placed, frame: Frame, travel: Travel, *, margin: float) -> Svg:
    """Draw a label in its margin, its leader, and the dot where the leader ends."""
    label = one.label
    x = margin - 10.0 if label.is_left else frame.width - margin + 10.0
    start = _leader_start(one, frame, margin)
    ends = frame.place(label.shut), frame.place(label.full)
    leader = Swept((start, ends[0]), (start, ends[1]))
    dot = Swept((ends[0],), (ends[1],))
    anchor = "end" if label.is_left else "start"
    lines = [(label.name, "cut-name"), (label.value, "cut-value")]
    if label.is_assumed:
        lines.append((words.ASSUMED, "cut-value cut-guess"))
    written = [
        element("text", text, x=x, y=one.top + LINE * (i + 0.95) - 2.0, text_anchor=anchor, class_=class_)
        for i, (text, class_) in enumerate(lines)
    ]
    return element(
        "g",
        moving_path(leader, travel, class_="cut-leader"),
        moving_path(dot, travel, has_dots=True, class_="cut-dot"),
        *written,
        data_label=label.key,
    )


def float_label(s: Section, frame: Frame, column: Sequence[Placed], *, margin: float) -> Svg:
    """Write the float's name and height into its ghost, between the leaders that cross it."""
    x = (-s.bowl_width.mm / 2 - s.tower) / 2
    left, valve = frame.place((x, s.ceiling.mm - 4.2 * s.wall))
    low = frame.place((x, max(s.gasket.mm - s.float_height.mm, s.bowl_floor.mm)))[1]
    lines = [("float", "cut-name"), (words.float_words(s.float_height.mm), "cut-value")]
    if s.float_height.is_assumed:
        lines.append((words.ASSUMED, "cut-value cut-guess"))
    crossing = [_height_at(left, one, frame, margin) for one in column if one.label.is_left]
    bounds = sorted([valve, low, *(y for y in crossing if valve < y < low)])
    high, deep = max(pairwise(bounds), key=lambda gap: gap[1] - gap[0])
    first = max(0.5 * (high + deep) - 0.5 * LINE * len(lines), high) + 0.8 * LINE
    written = [
        element("text", text, x=left, y=first + LINE * i, text_anchor="middle", class_=class_)
        for i, (text, class_) in enumerate(lines)
    ]
    return element("g", *written, data_label="float")


def _height_at(x: float, one: Placed, frame: Frame, margin: float) -> float:
    """Give the height of a standing part's leader where it passes x, units."""
    (start_x, start_y), (end_x, end_y) = _leader_start(one, frame, margin), frame.place(one.label.shut)
    return start_y + (x - start_x) / (end_x - start_x) * (end_y - start_y)
