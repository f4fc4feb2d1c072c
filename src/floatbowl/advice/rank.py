"""Every setup within one change, best first, with what each would do to the likely bikes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.advice import Step
from floatbowl.advice.cost import MINUTES, minutes_left
from floatbowl.bike.drawer import one_change_away

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from floatbowl.belief.belief import Belief
    from floatbowl.belief.scene import Stage
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

WEIGHED = 240
"""How many draws a setup is weighed on; the twenty come on top."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One change: the step, the setup after it, what it leaves, in minutes, and the error of the panel."""

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
    """The draws that setups are weighed on: the twenty first, then sound draws from the whole crowd."""

    stage: Stage
    belief: Belief
    draws: Whole
    sound: NDArray[np.bool_]

    @classmethod
    def of(cls, stage: Stage, belief: Belief) -> Panel:
        """Pick the panel; no dice, every so many of the sound draws."""
        sound = np.flatnonzero(belief.fault < 0)
        if not len(sound):
            sound = np.arange(len(belief.fault))
        every = sound[:: max(1, len(sound) // WEIGHED)]
        return cls(
            stage=stage,
            belief=belief,
            draws=np.concatenate([belief.twenty, every]),
            sound=np.concatenate([np.zeros(len(belief.twenty), bool), np.ones(len(every), bool)]),
        )

    def error(self, setup: Setup) -> Array:
        """Give the error (panel, rung) of every draw of the panel in a setup."""
        b = self.belief
        return self.stage.seen(setup, b.day, b.z[self.draws], b.fault[self.draws]).error

    def left(self, error: Array) -> float:
        """Give the mean minutes still to come on the panel's sound draws."""
        strokes = self.belief.bike.engine.strokes
        return float(minutes_left(error[self.sound], self.belief.close_enough, strokes=strokes).mean())


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
                minutes=MINUTES[part].value,
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


MOST_STEPS = 3
"""Changes a plan may hold."""


def plan(panel: Panel, options: tuple[Option, ...], *, now: Array) -> Plan:
    """Give the changes, at most one of each part, that together take and leave the fewest minutes.

    What each does to the fuel is added up draw by draw: within the few per
    cent that matter here the parts hardly feel each other.
    """
    best = Plan(options=(), minutes=0.0, left=panel.left(now))
    error = now
    while len(best.options) < MOST_STEPS:
        used = {option.step.part for option in best.options}
        found = best
        for option in options:
            if option.step.part in used:
                continue
            left = panel.left(error + option.error - now)
            if best.minutes + option.minutes + left < found.minutes + found.left:
                found = Plan(
                    options=(*best.options, option), minutes=best.minutes + option.minutes, left=left
                )
        if found is best:
            return best if best.options else _pair(panel, options, now=now)
        best = found
        error = error + best.options[-1].error - now
    return best


def _pair(panel: Panel, options: tuple[Option, ...], *, now: Array) -> Plan:
    """Give the best two changes that pay only together, or none."""
    best = Plan(options=(), minutes=0.0, left=panel.left(now))
    for i, one in enumerate(options):
        for other in options[i + 1 :]:
            if one.step.part == other.step.part:
                continue
            left = panel.left(one.error + other.error - now)
            minutes = one.minutes + other.minutes
            if minutes + left < best.minutes + best.left:
                best = Plan(options=(one, other), minutes=minutes, left=left)
    return best


def step_between(part: str, before: Setup, after: Setup) -> Step:
    """Name the step that makes one setup of another."""
    field = {"clip": "clip_from_top", "screw": "screw_turns"}.get(part, part)
    if part == "needle":
        old, new = before.needle, after.needle
        return Step(part, old.stamp if old else "own", new.stamp if new else "own")
    return Step(part, getattr(before, field), getattr(after, field))
