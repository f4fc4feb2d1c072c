"""The take-along: handed out as one file, and the notes that come back from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.web.take_along import file_stem, take_along_page
from floatbowl.words import take_along as words
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.jobs import NotesTaken, TakeAlong

NOTES_LIMIT = 512 * 1024
"""Bytes of notes that are sent: as many as are taken at once."""


def show(asked: Asked) -> Response:
    """Offer the file once it is packed, and take the notes that came back."""
    return _page(asked, taken=None)


def _page(asked: Asked, *, taken: NotesTaken | None) -> Response:
    told = _packed(asked) if taken is None else None
    return asked.page(
        "packed.html",
        bike=asked.bike,
        words=words,
        setup=asked.garage.fitted(asked.bike),
        fits=None if told is None else len(told.fits),
        taken=None if taken is None else words.taken_words(taken),
    )


def take(asked: Asked) -> Response:
    """Write down the notes that came back from a take-along, of whichever bike of this garage."""
    text = asked.field("notes")
    if not jobs.is_notes(text):
        asked.wrong = "notes"
        raise NotUnderstoodError(words.NO_SUCH_NOTES)
    return _page(asked, taken=asked.garage.take_notes(text))


def hand_out(asked: Asked) -> Response:
    """Hand the file out."""
    written = take_along_page(_packed(asked), mark=asked.garage.mark)
    named = f'attachment; filename="{file_stem(asked.bike)}.html"'
    return Response(written, media_type="text/html", headers={"Content-Disposition": named})


def _packed(asked: Asked) -> TakeAlong:
    """Let the thinking thread work it all out; while it is busy the page comes again by itself."""
    asked.thought()
    facts, drawer = asked.garage.facts(asked.bike), asked.garage.drawer()
    told = asked.think(("take-along", facts), lambda: jobs.take_along_of(facts, drawer))
    if told is None:
        raise StillThinkingError(asked.bike)
    return told


routes: list[Route] = [
    page("/bikes/{bike}/takealong", show, take=take, body_limit=NOTES_LIMIT),
    page("/bikes/{bike}/takealong.html", hand_out),
]
