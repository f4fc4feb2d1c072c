"""What the ear heard: the swells of a recording as shades, and the line of engine speed through them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from floatbowl.draw.marks import box, line, path, text
from floatbowl.draw.shaded import shaded
from floatbowl.draw.svg import Point, Svg, element, line_path, picture

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from floatbowl.signs.ear.track import Track

    Shades = NDArray[np.float32]

STYLE = (
    ".ear-line{fill:none;stroke:var(--position);stroke-linejoin:round;stroke-width:calc(2.4px*var(--thick))}"
    ".ear-halo{fill:none;stroke:var(--paper);stroke-linejoin:round;stroke-width:calc(6px*var(--thick));"
    "opacity:.75}"
    ".ear-lost{stroke-dasharray:3 4}"
    ".ear-doubt{fill:var(--position);opacity:.22;stroke:none}"
    ".ear-rule{stroke:var(--rule);stroke-width:1px}"
)

WIDE, HIGH = 760.0, 420.0
LEFT, TOP, RIGHT, BOTTOM = 70.0, 40.0, 16.0, 52.0
ROWS = 240
_STEPS = (100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
_SECONDS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 60.0)


def highest_rpm(track: Track) -> float:
    """Give how far up the picture goes: to twice what was heard, so that the doubles show."""
    return float(2.2 * max(1000.0, track.rpm.max() if len(track.rpm) else 1000.0))


@dataclass(frozen=True, slots=True)
class _Scale:
    seconds: float
    rpm: float

    def at(self, seconds: float, rpm: float) -> Point:
        across = LEFT + (WIDE - LEFT - RIGHT) * seconds / self.seconds
        return across, TOP + (HIGH - TOP - BOTTOM) * (1.0 - rpm / self.rpm)


def heard_picture(track: Track, shades: Shades, *, title: str, described: str) -> Svg:
    """Draw a track over the shades it was found in; ``shades`` reach from nought to ``highest_rpm``."""
    scale = _Scale(track.length, highest_rpm(track))
    ground = shaded(shades, left=LEFT, top=TOP, width=WIDE - LEFT - RIGHT, height=HIGH - TOP - BOTTOM)
    parts = [text(LEFT, 26.0, title, class_="mk-strong"), *_rules(scale), ground]
    if track.is_told:
        parts += _line(track, scale)
    parts.append(box(LEFT, TOP, WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM, class_="mk-line"))
    return picture(
        *parts, view=(0.0, 0.0, WIDE, HIGH), title=title, described=described, width=WIDE, height=HIGH
    )


def _line(track: Track, scale: _Scale) -> list[Svg]:
    """Draw the line over a light edge and its doubt as a band; where it was only carried on, dashed."""
    points = [scale.at(*one) for one in zip(track.seconds.tolist(), track.rpm.tolist(), strict=True)]
    edges = zip(track.seconds.tolist(), track.rpm.tolist(), track.spread.tolist(), strict=True)
    band = list(edges)
    upper = [scale.at(second, rpm + 2.0 * spread) for second, rpm, spread in band]
    lower = [scale.at(second, rpm - 2.0 * spread) for second, rpm, spread in reversed(band)]
    drawn = [path(line_path(points), class_="ear-halo")]
    drawn.append(path(line_path([*upper, *lower], is_closed=True), class_="ear-doubt"))
    for first, last, is_heard in _runs(track.is_heard.tolist()):
        kind = "ear-line" if is_heard else "ear-line ear-lost"
        drawn.append(path(line_path(points[max(0, first - 1) : last]), class_=kind))
    return drawn


def _runs(heard: Sequence[bool]) -> list[tuple[int, int, bool]]:
    """Give the stretches that were heard, and those that were not."""
    cuts = [0, *(k for k in range(1, len(heard)) if heard[k] != heard[k - 1]), len(heard)]
    return [(first, last, heard[first]) for first, last in pairwise(cuts) if last > first]


def _rules(scale: _Scale) -> list[Svg]:
    up, along = _step(scale.rpm, _STEPS, 7), _step(scale.seconds, _SECONDS, 11)
    drawn: list[Svg] = []
    for k in range(1, int(scale.rpm / up) + 1):
        x, y = scale.at(0.0, k * up)
        drawn += [line((x, y), (WIDE - RIGHT, y), class_="ear-rule")]
        drawn += [text(x - 8.0, y + 5.0, f"{k * up:.0f}", anchor="end")]
    for k in range(int(scale.seconds / along) + 1):
        x, y = scale.at(k * along, 0.0)
        drawn += [
            line((x, TOP), (x, y), class_="ear-rule"),
            text(x, y + 20.0, f"{k * along:g}", anchor="middle"),
        ]
    drawn.append(text(WIDE - RIGHT, HIGH - 10.0, "seconds", anchor="end", class_="mk-pencil"))
    drawn.append(element("g", text(LEFT - 8.0, TOP - 12.0, "rpm", anchor="end", class_="mk-pencil")))
    return drawn


def _step(most: float, steps: Sequence[float], count: int) -> float:
    return next((step for step in steps if most / step <= count), steps[-1])
