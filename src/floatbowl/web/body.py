"""Taking in what a browser sends, no more than was agreed and not for ever."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import Message, Receive

FORM_LIMIT = 64 * 1024
"""Bytes of a form: far more than anyone types."""
BODY_PATIENCE = 20.0
"""Seconds for a whole form to arrive: a phone at the edge of the garage's net is slow, not that slow."""
SLOWEST = 128 * 1024
"""Bytes in a second that a longer sending, such as a recording, is given time for."""
_MOST_FIELDS = 400


@asynccontextmanager
async def read_form(
    request: Request, *, limit: int = FORM_LIMIT, patience: float | None = None
) -> AsyncIterator[FormData]:
    """Read a form. Answers 413 when it is longer than ``limit``, 408 when it does not arrive in time."""
    said = request.headers.get("content-length", "")
    if said.isdigit() and int(said) > limit:
        raise _too_much(limit)
    counted = Request(request.scope, _counting(request, limit))
    try:
        async with asyncio.timeout(BODY_PATIENCE + limit / SLOWEST if patience is None else patience):
            form = await counted.form(max_files=4, max_fields=_MOST_FIELDS)
    except TimeoutError:
        told = "It took too long to arrive. Nothing was written down; send it again."
        raise HTTPException(408, told, headers={"Connection": "close"}) from None
    try:
        yield form
    finally:
        await form.close()


def _counting(request: Request, limit: int) -> Receive:
    taken = 0

    async def receive() -> Message:
        nonlocal taken
        message = await request.receive()
        taken += len(message.get("body", b""))
        if taken > limit:
            raise _too_much(limit)
        return message

    return receive


def _too_much(limit: int) -> HTTPException:
    told = f"That is more than fits here: at most {limit // 1024:,} kB. Nothing was written down."
    return HTTPException(413, told, headers={"Connection": "close"})
