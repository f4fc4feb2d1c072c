"""The strip sheet: one part a card, fine or not, and what it measures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any
from urllib.parse import quote

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.draw.strip_card import part_in_ink
from floatbowl.jobs import NotThereError, StripCard
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.words import heard, on_forms
from floatbowl.words.care import care_lines
from floatbowl.words.strip import STATE, ground_words, sheet_words
from floatbowl.words.trouble import NotUnderstoodError, not_there_words


def show_sheet(asked: Asked) -> Response:
    """Show every card and how it stands; beside it the first that is open, where there is room."""
    sheet = asked.garage.strip_sheet(asked.bike)
    first = next((card for card in sheet if card.state == "open"), None)
    return _page(asked, sheet, first, is_list_first=True)


def show_card(asked: Asked) -> Response:
    """Show one card."""
    sheet = asked.garage.strip_sheet(asked.bike)
    return _page(asked, sheet, _card(asked, sheet), is_list_first=False)


def _card(asked: Asked, sheet: Sequence[StripCard]) -> StripCard:
    key = asked.request.path_params["card"].casefold()
    found = {card.part.key: card for card in sheet}
    if key not in found:
        raise NotUnderstoodError(not_there_words(asked.bike, "card", asked=key, known=tuple(found)))
    return found[key]


def _page(
    asked: Asked, sheet: Sequence[StripCard], card: StripCard | None, *, is_list_first: bool
) -> Response:
    place = None if card is None else sheet.index(card)
    return asked.page(
        "strip.html",
        bike=asked.bike,
        sheet=sheet,
        words=on_forms,
        sentence=sheet_words(sheet),
        states=STATE,
        card=card,
        place=place,
        before=None if not place else sheet[place - 1],
        after=None if place is None or place + 1 == len(sheet) else sheet[place + 1],
        is_list_first=is_list_first,
        care=care_lines(card.part.care) if card else (),
        limit=ground_words(card.part) if card else "",
        picture=_picture(asked, card) if card else "",
    )


def _picture(asked: Asked, card: StripCard) -> str:
    return part_in_ink(asked.garage.bike(asked.bike), asked.garage.fitted(asked.bike), card.part.part)


def take(asked: Asked) -> Response:
    """Write one card down, and go on to the next that nobody looked at yet."""
    sheet = asked.garage.strip_sheet(asked.bike)
    card = _card(asked, sheet)
    measures = _measures(asked, card)
    if asked.field("answer") == "measure":
        _only_measured(asked, card, measures)
        return asked.go_to_bike(f"/strip/{quote(card.part.key)}")
    _record(asked, card, measures)
    return asked.go_to_bike(_next_address(sheet, card))


def _record(asked: Asked, card: StripCard, measures: Mapping[str, str | float]) -> None:
    answer = heard.strip_answer(asked.field("answer"))
    try:
        asked.garage.record_strip(asked.bike, card.part.key, answer, measures)
    except NotThereError as trouble:
        told = not_there_words(trouble.bike, trouble.what, asked=trouble.asked, known=trouble.known)
        raise NotUnderstoodError(told) from None


def _only_measured(asked: Asked, card: StripCard, measures: Mapping[str, str | float]) -> None:
    """Write down a measure and leave the answer as it is."""
    if not any(asked.field(ask.field) for ask in card.part.asks):
        asked.wrong = card.part.asks[0].field if card.part.asks else ""
        raise NotUnderstoodError(on_forms.NOTHING_MEASURED)
    settings: dict[str, Any] = {
        name.removeprefix("setup."): told for name, told in measures.items() if name.startswith("setup.")
    }
    others = {name: told for name, told in measures.items() if not name.startswith("setup.")}
    if others:
        asked.garage.remeasure(asked.bike, others)
    if settings:
        asked.garage.fit(asked.bike, **settings)


def _measures(asked: Asked, card: StripCard) -> dict[str, str | float]:
    """Read what was measured; what stands there as it is known is not told again."""
    told = {ask.field: asked.read(ask.field, partial(heard.measure, ask)) for ask in card.part.asks}
    known = card.measured
    return {name: value for name, value in told.items() if value is not None and value != known.get(name)}


def _next_address(sheet: Sequence[StripCard], card: StripCard) -> str:
    """Give the next card that nobody looked at, going round; the sheet when there is none."""
    place = sheet.index(card)
    for other in (*sheet[place + 1 :], *sheet[:place]):
        if other.state == "open":
            return f"/strip/{quote(other.part.key)}"
    return "/strip"


routes: list[Route] = [
    page("/bikes/{bike}/strip", show_sheet),
    page("/bikes/{bike}/strip/{card}", show_card, take=take),
]
