"""Outside numbers, each with its spread and where it comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A number from outside, the range that holds it in about 19 of 20 cases, and its source.

    ``source`` is a key of ``docs/sources.toml`` (with a page or section behind
    it), or ``"common practice"``, or ``"from memory"``, or ``"judgement"`` with
    the reason.
    """

    value: float
    low: float
    high: float
    source: str

    def __post_init__(self) -> None:
        """Refuse a range that does not hold its own value."""
        if not self.low <= self.value <= self.high:
            text = f"figure {self.value} is outside its own range {self.low} to {self.high}"
            raise ValueError(text)

    @property
    def spread(self) -> float:
        """Give the standard deviation: a quarter of the range."""
        return (self.high - self.low) / 4.0

    @property
    def log_spread(self) -> float:
        """Give the standard deviation of the logarithm, for a number that scales."""
        return math.log(self.high / self.low) / 4.0
