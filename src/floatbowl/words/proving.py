"""What is still missing before a setup is proven, in words, and how each check is made."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.words.names import as_written, plural

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

PROVEN = "Proven: ridden at every opening, measured at idle and at full, and nothing suspected."


def check_lines(key: str, *, bike: str) -> tuple[str, str]:
    """Give what to do for a missing check, and the command, with the bike's name in it."""
    do, command = CHECKS[key]
    return do, command.replace("BIKE", as_written(bike))


def proof_words(missing: Sequence[str], *, bike: str, setup: int) -> str:
    """Say in one sentence whether a setup is proven, or how many checks are missing."""
    if not missing:
        return f"{bike}, setup {setup}. {PROVEN}"
    return f"{bike}, setup {setup}: not proven yet, {plural(len(missing), 'check')} missing."
