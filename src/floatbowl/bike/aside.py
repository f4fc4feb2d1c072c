"""What a rider set aside: a change, or a look, that is not to be offered while the setup stands."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.bike.rung import Rung


@dataclass(frozen=True, slots=True, kw_only=True)
class Aside:
    """A change of a part to what it would have become, or a look or test by its key and rung.

    ``part`` is empty for a look, ``look`` for a change.
    """

    part: str = ""
    after: str | float | int = ""
    look: str = ""
    at: Rung | None = None
