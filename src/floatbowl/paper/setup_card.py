"""The setup card on paper: A5, the drawing true to size, one side where it fits, else both."""

from __future__ import annotations

from dataclasses import asdict

from floatbowl.draw.code import code_picture
from floatbowl.draw.mains import mains_picture
from floatbowl.draw.printed import printed
from floatbowl.draw.svg import told_of
from floatbowl.draw.true_size import Room, size_mm, true_size
from floatbowl.jobs import HandOver
from floatbowl.paper.press import press
from floatbowl.words import setup_card as words

SIDE = Room(wide=130.0, high=128.0)
"""What one side of the card leaves for the drawing, mm."""
NARROW_MM = 104.0
"""A drawing no wider shares its side with the words."""


def setup_card_pdf(told: HandOver) -> bytes:
    """Set the card of what is handed over."""
    card, belief = words.setup_card(told), told.stand.belief
    drawing = true_size(belief.bike, belief.setup, room=SIDE, belief=belief)
    wide, high = size_mm(drawing)
    pictures = {
        "cutaway.svg": printed(drawing),
        "code.svg": code_picture(card.text, title=words.CODE),
        "mains.svg": printed(mains_picture(card.mains, home=card.home)),
    }
    told_words = {
        **asdict(card),
        "labels": {name: getattr(words, name) for name in dir(words) if name.isupper()},
        "drawing": {"wide": wide, "high": high, "is_narrow": wide <= NARROW_MM, "alt": told_of(drawing)},
    }
    return press("setup_card.typ", words=told_words, pictures=pictures)
