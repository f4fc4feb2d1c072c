"""The garage as it is really opened: a process, a port, slow and rude callers, and Ctrl-C."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import partial
from pathlib import Path

import pytest
import uvicorn

from floatbowl.cli.opening import address_picture, show_in_browser
from floatbowl.cli.paper import ASCII, UNICODE, Paper
from floatbowl.jobs import reopen_demo
from floatbowl.web import serving
from floatbowl.web.app import garage_app
from floatbowl.web.serving import EVERY_CARD, PatientProtocol, addresses_here, take_place
from floatbowl.words.door import CLOSED, CannotOpenError, not_here
from tests.web.browser import NoThinking

pytestmark = [pytest.mark.door]
SOON = 30.0
"""Seconds within which even a busy machine starts a process."""


@contextmanager
def opened(*words: str, **place: str) -> Iterator[subprocess.Popen[str]]:
    """Run a command that stays open, and end it the hard way if a test did not."""
    asked = [sys.executable, "-m", "floatbowl", *words, "--no-browser"]
    env = {**os.environ, "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1", **place}
    with subprocess.Popen(
        asked, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8"
    ) as running:
        try:
            yield running
        finally:
            running.kill()


def line_of(running: subprocess.Popen[str]) -> str:
    """Give the next line that is printed."""
    assert running.stdout is not None
    return running.stdout.readline().rstrip("\n")


def port_in(line: str) -> int:
    """Give the port of the address in a line."""
    found = re.search(r"http://127\.0\.0\.1:(\d+)/$", line)
    assert found, line
    return int(found[1])


def look(port: int, path: str = "/", **headers: str) -> tuple[int, str]:
    """Ask for a page and give status and text."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=SOON)) as line:
        line.request("GET", path, headers=headers)
        answer = line.getresponse()
        return answer.status, answer.read().decode()


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_the_demo_opens_and_closes_calmly(how: signal.Signals, tmp_path: Path) -> None:
    """The demo prints its address, shows three bikes, ends at once on Ctrl-C, and leaves nothing behind."""
    with opened("demo", "--port", str(free_port()), TMPDIR=str(tmp_path)) as running:
        port, close = port_in(line_of(running)), line_of(running)
        shown = look(port)
        began = time.monotonic()
        running.send_signal(how)
        _, err = running.communicate(timeout=SOON)
    assert shown[0] == 200
    assert all(bike in shown[1] for bike in ("Magpie", "Thistle", "Otter"))
    assert running.returncode == 0
    assert close == "Close it with Ctrl-C."
    assert err.strip() == CLOSED
    assert time.monotonic() - began < SOON
    assert list(tmp_path.iterdir()) == []


def test_a_garage_is_opened_where_it_lies(demo_file: Path, tmp_path: Path) -> None:
    """``open`` shows the garage that is named; as data it says where it is open and that no code is asked."""
    mine = shutil.copy(demo_file, tmp_path / "mine.garage")
    with opened("open", "--json", "--garage", str(mine), "--port", str(free_port())) as running:
        assert running.stdout is not None
        text = ""
        while not text.endswith("}\n"):
            text += running.stdout.readline()
        told = json.loads(text)
        status, _ = look(port_in(told["addresses"][0]), "/drawer")
    assert (told["form"], told["door_code"], status) == ("floatbowl.open/1", None, 200)


def test_a_port_that_is_taken_is_told() -> None:
    """A named port that another program has is refused with a sentence; without a name another is taken."""
    with closing(socket.socket()) as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(CannotOpenError, match=f"port {port} already"), take_place(port=port):
            pass
        with opened("demo", "--port", str(port)) as running:
            _, err = running.communicate(timeout=SOON)
    assert running.returncode == 3
    assert "Close it, or name another port" in err
    assert "Traceback" not in err


