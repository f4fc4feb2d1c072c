"""What it is worth to know more before the next change, in minutes.

The bike is to be brought right by the best of many ways: leave it, or one of
many jobs. Knowing the outcome of a test changes the weights of the likely
bikes, and so which way is best. A test is worth the minutes by which the best
way, chosen after it, beats the best way chosen now, less its own.

That looks one test ahead, and one test alone seldom turns a job that takes half
an hour. So it is also asked what would be left if every rung could be moved to
its middle at once: a test that makes the likely bikes lie closer together will
be worth that much to whatever is done later. The greater of the two counts.

Source: own derivation, the expected value of information of decision theory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.cost import MENDED, minutes_wrong
from floatbowl.advice.rank import Plan, pairs_of, planned

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.advice.measure import Outcomes
    from floatbowl.advice.rank import Option, Panel

    Array = NDArray[np.float64]

_PAIRED = 12
"""How many of the best single changes stand in pairs among the ways."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What might be done: leave it (first), or one of many jobs.

    ``minutes`` (way,) is what each takes, ``cost`` (way, draw) what it leaves; ``broken`` (draw,) says which
    draws have a fault.
    """

    minutes: Array
    cost: Array
    broken: NDArray[np.bool_]
    error: Array
    """Error of every draw as it stands, (draw, rung)."""
    close_enough: Array
    once_mended: Array
    """Minutes that each draw would still cost as it stands without its fault, (draw,)."""

    @classmethod
    def of(cls, panel: Panel, options: tuple[Option, ...], best: Plan) -> Ways:
        """Take in leaving it, every single change, pairs of the best ones, and the plan."""
        singles = [planned(panel, (option,)) for option in options]
        pairs = pairs_of(panel, options, likely=_PAIRED)
        ways = [planned(panel, ()), best, *singles, *pairs]
        return cls(
            minutes=np.array([way.minutes for way in ways]),
            cost=np.stack([panel.cost(way.error) for way in ways]),
            broken=~panel.belief.is_sound[panel.draws[panel.weighed]],
            error=panel.now[panel.weighed],
            close_enough=panel.belief.close_enough,
            once_mended=panel.left_once_mended(),
        )

    @property
    def now(self) -> float:
        """Give the minutes of the best way by what is known now."""
        return float(self._best(np.ones((1, self.cost.shape[1])))[0])

    @property
    def gain_of_changing(self) -> float:
        """Give by how many minutes the best way beats leaving it.

        The best of many by a sample of draws looks better than it is: it is picked on one half of
        the draws and judged on the other, both ways round.
        """
        halves = (slice(0, None, 2), slice(1, None, 2))
        gains = []
        for ours, other in (halves, halves[::-1]):
            best = int(np.argmin(self.cost[:, ours].mean(axis=1) + self.minutes))
            gains.append(float((self.cost[0, other] - self.cost[best, other]).mean() - self.minutes[best]))
        return float(np.mean(gains))

    def worth(self, outcomes: Outcomes) -> float:
        """Give the minutes that knowing the outcome of a test saves, the test's own minutes aside."""
        even = np.ones((1, self.cost.shape[1]))
        by_spread = float(self._scattered(even)[0] - outcomes.often @ self._scattered(outcomes.likely))
        if outcomes.is_sampled:
            # Few draws stand for each sampled outcome: the best of many ways would be picked by chance.
            return by_spread
        return max(self.now - float(outcomes.often @ self._best(outcomes.likely)), by_spread)

    def _scattered(self, likely: Array) -> Array:
        """Give the minutes that the spread alone leaves, every rung moved to its middle, (outcome,).

        Those of sound bikes, as far as they are likely: on a broken one the middle is no help.
        """
        weight = np.where(self.broken, 0.0, likely)
        share = weight.sum(axis=1) / np.maximum(likely.sum(axis=1), 1e-12)
        weight = weight / np.maximum(weight.sum(axis=1, keepdims=True), 1e-12)
        # A weighted mean lies among its own draws: they are spread further than they seem from it.
        alone = np.sqrt(1.0 / np.maximum(1.0 - (weight**2).sum(axis=1), 0.2))[:, None, None]
        away = alone * (self.error - (weight @ self.error)[:, None, :])
        return np.asarray(share * np.einsum("od,od->o", weight, minutes_wrong(away, self.close_enough)))

    def worth_of_look(self, seen: Array, *, shown: NDArray[np.bool_]) -> float:
        """Give the minutes that a look saves: what it finds is mended.

        ``seen`` (draw,) is how often it would find something, ``shown`` (draw,) who has what it shows.
        """
        often = float(seen.mean())
        clear = self._best((1.0 - seen)[None, :])[0]
        mended = np.where(shown & self.broken, MENDED.value + self.once_mended, self.cost)
        found = self._best(seen[None, :], cost=mended)[0]
        return float(self.now - (often * found + (1.0 - often) * clear))

    def _best(self, likely: Array, *, cost: Array | None = None) -> Array:
        """Give the minutes of the best way after each outcome, (outcome,)."""
        weight = likely / likely.sum(axis=1, keepdims=True)
        left = weight @ (self.cost if cost is None else cost).T + self.minutes
        return np.asarray(left.min(axis=1))
