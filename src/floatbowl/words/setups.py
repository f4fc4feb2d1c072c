"""What is fitted, told against what was fitted before."""

from __future__ import annotations

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.words.names import in_line, setup_words


def setup_changes(before: Setup, after: Setup, bike: Bike) -> str:
    """Say what one setup has otherwise than the one before it: ``main 108, clip groove 4 of 5``.

    What was taken away is told as gone.
    """
    was, then = dict(setup_words(before, bike)), dict(setup_words(after, bike))
    new = [f"{name} {value}" for name, value in then.items() if was.get(name) != value]
    gone = [f"no {name}" for name in was if name not in then]
    return in_line(tuple(new + gone)) or "nothing else"


def fitted_meanwhile_words(setup: Setup, changes: str) -> str:
    """Say that somebody else wrote a setup down while this one was typed."""
    return (
        f"Meanwhile setup {setup.number} was written down: {changes}. Yours is kept below, laid over it. "
        "Look whether it is right, and write it down again."
    )


def nothing_differs_words(setup: Setup) -> str:
    """Say that what was typed is what is fitted."""
    return f"That is setup {setup.number} as it stands already: nothing was written down."
