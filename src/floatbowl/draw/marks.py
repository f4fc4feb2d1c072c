"""The hand that all charts and small pictures share: lettering, lines, and a curve that never overshoots.

One user unit is one pixel at the size a picture is made for; no letter is
smaller than 15 units.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import pairwise

from floatbowl.draw.svg import Point, Svg, element, plain

LETTERS_WIDE = 0.40
"""Width of a letter of the narrow type, as a share of its height (judgement: wide enough for most words)."""

LETTER_HEIGHT = 16.0
NARROW_LETTER_HEIGHT = 18.0
"""Letters of pictures for a narrow page: shown at 270 of their 320 units they are still 15 pixels high."""

STYLE = (
    ".mk-text{font-family:Label,'Arial Narrow',sans-serif;font-size:16px;font-weight:500;fill:var(--ink)}"
    ".mk-narrow .mk-text{font-size:18px}.mk-narrow .mk-big{font-size:22px}"
    ".mk-strong{font-weight:600}.mk-big{font-size:20px}.mk-pencil{fill:var(--pencil)}"
    ".mk-line,.mk-outline,.mk-thin,.mk-centre{fill:none;stroke:var(--ink);stroke-linejoin:round;"
    "stroke-linecap:round;stroke-width:calc(1.2px*var(--thick))}"
    ".mk-outline{stroke-width:calc(2px*var(--thick))}"
    ".mk-thin{stroke:var(--pencil);stroke-width:calc(1px*var(--thick))}"
    ".mk-centre{stroke:var(--pencil);stroke-width:calc(1px*var(--thick));stroke-dasharray:10 3 2 3}"
    ".mk-was{stroke:var(--pencil);stroke-dasharray:4 3;fill:none}"
    ".mk-solid{fill:var(--ink)}"
    ".mk-halo{paint-order:stroke;stroke:var(--paper);stroke-width:4px;stroke-linejoin:round}"
    ".mk-assumed{stroke:var(--pencil);stroke-dasharray:5 3}"
)


def text(x: float, y: float, words: str, *, class_: str = "", anchor: str | None = None) -> Svg:
    """Write words on their baseline; ``anchor`` is where ``x`` stands: start, ``middle`` or ``end``."""
    classes = f"mk-text {class_}".strip()
    return element("text", words, x=x, y=y, class_=classes, text_anchor=anchor)


def line(start: Point, end: Point, *, class_: str = "mk-line") -> Svg:
    """Draw one straight line."""
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], class_=class_)


def box(left: float, top: float, width: float, height: float, *, class_: str) -> Svg:
    """Draw a rectangle with sharp corners."""
    return element("rect", x=left, y=top, width=width, height=height, class_=class_)


def path(d: str, *, class_: str = "mk-line") -> Svg:
    """Draw a path."""
    return element("path", d=d, class_=class_)


def words_width(words: str, *, height: float = LETTER_HEIGHT) -> float:
    """Guess how wide words come out, so that none is set across another."""
    return LETTERS_WIDE * height * len(words)


def wrapped(words: str, *, width: float, height: float = LETTER_HEIGHT) -> list[str]:
    """Break words into lines that fit a width."""
    return textwrap.wrap(words, max(6, int(width / (LETTERS_WIDE * height))))


def arrow_head(tip: Point, *, along: Point, size: float = 8.0) -> Svg:
    """Draw a filled arrow head; ``along`` is the direction in which it points, of length one."""
    (x, y), (dx, dy) = tip, along
    back = (x - size * dx, y - size * dy)
    side = (-0.45 * size * dy, 0.45 * size * dx)
    corners = (tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]))
    d = "M" + "L".join(f"{plain(a)} {plain(b)}" for a, b in corners) + "Z"
    return path(d, class_="mk-solid")


def curve(points: Sequence[Point]) -> str:
    """Write a smooth line through points as pieces that follow a move: ``C ...``.

    Between two points it never swings further across than they lie, so a smooth
    line shows no fuel that was not worked out.

    Source: [fritsch1984] equation 5, the harmonic mean of neighbouring slopes.
    """
    slopes = [(b[0] - a[0]) / (b[1] - a[1]) for a, b in pairwise(points)]
    ends = [slopes[0], *(_between(a, b) for a, b in pairwise(slopes)), slopes[-1]]
    pieces = []
    for ((x0, y0), (x1, y1)), (s0, s1) in zip(pairwise(points), pairwise(ends), strict=True):
        third = (y1 - y0) / 3.0
        places = (x0 + s0 * third, y0 + third, x1 - s1 * third, y1 - third, x1, y1)
        pieces.append("C" + " ".join(plain(float(place)) for place in places))
    return "".join(pieces)


def _between(before: float, after: float) -> float:
    return 0.0 if before * after <= 0.0 else 2.0 * before * after / (before + after)


def moved_to(point: Point) -> str:
    """Write where a path begins."""
    return f"M{plain(float(point[0]))} {plain(float(point[1]))}"


def scale_bar(x: float, y: float, *, millimetres: float, per_mm: float) -> Svg:
    """Draw how long so many millimetres are in this picture, true at any size it is shown."""
    end = x + millimetres * per_mm
    ticks = f"M{plain(x)} {plain(y - 5)}V{plain(y + 5)}M{plain(end)} {plain(y - 5)}V{plain(y + 5)}"
    bar = path(f"{ticks}M{plain(x)} {plain(y)}H{plain(end)}", class_="mk-thin")
    return element("g", bar, text(end + 7, y + 5.5, f"{millimetres:g} mm", class_="mk-pencil"))
