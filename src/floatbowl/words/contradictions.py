"""Measures that cannot all be true of one carburettor, kept, drawn as told, and named."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.bike.shape import Contradiction
from floatbowl.record.trouble import tell

KEPT = "Kept and drawn as told, but not all of this can be true:"


def contradiction_words(contradictions: Iterable[Contradiction]) -> tuple[str, ...]:
    """Give a sentence or two for each: what does not fit together, and what to measure again."""
    return tuple(f"{_upper(what)}. {do}." for what, do in map(tell, contradictions))


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
