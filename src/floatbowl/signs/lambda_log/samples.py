"""Rows of a log, in SI, as columns of equal length."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Self

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Samples:
    """Arrays of shape (row,); nan where a row holds no number, None where the log has no such column.

    ``time`` never falls. ``throttle`` is the share of the slide's travel, 0 to
    1, ``warmth`` the engine's temperature in kelvin, ``speed`` the road's in m/s.
    """

    time: Array
    lam: Array | None = None
    rpm: Array | None = None
    throttle: Array | None = None
    warmth: Array | None = None
    speed: Array | None = None

    def __len__(self) -> int:
        """Give the number of rows."""
        return len(self.time)

    def part(self, first: int, last: int) -> Self:
        """Give the rows from ``first`` up to ``last``."""
        cut = {name: None if one is None else one[first:last] for name, one in self.columns()}
        return type(self)(**cut)  # type: ignore[arg-type]

    def columns(self) -> list[tuple[str, Array | None]]:
        """Give every column by its name."""
        return [(field.name, getattr(self, field.name)) for field in fields(self)]


def joined(parts: Sequence[Samples]) -> Samples:
    """Put rows that follow one another into one."""
    names = [name for name, one in parts[0].columns() if one is not None]
    return Samples(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})


def usual_step(time: Array) -> float:
    """Give the usual time from one row to the next, in seconds."""
    steps = np.diff(time)
    rising = steps[steps > 0.0]
    return float(np.median(rising)) if len(rising) else 1.0
