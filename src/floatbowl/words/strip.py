"""The strip sheet in words: how each card stands, and what comes after an answer."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.guide.strip import Ask, Part
from floatbowl.jobs import StripCard
from floatbowl.words.care import care_lines
from floatbowl.words.forms import Form, form
from floatbowl.words.names import as_written, plural

STATE: dict[str, str] = {
    "fine": "fine",
    "not fine": "not fine",
    "skipped": "skipped",
    "open": "not looked at yet",
}
"""How a card stands, by its state."""


def sheet_words(cards: Iterable[StripCard]) -> str:
    """Say in one sentence how far the strip-down is."""
    sheet = tuple(cards)
    left = [card for card in sheet if card.state == "open"]
    bad = [card.part.title for card in sheet if card.state == "not fine"]
    told = f" Not fine: {', '.join(bad)}." if bad else ""
    if not left:
        return f"Every part was looked at.{told}"
    return f"{plural(len(left), 'part')} of {len(sheet)} still to be looked at.{told}"


def ground_words(part: Part) -> str:
    """Give the limit with what it rests on; nothing where a card has none."""
    return f"{part.limit} ({part.ground})" if part.limit else ""


def measured_words(card: StripCard, ask: Ask) -> str:
    """Give a measure as it is known, or that it is not: ``Float height: 18 mm``."""
    value = card.measured.get(ask.field)
    if value is None:
        return f"{ask.name}: not measured"
    told = f"{value:g}" if isinstance(value, float) else f"{value}"
    return f"{ask.name}: {told} {ask.unit}".rstrip()


def after_words(card: StripCard, *, bike: str) -> str:
    """Say what comes after an answer."""
    if card.state == "not fine":
        return f"What next: floatbowl next {as_written(bike)}."
    return f"What is left: floatbowl strip {as_written(bike)}."


def sheet_form(cards: Iterable[StripCard], *, bike: str) -> Form:
    """Give the strip sheet."""
    sheet = tuple(cards)
    return form("strip", bike=bike, words=sheet_words(sheet), cards=[card_fields(card) for card in sheet])


def card_form(card: StripCard, *, bike: str) -> Form:
    """Give one card after an answer."""
    return form("strip-card", bike=bike, **card_fields(card))


def card_fields(card: StripCard) -> Form:
    """Give one card: what to look for, how it stands, and what it measures."""
    part = card.part
    return {
        "card": part.key,
        "title": part.title,
        "state": card.state,
        "look_for": list(part.look_for),
        "limit": part.limit or None,
        "care": list(care_lines(part.care)),
        "measures": [
            {"field": ask.field, "name": ask.name, "unit": ask.unit, "value": card.measured.get(ask.field)}
            for ask in part.asks
        ],
    }
