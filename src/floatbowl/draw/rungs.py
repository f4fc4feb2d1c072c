"""The ladder on a phone: one picture a rung, and the small ladder of the garage."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.draw.marks import arrow_head, box, line, path, text
from floatbowl.draw.say_bar import say_bar
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.bench import Row
from floatbowl.words.ladder import MUCH_SIDE, SHORT_SIDE, rung_words
from floatbowl.words.names import ALOUD

STYLE = (
    ".rung-band{fill:var(--band)}"
    ".rung-close{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick));stroke-dasharray:2 3}"
    ".rung-one{fill:none;stroke:var(--ink);stroke-width:calc(1.6px*var(--thick))}"
    ".rung-was{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick));opacity:.6}"
    ".rung-fit{fill:none;stroke:var(--fit);stroke-width:calc(2px*var(--thick));stroke-dasharray:5 2}"
    ".rung-most{fill:none;stroke:var(--pencil);stroke-width:calc(6px*var(--thick));stroke-linecap:round}"
    ".rung-tick{fill:none;stroke:var(--ink);stroke-width:calc(3px*var(--thick))}"
    ".rung-rule{fill:none;stroke:var(--rule);stroke-width:1px}"
)

REACH_PCT = 15.0
"""Charts of fuel show this much short to this much too much; what lies beyond is counted at the edge."""

WIDE, TALL = 300.0, 56.0
_BAR_TALL, _CHART_TOP = 22.0, 27.0
_LANE = 36.0
"""Room at either side where those beyond the reach are counted."""


def rung_row(row: Row, *, before: Row | None = None) -> Svg:
    """Draw one rung: who has the say, and the twenty as strokes over the band.

    ``before`` is the rung as it is now, when ``row`` is that of a dry fit.
    """
    return picture(
        say_bar(row.say_pct, left=0.5, top=0.5, width=WIDE - 1.0, height=_BAR_TALL),
        _band(row),
        *(
            [_twenty(before.off_pct, class_="rung-was"), _twenty(row.off_pct, class_="rung-fit")]
            if before
            else [_twenty(row.off_pct, class_="rung-one")]
        ),
        *_beyond(row.off_pct),
        view=(0, 0, WIDE, TALL),
        title=ALOUD[row.at],
        described=rung_words(row),
        class_="rung-picture mk-narrow",
    )


def across(off_pct: float, *, left: float, width: float) -> float:
    """Give where so many per cent short or too much stand on a chart; what is beyond stands at its edge."""
    held = min(REACH_PCT, max(-REACH_PCT, off_pct))
    return left + width * (held + REACH_PCT) / (2.0 * REACH_PCT)


def _x(off_pct: float) -> float:
    return across(off_pct, left=_LANE, width=WIDE - 2.0 * _LANE)


def _band(row: Row) -> Svg:
    return _close_enough(_x(-row.close_pct), _x(0), _x(row.close_pct), top=_CHART_TOP, foot=TALL)


def _close_enough(left: float, middle: float, right: float, *, top: float, foot: float) -> Svg:
    """Draw the field that is close enough, with its edges and the middle."""
    edges = f"M{plain(left)} {plain(top)}V{plain(foot)}M{plain(right)} {plain(top)}V{plain(foot)}"
    return element(
        "g",
        box(left, top, right - left, foot - top, class_="rung-band"),
        path(edges, class_="rung-close"),
        line((middle, top), (middle, foot), class_="mk-centre"),
    )


def _twenty(off_pct: Sequence[float], *, class_: str) -> Svg:
    top, foot = plain(_CHART_TOP + 4), plain(TALL - 4)
    within = (off for off in off_pct if abs(off) <= REACH_PCT)
    return path("".join(f"M{plain(_x(off))} {top}V{foot}" for off in within) or "M0 0", class_=class_)


def _beyond(off_pct: Sequence[float]) -> list[Svg]:
    """Count those that lie beyond the reach, with an arrow to their side."""
    short, much = beyond(off_pct)
    middle = (_CHART_TOP + TALL) / 2
    drawn = []
    if short:
        words = text(12, middle + 5.5, f"{short}", class_="mk-strong")
        drawn += [arrow_head((1, middle), along=(-1, 0)), words]
    if much:
        words = text(WIDE - 12, middle + 5.5, f"{much}", class_="mk-strong", anchor="end")
        drawn += [arrow_head((WIDE - 1, middle), along=(1, 0)), words]
    return drawn


def beyond(off_pct: Sequence[float]) -> tuple[int, int]:
    """Count those that are further short, and those that have further too much, than a chart shows."""
    return sum(off < -REACH_PCT for off in off_pct), sum(off > REACH_PCT for off in off_pct)


# --- the small ladder of the garage ------------------------------------------------------------------------

SMALL_WIDE, SMALL_TALL = 300.0, 206.0
_LABELS, _STEP, _FIRST = 50.0, 30.0, 16.0
_SMALL_RIGHT = SMALL_WIDE - 8.0
_SIDE = 16.0
"""Room for the arrow that points to what lies beyond."""
_TRIMMED = 2
"""Of the twenty in order, this many at either end are left out of the thick bar: sixteen stay."""


def small_ladder(rows: Sequence[Row], *, title: str) -> Svg:
    """Draw six rungs, each with a bar over the middle sixteen of the twenty and a tick at the middle one."""
    foot = _FIRST + _STEP * (len(rows) - 1) + 15.0
    return picture(
        _small_band(rows),
        *(_small_rung(row, _FIRST + _STEP * i) for i, row in enumerate(rows)),
        text(_LABELS, foot + 17, SHORT_SIDE, class_="mk-pencil"),
        text(_SMALL_RIGHT, foot + 17, MUCH_SIDE, class_="mk-pencil", anchor="end"),
        view=(0, 0, SMALL_WIDE, SMALL_TALL),
        title=title,
        described=" ".join(row.sentence for row in rows),
        class_="rung-small mk-narrow",
    )


def _small_x(off_pct: float) -> float:
    return across(off_pct, left=_LABELS + _SIDE, width=_SMALL_RIGHT - _LABELS - 2 * _SIDE)


def _small_band(rows: Sequence[Row]) -> Svg:
    foot = _FIRST + _STEP * (len(rows) - 1) + 13.0
    wide = max(row.close_pct for row in rows)
    return _close_enough(_small_x(-wide), _small_x(0), _small_x(wide), top=3.0, foot=foot)


def _small_rung(row: Row, y: float) -> Svg:
    least, middle, most = middle_sixteen(row.off_pct)
    left, right = _small_x(least), _small_x(most)
    return element(
        "g",
        text(_LABELS - 8, y + 5.5, row.at.value, class_="mk-strong", anchor="end"),
        line((_LABELS, y), (_SMALL_RIGHT, y), class_="rung-rule"),
        line((left, y), (max(right, left + 0.1), y), class_="rung-most"),
        line((_small_x(middle), y - 9), (_small_x(middle), y + 9), class_="rung-tick"),
        *_arrow_beyond(middle, y),
    )


def _arrow_beyond(middle: float, y: float) -> list[Svg]:
    """Say with an arrow that the middle one lies beyond what is shown."""
    if abs(middle) <= REACH_PCT:
        return []
    side = 1.0 if middle > 0 else -1.0
    return [arrow_head((_small_x(middle) + 14 * side, y), along=(side, 0))]


def middle_sixteen(off_pct: Sequence[float]) -> tuple[float, float, float]:
    """Give the least and most of the middle sixteen of the twenty, and the middle between them all.

    >>> middle_sixteen([float(n) for n in range(20)])
    (2.0, 9.5, 17.0)
    """
    order = sorted(off_pct)
    half = len(order) // 2
    return order[_TRIMMED], (order[half - 1] + order[half]) / 2.0, order[-1 - _TRIMMED]
