"""Troubles: what was read, what is wrong, what to write instead."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from floatbowl.words.names import as_written

ALIKE = 0.5
"""How alike two words must be (difflib's ratio) for one to be offered for the other."""


class NotUnderstoodError(Exception):
    """Words that mean nothing to us. The message is a sentence for the person who wrote them."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Give the known word most like this one, or None when none is alike."""
    by_lower = {name.casefold(): name for name in known}
    found = get_close_matches(word.casefold(), by_lower, n=1, cutoff=ALIKE)
    return by_lower[found[0]] if found else None


def not_known(word: str, *, what: str, known: Iterable[str], close: str | None = None) -> str:
    """Say that a word is not known, offer the nearest, and list them all when they are few."""
    names = tuple(known)
    close = close or nearest(word, names)
    meant = f" Did you mean {close}?" if close else ""
    return f'"{word}" is not {what}.{meant} Known: {", ".join(names) or "none yet"}.'


_NOTHING_ASKED: dict[str, str] = {
    "look": "No look is asked for on {bike} now. Say which one you made: "
    "floatbowl looked {name} soap on the joints found.",
    "mend": "No tag hangs on {bike} and no look has found anything. Say what you mended: "
    "floatbowl mended {name} air leak.",
    "rollons": "No two setups of {bike} have roll-ons yet that could be held against each other. "
    "Time some with each: floatbowl measured {name} rollon 1/2 there=3.9s back=4.1s.",
    "aside": "There is nothing on {bike}'s card that could be set aside.",
}


def nothing_asked_words(bike: str, what: str) -> str:
    """Say that the bike's card does not tell which look or fault is meant, and how to name it."""
    return _NOTHING_ASKED[what].format(bike=bike, name=as_written(bike))


_NOT_THERE: dict[str, str] = {
    "card": 'The strip sheet of {bike} has no card "{asked}". It has: {known}.',
    "measure": "That card of {bike} does not ask for {asked}. It asks for: {known}.",
    "setup": "{bike} has no setup {asked}. It has: {known}.",
}


def not_there_words(bike: str, what: str, *, asked: str, known: Iterable[str]) -> str:
    """Say that a bike has no such card, measure or setup, and which there are."""
    return _NOT_THERE[what].format(bike=bike, asked=asked, known=", ".join(known) or "none")


MISSING: dict[str, str] = {
    "main": "which main is fitted: floatbowl fitted BIKE main=108, or main=? if nobody can read it",
    "pilot": "which pilot is fitted: floatbowl fitted BIKE pilot=40, or pilot=? if nobody can read it",
    "cutaway": "which cutaway the slide has: floatbowl fitted BIKE cutaway=2.5, or cutaway=?",
}
"""What may be missing, and the command that tells us."""


def missing_words(bike: str, missing: Iterable[str]) -> str:
    """Say what is missing before an answer can be given, and how to tell it."""
    lines = [MISSING[key].replace("BIKE", as_written(bike)) for key in missing]
    return "\n".join([f"Too little is known of {bike} to answer. Missing:", *(f"  {line}" for line in lines)])
