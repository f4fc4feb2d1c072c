"""A jet before and after: both cut through with their stamps, and their holes laid over each other."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.draw.marks import path, text
from floatbowl.draw.part_frame import Change, bar_at_foot, hatched, part_view, to_right
from floatbowl.draw.section import Size
from floatbowl.draw.svg import Svg, element, plain
from floatbowl.words.parts import BOTH_HOLES, NOW, THEN, measure_words

_TALL = 204.0
_TOP = 34.0
_HOLE_X, _HOLE_Y, _HOLE_WIDE = 262.0, 85.0, 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Body:
    """A jet's outside in units: half widths of thread and head, heights, and the bore drawn wide."""

    thread: float
    thread_tall: float
    head: float
    head_tall: float
    bore_per_mm: float


_MAIN = _Body(thread=23, thread_tall=56, head=33, head_tall=46, bore_per_mm=12.0)
_PILOT = _Body(thread=15, thread_tall=76, head=23, head_tall=26, bore_per_mm=20.0)


def main_picture(change: Change) -> Svg:
    """Draw the main jet, old and new."""
    return _jets(change, _MAIN, change.before.main_jet, change.after.main_jet)


def pilot_picture(change: Change) -> Svg:
    """Draw the pilot jet, old and new."""
    return _jets(change, _PILOT, change.before.pilot_jet, change.after.pilot_jet)


def _jets(change: Change, body: _Body, was: Size, then: Size) -> Svg:
    per_mm = _HOLE_WIDE / max(was.mm, then.mm)
    told = f"{measure_words(was.mm, is_assumed=was.is_assumed)}; {measure_words(then.mm)}"
    return part_view(
        _jet(40, body, was, change.stamp_before, NOW),
        to_right((82, 86), (110, 86)),
        _jet(152, body, then, change.stamp_after, THEN),
        _holes(was, then, per_mm),
        _bar(per_mm),
        change=change,
        tall=_TALL,
        described=told,
    )


def _jet(x: float, body: _Body, bore: Size, stamp: str, words: str) -> Svg:
    foot = _TOP + body.thread_tall + body.head_tall
    hole = max(1.2, body.bore_per_mm * bore.mm / 2)
    halves = "".join(_half(x, body, hole, side) for side in (-1, 1))
    fuel = f"M{plain(x - hole)} {plain(_TOP)}V{plain(foot)}H{plain(x + hole)}V{plain(_TOP)}Z"
    return element(
        "g",
        path(fuel, class_="part-fuel"),
        hatched(halves, metal="brass", is_assumed=bore.is_assumed),
        text(x, 20, words, class_="mk-pencil", anchor="middle"),
        text(x, foot + 28, stamp, class_="mk-strong mk-big", anchor="middle"),
    )


def _half(x: float, body: _Body, hole: float, side: int) -> str:
    """Draw one half of the cut jet: its mouth above opens in a cone, as jets are drilled."""
    thread, head = (plain(x + side * wide) for wide in (body.thread, body.head))
    inner, mouth = plain(x + side * hole), plain(x + side * (hole + 5))
    step, foot = plain(_TOP + body.thread_tall), plain(_TOP + body.thread_tall + body.head_tall)
    cone = plain(_TOP + 12)
    return f"M{mouth} {plain(_TOP)}H{thread}V{step}H{head}V{foot}H{inner}V{cone}Z"


def _holes(was: Size, then: Size, per_mm: float) -> Svg:
    """Lay the holes over each other: the new one solid, the old one dotted."""
    return element(
        "g",
        _ring(then, per_mm, class_="part-new part-through"),
        _ring(was, per_mm, class_="part-old"),
        text(_HOLE_X, 20, BOTH_HOLES, class_="mk-pencil", anchor="middle"),
        text(_HOLE_X, _HOLE_Y + _HOLE_WIDE / 2 + 28, _both(was, then), class_="mk-strong", anchor="middle"),
    )


def _bar(per_mm: float) -> Svg:
    """Draw half a millimetre, or a tenth where half would be too long."""
    shown = next(mm for mm in (0.5, 0.2, 0.1) if mm * per_mm <= _LONGEST_BAR)
    return bar_at_foot(per_mm, tall=_TALL, x=_HOLE_X - shown * per_mm / 2 - 26, millimetres=shown)


_LONGEST_BAR = 70.0


def _ring(hole: Size, per_mm: float, *, class_: str) -> Svg:
    return element("circle", cx=_HOLE_X, cy=_HOLE_Y, r=per_mm * hole.mm / 2, class_=class_)


def _both(was: Size, then: Size) -> str:
    return f"{was.mm:.2f} \u2192 {then.mm:.2f} mm"
