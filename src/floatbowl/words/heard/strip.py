"""The strip sheet: which card, how the part is, and what it measures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from floatbowl.words.heard.parts import groove, stamp
from floatbowl.words.heard.plain import number
from floatbowl.words.trouble import NotUnderstoodError, not_known

if TYPE_CHECKING:
    from floatbowl.guide.strip import Answer, Ask, Part
    from floatbowl.jobs import StripCard


def strip(words: Sequence[str], *, sheet: Sequence[StripCard]) -> tuple[Part, Answer, dict[str, str | float]]:
    """Read which card of the strip sheet, how the part is, and what it measures, in the card's order."""
    part, rest = _part(words, {card.part.key: card.part for card in sheet})
    size = 2 if [word.casefold() for word in rest[:2]] == ["not", "fine"] else 1
    if not rest:
        text = f"Say how the {part.key} is: fine, not fine or skip."
        raise NotUnderstoodError(text)
    return part, strip_answer(" ".join(rest[:size])), _measures(part, rest[size:])


def strip_answer(words: str) -> Answer:
    """Read how a part is: fine, not fine or skip."""
    said = " ".join(words.split()).casefold()
    if said not in _ANSWERS:
        raise NotUnderstoodError(not_known(words, what="an answer", known=("fine", "not fine", "skip")))
    return _ANSWERS[said]


_ANSWERS: dict[str, Answer] = {
    "fine": "fine",
    "ok": "fine",
    "not fine": "not fine",
    "bad": "not fine",
    "skip": "skipped",
    "skipped": "skipped",
}


def _part(words: Sequence[str], parts: Mapping[str, Part]) -> tuple[Part, Sequence[str]]:
    """Take the longest run of words at the beginning that names a card."""
    for size in range(len(words), 0, -1):
        found = parts.get(" ".join(words[:size]).casefold())
        if found is not None:
            return found, words[size:]
    raise NotUnderstoodError(not_known(words[0], what="a part of the strip sheet", known=parts))


def _measures(part: Part, words: Sequence[str]) -> dict[str, str | float]:
    if len(words) > len(part.asks):
        asked = ", ".join(ask.name for ask in part.asks) or "no measure"
        text = f"{part.title} asks for {asked}, and {len(words)} were given."
        raise NotUnderstoodError(text)
    told = zip(part.asks, words, strict=False)
    return {ask.field: measure(ask, word) for ask, word in told if word != "-"}


def measure(ask: Ask, word: str) -> str | float:
    """Read what a card of the strip sheet asks for, in its unit."""
    if ask.field in _STAMPED:
        return stamp(word)
    if ask.field == "setup.clip_from_top":
        return groove(word)
    return number(word, what=ask.name.casefold(), units=(ask.unit,), least=0.0, most=200.0)


_STAMPED = ("setup.main", "setup.pilot", "setup.cutaway")
