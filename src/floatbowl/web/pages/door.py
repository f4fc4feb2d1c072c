"""The door: where the code is asked for before anything of the garage is shown."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from floatbowl.web.body import read_form
from floatbowl.web.doorkeeper import STAY
from floatbowl.web.guard import PASS, Guard
from floatbowl.web.shop import Shop
from floatbowl.words import door as words

LONGEST_TYPED = 40


async def door(request: Request) -> Response:
    """Ask for the code, or hold what was typed against it; without a door, lead straight in."""
    guard: Guard = request.app.state.guard
    if guard.keeper is None or guard.keeper.lets_in(request.cookies.get(PASS, "")):
        return RedirectResponse("/", status_code=303)
    if request.method != "POST":
        return _ask(request)
    async with read_form(request, limit=4096) as form:
        typed = form.get("code", "")
    peer = request.client.host if request.client else ""
    answer = guard.keeper.try_code(str(typed)[:LONGEST_TYPED], peer=peer)
    return _let_in(answer.ticket) if answer.ticket else _ask(request, why=answer.why_not)


def _let_in(ticket: str) -> Response:
    response = RedirectResponse("/", status_code=303)
    response.set_cookie(PASS, ticket, max_age=int(STAY), path="/", httponly=True, samesite="strict")
    return response


def _ask(request: Request, why: str = "") -> Response:
    shop: Shop = request.app.state.shop
    told = shop.templates.get_template("door.html").render(why=why, words=words)
    return HTMLResponse(told, status_code=401 if why else 200)


routes: list[Route] = [Route("/door", door, methods=["GET", "POST"])]
