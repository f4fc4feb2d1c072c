"""The pictures of docs/validity.md about the belief: histograms of ranks, counts told and come true."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binom

from tests.belief.calibrated import Told

Array = NDArray[np.float64]

_SURE = 0.99
"""Share of honest bars that the grey band holds."""
_WIDE, _HIGH, _GAP, _HEAD = 128, 74, 14, 48
_INK, _BAR, _BAND, _LINE = "#222", "#5b7f9e", "#dcdcdc", "#999"


def rank_histograms(rows: Sequence[tuple[str, Sequence[str], Array]], *, bins: int) -> str:
    """Draw histograms: each row has a name, the names of its columns, and ranks (case, column)."""
    panels = []
    for row, (name, columns, ranks) in enumerate(rows):
        top = _HEAD + 14 + row * (_HIGH + _HEAD)
        panels.append(_text(8, top - 18, name, size=12))
        for place, column in enumerate(columns):
            left = 8 + place * (_WIDE + _GAP)
            panels.append(_histogram(left, top, ranks[:, place], bins=bins))
            panels.append(_text(left, top - 4, column, size=10))
    most = max(len(columns) for _, columns, _ in rows)
    title = "Rank of the truth among the likely bikes; grey holds 99 in 100 bars of an honest belief"
    return _picture(
        [_text(8, 16, title, size=13), *panels],
        wide=8 + most * (_WIDE + _GAP),
        high=_HEAD + len(rows) * (_HIGH + _HEAD),
    )


def _histogram(left: float, top: float, ranks: Array, *, bins: int) -> str:
    counts = np.histogram(ranks, bins=bins, range=(0.0, 1.0))[0]
    even = len(ranks) / bins
    low, high = (binom.ppf(share, len(ranks), 1.0 / bins) for share in (0.5 - _SURE / 2, 0.5 + _SURE / 2))
    scale = _HIGH / max(2.0 * even, float(counts.max()), float(high))
    wide = _WIDE / bins

    def down(count: float) -> float:
        return top + _HIGH - scale * count

    bars = [
        _box(left + k * wide + 0.5, down(n), wide - 1.0, scale * n, fill=_BAR) for k, n in enumerate(counts)
    ]
    band = _box(left, down(high), _WIDE, scale * (high - low), fill=_BAND)
    return "".join([band, *bars, _line(left, down(even), left + _WIDE, down(even))])


def counts_against(panels: Sequence[tuple[str, Iterable[Told]]]) -> str:
    """Draw what was told in 20 against what came true, one panel for each kind of telling."""
    side, parts = 300, [_text(8, 16, "Told in 20 (across), came true in 20 (up)", size=13)]
    for place, (name, rows) in enumerate(panels):
        left, top = 34 + place * (side + 44), 44
        parts.append(_text(left, top - 8, name, size=12))
        parts.append(_counts_panel(left, top, side, rows))
    return _picture(parts, wide=34 + len(panels) * (side + 44), high=44 + side + 34)


def _counts_panel(left: float, top: float, side: float, rows: Iterable[Told]) -> str:
    def at(told: float, came: float) -> tuple[float, float]:
        return left + side * told / 20.0, top + side * (1.0 - came / 20.0)

    corners = [at(0, 0), at(0, 2), at(18, 20), at(20, 20), at(20, 18), at(2, 0)]
    outline = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    parts = [f'<polygon points="{outline}" fill="{_BAND}"/>', _line(*at(0, 0), *at(20, 20))]
    for tick in (0, 5, 10, 15, 20):
        parts.append(_text(at(tick, 0)[0], top + side + 16, str(tick), size=10, anchor="middle"))
        parts.append(_text(left - 6, at(0, tick)[1] + 4, str(tick), size=10, anchor="end"))
    for row in rows:
        x, y = at(row.told, row.came)
        low, high = (
            at(row.told, max(0.0, row.came - 2 * row.error)),
            at(row.told, min(20.0, row.came + 2 * row.error)),
        )
        parts.append(_line(*low, *high, stroke=_BAR))
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="{_BAR}"/>')
    frame = f'<rect x="{left}" y="{top}" width="{side}" height="{side}" fill="none" stroke="{_LINE}"/>'
    return "".join([*parts, frame])


_DASHES = ("1 3", "6 2 1 2", "7 3", "3 2", "10 2", "")
"""One for each rung from shut to full."""


def heights_of(
    panels: Sequence[tuple[str, Array]],
    *,
    names: Sequence[str],
    heights: Sequence[float],
    rule: Sequence[float],
) -> str:
    """Draw fuel against height, one panel a bike with a line for each rung (height, rung), and the rule.

    Up is per cent too much, with nothing changed on the bike; the grey line is the square-root rule.
    """
    wide, high, across = 190, 130, 4
    low, most = -8.0, 28.0
    head = "Per cent too much fuel up a hill, mild day, nothing changed; wide and grey: the square-root rule"
    parts = [_text(8, 16, head, size=13)]
    for k, name in enumerate(names):
        parts += [_way([(8 + 90 * k, 32), (38 + 90 * k, 32)], dash=_DASHES[k])]
        parts += [_text(44 + 90 * k, 36, name, size=11)]
    for place, (name, fuel) in enumerate(panels):
        left, top = 34 + (place % across) * (wide + 34), 66 + (place // across) * (high + 46)

        def at(height: float, per_cent: float, left: float = left, top: float = top) -> tuple[float, float]:
            share = (per_cent - low) / (most - low)
            return left + wide * height / heights[-1], top + high * (1.0 - share)

        parts.append(_text(left, top - 6, name, size=11))
        parts.append(
            f'<rect x="{left}" y="{top}" width="{wide}" height="{high}" fill="none" stroke="{_LINE}"/>'
        )
        for tick in (0, 10, 20):
            parts.append(_line(*at(0.0, tick), *at(heights[-1], tick), stroke=_BAND))
            parts.append(_text(left - 5, at(0.0, tick)[1] + 4, str(tick), size=10, anchor="end"))
        for height in heights:
            parts.append(_text(at(height, 0)[0], top + high + 13, f"{height:.0f}", size=10, anchor="middle"))
        ruled = [at(height, value) for height, value in zip(heights, rule, strict=True)]
        parts.append(_way(ruled, stroke="#bbb", thick=6.0))
        for k in range(len(names)):
            line = [at(height, float(one)) for height, one in zip(heights, fuel[:, k], strict=True)]
            parts.append(_way(line, dash=_DASHES[k]))
    rows = -(-len(panels) // across)
    return _picture(parts, wide=34 + across * (wide + 34), high=66 + rows * (high + 46))


def _way(
    points: Sequence[tuple[float, float]], *, stroke: str = _INK, thick: float = 1.4, dash: str = ""
) -> str:
    told = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<polyline points="{told}" fill="none" stroke="{stroke}" stroke-width="{thick}"{dashed}/>'


def _picture(parts: Iterable[str], *, wide: float, high: float) -> str:
    size = f'viewBox="0 0 {wide:.0f} {high:.0f}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif">'
    return "\n".join([head, _box(0, 0, wide, high, fill="#fff"), *parts, "</svg>", ""])


def _text(x: float, y: float, said: str, *, size: int, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" fill="{_INK}">{said}</text>'
    )


def _box(x: float, y: float, wide: float, high: float, *, fill: str) -> str:
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="{fill}"/>'


def _line(x: float, y: float, to_x: float, to_y: float, *, stroke: str = _LINE) -> str:
    return f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}" stroke="{stroke}"/>'
