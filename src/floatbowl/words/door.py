"""What is said at the door of the garage: where it is open, who may come in, and why somebody may not."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from floatbowl.words.forms import Form, form

CODE_LENGTH = 6


class CannotOpenError(Exception):
    """The garage cannot be opened to a browser; the message is the sentence why."""


def code_words(code: str) -> str:
    """Write a door code in two halves, as it is read out.

    >>> code_words("482913")
    '482 913'
    """
    return f"{code[:3]} {code[3:]}"


def not_here(addresses: Sequence[str]) -> str:
    """Say that this garage answers at its own addresses only."""
    return f"This garage answers only at {' and '.join(addresses)}. Open it there."


FOREIGN = "That came from another page, not from this garage. Nothing was written down."
NOT_THIS_WAY = "The garage can be looked at and written to; it knows no other way of asking."
CODE_FIRST = "The door is shut. Type the door code first; nothing was written down."
ASK_FOR_CODE = "The door code stands on the screen of the machine that keeps the garage."
NOT_A_CODE = f"A door code has {CODE_LENGTH} digits."


def wrong_code(wait: float) -> str:
    """Say that the code was wrong, and how long the door stays shut for the next try."""
    return f"That is not the code. Try again in {_seconds(wait)}."


def wait_first(wait: float) -> str:
    """Say that the last try was too short a time ago."""
    return f"Too soon after the last try. Wait {_seconds(wait)}, then try again."


LOCKED_OUT = (
    "Too many wrong codes from here. This door stays shut for you until floatbowl is started again "
    "on the machine that keeps the garage."
)
LOCKED = (
    "Too many wrong codes. The door lets nobody new in until floatbowl is started again on the machine "
    "that keeps the garage. Whoever is in stays in."
)


def _seconds(wait: float) -> str:
    whole = max(1, ceil(wait))
    return f"{whole} second{'s' if whole > 1 else ''}"


def open_lines(addresses: Sequence[str], *, code: str | None, what: str = "garage") -> list[str]:
    """Say where the garage is open, with the door code where one is asked for, and how to close it."""
    first, *more = addresses
    lines = [f"The {what} is open at {first}", *(f"  or at {address}" for address in more)]
    if code is not None:
        lines.append(f"Door code {code_words(code)}. It is a new one at every start.")
    return [*lines, "Close it with Ctrl-C."]


def open_form(addresses: Sequence[str], *, code: str | None) -> Form:
    """Give where the garage is open."""
    return form("open", addresses=list(addresses), door_code=code)


CLOSED = "Closed. What was saved is still there."
NO_NETWORK = (
    "This machine is in no network now, so there is no address for a phone. Join the garage's Wi-Fi or the "
    "phone's own hot-spot and start again, or open it for this machine alone: floatbowl open."
)


def port_taken(port: int) -> str:
    """Say that another program has the port."""
    return (
        f"Another program answers at port {port} already, perhaps a floatbowl that is still open. "
        "Close it, or name another port: --port 8400."
    )


def gone_wrong() -> str:
    """Say that a page failed by our own fault."""
    return "Something in floatbowl itself went wrong. What was saved is still there."


ELSEWHERE = (
    "That was entered on a page of another garage, open at this address before. Nothing was written "
    "down here. Open that garage again, or enter it anew on a page of this one."
)
ONLY_READ = "Nothing can be written down until that is put right. All that is there can be read."
NO_SUCH_PAGE = "There is no such page here."
