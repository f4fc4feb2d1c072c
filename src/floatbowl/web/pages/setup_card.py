"""The setup card: the page that is handed over with the bike, and the same as a paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.draw.code import code_picture
from floatbowl.draw.heights import PlaceMark, main_by_height
from floatbowl.draw.svg import Svg
from floatbowl.draw.true_size import Room, true_size
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.words import setup_card as words

if TYPE_CHECKING:
    from floatbowl.jobs import HandOver

WHOLE = Room(wide=1000.0, high=1000.0)
"""On a page there is room for the largest carburettor."""


def show(asked: Asked) -> Response:
    """Show the card."""
    told = handed_over(asked)
    card, belief = words.setup_card(told), told.stand.belief
    return asked.page(
        "setup_card.html",
        bike=asked.bike,
        card=card,
        words=words,
        drawing=true_size(belief.bike, belief.setup, room=WHOLE, belief=belief),
        mains=_mains(told) if told.mains else None,
        code=code_picture(card.text, title=words.CODE),
    )


def _mains(told: HandOver) -> Svg:
    day = told.set_on
    here = PlaceMark(day.place, day.height, is_home=True)
    return main_by_height(told.mains, fitted=told.stand.belief.setup.main, places=[here])


def print_card(asked: Asked) -> Response:
    """Give the card as a paper."""
    from floatbowl.paper.setup_card import setup_card_pdf  # noqa: PLC0415  (the press is loaded by what prints)

    return as_paper(setup_card_pdf(handed_over(asked)))


def handed_over(asked: Asked) -> HandOver:
    """Let the thinking thread lay the card out; while it is busy the page comes again by itself."""
    asked.thought()
    facts, drawer = asked.garage.facts(asked.bike), asked.garage.drawer()
    told = asked.think(("card", facts), lambda: jobs.hand_over_of(facts, drawer))
    if told is None:
        raise StillThinkingError(asked.bike)
    return told


def as_paper(printed: bytes) -> Response:
    """Answer with a PDF, to be looked at or printed."""
    return Response(printed, media_type="application/pdf")


routes: list[Route] = [page("/bikes/{bike}/card", show), page("/bikes/{bike}/card.pdf", print_card)]
