"""The part before and after, for a job card: one drawing for every part of a setup that can be changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from floatbowl.advice.advice import Step
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.setup import PART_FIELDS, Setup
from floatbowl.draw.part_body import cutaway_picture, float_picture, screw_picture
from floatbowl.draw.part_frame import Change
from floatbowl.draw.part_jet import main_picture, pilot_picture
from floatbowl.draw.part_needle import clip_picture, needle_picture, washer_picture
from floatbowl.draw.section import section_of
from floatbowl.draw.svg import Svg
from floatbowl.words.steps import step_words

DRAWN: dict[str, Callable[[Change], Svg]] = {
    "main": main_picture,
    "pilot": pilot_picture,
    "needle": needle_picture,
    "clip": clip_picture,
    "washer": washer_picture,
    "cutaway": cutaway_picture,
    "screw": screw_picture,
    "float": float_picture,
}


def part_picture(step: Step, *, bike: Bike, before: Setup, needles: Sequence[Needle] = ()) -> Svg:
    """Draw what a step changes. ``before`` is the setup it starts from; ``needles`` are those at hand."""
    change = Change(
        before=section_of(bike, before),
        after=section_of(bike, after_step(before, step, needles=needles)),
        stamp_before=str(step.before),
        stamp_after=str(step.after),
        title=step_words(step, bike),
    )
    return DRAWN[step.part](change)


def after_step(setup: Setup, step: Step, *, needles: Sequence[Needle] = ()) -> Setup:
    """Give the setup after a step.

    A needle is found by its stamp; where it is not at hand, it is the carburettor's own.
    """
    if step.part == "needle":
        return replace(setup, needle={one.stamp: one for one in needles}.get(str(step.after)))
    field: dict[str, Any] = {PART_FIELDS[step.part]: step.after}
    return replace(setup, **field)
