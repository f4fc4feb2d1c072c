"""What the rows that tell come to: one lambda for each rung and engine speed, counted by windows.

A probe's noise from row to row tells little; how far one hold differs from the
next tells how sure the mean is. So rows are gathered into windows of a few
seconds, and the windows are counted, not the rows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.lambda_log.samples import joined
from floatbowl.signs.lambda_log.sort import REASONS, USED, Reason, settling, sort

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from floatbowl.signs.lambda_log.look import Known
    from floatbowl.signs.lambda_log.samples import Samples
    from floatbowl.signs.lambda_log.sort import Held, Sorted

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

WINDOW = 2.0
"""The longest window, in seconds: a longer hold counts as several (judgement)."""
SHORTEST = 0.4
"""A window shorter than this, in seconds, does not count (judgement)."""
UNSTEADY = Figure(
    0.06, 0.04, 0.10, "judgement: a lambda that scatters by more at a steady hand tells of misfire"
)
BETWEEN = Figure(0.012, 0.005, 0.03, "judgement: how far one hold of a place differs from the next")
_BETWEEN_COUNTS = 4.0
"""Windows' worth of belief in that (judgement)."""
SLOWEST, WIDTH = 800.0, 1.35
"""The lowest edge of the speeds, rpm, and how much further the next one lies (judgement)."""
SPEEDS = 9
ANY_SPEED = SPEEDS
"""The place of a speed that nobody counted."""
FEWEST = 2
"""Windows below which a place tells nothing."""


@dataclass(frozen=True, slots=True)
class Place:
    """What a log came to at one rung and speed: lambda, the spread of its mean, and what it rests on."""

    at: Rung
    rpm: float | None
    lam: float
    spread: float
    windows: int
    rows: int


@dataclass(frozen=True, slots=True)
class Came:
    """What a whole log came to: its places, and how many rows were set aside for each reason."""

    places: tuple[Place, ...]
    aside: dict[Reason, int]
    used: int
    rows: int


