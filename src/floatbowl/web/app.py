"""The app: which pages there are, and what stands around them."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from importlib import import_module
from pkgutil import iter_modules

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import Route

from floatbowl.jobs import RecordTrouble, TooLittleKnownError
from floatbowl.web import pages
from floatbowl.web.shelf import fill_shelf
from floatbowl.web.shop import OpenGarage, Shop, fit_out
from floatbowl.web.thinking import Thinking


def every_page() -> list[Route]:
    """Gather the ``routes`` of every module of ``pages``; what is spelt out goes before what is a name."""
    modules = (import_module(one.name) for one in iter_modules(pages.__path__, f"{pages.__name__}."))
    return sorted((route for module in modules for route in module.routes), key=_spelt_out_first)


def _spelt_out_first(route: Route) -> tuple[tuple[bool, str], ...]:
    return tuple((part.startswith("{"), part) for part in route.path.split("/"))


def garage_app(open_garage: OpenGarage, *, thinking: Thinking | None = None) -> Starlette:
    """Make the app around a garage. ``open_garage`` is called for every visit, in a worker thread."""
    shelf = fill_shelf()
    shop = fit_out(open_garage, shelf, thinking or Thinking())
    app = Starlette(
        routes=[Route("/static/{path:path}", shelf.hand_out), *every_page()],
        middleware=[Middleware(GZipMiddleware, minimum_size=1024, compresslevel=5)],
        lifespan=_lifespan(shop),
    )
    app.state.shop = shop
    return app


def _lifespan(shop: Shop) -> Callable[[Starlette], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        shop.thinking.start()
        await run_in_threadpool(_begin_to_think, shop)
        yield
        await run_in_threadpool(shop.thinking.stop)

    return life


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
