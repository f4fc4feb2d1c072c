"""A picture that stands alone, as a file or on paper: it brings its inks, its patterns and its ground."""

from __future__ import annotations

from floatbowl.draw.palette import Theme, variables
from floatbowl.draw.style import pattern_defs, picture_css
from floatbowl.draw.svg import Svg, element


def alone(picture: Svg, *, theme: Theme = "paper") -> Svg:
    """Put ink, patterns and paper into a picture, right behind its opening tag."""
    opening, rest = picture.split(">", 1)
    style = element(
        "style", Svg(f"svg{{{variables(theme)}}}.alone-paper{{fill:var(--paper)}}{picture_css()}")
    )
    ground = element("rect", width="100%", height="100%", class_="alone-paper")
    return Svg(f"{opening}>{style}{pattern_defs()}{ground}{rest}")