def test_the_usual_port_is_no_must(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the usual port is taken, another one is, and the guard answers to that one alone."""
    with closing(socket.socket()) as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        monkeypatch.setattr(serving, "USUAL_PORT", other.getsockname()[1])
        with take_place() as place:
            port = place.listening.getsockname()[1]
    assert port != other
    assert place.addresses == (f"http://127.0.0.1:{port}/",)


def test_only_this_machine_unless_asked() -> None:
    """Without --lan the socket listens on loopback and no code is asked; nothing else can be reached."""
    with take_place(port=free_port()) as place:
        assert place.listening.getsockname()[0] == "127.0.0.1"
    assert place.guard.keeper is None


def test_the_network_gets_in_by_the_code(monkeypatch: pytest.MonkeyPatch) -> None:
    """With --lan it listens to the network, tells the address a phone can reach, and has a keeper."""
    monkeypatch.setattr(serving, "addresses_here", lambda: ("192.168.1.5",))
    port = free_port()
    with take_place(port=port, is_lan=True) as place:
        assert place.listening.getsockname()[0] == EVERY_CARD
    assert place.addresses == (f"http://192.168.1.5:{port}/",)
    assert f"192.168.1.5:{port}" in place.guard.hosts
    assert place.guard.keeper is not None


def test_without_a_network_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """--lan on a machine that is in no network says so, and what to do."""
    monkeypatch.setattr(serving, "addresses_here", tuple)
    with pytest.raises(CannotOpenError, match="hot-spot"), take_place(is_lan=True):
        pass


def test_no_address_of_loopback_is_told_to_a_phone() -> None:
    """Whatever this machine's addresses are, none is one that only it can reach."""
    assert all(not one.startswith(("127.", "0.")) for one in addresses_here())


# --- rude callers ------------------------------------------------------------------------------------------


@pytest.fixture
def port(demo_file: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """Serve a shed from a thread, with little patience."""
    monkeypatch.setattr(serving, "HEAD_PATIENCE", 0.4)
    with take_place(port=free_port()) as place:
        app = garage_app(partial(reopen_demo, demo_file), guard=place.guard, thinking=NoThinking())
        server = uvicorn.Server(
            uvicorn.Config(app, http=PatientProtocol, ws="none", log_level="error", proxy_headers=False)
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": [place.listening]})
        thread.start()
        until = time.monotonic() + SOON
        while not server.started:
            assert time.monotonic() < until
            time.sleep(0.01)
        yield place.listening.getsockname()[1]
        server.should_exit = True
        thread.join(SOON)
        assert not thread.is_alive()


def free_port() -> int:
    """Give a port that nobody has."""
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port


@pytest.mark.parametrize("begun", [b"", b"GET / HTTP/1.1\r\nHost: 127.0.0.1", b"POST /drawer HTTP/1.1\r\n"])
def test_who_does_not_say_what_is_wanted_is_hung_up_on(port: int, begun: bytes) -> None:
    """A caller who begins and does not go on is gone after the patience, however it trickles."""
    with closing(socket.create_connection(("127.0.0.1", port), timeout=SOON)) as caller:
        began = time.monotonic()
        caller.sendall(begun)
        assert caller.recv(100) == b""
        assert 0.2 < time.monotonic() - began < SOON


def test_who_asks_again_on_the_same_line_is_not_hung_up_on(port: int) -> None:
    """A line that is used again and again stays up beyond the patience."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=SOON)) as line:
        for _ in range(4):
            line.request("GET", "/door")
            assert line.getresponse().read() == b""
            time.sleep(0.2)


def test_nobody_stands_between(port: int) -> None:
    """What a caller writes of other hosts and addresses is not believed."""
    address = f"127.0.0.1:{port}"
    status, text = look(port, "/door", Host="evil.example", **{"X-Forwarded-Host": address})
    assert (status, text.strip()) == (421, not_here([f"http://{address}/"]))


@pytest.mark.parametrize(
    "sent",
    [
        b"GET / HTTP/1.1\r\n\r\n",
        b"GET http://evil.example/ HTTP/1.1\r\nHost: evil.example\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
        b"BREW / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
        b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
    ],
)
def test_nonsense_gets_no_page(port: int, sent: bytes) -> None:
    """What is no request, or for no host of ours, is refused, and the garage goes on answering."""
    with closing(socket.create_connection(("127.0.0.1", port), timeout=SOON)) as caller:
        caller.sendall(sent)
        caller.settimeout(SOON)
        answer = caller.recv(4096)
    assert answer == b"" or answer.startswith((b"HTTP/1.1 4", b"HTTP/1.1 421"))
    assert look(port, "/drawer")[0] == 200


# --- what the terminal shows -------------------------------------------------------------------------------


def test_the_square_to_point_a_camera_at() -> None:
    """Where half blocks can be shown the address is drawn, of one width; a plain terminal gets none."""
    drawn = address_picture("http://192.168.1.5:8377/", Paper(width=80, marks=UNICODE)).split("\n")
    assert len({len(line) for line in drawn}) == 1
    assert set("".join(drawn)) <= set(" \N{FULL BLOCK}\N{UPPER HALF BLOCK}\N{LOWER HALF BLOCK}")
    assert len(drawn) < 20
    assert address_picture("http://192.168.1.5:8377/", Paper(width=80, marks=ASCII)) == ""


def test_the_square_holds_for_light_terminals_too() -> None:
    """With colour, each line sets both its colours, so that it is dark on light whatever the terminal is."""
    drawn = address_picture("http://192.168.1.5:8377/", Paper(width=80, marks=UNICODE, has_colour=True))
    assert all(re.fullmatch("\x1b\\[38;5;231;48;5;16m[^\x1b]+\x1b\\[0m", line) for line in drawn.split("\n"))


def test_no_browser_for_terminals_takes_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a machine without a screen no browser is started."""
    started: list[str] = []
    monkeypatch.setattr("webbrowser.open", started.append)
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    show_in_browser("http://127.0.0.1:8377/")
    assert started == []
    monkeypatch.setenv("DISPLAY", ":0")
    show_in_browser("http://127.0.0.1:8377/")
    until = time.monotonic() + SOON
    while not started and time.monotonic() < until:
        time.sleep(0.01)
    assert started == ["http://127.0.0.1:8377/"]
