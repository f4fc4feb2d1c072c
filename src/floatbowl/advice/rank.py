"""Every setup within a few changes, best first, with what each would do to the likely bikes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.advice import Step
from floatbowl.advice.cost import LEFT_BROKEN, RIDE, minutes_left, minutes_of, minutes_wrong
from floatbowl.belief.unknowns import MOST_FAULTS
from floatbowl.bike.drawer import one_change_away
from floatbowl.bike.setup import PART_FIELDS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup
    from floatbowl.flow.breath import Breath

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

WEIGHED = 300
"""How many draws a setup is weighed on; the twenty come on top."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One change: the step, the setup after it, the minutes of the job, and the panel's error after it."""

    step: Step
    setup: Setup
    minutes: float
    left: float
    """Mean minutes still to come after it, on sound bikes."""
    error: Array

    @property
    def total(self) -> float:
        """Give the minutes of the change and what comes after it."""
        return self.minutes + self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The draws that setups are weighed on: the twenty first, then every so many of the whole crowd.

    ``now`` (panel, rung) is the error as the bike stands, ``worked`` the same
    worked out wholly where the belief looks it up: what a change does is taken
    from the one and added to the other.
    """

    belief: Belief
    draws: Whole
    weighed: NDArray[np.bool_]
    sound: NDArray[np.bool_]
    """Those of the weighed that have no fault; all of them where none is sound."""
    now: Array
    worked: Array
    breath: Breath

    @classmethod
    def of(cls, belief: Belief, *, weighed: int = WEIGHED) -> Panel:
        """Pick the panel; no dice, every so many of the draws."""
        every = np.arange(0, len(belief.z), max(1, len(belief.z) // weighed))
        draws = np.concatenate([belief.twenty, every])
        is_weighed = np.concatenate([np.zeros(len(belief.twenty), bool), np.ones(len(every), bool)])
        sound = is_weighed & belief.is_sound[draws]
        stage, z, fault = belief.stage, belief.z[draws], belief.fault[draws]
        breath = stage.breathed(belief.setup, belief.day, z, fault)
        return cls(
            belief=belief,
            draws=draws,
            weighed=is_weighed,
            sound=sound if sound.any() else is_weighed,
            now=belief.error[draws],
            worked=stage.seen(belief.setup, belief.day, z, fault, breath=breath).error,
            breath=breath,
        )

    def error(self, setup: Setup) -> Array:
        """Give the error (panel, rung) of every draw of the panel in a setup."""
        b = self.belief
        after = b.stage.seen(setup, b.day, b.z[self.draws], b.fault[self.draws], breath=self.breath).error
        return np.asarray(self.now + after - self.worked)

    def left(self, error: Array) -> float:
        """Give the mean minutes still to come on the panel's sound draws."""
        strokes = self.belief.bike.engine.strokes
        return float(minutes_left(error[self.sound], self.belief.close_enough, strokes=strokes).mean())

    def floor(self) -> float:
        """Give the mean minutes that the spread of the sound draws leaves, every rung moved to its middle."""
        error = self.now[self.sound]
        return float(minutes_wrong(error - error.mean(axis=0), self.belief.close_enough).mean())

    def left_once_mended(self) -> Array:
        """Give the minutes still to come of every weighed draw once its faults are put right, (weighed,)."""
        b = self.belief
        z = b.z[self.draws[self.weighed]]
        error = b.stage.glimpse(b.setup, b.day, z, np.full((len(z), MOST_FAULTS), -1)).error
        return minutes_left(error, b.close_enough, strokes=b.bike.engine.strokes)

    def cost(self, error: Array) -> Array:
        """Give the minutes still to come of every weighed draw, (weighed,).

        With a fault in it they are always the same, whatever is fitted: those of the bike as it
        stands, and of handing it over broken.
        """
        b = self.belief
        left = minutes_left(error[self.weighed], b.close_enough, strokes=b.bike.engine.strokes)
        broken = self.left(self.now) + LEFT_BROKEN.value
        return np.asarray(np.where(b.is_sound[self.draws[self.weighed]], left, broken))


