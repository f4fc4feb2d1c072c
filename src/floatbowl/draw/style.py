"""The ink of all pictures: their class rules in one sheet, and the patterns that they share.

Each drawing module names its own rules in a constant ``STYLE`` and is listed
here once. Patterns carry what colour carries, for eyes that see no colour: a
page puts ``pattern_defs`` once, pictures refer to them by name.
"""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.draw import (
    airline,
    behaviours,
    cutaway,
    day_sheet,
    ear,
    film,
    heights,
    insets,
    ladder,
    looks,
    mains,
    marks,
    openings,
    part_frame,
    plate_hill,
    plate_idle,
    plate_lift,
    plate_ring,
    rungs,
    say_bar,
    strip_card,
    tag,
    tally,
    true_size,
)
from floatbowl.draw.svg import Svg, element, joined

PATTERN_STYLE = (
    ".pat-ground-pilot{fill:var(--pilot-field)}.pat-ground-cutaway{fill:var(--cutaway-field)}"
    ".pat-ground-needle{fill:var(--needle-field)}.pat-ground-main{fill:var(--main-field)}"
    ".pat-dot-pilot{fill:var(--pilot-line)}"
    ".pat-line{fill:none;stroke-width:calc(1.1px*var(--thick))}"
    ".pat-line-cutaway{stroke:var(--cutaway-line)}.pat-line-needle{stroke:var(--needle-line)}"
    ".pat-line-body,.pat-line-choke{stroke:var(--pencil)}.pat-line-steel{stroke:var(--ink)}"
    ".pat-line-brass{stroke:var(--brass-line)}"
    ".pat-line-body,.pat-line-steel,.pat-line-brass{stroke-width:.6px;opacity:.7}"
)
"""Inks of the patterns."""


def pattern_defs() -> Svg:
    """Write the patterns of the say and the hatchings of the cut, to stand once on a page."""
    return element("defs", *_say_patterns(), *_hatchings())


def _say_patterns() -> Iterable[Svg]:
    dots = [element("circle", cx=x, cy=y, r=1.15, class_="pat-dot-pilot") for x, y in ((2, 2), (5.5, 5.5))]
    yield _tile("pilot", 7, _ground("pilot", 7), *dots)
    yield _tile("cutaway", 6, _ground("cutaway", 6), _stroke("cutaway", "M0 3H6"))
    yield _tile("needle", 7, _ground("needle", 7), _stroke("needle", "M3.5 0V7"), turned=45)
    yield _tile("main", 8, _ground("main", 8))
    yield _tile("choke", 8, _stroke("choke", "M2 2L6 6M6 2L2 6"))


def _hatchings() -> Iterable[Svg]:
    """Write the three metals: casting wide, steel and brass closer and the other way."""
    for metal, width, turned in (("body", 5.6, 45), ("steel", 4.2, -45), ("brass", 3.2, -45)):
        middle = width / 2
        yield _tile(metal, width, _stroke(metal, f"M{middle:g} 0V{width:g}"), turned=turned)


def _tile(name: str, width: float, *inside: Svg, turned: float = 0.0) -> Svg:
    return element(
        "pattern",
        joined(inside),
        id=f"pat-{name}",
        width=width,
        height=width,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({turned:g})" if turned else None,
    )


def _ground(name: str, width: float) -> Svg:
    return element("rect", width=width, height=width, class_=f"pat-ground-{name}")


def _stroke(name: str, d: str) -> Svg:
    return element("path", d=d, class_=f"pat-line pat-line-{name}")


STYLES: tuple[str, ...] = (
    PATTERN_STYLE,
    marks.STYLE,
    tally.STYLE,
    tag.STYLE,
    say_bar.STYLE,
    rungs.STYLE,
    ladder.STYLE,
    looks.STYLE,
    cutaway.STYLE,
    ear.STYLE,
    film.STYLE,
    insets.STYLE,
    behaviours.STYLE,
    airline.STYLE,
    heights.STYLE,
    day_sheet.STYLE,
    part_frame.STYLE,
    openings.STYLE,
    strip_card.STYLE,
    true_size.STYLE,
    mains.STYLE,
    plate_lift.STYLE,
    plate_ring.STYLE,
    plate_idle.STYLE,
    plate_hill.STYLE,
)
"""The rules of every drawing module, in no order that matters: class names are prefixed."""


def picture_css() -> str:
    """Write the class rules of every picture as one sheet."""
    return "\n".join(STYLES)
