"""Engine speed over time as it was heard, with its doubt; or why it cannot be told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

WhyNot = Literal["too short", "silent", "no beat", "comes and goes", "moves in steps"]
"""Why no speed is given.

``no beat``: nothing repeats, as in wind or rain. ``comes and goes``: it swells
and stops, as speech does. ``moves in steps``: it stands and leaps, as notes do.
"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """What was heard, moment by moment. Arrays are (moment,).

    ``why_not`` is None where a speed could be told; else the arrays hold what
    fitted best and are not to be believed.
    """

    strokes: int
    length: float
    """Seconds of sound listened to."""
    seconds: Array
    rpm: Array
    spread: Array
    """Standard deviation of each speed, in rpm."""
    is_heard: NDArray[np.bool_]
    """Whether the engine was heard at that moment, or the line was only carried on."""
    four_stroking: float | None
    """Share of the time in which a two-stroke fired every second turn; None for a four-stroke."""
    missed: float
    """Share of firings that were hardly heard."""
    is_twice_possible: bool
    """Whether twice the speed would fit as well: a two-stroke that fires every second turn throughout."""
    why_not: WhyNot | None

    @property
    def is_told(self) -> bool:
        """Say whether the speed could be told."""
        return self.why_not is None
