"""What the tests of the writing pages share: sending a form as our own page would, and reading the record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from floatbowl.jobs import LogLine, reopen_demo
from tests.web.browser import OURS, Browser

if TYPE_CHECKING:
    from httpx import Response

Typed = Mapping[str, str | list[str]]
MARKUP = '<b>x</b> "quoted" & so'
"""What somebody may type into any field."""
MARKUP_ON_A_PAGE = "&lt;b&gt;x&lt;/b&gt;"


def send(browser: Browser, address: str, typed: Typed) -> Response:
    """Send a form."""
    answer: Response = browser.post(address, headers=OURS, data=typed)
    return answer


def _why(answer: Response) -> str:
    """Give what the page says is wrong."""
    told = re.search(r'role="alert".*?>(.*?)</div>', answer.text, re.DOTALL)
    return told[1] if told else f"{answer.status_code}, and no trouble told"


def log_of(shed: Path, bike: str | None = "magpie") -> tuple[LogLine, ...]:
    """Give the logbook of a bike, or of the whole garage, as it stands in the record."""
    with reopen_demo(shed) as garage:
        return garage.log(bike)


def written(
    browser: Browser, shed: Path, address: str, typed: Typed, *, bike: str | None = "magpie"
) -> tuple[LogLine, ...]:
    """Send an entry twice under one name, as after a lost answer, and give the lines that came of it."""
    before = len(log_of(shed, bike))
    for _ in range(2):
        answer = send(browser, address, {**typed, "once": "a" * 32})
        assert answer.status_code == 303, _why(answer)
    return log_of(shed, bike)[before:]


def refused(browser: Browser, shed: Path, address: str, typed: Typed, *, bike: str | None = "magpie") -> str:
    """Send an entry that must be refused, see that nothing was written, and give the page."""
    before = log_of(shed, bike)
    answer = send(browser, address, typed)
    assert answer.status_code == 422, _why(answer)
    assert 'role="alert"' in answer.text, "no trouble is told"
    assert log_of(shed, bike) == before
    return str(answer.text)
