"""What is set or swapped in the body: the slide's cutaway, the mixture screw, the float height."""

from __future__ import annotations

import math

from floatbowl.draw.marks import NARROW_LETTER_HEIGHT, arrow_head, line, path, text, wrapped
from floatbowl.draw.part_frame import (
    WIDE,
    Change,
    bar_at_foot,
    hatched,
    measure_across,
    part_view,
    solid,
)
from floatbowl.draw.section import Section, Size
from floatbowl.draw.svg import Point, Svg, element, line_path, plain
from floatbowl.words.parts import (
    AIR_SIDE,
    ASSUMED,
    DOTTED_IS_NOW,
    ENGINE_SIDE,
    JOINT_FACE,
    NOW,
    THEN,
    measure_words,
    turned_words,
    turns_out_words,
)

# --- the slide's cutaway -----------------------------------------------------------------------------------

_CUT_TALL = 190.0
_CUT_FLOOR = 132.0
_CUT_LEFT = 74.0
CUT_BEGINS_MM = 2.0
"""How far behind its middle a slide's underside begins to rise (judgement, as in the cut-away)."""
_CUT_BEYOND_MM = 4.0
"""How much of the flat underside is shown, mm."""


def cutaway_picture(change: Change) -> Svg:
    """Draw the foot of the slide from the side, the air coming from the left; the old underside is dotted."""
    per_mm = (WIDE - _CUT_LEFT - 8.0) / (change.after.slide_width.mm / 2 + CUT_BEGINS_MM + _CUT_BEYOND_MM)
    was, then = (per_mm * one.cutaway.mm for one in (change.before, change.after))
    assumed = change.after.slide_width.is_assumed
    return part_view(
        hatched(_slide_foot(change.after, per_mm), metal="steel", is_assumed=assumed),
        path(_underside(change.before, per_mm), class_="part-old"),
        line((_CUT_LEFT - 52, _CUT_FLOOR), (_CUT_LEFT, _CUT_FLOOR), class_="part-measure"),
        _stood(_CUT_LEFT - 8, then),
        _stood(_CUT_LEFT - 36, was),
        text(
            _CUT_LEFT - 8,
            _CUT_FLOOR + 18,
            f"{change.after.cutaway.mm:g}",
            class_="mk-strong",
            anchor="middle",
        ),
        text(
            _CUT_LEFT - 36,
            _CUT_FLOOR + 18,
            f"{change.before.cutaway.mm:g}",
            class_="mk-pencil",
            anchor="middle",
        ),
        text(_CUT_LEFT, 20, AIR_SIDE, class_="mk-pencil"),
        text(WIDE - 8, 20, ENGINE_SIDE, class_="mk-pencil", anchor="end"),
        text(WIDE - 2, _CUT_TALL - 3.5, DOTTED_IS_NOW, class_="mk-pencil", anchor="end"),
        bar_at_foot(per_mm, tall=_CUT_TALL, millimetres=5),
        change=change,
        tall=_CUT_TALL,
    )


def _slide_foot(section: Section, per_mm: float) -> str:
    """Draw the foot up to a break behind the place where the underside is flat."""
    begins = _begins(section, per_mm)
    cut, right = _CUT_FLOOR - per_mm * section.cutaway.mm, begins + per_mm * _CUT_BEYOND_MM
    corners = [(right, 34), (_CUT_LEFT, 34), (_CUT_LEFT, cut), (begins, _CUT_FLOOR), (right, _CUT_FLOOR)]
    quarter = (34 - _CUT_FLOOR) / 4
    return f"{line_path(corners)}q-8 {plain(quarter)} 0 {plain(2 * quarter)}t0 {plain(2 * quarter)}"


def _underside(section: Section, per_mm: float) -> str:
    begins = _begins(section, per_mm)
    return line_path([(_CUT_LEFT, _CUT_FLOOR - per_mm * section.cutaway.mm), (begins, _CUT_FLOOR)])


def _begins(section: Section, per_mm: float) -> float:
    return _CUT_LEFT + per_mm * (section.slide_width.mm / 2 + CUT_BEGINS_MM)


def _stood(x: float, tall: float) -> Svg:
    d = f"M{plain(x)} {plain(_CUT_FLOOR)}v{plain(-tall)}m-5 0h10m-10 {plain(tall)}h10"
    return path(d, class_="part-way")


# --- the mixture screw -------------------------------------------------------------------------------------

_SCREW_TALL = 176.0
_SCREW_X, _SCREW_Y, _HEAD = 88.0, 88.0, 50.0
_ARC, _GROWS = 64.0, 10.0
"""The arrow's distance from the middle, and how much further out it is after a whole turn."""


def screw_picture(change: Change) -> Svg:
    """Draw the screw's head with its slot, where it is now and then; out is against the clock."""
    was, then = change.before.turns, change.after.turns
    return part_view(
        element("circle", cx=_SCREW_X, cy=_SCREW_Y, r=_HEAD, class_="part-new part-brass"),
        _slot(was, class_="part-old"),
        _slot(then, class_="part-clip"),
        _turned(was, then),
        text(186, 70, f"{NOW} {turns_out_words(was)}", class_="mk-pencil"),
        text(186, 98, f"{THEN} {turns_out_words(then)}", class_="mk-strong mk-big"),
        *_way_words(turned_words(was, then)),
        change=change,
        tall=_SCREW_TALL,
    )


