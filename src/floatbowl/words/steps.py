"""One step of a job in words: what the hand does, from what to what, and what that does to the fuel."""

from __future__ import annotations

from collections.abc import Callable

from floatbowl.advice.advice import Step
from floatbowl.bike.bike import Bike
from floatbowl.words.names import (
    mixture_screw,
    plural,
    turns,
)


def act(step: Step, bike: Bike) -> str:
    """Name a step by what the hand does: ``Raise the needle one groove``."""
    return _ACT[step.part](step, bike)


def step_words(step: Step, bike: Bike) -> str:
    """Say a step from what to what, and what it does to the fuel."""
    return f"{_FROM_TO[step.part](step, bike)}: {effect(step, bike)}."


def effect(step: Step, bike: Bike) -> str:
    """Say whether a step gives more fuel or less."""
    gives_more = richer(step, bike)
    if gives_more is None:
        return "another shape, see what to expect" if step.part == "needle" else "see what to expect"
    return "more fuel" if gives_more else "less fuel"


def richer(step: Step, bike: Bike) -> bool | None:
    """Say whether a step gives more fuel; None when the stamps do not tell."""
    before, after = _number(step.before), _number(step.after)
    if before is None or after is None or step.part == "needle":
        return None
    is_up = after > before
    if step.part == "screw":
        return is_up if bike.carb.screw == "fuel" else not is_up
    return not is_up if step.part in _LESS_IS_MORE else is_up


_LESS_IS_MORE = ("cutaway", "float")
"""Parts of which a smaller number is more fuel: the fuel stands higher where the float height is smaller."""


def _number(stamp: str | float) -> float | None:
    try:
        return float(stamp)
    except ValueError:
        return None


def _act_clip(step: Step, _bike: Bike) -> str:
    grooves = int(step.after) - int(step.before)
    verb = "Raise" if grooves > 0 else "Lower"
    return f"{verb} the needle {_grooves(abs(grooves))}"


def _grooves(number: int) -> str:
    return "one groove" if number == 1 else plural(number, "groove")


def _act_screw(step: Step, bike: Bike) -> str:
    amount = float(step.after) - float(step.before)
    way = "out" if amount > 0 else "in"
    return f"Turn the {mixture_screw(bike)} {way} {turns(abs(amount))}"


def _act_washer(step: Step, _bike: Bike) -> str:
    if not step.after:
        return "Take the washer out from under the clip"
    return f"Put a washer of {float(step.after):g} mm under the clip"


def _from_to_washer(step: Step, _bike: Bike) -> str:
    before, after = float(step.before), float(step.after)
    way = "lifts" if after > before else "lowers"
    return f"the washer under the clip from {before:g} to {after:g} mm, which {way} the needle by as much"


_ACT: dict[str, Callable[[Step, Bike], str]] = {
    "main": lambda step, _: f"Fit main {step.after}",
    "pilot": lambda step, _: f"Fit pilot {step.after}",
    "cutaway": lambda step, _: f"Fit the slide with cutaway {step.after}",
    "needle": lambda step, _: f"Fit {_stamped('needle', step.after)}",
    "clip": _act_clip,
    "washer": _act_washer,
    "screw": _act_screw,
    "float": lambda step, _: f"Set the float height to {float(step.after):g} mm",
}

_FROM_TO: dict[str, Callable[[Step, Bike], str]] = {
    "main": lambda step, _: f"{_stamped('main', step.before)} out, {step.after} in",
    "pilot": lambda step, _: f"{_stamped('pilot', step.before)} out, {step.after} in",
    "cutaway": lambda step, _: f"slide with {_stamped('cutaway', step.before)} out, {step.after} in",
    "needle": lambda step, _: f"{_stamped('needle', step.before)} out, {_stamped('needle', step.after)} in",
    "clip": lambda step, _: f"clip from groove {step.before} to {step.after}, counted from the blunt end",
    "washer": _from_to_washer,
    "float": lambda step, _: (
        f"float height from {float(step.before):g} to {float(step.after):g} mm, from the joint to the float"
    ),
    "screw": lambda step, bike: (
        f"{mixture_screw(bike)} from {float(step.before):g} to {float(step.after):g} turns out, "
        "counted from lightly seated"
    ),
}


def step_brief(step: Step, bike: Bike) -> str:
    """Give a step in two words, for a list: ``main 108``, ``clip in groove 4``."""
    match step.part:
        case "clip":
            return f"clip in groove {step.after}"
        case "screw":
            return f"{mixture_screw(bike)} {plural(float(step.after), 'turn')}"
        case "washer":
            return f"washer {float(step.after):g} mm" if step.after else "the needle without its washer"
        case "float":
            return f"float height {float(step.after):g} mm"
        case _:
            return _stamped(step.part, step.after)


def _stamped(part: str, stamp: str | float) -> str:
    """Name a part by its stamp, as the old one where nobody can read it, or as the carburettor's own."""
    worded = {"?": f"the old {part}", "own": f"the carburettor's own {part}"}
    return worded.get(str(stamp), f"{part} {stamp}")
