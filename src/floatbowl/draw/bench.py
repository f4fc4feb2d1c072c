"""The bench, wide: cut-away, projection and ladder as one picture in one system of coordinates.

The cut-away keeps its own coordinates at its natural size and stands at the
left; the ladder is told where the floor of its bore is and how many units a
millimetre has, and enlarges that scale by its projection lines.
"""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.belief.belief import Belief
from floatbowl.bike.setup import Setup
from floatbowl.draw.cutaway import MARGIN, cutaway, frame_of
from floatbowl.draw.ladder import FOOT, LADDER_TITLE, BoreScale, Frame, Ladder, ladder_drawing
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg, picture, plain
from floatbowl.words.bench import Row
from floatbowl.words.drawing import cutaway_title
from floatbowl.words.ladder import ladder_description

WIDE = 1240.0
_CROPPED = 40.0
"""Empty margin left of the cut-away's labels that the bench does without."""
_SCALE_X = 736.0
_FROM_X = 622.0
"""Where the air leaves the cut-away: the line from the slide's edge begins there."""


def bench_picture(
    belief: Belief,
    rows: Sequence[Row],
    *,
    lift_mm: float | None = None,
    tried: Sequence[Row] | None = None,
    setup: Setup | None = None,
) -> Svg:
    """Draw the bench. On a dry fit ``tried`` are the rows and ``setup`` the parts that are tried."""
    bike, fitted = belief.bike, setup or belief.setup
    section, travel = set_out(bike, fitted, lift_mm=lift_mm, belief=belief)
    window = frame_of(section, "whole", margin=MARGIN)
    tall = max(window.height, _LADDER_TOP + _LADDER_TALL + FOOT)
    floor = window.place((0.0, 0.0))[1]
    ladder = Ladder(
        rows=rows,
        travel=travel,
        bore=BoreScale(x=_SCALE_X, floor_y=floor, per_mm=window.scale, from_x=_FROM_X),
        frame=_FRAME,
        tried=tried,
    )
    return picture(
        _set_in(cutaway(bike, fitted, lift_mm=lift_mm, belief=belief), window.width, window.height),
        ladder_drawing(ladder),
        view=(_CROPPED, 0.0, WIDE, tall),
        title=f"{cutaway_title(bike)}. {LADDER_TITLE}",
        described=ladder_description(ladder.shown),
        class_="bench-picture",
        data_lift=f"{travel.lift:.4f}",
        data_shut_lift=f"{travel.shut:.4f}",
        data_full_lift=f"{travel.full:.4f}",
    )


_LADDER_LEFT, _LADDER_TOP, _LADDER_TALL = 786.0, 60.0, 500.0
_FRAME = Frame(
    left=_LADDER_LEFT,
    top=_LADDER_TOP,
    height=_LADDER_TALL,
    scale_wide=64.0,
    say_wide=112.0,
    fuel_wide=174.0,
    did_wide=WIDE + _CROPPED - _LADDER_LEFT - 64.0 - 112.0 - 174.0 - 24.0,
    gap=12.0,
)


def _set_in(drawing: Svg, width: float, height: float) -> Svg:
    """Set a whole picture into a larger one at its natural size, at its upper left corner."""
    return Svg(
        drawing.replace("<svg ", f'<svg x="0" y="0" width="{plain(width)}" height="{plain(height)}" ', 1)
    )
