"""The needle before and after: the clip in another groove, a washer under it, another needle."""

from __future__ import annotations

from floatbowl.draw.marks import box, line, path, text
from floatbowl.draw.part_frame import (
    WIDE,
    Change,
    arc_over,
    bar_at_foot,
    hatched,
    part_view,
    solid,
    squeezed,
    to_right,
)
from floatbowl.draw.section import NeedleSize
from floatbowl.draw.svg import Point, Svg, element, joined, line_path, plain
from floatbowl.words.parts import DOTTED_IS_NOW, FROM_THE_BLUNT_END, NOW, THEN, measure_words, thicker_words

NOTCH_DEEP = 0.13
"""Depth of a groove as a share of the needle's diameter (judgement; nobody measures it)."""
NOTCH_WIDE = 0.5
"""Width of a groove as a share of the distance between two (judgement)."""

# --- the clip ----------------------------------------------------------------------------------------------

_CLIP_TALL = 190.0
_HEAD_LEFT = 26.0
_BEYOND_MM = 2.6
"""How much of the needle is shown beyond its last groove, mm."""


def clip_picture(change: Change) -> Svg:
    """Draw the needle's head lying, blunt end left, with the clip in its old groove and in its new one."""
    needle, middle = change.after.needle, 86.0
    shown_mm = needle.groove(needle.grooves) + _BEYOND_MM
    per_mm = min(30.0, (WIDE - _HEAD_LEFT - 20.0) / shown_mm)
    old, new = (
        _HEAD_LEFT + per_mm * one.needle.groove(one.needle.clip) for one in (change.before, change.after)
    )
    half = per_mm * needle.top.mm / 2
    above = middle - half - 13
    return part_view(
        _head(needle, middle, per_mm),
        line((6, middle), (_HEAD_LEFT + per_mm * shown_mm + 8, middle), class_="mk-centre"),
        _clip(old, middle, needle, per_mm, class_="part-old"),
        _clip(new, middle, needle, per_mm, class_="part-clip"),
        arc_over((old, above), (new, above), high=26),
        *_numbers(change, middle + half + 36, per_mm),
        text(WIDE - 2, _CLIP_TALL - 3.5, FROM_THE_BLUNT_END, class_="mk-pencil", anchor="end"),
        bar_at_foot(per_mm, tall=_CLIP_TALL),
        change=change,
        tall=_CLIP_TALL,
    )


def _head(needle: NeedleSize, middle: float, per_mm: float) -> Svg:
    """Draw the grooved end: pencilled where the grooves were not measured; the shank goes on to a break."""
    half = per_mm * needle.top.mm / 2
    edge = _notched(needle, half, per_mm)
    last = edge[-1][0]
    end = last + per_mm * (_BEYOND_MM - needle.pitch.mm / 2)
    upper, lower = ([(x, middle + side * y) for x, y in edge] for side in (-1, 1))
    head = line_path([*lower[::-1], *upper])
    fill = path(f"{head}L{plain(end)} {plain(middle - half)}V{plain(middle + half)}Z", class_="part-steel")
    shank = "".join(f"M{plain(last)} {plain(middle + side * half)}H{plain(end)}" for side in (-1, 1))
    wave = f"M{plain(end)} {plain(middle - half)}q-7 {plain(half / 2)} 0 {plain(half)}t0 {plain(half)}"
    return element(
        "g",
        fill,
        path(head, class_=_edge(is_assumed=needle.are_grooves_assumed)),
        path(shank, class_=_edge(is_assumed=needle.top.is_assumed)),
        path(wave, class_="part-measure"),
    )


def _edge(*, is_assumed: bool) -> str:
    return "part-edge part-assumed" if is_assumed else "part-edge"


def _notched(needle: NeedleSize, half: float, per_mm: float) -> list[Point]:
    """Give the upper edge as far as behind the last groove: places along, and distances from the middle."""
    deep, wide = NOTCH_DEEP * 2 * half, NOTCH_WIDE * needle.pitch.mm * per_mm
    edge = [(_HEAD_LEFT, 0.72 * half), (_HEAD_LEFT + 0.16 * half, half)]
    for number in range(1, needle.grooves + 1):
        x = _HEAD_LEFT + per_mm * needle.groove(number)
        near, far = x - wide / 2, x + wide / 2
        edge += [(near, half), (near, half - deep), (far, half - deep), (far, half)]
    return [*edge, (edge[-1][0] + wide / 2, half)]


def _clip(x: float, middle: float, needle: NeedleSize, per_mm: float, *, class_: str) -> Svg:
    half = per_mm * needle.top.mm / 2
    wide = NOTCH_WIDE * needle.pitch.mm * per_mm - 2.5
    tall = NOTCH_DEEP * 2 * half + 9
    tops = (middle - half - 9, middle + half + 9 - tall)
    return joined(box(x - wide / 2, top, wide, tall, class_=class_) for top in tops)


def _numbers(change: Change, y: float, per_mm: float) -> list[Svg]:
    needle, was = change.after.needle, change.before.needle.clip
    drawn = []
    for number in range(1, needle.grooves + 1):
        x = _HEAD_LEFT + per_mm * needle.groove(number)
        weight = "mk-strong mk-big" if number == needle.clip else "" if number == was else "mk-pencil"
        drawn.append(text(x, y, f"{number}", class_=weight, anchor="middle"))
    return drawn


