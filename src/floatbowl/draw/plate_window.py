"""A window on the cut-away for a plate: a part of the carburettor, as large as it takes."""

from __future__ import annotations

from floatbowl.belief.belief import Belief
from floatbowl.draw.cutaway import Cutaway, layers
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.cutaway_spray import shares_of
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg, element, plain


def window(
    belief: Belief, frame: Frame, *, lift_mm: float | None, at: tuple[float, float], has_air: bool = True
) -> Svg:
    """Draw what lies in the frame, its upper left corner at a place of the plate; its edges cut it off."""
    section, travel = set_out(belief.bike, belief.setup, lift_mm=lift_mm, belief=belief)
    one = Cutaway(
        bike=belief.bike,
        setup=belief.setup,
        section=section,
        travel=travel,
        frame=frame,
        shares=shares_of(belief, travel) if has_air else None,
        margin=0.0,
    )
    x, y = at
    box = {"x": x, "y": y, "width": frame.width, "height": frame.height}
    inside = element(
        "svg", *layers(one, has_air=has_air), viewBox=f"0 0 {plain(frame.width)} {plain(frame.height)}", **box
    )
    return element("g", inside, element("rect", class_="mk-line", **box))
