"""The app: which pages there are, and what stands around them."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from importlib import import_module
from pkgutil import iter_modules

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from floatbowl.jobs import RecordTrouble, TooLittleKnownError
from floatbowl.web import pages
from floatbowl.web.gate import Gate
from floatbowl.web.guard import Guard
from floatbowl.web.packing import Packing
from floatbowl.web.shelf import fill_shelf
from floatbowl.web.shop import OpenGarage, Shop, fit_out
from floatbowl.web.thinking import Thinking
from floatbowl.words.door import NO_SUCH_PAGE, NOT_THIS_WAY, gone_wrong


def every_page() -> list[Route]:
    """Gather the ``routes`` of every module of ``pages``; what is spelt out goes before what is a name."""
    modules = (import_module(one.name) for one in iter_modules(pages.__path__, f"{pages.__name__}."))
    return sorted((route for module in modules for route in module.routes), key=_spelt_out_first)


def _spelt_out_first(route: Route) -> tuple[tuple[bool, str], ...]:
    return tuple((part.startswith("{"), part) for part in route.path.split("/"))


class GuardedApp(Starlette):
    """An app with the gate outside of everything else."""

    def build_middleware_stack(self) -> ASGIApp:
        """Put the gate around the whole."""
        return Gate(super().build_middleware_stack(), self.state.guard)


def garage_app(open_garage: OpenGarage, *, guard: Guard, thinking: Thinking | None = None) -> Starlette:
    """Make the app around a garage. ``open_garage`` is called for every visit, in a worker thread."""
    shelf = fill_shelf()
    shop = fit_out(open_garage, shelf, thinking or Thinking())
    app = GuardedApp(
        routes=[Route("/static/{path:path}", shelf.hand_out), *every_page()],
        middleware=[Middleware(Packing)],
        exception_handlers={HTTPException: _told, Exception: _failed},
        lifespan=_lifespan(shop),
    )
    app.state.shop, app.state.guard = shop, guard
    return app


def _lifespan(shop: Shop) -> Callable[[Starlette], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        shop.thinking.start()
        await run_in_threadpool(_begin_to_think, shop)
        copying = asyncio.create_task(_keep_spares(shop))
        yield
        copying.cancel()
        await run_in_threadpool(shop.thinking.stop)

    return life


LOOK_FOR_A_NEW_DAY = 1800.0
"""Seconds between looks whether a spare copy of the record is due, however long the garage stays open."""


async def _keep_spares(shop: Shop) -> None:
    """Keep the spare copy of each day, beside whatever is asked: no tap waits for it."""
    while True:
        await run_in_threadpool(_keep_spare, shop)
        await asyncio.sleep(LOOK_FOR_A_NEW_DAY)


def _keep_spare(shop: Shop) -> None:
    with suppress(RecordTrouble), shop.open_garage() as garage:  # every page says it, and so does the doctor
        garage.keep_spare()


def _begin_to_think(shop: Shop) -> None:
    """Ask for a thought about every bike, so that it is there when somebody looks."""
    try:
        garage = shop.open_garage()
    except RecordTrouble:
        return  # every page will say so
    with garage:
        for name in reversed(garage.bikes()):
            try:
                facts = garage.facts(name)
            except TooLittleKnownError:
                continue
            shop.thinking.about(facts, garage.drawer(), patience=0.0)


_HEADS = {404: ("No such page", NO_SUCH_PAGE), 405: ("Not this way", NOT_THIS_WAY)}


async def _told(request: Request, trouble: Exception) -> Response:
    """Tell what was wrong with a request."""
    status = trouble.status_code if isinstance(trouble, HTTPException) else 500
    detail = trouble.detail if isinstance(trouble, HTTPException) else gone_wrong()
    head, words = _HEADS.get(status, ("That did not work", detail))
    headers = getattr(trouble, "headers", None)
    return _page(request, status=status, head=head, words=words, headers=headers)


async def _failed(request: Request, _: Exception) -> Response:
    """Tell that a page failed by our own fault."""
    return _page(request, status=500, head="That did not work", words=gone_wrong())


def _page(
    request: Request, *, status: int, head: str, words: str, headers: dict[str, str] | None = None
) -> Response:
    shop: Shop = request.app.state.shop
    told = shop.templates.get_template("failed.html").render(head=head, words=words)
    return HTMLResponse(told, status_code=status, headers=headers)