# --- a washer under the clip -------------------------------------------------------------------------------

_WASHER_TALL = 208.0
_PER_MM = 20.0
_SEAT_Y = 134.0


def washer_picture(change: Change) -> Svg:
    """Draw the clip on its seat in the slide, now and then; the needle stands higher by the washer."""
    was, then = change.before.needle, change.after.needle
    tops = [_SEAT_Y - _PER_MM * (one.groove(one.clip) + one.washer) for one in (was, then)]
    lifted = measure_words(abs(then.washer - was.washer))
    lines = "".join(f"M{plain(x)} {plain(top)}H276" for x, top in zip((104, 236), tops, strict=True))
    return part_view(
        _hung(was, 70.0, NOW),
        _hung(then, 202.0, THEN),
        path(lines, class_="part-measure"),
        squeezed(270, min(tops), max(tops)),
        text(WIDE - 2, min(tops) - 20, lifted, class_="mk-strong", anchor="end"),
        to_right((121, 102), (151, 102)),
        bar_at_foot(_PER_MM, tall=_WASHER_TALL, millimetres=1),
        change=change,
        tall=_WASHER_TALL,
    )


def _hung(needle: NeedleSize, x: float, words: str) -> Svg:
    """Draw one needle hanging by its clip, with what lies under the clip."""
    half = _PER_MM * needle.top.mm / 2
    lifted = _PER_MM * needle.washer
    clip = _SEAT_Y - lifted
    top = clip - _PER_MM * needle.groove(needle.clip)
    stem = f"M{plain(x - half)} {plain(_SEAT_Y + 32)}V{plain(top + 4)}L{plain(x - 0.7 * half)} {plain(top)}"
    stem += f"H{plain(x + 0.7 * half)}L{plain(x + half)} {plain(top + 4)}V{plain(_SEAT_Y + 32)}Z"
    hole = half + 4
    seats = "".join(
        f"M{plain(x + side * hole)} {plain(_SEAT_Y)}H{plain(x + side * 60)}v26H{plain(x + side * hole)}Z"
        for side in (-1, 1)
    )
    washers = [
        solid(_slab(x + side * (half + 13), _SEAT_Y - lifted / 2, 24, lifted), metal="brass")
        for side in (-1, 1)
    ]
    clips = [path(_slab(x + side * (half + 8), clip - 4.5, 24, 9), class_="part-clip") for side in (-1, 1)]
    return element(
        "g",
        hatched(seats, metal="steel"),
        solid(stem, is_assumed=needle.is_shape_assumed),
        *(washers if needle.washer else []),
        *clips,
        text(x, 20, words, class_="mk-pencil", anchor="middle"),
    )


def _slab(x: float, y: float, wide: float, tall: float) -> str:
    return f"M{plain(x - wide / 2)} {plain(y - tall / 2)}h{plain(wide)}v{plain(tall)}h{plain(-wide)}Z"


# --- another needle ----------------------------------------------------------------------------------------

_NEEDLE_TALL = 190.0
THICKER = 4.0
"""Needles of one carburettor differ by hundredths: drawn this much thicker than long."""


def needle_picture(change: Change) -> Svg:
    """Draw both needles, one over the other, blunt ends together; the old one dotted."""
    was, then, middle = change.before.needle, change.after.needle, 96.0
    per_mm = (WIDE - 32.0) / max(was.length.mm, then.length.mm)
    return part_view(
        solid(_outline(then, middle, per_mm), is_assumed=then.is_shape_assumed),
        path(_outline(was, middle, per_mm), class_="part-old"),
        line((4, middle), (WIDE - 4, middle), class_="mk-centre"),
        *_stamps(change),
        *_across(then, middle, per_mm),
        text(WIDE - 2, _NEEDLE_TALL - 3.5, thicker_words(THICKER), class_="mk-pencil", anchor="end"),
        bar_at_foot(per_mm, tall=_NEEDLE_TALL, millimetres=5),
        change=change,
        tall=_NEEDLE_TALL,
    )


def _stamps(change: Change) -> list[Svg]:
    old = f"{DOTTED_IS_NOW}, {change.stamp_before}"
    return [
        text(WIDE - 2, 20, f"{THEN} {change.stamp_after}", class_="mk-strong", anchor="end"),
        text(4, 20, old, class_="mk-pencil"),
    ]


def _outline(needle: NeedleSize, middle: float, per_mm: float) -> str:
    thick = per_mm * THICKER / 2
    places = [(0.0, needle.top.mm), *((at.mm, across.mm) for at, across in needle.stations)]
    if needle.length.mm > places[-1][0]:
        places.append((needle.length.mm, 0.2 * places[-1][1]))
    upper = [(16 + per_mm * at, middle - thick * across) for at, across in places]
    lower = [(x, 2 * middle - y) for x, y in upper]
    return line_path([*upper, *lower[::-1]], is_closed=True)


def _across(needle: NeedleSize, middle: float, per_mm: float) -> list[Svg]:
    """Write the diameters at the stations, under them."""
    foot = middle + per_mm * THICKER * needle.top.mm / 2
    drawn = []
    for at, across in needle.stations:
        x = 16 + per_mm * at.mm
        drawn += [
            line((x, middle), (x, foot + 8), class_="part-measure"),
            text(min(x, WIDE - 18), foot + 23, f"{across.mm:.2f}", anchor="middle", class_="mk-strong"),
        ]
    return drawn
