"""What is still missing before a setup is proven, in words, and how each check is made."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from floatbowl.words.names import AT, as_written, plural

if TYPE_CHECKING:
    from floatbowl.advice.prove import Check

CHECKS: dict[str, tuple[str, str]] = {
    "ride all rungs": (
        "Ride it at every opening, hot, and say what it did, the clean ones too.",
        "floatbowl said BIKE 1/2 clean --steady",
    ),
    "full opening": (
        "Measure once at full opening: a plug, a timed roll-on, or lambda.",
        "floatbowl measured BIKE plug full tan",
    ),
    "idle": (
        "Measure the idle: sweep the mixture screw, or read lambda with the throttle shut.",
        "floatbowl measured BIKE sweep 1.0=1380 1.5=1450 2.0=1430",
    ),
    "right everywhere": (
        "It is not right at every opening yet. Do what comes next, and ride it again.",
        "floatbowl next BIKE",
    ),
    "no suspect": (
        "Something may still be broken. Look until nothing is suspected, and mend what you find.",
        "floatbowl next BIKE",
    ),
    "trust": (
        "What was said does not fit together yet. Another ride, or a look, will tell.",
        "floatbowl next BIKE",
    ),
}
"""What to do for each check that ``advice.prove`` may find missing, and the command that goes with it."""

MISSING: dict[str, str] = {
    "ride all rungs": "a ride at every opening",
    "full opening": "a measure at full opening",
    "idle": "a measure of the idle",
    "right everywhere": "enough of the twenty right at every opening",
    "no suspect": "a bike without a suspect",
    "trust": "words that fit together",
}
"""The same checks in a list."""

NOTHING_LEFT: dict[str, tuple[str, str]] = {
    "right everywhere": (
        "Not right enough to be proven, and nothing at hand brings it nearer: another part or measure would.",
        "floatbowl bench BIKE",
    ),
    "no suspect": (
        "Something may still be broken, though every look was made. Look again at what is suspected most.",
        "floatbowl log BIKE --suspects",
    ),
}
"""The same where ``next`` has nothing more to ask for: it must not be sent back to."""


def missing_words(key: str) -> str:
    """Name a check that is missing, in a list."""
    return MISSING[key]


PROVEN = "Proven: ridden at every opening, measured at idle and at full, and nothing suspected."


def check_lines(key: str, *, bike: str, is_all_done: bool = False) -> tuple[str, str]:
    """Give what to do for a missing check, and the command, with the bike's name in it.

    ``is_all_done`` says that ``next`` has nothing more to ask for.
    """
    do, command = NOTHING_LEFT.get(key, CHECKS[key]) if is_all_done else CHECKS[key]
    return do, command.replace("BIKE", as_written(bike))


CHECKED: dict[str, str] = {
    "ride all rungs": "Ridden {at}",
    "idle": "Idle measured",
    "full opening": "Full opening measured",
    "right everywhere": "Right at every opening: {count} in 20 at the worst, {at}",
    "no suspect": "Nothing suspected: {count} in 20 with nothing broken",
    "trust": "What was said fits together",
}
"""Every check as a line of the list, done or not."""


def checked_words(check: Check) -> str:
    """Give one check as a line of the list."""
    return CHECKED[check.key].format(at=AT[check.at] if check.at else "", count=check.count)


def proof_words(missing: Sequence[str], *, bike: str, setup: int) -> str:
    """Say in one sentence whether a setup is proven, or how many checks are missing."""
    if not missing:
        return f"{bike}, setup {setup}. {PROVEN}"
    return f"{bike}, setup {setup}: not proven yet, {plural(len(missing), 'check')} missing."
