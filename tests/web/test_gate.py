"""Every address there is stands behind the gate: the table is gone through, so none is forgotten."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.web.app import every_page
from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.web.guard import CONTENT_POLICY, HEADERS, PASS
from floatbowl.words import door as words
from tests.web.browser import HERE, OURS, Browser, browser_on

ROUTES = every_page()
WAYS = [(route.path, method) for route in ROUTES for method in sorted(route.methods or ())]
SENT = [path for path, method in WAYS if method == "POST"]


def filled(path: str) -> str:
    """Give an address of the table with something in its gaps."""
    return re.sub(r"{(\w+)(:\w+)?}", lambda gap: {"bike": "magpie"}.get(gap[1], "1"), path)


def test_the_table_holds_pages_and_entries() -> None:
    """The table that these tests go through is not empty, and each address stands in it once."""
    assert {"/", "/door"} <= {route.path for route in ROUTES}
    assert len(WAYS) == len(set(WAYS))
    assert SENT
    assert all(isinstance(route, Route) for route in ROUTES)


@pytest.mark.parametrize(("path", "method"), WAYS)
def test_every_answer_carries_the_policy(ask: Browser, path: str, method: str) -> None:
    """Whatever is asked, the answer forbids what is not ours, and is no failure of ours."""
    answer = ask.request(method, filled(path), headers=OURS)
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    assert "server" not in answer.headers
    assert answer.status_code < 500, answer.text


def test_the_policy_lets_nothing_in_from_outside() -> None:
    """The policy begins with nothing at all, and opens for this house alone: no inline script or style."""
    rules = dict(rule.split(" ", 1) for rule in CONTENT_POLICY.split("; "))
    assert rules.pop("default-src") == "'none'"
    assert rules.pop("img-src") == "'self' data:"
    assert set(rules.values()) <= {"'self'", "'none'"}
    assert {"script-src", "style-src", "form-action", "frame-ancestors", "base-uri"} <= set(rules)


ROOMS_OF_JOBS = [jobs, *(room for name, room in sys.modules.items() if name.startswith("floatbowl.jobs."))]
"""Every module in which a job has a name."""


@pytest.mark.parametrize(("path", "method"), WAYS)
def test_no_page_thinks_by_itself(
    ask: Browser, path: str, method: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever is asked or sent, however bare, the sums do not run where it is answered."""
    thought: list[str] = []
    for room in ROOMS_OF_JOBS:
        for job in {"_believe", "_advise", "try_on_paper", "missing_checks"} & set(vars(room)):
            monkeypatch.setattr(room, job, lambda *_, job=job: thought.append(job))
    ask.request(method, filled(path), headers=OURS)
    assert thought == []


@pytest.mark.parametrize(("path", "method"), WAYS)
def test_no_address_answers_to_a_foreign_name(ask: Browser, path: str, method: str) -> None:
    """A name pointed at this machine from outside gets one calm sentence and nothing else."""
    foreign = {"Host": "evil.example:8377", "Origin": "http://evil.example:8377"}
    answer = ask.request(method, filled(path), headers=foreign)
    assert answer.status_code == 421
    assert method == "HEAD" or answer.text == f"{words.not_here([f'{HERE}/'])}\n"


@pytest.mark.parametrize("path", SENT)
@pytest.mark.parametrize("said", [{}, {"Origin": "http://evil.example"}, {"Origin": "null"}])
def test_no_address_takes_what_another_page_sends(
    ask: Browser, shed: Path, path: str, said: dict[str, str]
) -> None:
    """A form of another page, or of none, is refused and writes nothing."""
    before = shed.read_bytes()
    answer = ask.post(filled(path), headers=said, data={"did": "bogs", "at": "1/4", "code": "123456"})
    assert (answer.status_code, answer.text) == (403, f"{words.FOREIGN}\n")
    assert shed.read_bytes() == before


@pytest.mark.parametrize(("path", "method"), [way for way in WAYS if way[0] != "/door"])
def test_nothing_is_shown_or_taken_before_the_code(shed: Path, path: str, method: str) -> None:
    """With a door, every page leads to it and every entry is refused until the code was typed."""
    answer = browser_on(shed, keeper=DoorKeeper()).request(method, filled(path), headers=OURS)
    if method == "POST":
        assert (answer.status_code, answer.text) == (401, f"{words.CODE_FIRST}\n")
    else:
        assert (answer.status_code, answer.headers["location"], answer.text) == (303, "/door", "")


def test_the_door_opens_to_the_code(shed: Path) -> None:
    """Who types the code gets a pass that script cannot read and other sites cannot use, and is let in."""
    keeper = DoorKeeper()
    browser = browser_on(shed, keeper=keeper)
    assert "<input" in browser.get("/door").text
    opened = browser.post("/door", headers=OURS, data={"code": words.code_words(keeper.code)})
    cookie = opened.headers["set-cookie"]
    assert (opened.status_code, opened.headers["location"]) == (303, "/")
    assert {"HttpOnly", "SameSite=strict", "Path=/", "Max-Age=43200"} <= set(cookie.split("; "))
    assert len(browser.cookies[PASS]) >= 43
    assert browser.get("/").status_code == 200


def test_the_door_stays_shut_to_guesses(shed: Path) -> None:
    """A wrong code gets a sentence with the wait, and no pass; so does the right one within the wait."""
    keeper = DoorKeeper(code="482913")
    browser = browser_on(shed, keeper=keeper)
    for code, said in (("000000", "That is not the code. Try again in 1 second."), ("482913", "Too soon")):
        answer = browser.post("/door", headers=OURS, data={"code": code})
        assert answer.status_code == 401
        assert said in answer.text
        assert "set-cookie" not in answer.headers


def test_the_door_tells_nothing_of_the_garage(shed: Path) -> None:
    """In front of the door no bike is named."""
    shown = browser_on(shed, keeper=DoorKeeper()).get("/door").text
    assert not re.search("magpie|thistle|otter|tarn", shown, re.IGNORECASE)


def test_a_page_that_is_not_there(ask: Browser) -> None:
    """An address that leads nowhere says so on a page of ours, with the policy."""
    answer = ask.get("/no/such/page")
    assert answer.status_code == 404
    assert words.NO_SUCH_PAGE in answer.text
    assert answer.headers["content-security-policy"] == CONTENT_POLICY


def test_a_failure_of_ours_is_told_calmly(shed: Path) -> None:
    """A fault within a page shows a sentence, no insides, and still carries the policy."""
    browser = browser_on(shed)

    def fail(**_: str) -> None:
        message = "the inside"
        raise ZeroDivisionError(message)

    object.__setattr__(browser.shop, "open_garage", fail)
    answer = browser.get("/drawer")
    assert answer.status_code == 500
    assert words.gone_wrong() in answer.text
    assert "the inside" not in answer.text
    assert answer.headers["content-security-policy"] == CONTENT_POLICY
