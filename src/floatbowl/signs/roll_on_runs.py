"""Roll-ons against roll-ons: from speed over time to pull, and whether a change made the bike faster.

Runs scatter: a gust, a gear taken a moment later. So the runs of two setups are held
against that scatter, the way along the stretch taken out where it was told, and only
what stands clear of it is claimed.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from floatbowl.signs.lambda_log.samples import Samples
    from floatbowl.signs.trial import Clock, Way

    Array = NDArray[np.float64]

OF = 20
"""Chances are counted in twentieths."""
GUSTS = Figure(1.06, 1.0, 1.15, "judgement: runs are not quite a bell's; a gust makes a straggler")
"""What the doubt of a difference is multiplied by."""
THUMB = Figure(0.05, 0.03, 0.10, "judgement: no thumb on a watch is surer, seconds, one standard deviation")
TRACED = Figure(0.005, 0.002, 0.01, "judgement: nor a trace of the speed, as a share of the time")
"""Scatter below which runs are not taken to scatter, however alike they came out."""
OTHER_DAY = Figure(0.015, 0.005, 0.04, "judgement: wind, grip and warmth differ from one day to the next")
"""Relative standard deviation that all runs of one day share."""
ROAD = Figure(0.25, 0.10, 0.45, "judgement: share of the pull that wind and road take, on the mean of a run")
AIR_DOUBT = Figure(
    0.15, 0.05, 0.30, "judgement: the published corrections differ by as much of what they correct"
)
_AROUND = 0.06
"""How far to both sides of an engine speed, in ln(rpm), a trace is looked at to tell when it passed."""
_FEWEST_POINTS = 3

Verdict = Literal["faster", "slower", "cannot tell"]


@dataclass(frozen=True, slots=True)
class Run:
    """One run in one gear: engine speed, rpm, over time, s, (moment,); ``spread`` is that of ln(rpm)."""

    time: Array
    rpm: Array
    spread: Array
    way: Way | None = None


@dataclass(frozen=True, slots=True)
class Timed:
    """The times of some runs of one setup on one day, in seconds; ``ways`` is empty where nobody said.

    ``air`` turns pull in this air into pull in the standard air; ``day`` names the day.
    """

    seconds: tuple[float, ...]
    ways: tuple[Way, ...] = ()
    by: Clock = "watch"
    air: float = 1.0
    day: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """How much faster the later setup is: ``gain`` is the logarithm of the earlier time over the later.

    ``spread`` is its standard deviation with ``free`` degrees of freedom,
    ``count`` in how many of twenty it is faster, ``needed`` how many runs of each
    would show a difference of 3 in the hundred; None where no number of runs would.
    """

    gain: float
    spread: float
    free: float
    count: int
    verdict: Verdict
    needed: int | None

    @property
    def pull(self) -> float:
        """Give the change of the engine's pull as a share: the road takes its part whatever the setup."""
        return math.expm1(self.gain * (1.0 - ROAD.value))


def run_of(samples: Samples) -> Run | None:
    """Give the run that a log of one holds; None where it counts no engine speed.

    How much the counter jitters is seen from row to row.
    """
    if samples.rpm is None:
        return None
    good = np.isfinite(samples.rpm) & (samples.rpm > 0.0)
    rpm = samples.rpm[good]
    if len(rpm) < _FEWEST_POINTS:
        return None
    bend = np.diff(np.log(rpm), n=2)
    jitter = max(float(np.median(np.abs(bend))) / _BEND, 1e-4)
    return Run(samples.time[good], rpm, np.full(len(rpm), jitter))


_BEND = 0.6745 * math.sqrt(6.0)
"""Median size of the second difference of bells of spread 1."""