@dataclass(slots=True)
class Tally:
    """Sums over the windows of each rung and speed; grows piece by piece, whatever the log's length."""

    windows: Array = field(default_factory=lambda: np.zeros((len(RUNGS), SPEEDS + 1)))
    rows: Array = field(default_factory=lambda: np.zeros((len(RUNGS), SPEEDS + 1)))
    lam: Array = field(default_factory=lambda: np.zeros((len(RUNGS), SPEEDS + 1)))
    square: Array = field(default_factory=lambda: np.zeros((len(RUNGS), SPEEDS + 1)))
    speed: Array = field(default_factory=lambda: np.zeros((len(RUNGS), SPEEDS + 1)))
    reasons: Whole = field(default_factory=lambda: np.zeros(len(REASONS), dtype=np.int64))
    used: int = 0

    def take(self, samples: Samples, came: Sorted, first: int, last: int) -> None:
        """Take in the rows from ``first`` up to ``last``."""
        reason, rung, lam = came.reason[first:last].copy(), came.rung[first:last], came.lam[first:last]
        time = samples.time[first:last]
        rpm = None if samples.rpm is None else samples.rpm[first:last]
        used = np.flatnonzero(reason == USED)
        if len(used):
            self._take_used(
                used, reason, time[used], rung[used], lam[used], None if rpm is None else rpm[used]
            )
        self.reasons += np.bincount(reason[reason != USED], minlength=len(REASONS))
        self.used += int((reason == USED).sum())

    def _take_used(  # noqa: PLR0913, PLR0917  (a row has so many sides)
        self, used: Whole, reason: Whole, time: Array, rung: Whole, lam: Array, rpm: Array | None
    ) -> None:
        speed = np.full(len(used), ANY_SPEED) if rpm is None else _speed_places(rpm)
        window = _windows(used, time, rung * (SPEEDS + 1) + speed)
        count = np.bincount(window).astype(np.float64)
        mean = np.bincount(window, weights=lam) / count
        scatter = np.sqrt(np.maximum(np.bincount(window, weights=(lam - mean[window]) ** 2) / count, 0.0))
        first = np.flatnonzero(np.diff(window, prepend=-1))
        lasted = np.maximum.reduceat(time, first) - time[first]
        short, rough = lasted < SHORTEST, scatter > UNSTEADY.value
        reason[used[short[window]]] = REASONS.index("too short")
        reason[used[rough[window]]] = REASONS.index("unsteady")
        keep = ~short & ~rough
        at = (rung[first][keep], speed[first][keep])
        np.add.at(self.windows, at, 1.0)
        np.add.at(self.rows, at, count[keep])
        np.add.at(self.lam, at, mean[keep])
        np.add.at(self.square, at, mean[keep] ** 2)
        if rpm is not None:
            np.add.at(self.speed, at, (np.bincount(window, weights=np.log(rpm)) / count)[keep])

    def came(self) -> Came:
        """Give what it came to."""
        counted = np.maximum(self.windows, 1.0)
        mean = self.lam / counted
        apart = np.maximum(self.square - counted * mean**2, 0.0)
        free = np.maximum(self.windows - 1.0, 0.0).sum()
        between = np.sqrt((apart.sum() + _BETWEEN_COUNTS * BETWEEN.value**2) / (free + _BETWEEN_COUNTS))
        places = [
            Place(
                at=RUNGS[rung],
                rpm=None
                if speed == ANY_SPEED
                else float(np.exp(self.speed[rung, speed] / counted[rung, speed])),
                lam=float(mean[rung, speed]),
                spread=float(between / np.sqrt(counted[rung, speed])),
                windows=int(self.windows[rung, speed]),
                rows=int(self.rows[rung, speed]),
            )
            for rung, speed in zip(*np.nonzero(self.windows >= FEWEST), strict=True)
        ]
        aside = {name: int(n) for name, n in zip(REASONS, self.reasons, strict=True) if n}
        return Came(tuple(places), aside, self.used, self.used + int(self.reasons.sum()))


def tally(pieces: Iterable[Samples], known: Known, *, held: Sequence[Held] = ()) -> Came:
    """Go through a log piece by piece; only a few seconds of it are kept from one to the next."""
    total = Tally()
    lead = settling(known) + 3.0 * known.step + 1.0
    kept: Samples | None = None
    done = 0
    for piece in pieces:
        whole = piece if kept is None else joined([kept, piece])
        came = sort(whole, known, held=held)
        ready = int(np.searchsorted(whole.time, whole.time[-1] - known.delay.dead - 2.0 * known.step))
        ready = max(ready, done)
        total.take(whole, came, done, ready)
        start = int(np.searchsorted(whole.time, whole.time[max(ready - 1, 0)] - 1.6 * lead))
        kept, done = whole.part(start, len(whole)), ready - start
    if kept is not None and done < len(kept):
        total.take(kept, sort(kept, known, held=held), done, len(kept))
    return total.came()


def _speed_places(rpm: Array) -> Whole:
    """Give the place of each engine speed among the speeds."""
    place = np.floor(np.log(np.maximum(rpm, SLOWEST) / SLOWEST) / np.log(WIDTH)).astype(np.int64)
    return np.asarray(np.clip(place, 0, SPEEDS - 1))


def _windows(used: Whole, time: Array, place: Whole) -> Whole:
    """Give each row's window by its number: rows that follow one another at one place, for so long."""
    new = np.diff(used, prepend=used[0] - 2) != 1
    new |= np.diff(place, prepend=-1) != 0
    run = np.cumsum(new) - 1
    since = time - time[new][run]
    part = np.floor(since / WINDOW).astype(np.int64)
    begins = new | (np.diff(part, prepend=-1) != 0)
    return np.asarray(np.cumsum(begins) - 1)
