"""Packing of pages on the way out. What is packed already, and fonts, which are, go as they are."""

from __future__ import annotations

from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

_LEAST = 1024
_LEVEL = 5
"""A page of 100 kB in two milliseconds."""


class Packing:
    """Packs every answer but those of the shelf, which packs its own once and for all."""

    def __init__(self, app: ASGIApp) -> None:
        """Take what is behind."""
        self._plain = app
        self._packed = GZipMiddleware(app, minimum_size=_LEAST, compresslevel=_LEVEL)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand the request on, to be packed or not."""
        is_kept = scope["type"] != "http" or scope["path"].startswith("/static/")
        await (self._plain if is_kept else self._packed)(scope, receive, send)