def rank(panel: Panel, drawer: Drawer) -> tuple[Option, ...]:
    """Give every change the drawer allows, best first by the minutes it takes and leaves."""
    now = panel.belief.setup
    grooves = (now.needle or panel.belief.bike.carb.needle).grooves
    changes = one_change_away(now, drawer, grooves=grooves)
    return rank_changes(panel, changes)


def rank_changes(panel: Panel, changes: Iterable[tuple[str, Setup]]) -> tuple[Option, ...]:
    """Give changes, each with the part it is in, best first."""
    now = panel.belief.setup
    options = []
    for part, after in changes:
        error = panel.error(after)
        options.append(
            Option(
                step=step_between(part, now, after),
                setup=after,
                minutes=minutes_of([part]) + RIDE.value,
                left=panel.left(error),
                error=error,
            )
        )
    return tuple(sorted(options, key=lambda option: option.total))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A few changes that go together: the options, the minutes they take, and what they leave."""

    options: tuple[Option, ...]
    minutes: float
    left: float
    error: Array
    """The error of the panel after all of them."""


MOST_STEPS = 4
"""Changes a plan may hold."""


def plan(panel: Panel, options: tuple[Option, ...]) -> Plan:
    """Give the changes, at most one of each part, that together take and leave the fewest minutes.

    What each does to the fuel is added up draw by draw: within the few per
    cent that matter here the parts hardly feel each other. Changes are added
    one by one while that pays; where no single one pays, the best two are
    looked for. A change that others have made needless is dropped again.
    """
    best = Plan(options=(), minutes=0.0, left=panel.left(panel.now), error=panel.now)
    while len(best.options) < MOST_STEPS:
        found = min(
            (_with(panel, best, option) for option in options if _is_new(best, option)),
            key=_total,
            default=best,
        )
        if _total(found) >= _total(best):
            break
        best = found
    if not best.options:
        best = _pair(panel, options, none=best)
    return _thinned(panel, best)


def _total(one: Plan) -> float:
    return one.minutes + one.left


def _is_new(one: Plan, option: Option) -> bool:
    parts = {step.step.part for step in one.options}
    return option.step.part not in parts and not ({option.step.part, *parts} >= {"clip", "needle"})


def _with(panel: Panel, one: Plan, option: Option) -> Plan:
    return planned(panel, (*one.options, option))


def planned(panel: Panel, options: tuple[Option, ...]) -> Plan:
    """Give the plan of some changes, each of another part."""
    error = panel.now + sum((option.error - panel.now for option in options), np.zeros_like(panel.now))
    minutes = minutes_of(option.step.part for option in options) + RIDE.value if options else 0.0
    return Plan(options=options, minutes=minutes, left=panel.left(error), error=error)


def pairs_of(panel: Panel, options: tuple[Option, ...], *, likely: int) -> list[Plan]:
    """Give every two of the ``likely`` best changes that are of different parts."""
    best = options[:likely]
    return [
        planned(panel, (one, other))
        for i, one in enumerate(best)
        for other in best[i + 1 :]
        if one.step.part != other.step.part
    ]


def _pair(panel: Panel, options: tuple[Option, ...], *, none: Plan) -> Plan:
    """Give the best two changes that pay only together, or none."""
    pairs = pairs_of(panel, options, likely=_LIKELY)
    best = min(pairs, key=_total, default=none)
    return best if _total(best) < _total(none) else none


_LIKELY = 16
"""How many of the best single changes are looked at in pairs."""


def _thinned(panel: Panel, one: Plan) -> Plan:
    """Drop every change without which the plan is no worse."""
    for option in one.options:
        rest = planned(panel, tuple(other for other in one.options if other is not option))
        if _total(rest) <= _total(one):
            return _thinned(panel, rest)
    return one


def step_between(part: str, before: Setup, after: Setup) -> Step:
    """Name the step that makes one setup of another."""
    if part == "needle":
        old, new = before.needle, after.needle
        return Step(part, old.stamp if old else "own", new.stamp if new else "own")
    field = PART_FIELDS[part]
    return Step(part, getattr(before, field), getattr(after, field))
