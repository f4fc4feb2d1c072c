"""Where on the throttle, as a small sketch: the bore from the engine, the slide let down into it."""

from __future__ import annotations

from math import sqrt

from floatbowl.bike.rung import Rung
from floatbowl.draw.marks import path
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.names import ALOUD

STYLE = (
    ".opn-bore{fill:var(--bore);stroke:none}"
    ".opn-slide{fill:var(--steel);stroke:var(--ink);stroke-width:calc(1.4px*var(--thick));stroke-linejoin:round}"
    ".opn-rim{fill:none;stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".opn-none{fill:none;stroke:var(--pencil);stroke-width:calc(1.6px*var(--thick));stroke-dasharray:4 3}"
)

SIDE = 48.0
_RADIUS = 20.0
_LEAST = 0.06
"""Share of the bore that a shut slide still leaves open, so that it can be seen."""


def opening_sketch(at: Rung | None) -> Svg:
    """Draw the bore as far open as the slide is at a rung; a dashed ring where nobody knows."""
    middle = SIDE / 2
    if at is None:
        drawn = [element("circle", cx=middle, cy=middle, r=_RADIUS, class_="opn-none")]
    else:
        drawn = [
            element("circle", cx=middle, cy=middle, r=_RADIUS, class_="opn-bore"),
            path(_slide(at.opening), class_="opn-slide"),
            element("circle", cx=middle, cy=middle, r=_RADIUS, class_="opn-rim"),
        ]
    title = ALOUD[at] if at else "not known"
    return picture(*drawn, view=(0, 0, SIDE, SIDE), title=title, class_="opn-picture")


def _slide(share: float) -> str:
    """Give the part of the disc that the slide still covers; nothing of it is left at full opening."""
    edge = _RADIUS - 2.0 * _RADIUS * max(_LEAST, share)  # below the middle
    half = sqrt(max(0.0, _RADIUS**2 - edge**2))
    left, right, y = SIDE / 2 - half, SIDE / 2 + half, SIDE / 2 + edge
    arc = f"A{plain(_RADIUS)} {plain(_RADIUS)} 0 {1 if edge > 0.0 else 0} 1"
    return f"M{plain(left)} {plain(y)}{arc} {plain(right)} {plain(y)}Z"
