"""What all drawings of parts share: their width, how old and new are told apart, and how lengths are shown.

The new part is solid ink; the old one is dotted and says "now". Dashed grey is
kept for what nobody measured, as everywhere. A bar of so many millimetres gives
the scale, so that it stays true at any size the picture is shown.
"""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.draw.marks import arrow_head, path, scale_bar
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point, Svg, element, joined, picture, plain

STYLE = (
    ".part-new,.part-edge{stroke:var(--ink);stroke-width:calc(2px*var(--thick));stroke-linejoin:round}"
    ".part-edge{fill:none}"
    ".part-old{fill:none;stroke:var(--ink);stroke-width:calc(1.9px*var(--thick));stroke-dasharray:.1 4.2;"
    "stroke-linecap:round;stroke-linejoin:round}"
    ".part-assumed{stroke:var(--pencil);stroke-dasharray:6 3}"
    ".part-steel{fill:var(--steel)}.part-brass{fill:var(--brass);stroke:var(--brass-line)}"
    ".part-metal{fill:var(--metal)}.part-fuel{fill:var(--fuel);stroke:none}"
    ".part-through{fill:var(--fuel)}"
    ".part-hatch{stroke:none}"
    ".part-clip{fill:var(--ink);stroke:var(--ink)}"
    ".part-measure{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick))}"
    ".part-way{fill:none;stroke:var(--ink);stroke-width:calc(2px*var(--thick));stroke-linecap:round}"
)

WIDE = 320.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One step as it is drawn: all sizes before and after it, and its title in words."""

    before: Section
    after: Section
    stamp_before: str
    stamp_after: str
    title: str


def part_view(*drawn: Svg, change: Change, tall: float, described: str = "") -> Svg:
    """Close a drawing of a part, with the step in words as its title."""
    return picture(
        *drawn,
        view=(0, 0, WIDE, tall),
        title=change.title,
        described=described,
        class_="part-picture mk-narrow",
    )


def hatched(d: str, *, metal: str, is_assumed: bool = False) -> Svg:
    """Draw a part cut through: filled, hatched and outlined; a part nobody measured keeps its hatching."""
    edge = f"part-new part-{metal}" + (" part-assumed" if is_assumed else "")
    pattern = "body" if metal == "metal" else metal
    return element(
        "g",
        path(d, class_=edge),
        element("path", d=d, fill=f"url(#pat-{pattern})", class_="part-hatch"),
    )


def solid(d: str, *, is_assumed: bool = False, metal: str = "steel") -> Svg:
    """Draw a part that is not cut: filled and outlined."""
    return path(d, class_=f"part-new part-{metal}" + (" part-assumed" if is_assumed else ""))


def measure_across(x: float, top: float, foot: float) -> Svg:
    """Draw an upright measure with its arrows."""
    arrows = (arrow_head((x, top), along=(0, -1), size=7), arrow_head((x, foot), along=(0, 1), size=7))
    return element("g", path(f"M{plain(x)} {plain(top)}V{plain(foot)}", class_="part-measure"), *arrows)


def squeezed(x: float, top: float, foot: float) -> Svg:
    """Draw an upright measure too small for words: its arrows stand outside and point in."""
    tails = path(f"M{plain(x)} {plain(top)}v-14M{plain(x)} {plain(foot)}v14", class_="part-measure")
    heads = (arrow_head((x, top), along=(0, 1), size=7), arrow_head((x, foot), along=(0, -1), size=7))
    return element("g", tails, *heads)


def arc_over(start: Point, end: Point, *, high: float) -> Svg:
    """Draw a bent arrow from one place over to another."""
    (x0, y0), (x1, y1) = start, end
    top = min(y0, y1) - high
    places = (x0, y0, x0, top, x1, top, x1, y1 - 7)
    bent = "M{} {}C{} {} {} {} {} {}".format(*map(plain, places))
    return joined((path(bent, class_="part-way"), arrow_head((x1, y1), along=(0, 1), size=10)))


def to_right(start: Point, end: Point) -> Svg:
    """Draw a straight arrow from what is now to what is then."""
    way = path(f"M{plain(start[0])} {plain(start[1])}L{plain(end[0] - 6)} {plain(end[1])}", class_="part-way")
    return joined((way, arrow_head(end, along=(1, 0), size=10)))


def bar_at_foot(per_mm: float, *, tall: float, x: float = 4.0, millimetres: float = 1.0) -> Svg:
    """Draw the bar that gives the scale, at the foot of the picture."""
    return scale_bar(x, tall - 9, millimetres=millimetres, per_mm=per_mm)
