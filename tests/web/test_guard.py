"""The guard's rules, each held against what a browser would say."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as some

from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.web.guard import Call, Guard, guard_here, refusal

HERE = guard_here(8377)


def call(
    method: str = "GET", path: str = "/", *, host: str = "127.0.0.1:8377", ticket: str = "", **headers: str
) -> Call:
    """Make a call; header names are written with underscores."""
    said = {name.replace("_", "-"): value for name, value in headers.items()}
    return Call(method=method, path=path, headers=said, hosts=(host,), ticket=ticket)


def status(asked: Call, guard: Guard = HERE) -> int:
    """Give the status of the refusal, 0 when there is none."""
    refused = refusal(asked, guard)
    return refused.status if refused else 0


@pytest.mark.parametrize("host", ["127.0.0.1:8377", "localhost:8377", "LOCALHOST:8377", "[::1]:8377"])
def test_our_own_names_are_answered(host: str) -> None:
    """Loopback's names with our port are us, in small letters or large."""
    assert status(call(host=host)) == 0


@given(host=some.text())
@example(host="evil.example:8377")
@example(host="127.0.0.1")
@example(host="127.0.0.1:80")
@example(host="127.0.0.1:8377.evil.example")
@example(host="localhost.:8377")
@example(host="0.0.0.0:8377")
@example(host="192.168.1.5:8377")
@example(host="")
def test_no_other_name_is_answered(host: str) -> None:
    """Whatever else stands as host is refused with 421: a foreign name pointed at us is of no use."""
    assert host.lower() in HERE.hosts or status(call(host=host)) == 421


def test_two_hosts_or_none_are_refused() -> None:
    """A request that names two hosts, or none, is refused."""
    for hosts in ((), ("127.0.0.1:8377", "127.0.0.1:8377")):
        assert status(Call(method="GET", path="/", headers={}, hosts=hosts)) == 421


def test_an_address_beyond_is_answered_only_when_it_was_told() -> None:
    """With --lan the told address is ours too, and without it is not."""
    beyond = guard_here(8377, beyond=("192.168.1.5",))
    assert status(call(host="192.168.1.5:8377"), beyond) == 0
    assert status(call(host="192.168.1.6:8377"), beyond) == 421


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_only_looking_and_sending(method: str) -> None:
    """No method but GET, HEAD and POST is answered, so that no browser finds another way round."""
    assert status(call(method, origin="http://127.0.0.1:8377")) == 405


OURS = {"origin": "http://127.0.0.1:8377"}
SENT = [
    (OURS, 0),
    ({**OURS, "sec_fetch_site": "same-origin"}, 0),
    ({"origin": "null", "sec_fetch_site": "same-origin"}, 0),
    ({"sec_fetch_site": "none"}, 0),
    ({"referer": "http://127.0.0.1:8377/bikes/magpie/ride"}, 0),
    ({"origin": "null", "referer": "http://127.0.0.1:8377/"}, 0),
    ({}, 403),
    ({"origin": "null"}, 403),
    ({"origin": "http://evil.example"}, 403),
    ({"origin": "https://127.0.0.1:8377"}, 403),
    ({"origin": "http://127.0.0.1:8378"}, 403),
    ({"origin": "http://localhost:8377"}, 403),
    ({**OURS, "sec_fetch_site": "cross-site"}, 403),
    ({**OURS, "sec_fetch_site": "same-site"}, 403),
    ({"origin": "http://evil.example", "sec_fetch_site": "same-origin"}, 403),
    ({"referer": "http://evil.example/http://127.0.0.1:8377/"}, 403),
    ({"referer": "http://127.0.0.1:8377.evil.example/"}, 403),
    ({"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate"}, 403),
]


@pytest.mark.parametrize(("said", "expected"), SENT)
def test_what_is_sent_comes_from_a_page_of_ours(said: dict[str, str], expected: int) -> None:
    """An entry is taken only when its origin, or what stands for it, is the address it is sent to."""
    assert status(call("POST", **said)) == expected


def test_a_foreign_page_may_link_to_us_but_not_draw_us_in() -> None:
    """Following a link from elsewhere shows the page; a foreign page's picture or script of it is refused."""
    assert status(call(sec_fetch_site="cross-site", sec_fetch_mode="navigate")) == 0
    for mode in ("no-cors", "cors", "same-origin", "websocket"):
        assert status(call(sec_fetch_site="cross-site", sec_fetch_mode=mode)) == 403


def test_behind_the_door_only_with_a_pass() -> None:
    """With a door, who looks is led to it, who sends is refused, and who has a pass goes in."""
    keeper = DoorKeeper()
    guard = guard_here(8377, keeper=keeper)
    ticket = keeper.try_code(keeper.code, peer="a").ticket
    looked, sent = refusal(call(path="/drawer"), guard), refusal(call("POST", "/drawer", **OURS), guard)
    assert looked is not None
    assert (looked.status, looked.leads_to) == (401, "/door")
    assert sent is not None
    assert (sent.status, sent.leads_to) == (401, "")
    assert status(call(path="/drawer", ticket=ticket), guard) == 0
    assert status(call(path="/drawer", ticket=f"{ticket}x"), guard) == 401


@pytest.mark.parametrize(
    "path", ["/door/", "/doors", "/static", "/staticky", "//static/", "/bikes/../static/a"]
)
def test_in_front_of_the_door_are_only_door_and_shelf(path: str) -> None:
    """What merely resembles the door's own addresses is behind it."""
    guard = guard_here(8377, keeper=DoorKeeper())
    assert status(call(path=path), guard) == 401
    assert [status(call(path=free), guard) for free in ("/door", "/static/style.css")] == [0, 0]
