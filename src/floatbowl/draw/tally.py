"""The twenty as a tally in fives: solid strokes for those counted, dotted ones for the rest."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.belief.belief import OF
from floatbowl.draw.marks import NARROW_LETTER_HEIGHT, path, text, wrapped
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.tally import tally_words

STYLE = (
    ".tal-counted,.tal-rest{fill:none;stroke-linecap:round}"
    ".tal-counted{stroke:var(--ink);stroke-width:calc(3.2px*var(--thick))}"
    ".tal-rest{stroke:var(--pencil);stroke-width:calc(1.4px*var(--thick));stroke-dasharray:.1 4}"
    ".tal-rule{stroke:var(--rule);stroke-width:1px}"
)

PITCH, GAP, FIVE = 6.5, 7.0, 5
HEIGHT, LEAN = 20.0, 3.0
WIDTH = (OF - 1) * PITCH + (OF // FIVE - 1) * GAP + LEAN + 4.0


def strokes(count: int, *, x: float = 0.0, y: float = 0.0) -> Svg:
    """Draw the twenty strokes from their upper left corner, ``count`` of them solid."""
    counted = "".join(_stroke(place, x, y) for place in range(count))
    rest = "".join(_stroke(place, x, y) for place in range(count, OF))
    inked = [path(counted, class_="tal-counted")] if counted else []
    return element("g", *inked, *([path(rest, class_="tal-rest")] if rest else []))


def _stroke(place: int, x: float, y: float) -> str:
    foot = x + 2.0 + place * PITCH + place // FIVE * GAP
    return f"M{plain(foot + LEAN)} {plain(y + 2)}L{plain(foot)} {plain(y + HEIGHT - 2)}"


def tally(count: int, *, of_what: str = "") -> Svg:
    """Draw one tally by itself; it is read as ``13 in 20``, never stroke by stroke."""
    return picture(
        strokes(count),
        view=(0, 0, WIDTH, HEIGHT),
        title=tally_words(count, of_what),
        class_="tal-picture",
        width=WIDTH,
        height=HEIGHT,
    )


Counted = tuple[str, int]
"""Words, and how many of the twenty they hold for."""

ROWS_WIDE = 320.0
_COUNT_WIDE = 64.0
_NAME_WIDE = ROWS_WIDE - WIDTH - _COUNT_WIDE
_ROW_PAD, _LEADING = 12.0, 21.0


def tally_rows(rows: Sequence[Counted], *, title: str) -> Svg:
    """Draw suspects, or what to expect: a name, its tally, and the count in figures, one row each."""
    drawn, y = [], 0.0
    for words, count in rows:
        names = wrapped(words, width=_NAME_WIDE, height=NARROW_LETTER_HEIGHT)
        height = max(HEIGHT + _ROW_PAD, _LEADING * len(names) + _ROW_PAD)
        drawn.append(_row(names, count, y, height))
        y += height
    told = "; ".join(tally_words(count, words) for words, count in rows)
    return picture(
        *drawn, view=(0, 0, ROWS_WIDE, y), title=title, described=told, class_="tal-rows mk-narrow"
    )


def _row(names: Sequence[str], count: int, top: float, height: float) -> Svg:
    middle = top + height / 2
    first = middle - _LEADING * (len(names) - 1) / 2 + 0.35 * NARROW_LETTER_HEIGHT
    lines = [text(0, first + _LEADING * i, name, class_="mk-strong") for i, name in enumerate(names)]
    tallied = strokes(count, x=_NAME_WIDE, y=middle - HEIGHT / 2)
    told = text(
        ROWS_WIDE, middle + 0.35 * NARROW_LETTER_HEIGHT, tally_words(count), class_="mk-strong", anchor="end"
    )
    rule = path(f"M0 {plain(top + height)}H{plain(ROWS_WIDE)}", class_="tal-rule")
    return element("g", *lines, tallied, told, rule)
