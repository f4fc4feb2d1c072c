"""The gate around the app: holds every request against the guard, and puts our headers on every answer."""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from floatbowl.web.guard import HEADERS, PASS, Call, Guard, Refusal, refusal


class Gate:
    """Stands outside of everything, so that no answer goes past it, not even one of a failure."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        """Take what is behind the gate, and the guard."""
        self._app = app
        self._guard = guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request or refuse it; anything that is no request goes its way, and sockets are shut."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # refused: a server takes silence for a no
        refused = refusal(call_of(scope), self._guard)
        behind = self._app if refused is None else _answer(refused)
        await behind(scope, receive, _with_headers(send))


def call_of(scope: Scope) -> Call:
    """Read what a request says about itself."""
    headers = Headers(scope=scope)
    return Call(
        method=scope["method"],
        path=scope["path"],
        headers=dict(headers),
        hosts=tuple(headers.getlist("host")),
        ticket=cookie_parser(headers.get("cookie", "")).get(PASS, ""),
    )


def _answer(refused: Refusal) -> Response:
    if refused.leads_to:
        return RedirectResponse(refused.leads_to, status_code=303)
    return PlainTextResponse(f"{refused.sentence}\n", refused.status, headers={"Connection": "close"})


def _with_headers(send: Send) -> Send:
    async def send_on(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.update(HEADERS)
            headers.setdefault("Cache-Control", "private, no-cache")
        await send(message)

    return send_on