def passes(run: Run, rpm: float) -> tuple[float, float] | None:
    """Give when a run passes an engine speed for the first time, and how surely, in seconds; None: never.

    A straight line is laid through the trace around that speed, time against ln(rpm).

    Source: own derivation, weighted least squares.
    """
    off = np.log(run.rpm / rpm)
    above = np.flatnonzero(off > 0.0)
    if not len(above) or (above[0] == 0 and off[0] > _AROUND):
        return None
    near = np.flatnonzero(np.abs(off) <= _AROUND)
    near = near[np.abs(near - above[0]) <= _steady_run(near, int(above[0]))]
    if len(near) < _FEWEST_POINTS or np.ptp(off[near]) <= 0.0:
        return _between_two(run, off, int(above[0]))
    weight = 1.0 / run.spread[near] ** 2
    middle = np.average(off[near], weights=weight)
    time = np.average(run.time[near], weights=weight)
    steep = np.average((off[near] - middle) * (run.time[near] - time), weights=weight)
    slope = steep / np.average((off[near] - middle) ** 2, weights=weight)
    spread = abs(slope) / math.sqrt(float(weight.sum()))
    return float(time - slope * middle), float(spread)


def _steady_run(near: NDArray[np.int64], first: int) -> int:
    """Give how many rows around the passing belong to it: a later dip through the same speed does not."""
    gaps = np.flatnonzero(np.diff(near) > max(3, len(near) // 4))
    ends = near[gaps[0]] if len(gaps) else near[-1] if len(near) else first
    return int(max(ends - first, first - (near[0] if len(near) else first)))


def _between_two(run: Run, off: Array, after: int) -> tuple[float, float] | None:
    if after == 0:
        return None
    share = -off[after - 1] / (off[after] - off[after - 1])
    step = run.time[after] - run.time[after - 1]
    slope = step / (off[after] - off[after - 1])
    return float(run.time[after - 1] + share * step), float(abs(slope) * run.spread[after])


def seconds_between(run: Run, low: float, high: float) -> tuple[float, float] | None:
    """Give how long a run takes from one engine speed to another, and how surely; None: it did not."""
    start, end = passes(run, low), passes(run, high)
    if start is None or end is None or end[0] <= start[0]:
        return None
    return end[0] - start[0], math.hypot(start[1], end[1])


def pull_by_speed(run: Run, edges: Sequence[float]) -> Array:
    """Give the pull between each two engine speeds, (band,), in rpm a second; nan where the run did not go.

    In one gear the mass that is pulled is the same, so pull goes with the rise of
    the engine speed: what counts is how two setups compare.
    """
    bands = [seconds_between(run, low, high) for low, high in itertools.pairwise(edges)]
    rise = np.diff(np.asarray(edges, dtype=np.float64))
    return np.array([np.nan if took is None else up / took[0] for up, took in zip(rise, bands, strict=True)])


def compare(before: Sequence[Timed], after: Sequence[Timed]) -> Difference | None:
    """Say whether the later setup is faster: runs of each, in any order; None where too few to say.

    Which way a run went is taken out where every run says so. On another day, and
    in other air, the doubt grows by what these do.

    Source: own derivation, least squares with a common scatter; Student's law for few runs.
    """
    both = [(0, one) for one in before] + [(1, one) for one in after]
    y = np.concatenate([_in_standard_air(one) for _, one in both])
    later = np.concatenate([np.full(len(one.seconds), group) for group, one in both]).astype(np.float64)
    columns = [np.ones_like(y), later]
    ways = _ways([one for _, one in both])
    if ways is not None and 0.0 < ways.mean() < 1.0 and not _is_same(ways, later):
        columns.append(ways - ways.mean())
    x = np.stack(columns, axis=1)
    free = len(y) - x.shape[1]
    if free < 1 or later.sum() in {0.0, len(later)}:
        return None
    slope, cover = _least_squares(x, y)
    scatter = max(float(((y - x @ slope) ** 2).sum()) / free, _least_scatter(before, after) ** 2)
    runs = scatter * float(cover[1, 1])
    return _difference(-float(slope[1]), runs=runs, free=float(free), other=_between_days(before, after))


def compare_pairs(before: Timed, after: Timed) -> Difference | None:
    """Say whether the later setup is faster where each run of one was followed by one of the other.

    What drifts over the evening falls out of each pair.
    """
    count = min(len(before.seconds), len(after.seconds))
    if count < 2:  # noqa: PLR2004  (a scatter needs two)
        return None
    gained = _in_standard_air(before)[:count] - _in_standard_air(after)[:count]
    least = 2.0 * _least_scatter([before], [after]) ** 2
    runs = max(float(gained.var(ddof=1)), least) / count
    return _difference(
        float(gained.mean()), runs=runs, free=count - 1.0, other=_between_days([before], [after])
    )


def _difference(gain: float, *, runs: float, free: float, other: float) -> Difference:
    """Put a difference together: ``runs`` and ``other`` are the squares of its doubts."""
    spread = GUSTS.value * math.sqrt(runs + other)
    worth = free * ((runs + other) / runs) ** 2
    share = below(gain / spread, worth)
    count = math.floor(OF * share + 0.5)
    verdict: Verdict = "faster" if count == OF else "slower" if count == 0 else "cannot tell"
    return Difference(gain, spread, worth, count, verdict, _needed(runs, free, other))


def _needed(runs: float, free: float, other: float) -> int | None:
    """Give how many runs of each would show 3 in the hundred four times in five, the scatter as it is."""
    scatter = runs * (free + 2.0) / 4.0
    for count in range(2, 31):
        least = (2.1 + 0.85 + 2.0 / count) ** 2 * (2.0 * scatter / count + other)
        if least <= SHOWN**2:
            return count
    return None


SHOWN = 0.03
"""The difference that is asked for when more runs are asked for."""


def _in_standard_air(one: Timed) -> Array:
    """Give the logarithms of the times as they would be in the standard air.

    Thin air takes its share off the engine's pull, while road and wind take what they took.
    """
    return np.log(one.seconds) - math.log(one.air) / (1.0 - ROAD.value)


def _ways(groups: Sequence[Timed]) -> Array | None:
    """Give 1 for each run that went there and 0 for each that came back; None where some do not say."""
    if any(len(one.ways) != len(one.seconds) for one in groups):
        return None
    return np.array([float(way == "there") for one in groups for way in one.ways])


def _is_same(one: Array, other: Array) -> bool:
    """Say whether one setup went there only and the other back only: then nothing tells them apart."""
    return bool(abs(np.corrcoef(one, other)[0, 1]) > 0.999)  # noqa: PLR2004  (but for rounding)


def _least_squares(x: Array, y: Array) -> tuple[Array, Array]:
    cover = np.asarray(np.linalg.inv(x.T @ x), dtype=np.float64)
    return cover @ (x.T @ y), cover


def _least_scatter(before: Sequence[Timed], after: Sequence[Timed]) -> float:
    """Give the scatter that the clock alone makes, as a share of the time."""
    one = (*before, *after)
    mean = float(np.mean([second for group in one for second in group.seconds]))
    return max(THUMB.value / mean if group.by == "watch" else TRACED.value for group in one)


def _between_days(before: Sequence[Timed], after: Sequence[Timed]) -> float:
    """Give the square of the doubt that is the same for all runs of a day: other days, other air."""
    if {one.day for one in before} == {one.day for one in after}:
        return 0.0
    days = sum(1.0 / len({one.day for one in group}) for group in (before, after))
    air = abs(math.log(_mean_air(after) / _mean_air(before))) / (1.0 - ROAD.value)
    return days * OTHER_DAY.value**2 + (AIR_DOUBT.value * air) ** 2


def _mean_air(groups: Sequence[Timed]) -> float:
    return float(np.mean([one.air for one in groups]))


def below(t: float, free: float) -> float:
    """Give the share of Student's law below ``t``, with any number of degrees of freedom.

    Source: [abramowitz-stegun] 26.7.1 and 26.5.8, from memory: the incomplete beta function's fraction.

    >>> round(below(2.447, 6.0), 4), below(0.0, 3.0)
    (0.975, 0.5)
    """
    tail = 0.5 * _beta_share(free / (free + t * t), 0.5 * free, 0.5)
    return 1.0 - tail if t > 0.0 else tail


def _beta_share(x: float, a: float, b: float) -> float:
    """Give the regularised incomplete beta function by its continued fraction."""
    if x in {0.0, 1.0}:
        return x
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - _beta_share(1.0 - x, b, a)
    front = a * math.log(x) + b * math.log1p(-x) - math.lgamma(a) - math.lgamma(b) + math.lgamma(a + b)
    fraction = 1.0
    for m in range(200, 0, -1):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        fraction = 1.0 + even / (1.0 + odd / fraction)
    first = -(a + b) * x / (a + 1.0)
    return math.exp(front) / (a * (1.0 + first / fraction))
