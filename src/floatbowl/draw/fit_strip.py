"""A dry fit as a strip: six rungs under each other, the twenty as they are and as they would be.

What is the same in every dry fit of a bike (rungs, bands, the twenty of now)
is drawn once, by ``fit_ground``, and only referred to: a take-along holds
dozens of strips.
"""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.draw.marks import line, path, text
from floatbowl.draw.rungs import REACH_PCT, across, beyond
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.bench import Row
from floatbowl.words.ladder import MUCH_SIDE, SHORT_SIDE, fuel_words

WIDE = 330.0
_STEP, _TOP, _TALL = 30.0, 4.0, 22.0
_LEFT, _CHART = 46.0, 240.0
GROUND = "fit-now"
"""The name under which the ground stands on its page."""


def fit_ground(rows: Sequence[Row]) -> Svg:
    """Draw what all strips share, to stand once on a page within ``<defs>``."""
    return element(
        "g",
        *(part for place, row in enumerate(rows) for part in _rung(row, _TOP + place * _STEP)),
        text(_LEFT, _foot(rows) + 16, SHORT_SIDE, class_="mk-pencil"),
        text(_LEFT + _CHART, _foot(rows) + 16, MUCH_SIDE, class_="mk-pencil", anchor="end"),
        id=GROUND,
    )


def fit_strip(rows: Sequence[Row], *, title: str) -> Svg:
    """Draw a dry fit over the ground of its page: blue the twenty with it, thin the twenty of now."""
    return picture(
        element("use", href=f"#{GROUND}"),
        path("".join(_strokes(row, place) for place, row in enumerate(rows)) or "M0 0", class_="rung-fit"),
        *(told for place, row in enumerate(rows) for told in _beyond(row, _TOP + place * _STEP)),
        view=(0, 0, WIDE, _foot(rows) + 22),
        title=title,
        described=" ".join(f"{row.at.value}, {fuel_words(row)}." for row in rows),
        class_="fit-strip mk-narrow",
    )


def _foot(rows: Sequence[Row]) -> float:
    return _TOP + _STEP * len(rows)


def _x(off_pct: float) -> float:
    return across(off_pct, left=_LEFT, width=_CHART)


def _rung(row: Row, top: float) -> list[Svg]:
    left, right = _x(-row.close_pct), _x(row.close_pct)
    band = element("rect", x=left, y=top, width=right - left, height=_TALL, class_="rung-band")
    return [
        text(_LEFT - 8, top + 17, row.at.value, class_="mk-strong", anchor="end"),
        band,
        line((_x(0), top), (_x(0), top + _TALL), class_="mk-centre"),
        path(_all_strokes(row, top) or "M0 0", class_="rung-was"),
    ]


def _strokes(row: Row, place: int) -> str:
    return _all_strokes(row, _TOP + place * _STEP)


def _all_strokes(row: Row, top: float) -> str:
    within = (off for off in row.off_pct if abs(off) <= REACH_PCT)
    return "".join(f"M{plain(_x(off))} {plain(top + 2)}v{plain(_TALL - 4)}" for off in within)


def _beyond(row: Row, top: float) -> list[Svg]:
    """Count those that lie beyond the chart, at its right."""
    short, much = beyond(row.off_pct)
    told = " ".join(
        word
        for word in (
            f"\N{LEFTWARDS ARROW}{short}" if short else "",
            f"{much}\N{RIGHTWARDS ARROW}" if much else "",
        )
        if word
    )
    return [text(_LEFT + _CHART + 4, top + 17, told, class_="mk-pencil")] if told else []
