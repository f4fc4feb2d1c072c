"""Plate 2: who has the say, from full down to shut, each bar with the bore as far open as it is there."""

from __future__ import annotations

from floatbowl.belief.belief import PARTS, Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.marks import text
from floatbowl.draw.openings import opening_sketch
from floatbowl.draw.say_bar import named, pattern_of
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.bench import say_percents
from floatbowl.words.ladder import SAY
from floatbowl.words.names import LETTER, SAYER

WIDE, TALL = 680.0, 500.0
_LEFT, _RIGHT, _TOP, _STEP, _BAR = 120.0, 672.0, 20.0, 70.0, 50.0
_FITS = 46.0
"""A field narrower than this holds no figure."""
_KEY_Y = 472.0


def say_plate(belief: Belief) -> Svg:
    """Draw the say at every opening with its figures, and the key of the patterns."""
    rungs = list(reversed(RUNGS))
    told = [
        f"{at.value}: "
        + ", ".join(f"{SAYER[part]} {pct} %" for part, pct in zip(PARTS, _pct(belief, at), strict=True))
        for at in rungs
    ]
    return picture(
        *(_row(belief, at, _TOP + _STEP * i) for i, at in enumerate(rungs)),
        *_key(),
        view=(0.0, 0.0, WIDE, TALL),
        title=SAY.capitalize(),
        described=". ".join(told) + ".",
        class_="plate",
    )


def _pct(belief: Belief, at: Rung) -> tuple[int, ...]:
    return say_percents(belief.say[RUNGS.index(at)])


def _row(belief: Belief, at: Rung, top: float) -> Svg:
    middle = top + _BAR / 2
    sketch = opening_sketch(at).replace(
        "<svg ", f'<svg x="56" y="{plain(top - 2)}" width="54" height="54" ', 1
    )
    return element(
        "g",
        text(50, middle + 7, at.value, class_="mk-strong mk-big", anchor="end"),
        Svg(sketch),
        *_fields(_pct(belief, at), top),
    )


def _fields(shares: tuple[int, ...], top: float) -> list[Svg]:
    drawn, x = [], _LEFT
    for part, pct in zip(PARTS, shares, strict=True):
        wide = (_RIGHT - _LEFT) * pct / 100.0
        if pct:
            fill = pattern_of(part)
            drawn.append(element("rect", x=x, y=top, width=wide, height=_BAR, fill=fill, class_="say-part"))
            if wide >= _FITS:
                told = f"{LETTER[part]} {pct}"
                drawn.append(named(part, told, x + wide / 2, top + _BAR / 2, wide=40.0))
        x += wide
    return drawn


def _key() -> list[Svg]:
    drawn = []
    for i, part in enumerate(PARTS):
        x = _LEFT + 142.0 * i
        swatch = element(
            "rect", x=x, y=_KEY_Y - 18, width=30, height=24, fill=pattern_of(part), class_="say-part"
        )
        drawn += [
            swatch,
            text(x + 38, _KEY_Y, f"{LETTER[part]}  {SAYER[part].removeprefix('the ')}", class_="mk-strong"),
        ]
    return drawn
