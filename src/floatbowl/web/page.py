"""How a page is declared: its address, what it shows, and what it takes down.

Each visit opens the garage for itself in a worker thread: that costs half a millisecond, sees at
once when the file may no longer be written, and shares no connection between threads.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from floatbowl.jobs import Garage, NothingAskedError, RecordTrouble, TooLittleKnownError, UnknownBike
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.body import FORM_LIMIT, read_form
from floatbowl.web.shop import Shop
from floatbowl.words.door import ELSEWHERE
from floatbowl.words.trouble import NotUnderstoodError, nothing_asked_words
from floatbowl.words.waiting import thinking_words

Work = Callable[[Asked], Response]

TOO_EARLY = 425
"""What an entry is answered that could not be taken yet: the browser keeps it and sends it again."""


def page(address: str, show: Work, *, take: Work | None = None, body_limit: int = FORM_LIMIT) -> Route:
    """Declare a page. ``show`` answers who looks; ``take`` writes down what was sent and goes on.

    An entry that ``take`` refuses (it raises) is shown again by ``show``, with the reason above it
    and what was typed still in ``asked.form``.
    """
    methods = ["GET"] if take is None else ["GET", "POST"]
    return Route(address, _endpoint(show, take, body_limit), methods=methods, name=address)


def act(address: str, take: Work, *, back: Work, body_limit: int = FORM_LIMIT) -> Route:
    """Declare an address that only takes entries; one that is refused is shown on the page ``back``."""
    return Route(address, _endpoint(back, take, body_limit), methods=["POST"], name=address)


def _endpoint(show: Work, take: Work | None, body_limit: int) -> Callable[[Request], object]:
    async def answer(request: Request) -> Response:
        if request.method != "POST" or take is None:
            return await run_in_threadpool(_visit, request, FormData(), show)
        async with read_form(request, limit=body_limit) as form:
            return await run_in_threadpool(_visit, request, form, partial(_take_or_show_again, take, show))

    return answer


def _visit(request: Request, form: FormData, work: Work) -> Response:
    shop: Shop = request.app.state.shop
    once = form.get("once", "")
    try:
        garage = shop.open_garage(once=once if isinstance(once, str) else "")
    except RecordTrouble as trouble:
        return _shut(shop, str(trouble))
    with garage:
        asked = Asked(request=request, shop=shop, garage=garage, form=form)
        if _is_for_another(garage, once):
            return asked.page("trouble.html", status=409, head="That is for another garage", words=ELSEWHERE)
        return _with_troubles_told(asked, work)


def _is_for_another(garage: Garage, once: object) -> bool:
    """Say whether an entry was made on a page of another garage that answered at this address before."""
    mark, dot, _ = str(once).partition(".")
    return bool(dot) and mark != garage.mark


def _take_or_show_again(take: Work, show: Work, asked: Asked) -> Response:
    try:
        return take(asked)
    except UnknownBike:
        raise
    except NothingAskedError as trouble:
        asked.trouble = nothing_asked_words(trouble.bike, trouble.what)
    except (RecordTrouble, NotUnderstoodError) as trouble:
        asked.trouble = str(trouble)
    return show(asked)


def _with_troubles_told(asked: Asked, work: Work) -> Response:
    try:
        return work(asked)
    except StillThinkingError as trouble:
        return asked.page(
            "thinking.html",
            status=TOO_EARLY if asked.request.method == "POST" else 200,
            bike=trouble.bike,
            words=thinking_words(trouble.bike),
        )
    except TooLittleKnownError as trouble:
        return asked.page("too_little.html", bike=trouble.bike, missing=trouble.missing)
    except UnknownBike as trouble:
        return asked.page("trouble.html", status=404, head="No such bike", words=str(trouble))
    except (RecordTrouble, NotUnderstoodError) as trouble:
        return asked.page("trouble.html", status=422, head="That did not work", words=str(trouble))


def _shut(shop: Shop, sentence: str) -> Response:
    """Say that the record cannot be opened: the one page that has no garage to stand in."""
    return HTMLResponse(shop.templates.get_template("shut.html").render(words=sentence), status_code=503)
