"""The stop tag in words: what stands on it, and who is suspected."""

from __future__ import annotations

import numpy as np

from floatbowl.advice.advice import Advice
from floatbowl.belief.belief import OF, Belief
from floatbowl.words.card import CLEAR_SUSPECT, Tally, suspect_name
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


ONLY_SET_WRONG = "Only set wrong, nothing broken"
SOMETHING_ELSE = "Something else"


def suspect_tallies(belief: Belief) -> tuple[Tally, ...]:
    """Count the twenty by what is wrong with them, so that each stands in one of the rows at least."""
    named = [belief.has(one.fault)[belief.twenty] for one in belief.suspects]
    others = OF - belief.sound_count - int(np.count_nonzero(np.any(named, axis=0)))
    rows = [Tally(count=one.count, words=suspect_name(one.fault)) for one in belief.suspects if one.count]
    if others > 0:
        rows.append(Tally(count=others, words=SOMETHING_ELSE))
    return (*rows, Tally(count=belief.sound_count, words=ONLY_SET_WRONG))
