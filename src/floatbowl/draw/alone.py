"""A picture that stands alone, as a file or on paper: it brings its inks, its patterns and its ground."""

from __future__ import annotations

import re

from floatbowl.draw.palette import Theme, variables
from floatbowl.draw.style import pattern_defs, picture_css
from floatbowl.draw.svg import Svg, element


def alone(picture: Svg, *, theme: Theme = "paper") -> Svg:
    """Put ink, patterns and paper into a picture, right behind its opening tag."""
    opening, rest = picture.split(">", 1)
    style = element(
        "style", Svg(f"svg{{{variables(theme)}}}.alone-paper{{fill:var(--paper)}}{picture_css()}")
    )
    ground = _ground(opening)
    return Svg(f"{opening}>{style}{pattern_defs()}{ground}{rest}")


def _ground(opening: str) -> Svg:
    """Lay paper under the whole window, wherever it begins; a picture without a window has its own size."""
    window = re.search(r'viewBox="(\S+) (\S+) (\S+) (\S+)"', opening)
    x, y, width, height = window.groups() if window else ("0", "0", "100%", "100%")
    return element("rect", x=x, y=y, width=width, height=height, class_="alone-paper")
