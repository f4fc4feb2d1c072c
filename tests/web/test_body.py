"""What is sent is taken in only as far as was agreed, and not for ever."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

import pytest
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import Message

from floatbowl.web.body import FORM_LIMIT, read_form
from tests.web.browser import OURS, Browser

FORM = {
    "type": "http",
    "method": "POST",
    "headers": [(b"content-type", b"application/x-www-form-urlencoded")],
}


def sent(*parts: bytes, pause: float = 0.0) -> Request:
    """Make a request whose form arrives in parts, with a pause before each."""

    async def arriving() -> AsyncIterator[Message]:
        for place, part in enumerate(parts):
            await asyncio.sleep(pause)
            yield {"type": "http.request", "body": part, "more_body": place < len(parts) - 1}

    return Request(FORM, arriving().__anext__)


def read(request: Request, *, limit: int, patience: float = 5.0) -> str:
    """Read a form's one field."""

    async def reading() -> str:
        async with read_form(request, limit=limit, patience=patience) as form:
            return str(form["did"])

    return asyncio.run(reading())


def test_a_form_as_long_as_agreed_is_read() -> None:
    """A form of just the limit is taken."""
    assert read(sent(b"did=", b"x" * 96), limit=100) == "x" * 96


def test_a_longer_one_is_refused_before_it_is_whole() -> None:
    """One byte more is refused as soon as it arrives, whatever the head said; the rest is not waited for."""
    endless = sent(b"did=", b"x" * 97, *[b"x"] * 1000, pause=0.001)
    with pytest.raises(HTTPException) as refused:
        read(endless, limit=100, patience=0.5)
    assert refused.value.status_code == 413


def test_a_form_that_trickles_is_given_up() -> None:
    """A sender who is too slow is told so, and hung up on."""
    with pytest.raises(HTTPException) as refused:
        read(sent(*[b"did=x"] * 100, pause=0.02), limit=10_000, patience=0.1)
    assert refused.value.status_code == 408
    assert refused.value.headers == {"Connection": "close"}


def test_a_page_refuses_a_form_that_says_it_is_too_long(ask: Browser) -> None:
    """A form beyond the limit gets a sentence and writes nothing."""
    answer = ask.post("/bikes/magpie/ride", headers=OURS, data={"words": "x" * FORM_LIMIT})
    assert answer.status_code == 413
    assert "at most 64 kB" in answer.text


def test_a_form_of_many_fields_is_refused(ask: Browser) -> None:
    """Thousands of fields are not sorted through."""
    answer = ask.post("/bikes/magpie/ride", headers=OURS, data={f"a{i}": "1" for i in range(2000)})
    assert answer.status_code in {400, 413}
