"""Who has the say at one rung, as a bar: a field, a pattern and a letter for each part."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.belief.belief import PARTS
from floatbowl.draw.marks import box, text
from floatbowl.draw.svg import Svg, element
from floatbowl.words.names import LETTER

STYLE = (
    ".say-part{stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
    ".say-tab{fill:var(--card);stroke:var(--ink);stroke-width:1px}"
    ".say-on-main{fill:var(--main-text)}"
)

LETTER_WIDE = 21.0
"""A part narrower than this goes without its letter: its neighbours and its pattern tell it."""


def pattern_of(part: str) -> str:
    """Name the fill of a part: a pattern that the page holds."""
    return f"url(#pat-{part})"


def say_bar(say_pct: Sequence[int], *, left: float, top: float, width: float, height: float) -> Svg:
    """Draw the parts side by side, as wide as their say, in the order of ``PARTS``."""
    drawn, x = [], left
    for part, pct in zip(PARTS, say_pct, strict=True):
        wide = width * pct / 100.0
        if pct:
            bar = element(
                "rect", x=x, y=top, width=wide, height=height, fill=pattern_of(part), class_="say-part"
            )
            drawn.append(bar)
            if wide >= LETTER_WIDE:
                drawn.append(named(part, LETTER[part], x + wide / 2, top + height / 2))
        x += wide
    return element("g", *drawn)


def named(part: str, words: str, x: float, y: float, *, wide: float = LETTER_WIDE - 3.0) -> Svg:
    """Write a part's letter or name onto its field, on a tab so that the pattern does not blur it."""
    if part == "main":
        return text(x, y + 6.0, words, class_="mk-strong say-on-main", anchor="middle")
    tab = box(x - wide / 2, y - 8.5, wide, 17.0, class_="say-tab")
    return element("g", tab, text(x, y + 6.0, words, class_="mk-strong", anchor="middle"))
