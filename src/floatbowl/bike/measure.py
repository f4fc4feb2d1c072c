"""A measure of the bike, and whether somebody measured it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Origin = Literal["measured", "assumed"]


@dataclass(frozen=True, slots=True)
class Measure:
    """A number on the bike with its standard deviation, in the same SI unit.

    ``origin`` says whether a person measured or confirmed it, or whether it is
    assumed from the kind of bike. Assumed measures are pencilled wherever they
    are shown and named by every answer that leaned on them.
    """

    value: float
    spread: float
    origin: Origin = "assumed"

    @property
    def is_assumed(self) -> bool:
        """Say whether nobody has measured this yet."""
        return self.origin == "assumed"
