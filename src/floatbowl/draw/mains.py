"""Which main jet at which height: bands up the hill, with home marked, for card and wall chart."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.draw.marks import line, text
from floatbowl.draw.svg import Svg, element, picture
from floatbowl.words.setup_card import MAINS, MainBand, mains_words

STYLE = (
    ".mh-band{fill:var(--card);stroke:var(--ink);stroke-width:calc(1.4px*var(--thick))}"
    ".mh-fitted{fill:var(--band)}"
    ".mh-stamp{font-family:Label,'Arial Narrow',sans-serif;font-stretch:condensed;font-size:24px;"
    "font-weight:500;fill:var(--ink)}"
    ".mh-stamp-fitted{font-weight:600;font-size:28px}"
)

WIDE, TALL = 200.0, 214.0
_LEFT, _RIGHT, _TOP, _FOOT = 66.0, 198.0, 2.0, 204.0
_STAMP_X = 158.0
_LEAST = 28.0
"""A band no thinner than this holds its stamp: bands are spread where they are thinner."""


def mains_picture(mains: Sequence[MainBand], *, home: float | None) -> Svg:
    """Draw the bands, sea at the foot. ``home`` is the height, m, at which the setup was set."""
    edges = _edges(mains)
    drawn = [_band(one, edges[i], edges[i + 1]) for i, one in enumerate(mains)]
    heights = [(one.low, edges[i + 1]) for i, one in enumerate(mains)]
    marks = [
        text(_LEFT - 8, y + 5.5, _height(height), class_="mk-strong", anchor="end") for height, y in heights
    ]
    return picture(
        *drawn,
        *marks,
        *([_home(mains, edges, home)] if mains and home is not None else []),
        view=(0.0, 0.0, WIDE, TALL),
        title=MAINS,
        described=mains_words(mains),
        class_="mains-picture",
    )


def _height(metres: float) -> str:
    return "sea" if metres <= 0.0 else f"{metres:,.0f} m"


def _edges(mains: Sequence[MainBand]) -> list[float]:
    """Give where the bands meet, from the top down: by height, but none too thin for its stamp."""
    total = sum(one.high - one.low for one in mains)
    room = _FOOT - _TOP - _LEAST * len(mains)
    edges = [_TOP]
    for one in mains:
        edges.append(edges[-1] + _LEAST + room * (one.high - one.low) / total)
    return edges


def _band(one: MainBand, top: float, foot: float) -> Svg:
    fitted = " mh-fitted" if one.is_fitted else ""
    stamp = " mh-stamp-fitted" if one.is_fitted else ""
    middle = (top + foot) / 2
    return element(
        "g",
        element("rect", x=_LEFT, y=top, width=_RIGHT - _LEFT, height=foot - top, class_=f"mh-band{fitted}"),
        element("text", one.stamp, x=_STAMP_X, y=middle + 9, text_anchor="middle", class_=f"mh-stamp{stamp}"),
    )


def _home(mains: Sequence[MainBand], edges: Sequence[float], home: float) -> Svg:
    """Mark the height of home on the bands' edge with a dot and an arm, so that no colour is needed."""
    y = _FOOT
    for i, one in enumerate(mains):
        if one.low <= home <= one.high:
            share = (one.high - home) / max(one.high - one.low, 1.0)
            y = edges[i] + share * (edges[i + 1] - edges[i])
    dot = element("circle", cx=_LEFT, cy=y, r=5.0, class_="mk-solid")
    arm = line((_LEFT, y), (_LEFT + 20.0, y), class_="mk-outline")
    name = text(_LEFT + 24.0, y + 5.5, "home", class_="mk-strong")
    return element("g", arm, dot, name)