def _way_words(words: str) -> list[Svg]:
    lines = wrapped(words, width=WIDE - 186, height=NARROW_LETTER_HEIGHT)
    return [text(186, 128 + 21 * i, told) for i, told in enumerate(lines)]


def _slot(turns: float, *, class_: str) -> Svg:
    """Draw the slot; one end of it is marked, as one marks it with a pen before turning."""
    end, back = _round(turns, _HEAD - 7), _round(turns + 0.5, _HEAD - 7)
    side = _round(turns + 0.25, 5.5)
    dx, dy = side[0] - _SCREW_X, side[1] - _SCREW_Y
    corners = [
        (end[0] + dx, end[1] + dy),
        (end[0] - dx, end[1] - dy),
        (back[0] - dx, back[1] - dy),
        (back[0] + dx, back[1] + dy),
    ]
    mark = _round(turns, _HEAD)
    dot = element("circle", cx=mark[0], cy=mark[1], r=5.5, class_=class_)
    return element("g", path(line_path(corners, is_closed=True), class_=class_), dot)


def _round(turns: float, radius: float) -> Point:
    """Give the place on a circle after so many turns out, counted against the clock from the top."""
    angle = 2.0 * math.pi * turns
    return _SCREW_X - radius * math.sin(angle), _SCREW_Y - radius * math.cos(angle)


def _turned(was: float, then: float) -> Svg:
    """Draw the way from the old place to the new one as an arrow, a spiral where it is more than a turn."""
    steps = max(8, round(48 * abs(then - was)))
    way = [was + (then - was) * i / steps for i in range(steps + 1)]
    points = [_round(turn, _ARC + _GROWS * abs(turn - was)) for turn in way]
    (x0, y0), (x1, y1) = points[-2], points[-1]
    far = math.hypot(x1 - x0, y1 - y0)
    head = arrow_head((x1, y1), along=((x1 - x0) / far, (y1 - y0) / far), size=12)
    return element("g", path(line_path(points), class_="part-way"), head)


# --- the float height --------------------------------------------------------------------------------------

_FLOAT_TALL = 206.0
_JOINT = 150.0
_FLOAT_LEFT, _FLOAT_RIGHT = 92.0, 206.0
_FLOAT_PER_MM = 5.2


def float_picture(change: Change) -> Svg:
    """Draw the body held upside down: the float's height is from the joint face to its far side."""
    was, then = change.before.float_height, change.after.float_height
    tops = [_JOINT - _FLOAT_PER_MM * height.mm for height in (was, then)]
    return part_view(
        hatched(f"M30 {plain(_JOINT)}H290V{plain(_JOINT + 26)}H30Z", metal="metal"),
        _arm(tops[1]),
        solid(_float(tops[1], then.mm), metal="metal"),
        path(_float(tops[0], was.mm), class_="part-old"),
        line((48, tops[1]), (_FLOAT_LEFT, tops[1]), class_="part-measure"),
        line((_FLOAT_RIGHT, tops[0]), (268, tops[0]), class_="part-measure"),
        measure_across(60, tops[1], _JOINT),
        *_told(52, tops[1], (measure_words(then.mm), THEN), anchor="end", weight="mk-strong"),
        measure_across(256, tops[0], _JOINT),
        *_told(264, tops[0], _height_now(was), anchor="start", weight="mk-pencil"),
        text(WIDE - 2, _FLOAT_TALL - 3.5, JOINT_FACE, class_="mk-pencil", anchor="end"),
        bar_at_foot(_FLOAT_PER_MM, tall=_FLOAT_TALL, millimetres=5),
        change=change,
        tall=_FLOAT_TALL,
    )


def _float(top: float, height_mm: float) -> str:
    """Draw the float on its arm; it is two thirds as thick as it stands high (judgement)."""
    foot = top + _FLOAT_PER_MM * height_mm * 0.66
    left, right = _FLOAT_LEFT, _FLOAT_RIGHT
    wide, tall = plain(right - left - 16), foot - top - 16
    down = f"M{plain(left + 8)} {plain(top)}h{wide}q8 0 8 8v{plain(tall)}q0 8-8 8h-{wide}"
    return f"{down}q-8 0-8-8v{plain(-tall)}q0-8 8-8Z"


def _arm(top: float) -> Svg:
    """Draw the arm and the pin it swings on, which stands on the joint face."""
    pin = (_FLOAT_RIGHT + 26, _JOINT - 16)
    arm = (
        f"M{plain(_FLOAT_RIGHT)} {plain((top + _JOINT) / 2)}L{plain(pin[0])} {plain(pin[1])}V{plain(_JOINT)}"
    )
    dot = element("circle", cx=pin[0], cy=pin[1], r=4.5, class_="part-new part-steel")
    return element("g", path(arm, class_="part-edge"), dot)


def _height_now(was: Size) -> tuple[str, ...]:
    return (measure_words(was.mm), NOW, ASSUMED) if was.is_assumed else (measure_words(was.mm), NOW)


def _told(x: float, top: float, lines: tuple[str, ...], *, anchor: str, weight: str) -> list[Svg]:
    """Write a few short lines beside a measure that ends at the joint face."""
    first = (top + _JOINT) / 2 + 5.5 - 9 * (len(lines) - 1)
    return [text(x, first + 18 * i, words, class_=weight, anchor=anchor) for i, words in enumerate(lines)]
