"""The plots beside the derivations, drawn by the sums that they tell of, when the documents are made."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from floatbowl.draw.svg import Svg, element, line_path, picture
from floatbowl.flow.air import isa_density
from floatbowl.flow.holes import round_area, through_hole
from floatbowl.flow.needle import ring_area
from floatbowl.flow.slide import open_area
from floatbowl.units import MILLIMETRE, SQUARE_MILLIMETRE

WIDE, HIGH, LEFT, FOOT = 560.0, 300.0, 70.0, 46.0
STEPS = 80


def curve(
    value: Callable[[float], float], *, low: float, high: float, across: str, up: str, title: str
) -> Svg:
    """Draw one curve with its two scales."""
    at = np.linspace(low, high, STEPS)
    there = np.array([float(value(float(x))) for x in at])
    top, bottom = float(there.max()), min(0.0, float(there.min()))
    points = [
        (
            LEFT + (x - low) / (high - low) * (WIDE - LEFT - 20),
            HIGH - FOOT - (y - bottom) / (top - bottom) * (HIGH - FOOT - 20),
        )
        for x, y in zip(at, there, strict=True)
    ]
    frame = line_path([(LEFT, 14.0), (LEFT, HIGH - FOOT), (WIDE - 20, HIGH - FOOT)])
    told = [
        _text(LEFT, HIGH - FOOT + 18, f"{low:g}"),
        _text(WIDE - 20, HIGH - FOOT + 18, f"{high:g}", "end"),
        _text((LEFT + WIDE) / 2, HIGH - 8, across, "middle"),
        _text(LEFT - 8, 24, f"{top:.3g}", "end"),
        _text(LEFT - 8, HIGH - FOOT, f"{bottom:.3g}", "end"),
        _text(LEFT + 8, 14, up),
    ]
    lines: Sequence[Svg] = (
        element("path", d=frame, fill="none", stroke="var(--pencil)"),
        element("path", d=line_path(points), fill="none", stroke="var(--ink)", stroke_width=2),
    )
    return picture(*lines, *told, view=(0.0, 0.0, WIDE, HIGH), title=title)


def _text(x: float, y: float, words: str, anchor: str = "start") -> Svg:
    return element("text", words, x=x, y=y, text_anchor=anchor, font_size=14, fill="var(--ink)")


def _slide() -> Svg:
    return curve(
        lambda lift: (
            float(open_area(lift * MILLIMETRE, 26.0 * MILLIMETRE, 2.5 * MILLIMETRE)) / SQUARE_MILLIMETRE
        ),
        low=0.0,
        high=26.0,
        across="lift of the slide, mm, in a bore of 26",
        up="open area, mm\N{SUPERSCRIPT TWO}",
        title="Open area under the slide by its lift",
    )


def _needle() -> Svg:
    return curve(
        lambda across: float(ring_area(2.60 * MILLIMETRE, across * MILLIMETRE)) / SQUARE_MILLIMETRE,
        low=1.8,
        high=2.58,
        across="needle in the mouth of the jet, mm, jet 2.60",
        up="ring, mm\N{SUPERSCRIPT TWO}",
        title="Ring round the needle by its diameter",
    )


def _main_jet() -> Svg:
    area = float(round_area(1.10 * MILLIMETRE))
    return curve(
        lambda drop: 1e6 * float(through_hole(area, drop=1000.0 * drop, density=740.0, discharge=0.7)),
        low=0.0,
        high=8.0,
        across="pull at the jet, kPa",
        up="petrol through a hole of 1.10 mm, mg/s",
        title="Fuel through a main jet by the pull at it",
    )


def _carry() -> Svg:
    return curve(
        lambda height: float(isa_density(height)),
        low=0.0,
        high=3000.0,
        across="height, m",
        up="air, kg/m\N{SUPERSCRIPT THREE}, standard atmosphere",
        title="Thickness of the air by height",
    )


PLOTS: dict[str, Callable[[], Svg]] = {
    "docs/model/slide.md": _slide,
    "docs/model/needle.md": _needle,
    "docs/model/main_jet.md": _main_jet,
    "docs/model/carry.md": _carry,
}
"""The plot that stands at the foot of a page, by the page."""
