"""What may be tried on paper: how it stands in an address, and what is offered first.

``?try=clip:4&try=main:108`` names parts as one writes them in a command, with a colon. The address
holds all there is to know, so that a dry fit can be kept, sent and gone back to, and changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from floatbowl.advice.advice import Advice, Step
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.drawer import Drawer, one_change_away
from floatbowl.bike.setup import PART_FIELDS, Setup
from floatbowl.words import heard
from floatbowl.words.steps import effect, step_brief

FIRST = 8
"""So many are offered at once; the rest is one tap down."""
OWN = "own"
"""Stands for the carburettor's own needle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One change to try: its words, and the address with it put on, or taken off where it is on."""

    part: str
    brief: str
    effect: str
    is_on: bool
    address: str


def fields_tried(tries: Sequence[str], *, bike: Bike) -> dict[str, Any]:
    """Read what is tried as fields of a setup. Raises ``NotUnderstoodError``."""
    words = [one.replace(":", "=", 1) for one in tries]
    own = f"needle={OWN}"
    fields = heard.changes(word for word in words if word != own)
    return {**fields, "needle": bike.carb.needle.stamp} if own in words else fields


def changes_between(before: Setup, after: Setup) -> tuple[Step, ...]:
    """Give the steps that make one setup of another, part by part."""
    values = [(part, value_of(before, part), value_of(after, part)) for part in PART_FIELDS]
    return tuple(Step(part, old, new) for part, old, new in values if old != new)


def value_of(setup: Setup, part: str) -> str | float | int:
    """Give what stands in a setup for a part, as a step has it."""
    value: str | float | Needle | None = getattr(setup, PART_FIELDS[part])
    if isinstance(value, Needle):
        return value.stamp
    return OWN if value is None else value


def written(step: Step) -> str:
    """Write a step as it stands in an address: ``clip:4``."""
    return f"{step.part}:{step.after:g}" if isinstance(step.after, float) else f"{step.part}:{step.after}"


def choices(  # noqa: PLR0913  (what is fitted, what is tried, and where they come from)
    fitted: Setup, tried: Setup, *, bike: Bike, drawer: Drawer, advice: Advice, at: str
) -> tuple[Choice, ...]:
    """Give every change that is one step away, those that advice weighed first, then the nearest ones.

    What is on and cannot be reached in one step (as by a typed address) is offered all the same, to be
    taken off.
    """
    on = {step.part: step for step in changes_between(fitted, tried)}
    steps = {written(step): step for step in (*on.values(), *_weighed(advice), *_near(fitted, drawer, bike))}
    return tuple(_choice(step, on, bike=bike, at=at) for step in _in_order(steps, advice))


def _weighed(advice: Advice) -> tuple[Step, ...]:
    """Give the single changes that advice speaks of, best first."""
    runners = (runner.steps[0] for runner in advice.runners_up if len(runner.steps) == 1)
    return (*advice.steps, *advice.also, *runners)


def _near(fitted: Setup, drawer: Drawer, bike: Bike) -> Iterable[Step]:
    grooves = (fitted.needle or bike.carb.needle).grooves
    for part, after in one_change_away(fitted, drawer, grooves=grooves):
        yield Step(part, value_of(fitted, part), value_of(after, part))


_PARTS = ("clip", "main", "screw", "pilot", "washer", "cutaway", "needle", "float")
"""Which part is offered before which, where advice says nothing: the quick ones and those with most say."""


def _in_order(steps: Mapping[str, Step], advice: Advice) -> list[Step]:
    """Put what advice weighed first, and behind it the smallest change of every part, then the next."""
    first = [written(step) for step in _weighed(advice)]
    rest = [step for key, step in steps.items() if key not in first]
    places = {id(step): place for part in _PARTS for place, step in enumerate(_by_size(rest, part))}
    rest.sort(key=lambda step: (places[id(step)] // 2, _PARTS.index(step.part)))
    return [*(steps[key] for key in dict.fromkeys(first)), *rest]


def _by_size(steps: Sequence[Step], part: str) -> list[Step]:
    return sorted((step for step in steps if step.part == part), key=_size)


def _size(step: Step) -> float:
    try:
        return abs(float(step.after) - float(step.before))
    except ValueError:
        return 0.0


def _choice(step: Step, on: Mapping[str, Step], *, bike: Bike, at: str) -> Choice:
    is_on = step.part in on and written(on[step.part]) == written(step)
    others = [one for part, one in on.items() if part != step.part]
    return Choice(
        part=step.part,
        brief=step_brief(step, bike),
        effect=effect(step, bike),
        is_on=is_on,
        address=address(at, others if is_on else [*others, step]),
    )


def address(at: str, steps: Iterable[Step]) -> str:
    """Write the question of an address: where the slide stands, and what is tried."""
    tries = [("try", written(step)) for step in steps]
    return f"?{urlencode([('at', at), *tries], safe=':/')}"
