"""The stop tag in words: what stands on it."""

from __future__ import annotations

from floatbowl.advice.advice import Advice
from floatbowl.words.card import CLEAR_SUSPECT
from floatbowl.words.suspects import SUSPECTS

STOP = "STOP JETTING"


def tag_words(advice: Advice) -> str:
    """Give the line under the head of a stop tag: ``Air leak likely``."""
    name = SUSPECTS[advice.suspect or ""].name
    if advice.why.key == "found":
        return f"{name}, found"
    if advice.suspect_count >= CLEAR_SUSPECT:
        return f"{name} likely"
    return "something may be broken"


def tag_count(advice: Advice) -> int | None:
    """Give how many of the twenty a stop tag counts; None where it counts none."""
    is_counted = advice.why.key != "found" and advice.suspect_count >= CLEAR_SUSPECT
    return advice.suspect_count if is_counted else None
