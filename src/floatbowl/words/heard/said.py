"""What it did, what a look brought, what was mended."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, get_args

from floatbowl.bike.rung import Rung
from floatbowl.signs.trial import (
    SHOWS,
    Behaviour,
    LookOutcome,
)
from floatbowl.words.heard.plain import RUNG_WORDS, one_of, rung
from floatbowl.words.suspects import SUSPECTS
from floatbowl.words.trouble import NotUnderstoodError, nearest

_BEHAVIOUR_WORDS: dict[str, Behaviour] = {
    **{one: one for one in get_args(Behaviour)},
    "bog": "bogs",
    "stumble": "stumbles",
    "hesitates": "stumbles",
    "surge": "surges",
    "hunts": "surges",
    "rough": "thick",
    "four-strokes": "thick",
    "burbles": "thick",
    "blubbers": "thick",
    "weak": "flat",
    "ping": "pings",
    "pinks": "pings",
    "knocks": "pings",
    "hot": "pings",
    "hang": "hangs",
    "die": "dies",
    "stalls": "dies",
    "spit": "spits",
    "pop": "pops",
    "hard-start": "hard start",
    "drip": "drips",
    "leaks": "drips",
    "floods": "drips",
    "foul": "fouls",
    "cuts": "cuts out",
    "like a switch": "cuts out",
    "switches off": "cuts out",
    "fade": "fades",
    "starves": "fades",
    "runs out": "fades",
    "rest": "rest helps",
    "rests": "rest helps",
    "better after a rest": "rest helps",
}


def behaviour(word: str) -> Behaviour:
    """Read what it did, with the trade's other words for the same."""
    found = _BEHAVIOUR_WORDS.get(word.strip().casefold())
    if found is None:
        close = nearest(word, _BEHAVIOUR_WORDS)
        meant = f" Did you mean {_BEHAVIOUR_WORDS[close]}?" if close else ""
        text = f'"{word}" is not something we know a bike to do.{meant} See them all: floatbowl said --list.'
        raise NotUnderstoodError(text)
    return found


def said(words: Sequence[str]) -> tuple[Rung | None, Behaviour]:
    """Read ``1/4 bogs``, ``bogs 1/4`` or ``bogs`` alone, where the opening is not known."""
    whole = " ".join(words).casefold()
    if whole in _BEHAVIOUR_WORDS:
        return None, _BEHAVIOUR_WORDS[whole]
    if len(words) == 1:
        return None, behaviour(words[0])
    *first, last = words
    if " ".join(first).casefold() in _BEHAVIOUR_WORDS and last.casefold() in RUNG_WORDS:
        return rung(last), behaviour(" ".join(first))
    return rung(words[0]), behaviour(" ".join(words[1:]))


_BESIDE_A_REMARK: dict[str, tuple[str, str]] = {
    "snap": ("how", "snap"),
    "snapped": ("how", "snap"),
    "steady": ("how", "steady"),
    "pull": ("how", "pull"),
    "cold": ("engine", "cold"),
    "hot": ("engine", "hot"),
    "once": ("often", "once"),
    "every-time": ("often", "every time"),
}


def remark(text: str) -> dict[str, Any]:
    """Read a whole remark as the fields of a remark, the words that go beside it with or without dashes.

    >>> remark("1/4 bogs snap every time")["how"], remark("hot")["did"]
    ('snap', 'pings')
    """
    words = text.casefold().replace("every time", "every-time").split()
    beside = [word for word in words if word.removeprefix("--") in _BESIDE_A_REMARK]
    rest = [word for word in words if word not in beside]
    if all(word in RUNG_WORDS for word in rest) and "hot" in beside:
        beside.remove("hot")  # said alone it is what the bike does
        rest.append("hot")
    if not rest:
        raise NotUnderstoodError(_WRITE_REMARK)
    at, did = said(rest)
    return {"at": at, "did": did, **dict(_BESIDE_A_REMARK[word.removeprefix("--")] for word in beside)}


_WRITE_REMARK = "Say where and what it did: 1/4 bogs snap. Or only what it did: drips."
_FILE = re.compile(r".+\.[a-z][a-z0-9]{1,4}", flags=re.IGNORECASE)


def is_file(word: str) -> bool:
    """Say whether a word names a file, not a kind of reading.

    >>> is_file("ride.csv"), is_file("plug"), is_file("1.5")
    (True, False, False)
    """
    return _FILE.fullmatch(word) is not None


OUTCOMES: dict[str, LookOutcome] = {"found": "found", "yes": "found", "clear": "clear", "no": "clear"}


def looked(words: Sequence[str]) -> tuple[str | None, LookOutcome]:
    """Read ``soap on the joints found``, or ``soap found``, as which look and what it brought.

    ``found`` alone leaves the look open: None.
    """
    *look, outcome = words
    brought = OUTCOMES.get(outcome.casefold())
    if brought is None:
        close = nearest(outcome, OUTCOMES)
        meant = f" Did you mean {OUTCOMES[close]}?" if close else ""
        text = f'"{outcome}" does not say what the look brought.{meant} Write found or clear, at the end.'
        raise NotUnderstoodError(text)
    return one_of(look, SHOWS, what="a look") if look else None, brought


def fault(words: Sequence[str]) -> str:
    """Read ``air leak``, or ``leak``, as the fault that was mended."""
    return one_of(words, SUSPECTS, what="a fault")
