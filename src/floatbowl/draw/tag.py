"""The stop tag as it hangs on a bike: a card on a string, told by its shape, its stripes and its words."""

from __future__ import annotations

from floatbowl.draw.marks import path, text, wrapped
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.draw.tally import WIDTH as TALLY_WIDE
from floatbowl.draw.tally import strokes
from floatbowl.words.tag import STOP
from floatbowl.words.tally import tally_words

STYLE = (
    ".tag-card{fill:var(--tag);stroke:var(--ink);stroke-width:calc(2px*var(--thick));stroke-linejoin:round}"
    ".tag-stripe{fill:var(--ink)}"
    ".tag-hole{fill:var(--paper);stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".tag-string{fill:none;stroke:var(--ink);stroke-width:calc(1.6px*var(--thick));stroke-linecap:round}"
    ".tag-stop,.tag-line{font-family:Label,'Arial Narrow',sans-serif;font-weight:600;fill:var(--ink)}"
    ".tag-stop{font-size:34px;letter-spacing:.02em}.tag-line{font-size:20px}"
)

WIDE = 236.0
_LEFT, _RIGHT, _TOP = 10.0, 226.0, 18.0
_MIDDLE = (_LEFT + _RIGHT) / 2
_LINE = 20.0
_STRING = f"M{plain(_MIDDLE + 3)} 33Q{plain(_MIDDLE + 8)} 12 {plain(_MIDDLE + 30)} 2"
_ASKEW = -3.0
"""Degrees by which it hangs askew."""


def stop_tag(line: str, *, count: int | None = None) -> Svg:
    """Draw the tag: what it says under its head, and of the twenty how many where it counts them."""
    told = STOP.capitalize() + f": {tally_words(count, line) if count is not None else line}"
    lines = wrapped(line, width=_RIGHT - _LEFT - 24, height=_LINE)
    low = 122.0 + (_LINE + 2) * (len(lines) - 1)
    inside = [_middle(line, 122.0 + (_LINE + 2) * i, "tag-line") for i, line in enumerate(lines)]
    if count is not None:
        inside += [
            strokes(count, x=_MIDDLE - TALLY_WIDE / 2, y=low + 10),
            text(_MIDDLE, low + 50, tally_words(count), class_="mk-strong", anchor="middle"),
        ]
    foot = low + (62.0 if count is not None else 20.0)
    return picture(
        element("g", *_card(foot), *inside, transform=f"rotate({_ASKEW:g} {plain(_MIDDLE)} 30)"),
        path(_STRING, class_="tag-string"),
        view=(0, 0, WIDE, foot + 8.0),
        title=told,
        class_="tag-picture",
    )


def _middle(words: str, y: float, class_: str) -> Svg:
    """Write one line in the middle of the tag."""
    return element("text", words, x=_MIDDLE, y=y, class_=class_, text_anchor="middle")


def _card(foot: float) -> list[Svg]:
    return [
        element("rect", x=_LEFT, y=_TOP, width=_RIGHT - _LEFT, height=foot - _TOP, rx=8, class_="tag-card"),
        path(_stripes(), class_="tag-stripe"),
        element("circle", cx=_MIDDLE, cy=34, r=7, class_="tag-hole"),
        _middle(STOP, 98.0, "tag-stop"),
    ]


_BAND_TOP, _BAND_FOOT, _STRIPE, _LEAN = 50.0, 66.0, 15.0, 12.0


def _stripes() -> str:
    """Draw slanted stripes from edge to edge, cut off where the tag ends."""
    found, x = [], _LEFT - _LEAN
    while x < _RIGHT:
        corners = (
            (x + _LEAN, _BAND_TOP),
            (x + _LEAN + _STRIPE, _BAND_TOP),
            (x + _STRIPE, _BAND_FOOT),
            (x, _BAND_FOOT),
        )
        held = (f"{plain(min(_RIGHT, max(_LEFT, a)))} {plain(b)}" for a, b in corners)
        found.append(f"M{'L'.join(held)}Z")
        x += 2 * _STRIPE
    return "".join(found)
