"""Plate 6: four bikes by what they do: engine speed over time, as on the ride note, each with its number."""

from __future__ import annotations

from typing import cast

from floatbowl.draw.behaviours import behaviour_sketch
from floatbowl.draw.marks import text, wrapped
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.signs.trial import Behaviour
from floatbowl.words.chart import CASES

WIDE, TALL = 680.0, 500.0
_EACH_WIDE, _EACH_TALL = 332.0, 244.0


def fault_plate() -> Svg:
    """Draw the four cases, two by two."""
    drawn = [
        _case(
            i + 1,
            cast("Behaviour", did),
            told,
            x=(i % 2) * (_EACH_WIDE + 14.0) + 1.0,
            y=(i // 2) * (_EACH_TALL + 10.0) + 1.0,
        )
        for i, (did, told, _, _) in enumerate(CASES)
    ]
    return picture(
        *drawn,
        view=(0.0, 0.0, WIDE, TALL),
        title="Fault or jetting: four bikes",
        described=" ".join(f"{i}. {told}" for i, (_, told, _, _) in enumerate(CASES, start=1)),
        class_="plate",
    )


def _case(number: int, did: Behaviour, told: str, *, x: float, y: float) -> Svg:
    sketch = behaviour_sketch(did).replace(
        "<svg ", f'<svg x="{plain(x + 66)}" y="{plain(y + 14)}" width="236" height="140" ', 1
    )
    lines = wrapped(told, width=_EACH_WIDE - 40, height=18.0)
    return element(
        "g",
        element("rect", x=x, y=y, width=_EACH_WIDE, height=_EACH_TALL, class_="mk-line"),
        element("circle", cx=x + 34, cy=y + 36, r=18, class_="bal-disc"),
        element("text", str(number), x=x + 34, y=y + 43, text_anchor="middle", class_="bal-number"),
        Svg(sketch),
        *(text(x + 20, y + 184 + 23 * i, words, class_="mk-strong mk-big") for i, words in enumerate(lines)),
    )
