"""Looks at polygons with a ruler of its own: by lines laid across them, not by what drew them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Ring = Sequence[Point]
Floats = NDArray[np.float64]

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def spans(ring: Ring, y: float) -> Floats:
    """Give the stretches (n, 2) of a level line that lie inside a ring, by counting its crossings."""
    points = np.asarray(ring, dtype=np.float64)
    ends = np.roll(points, -1, axis=0)
    crosses = (points[:, 1] > y) != (ends[:, 1] > y)
    here, there = points[crosses], ends[crosses]
    x = here[:, 0] + (y - here[:, 1]) / (there[:, 1] - here[:, 1]) * (there[:, 0] - here[:, 0])
    return np.sort(x).reshape(-1, 2)


def overlap(one: Ring, other: Ring, *, lines: int = 80) -> float:
    """Give the area, mm2, that two rings share."""
    a, b = np.asarray(one), np.asarray(other)
    low = max(a[:, 1].min(), b[:, 1].min())
    high = min(a[:, 1].max(), b[:, 1].max())
    if high <= low or a[:, 0].max() <= b[:, 0].min() or b[:, 0].max() <= a[:, 0].min():
        return 0.0
    step = (high - low) / lines
    heights = low + step * (np.arange(lines) + 0.5)
    ours, theirs = _crossings(a, heights), _crossings(b, heights)
    left = np.maximum(ours[:, :, None, 0], theirs[:, None, :, 0])
    right = np.minimum(ours[:, :, None, 1], theirs[:, None, :, 1])
    return float(np.maximum(right - left, 0.0).sum() * step)


def _crossings(points: Floats, heights: Floats) -> Floats:
    """Give the stretches (line, n, 2) of many level lines; those that are not there have no length."""
    ends = np.roll(points, -1, axis=0)
    crosses = (points[:, 1] > heights[:, None]) != (ends[:, 1] > heights[:, None])
    rise = np.where(ends[:, 1] == points[:, 1], 1.0, ends[:, 1] - points[:, 1])
    x = points[:, 0] + (heights[:, None] - points[:, 1]) / rise * (ends[:, 0] - points[:, 0])
    found = np.sort(np.where(crosses, x, 1e9), axis=1)[:, : int(crosses.sum(axis=1).max())]
    return found.reshape(len(heights), -1, 2)


def lifted(ring: Ring, up: float) -> tuple[Point, ...]:
    """Lift a ring."""
    return tuple((x, y + up) for x, y in ring)


def turned(ring: Ring) -> tuple[Point, ...]:
    """Change x for y, so that a level line becomes an upright one."""
    return tuple((y, x) for x, y in ring)


def holds(ring: Ring, point: Point) -> bool:
    """Say whether a point lies inside a ring."""
    return any(left < point[0] < right for left, right in spans(ring, point[1]))


def top(rings: Iterable[Ring]) -> float:
    """Give the highest y."""
    return max(y for ring in rings for _, y in ring)


def bottom(rings: Iterable[Ring]) -> float:
    """Give the lowest y."""
    return min(y for ring in rings for _, y in ring)


def numbers(text: str) -> list[float]:
    """Give the numbers in a text of places."""
    return [float(one) for one in NUMBER.findall(text)]
