"""A served garage, as a process of its own: it can be killed midway and opened again at its address."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import closing
from pathlib import Path

from floatbowl.jobs import open_demo

OPENING = 40.0
"""Seconds in which a garage must answer; the sums may have to be compiled first."""


class Shed:
    """A garage kept in a file, and the server that shows it."""

    def __init__(self, garage: Path, *, address: str = "") -> None:
        """Take the garage's file; ``open`` lets people in. With an ``address`` it is open there already."""
        self.garage = garage
        self.port = free_port()
        self.address = address or f"http://127.0.0.1:{self.port}"
        self._server: subprocess.Popen[str] | None = None

    def open(self) -> None:
        """Start the server and wait until it answers."""
        words = ["open", "--no-browser", "--port", str(self.port), "--garage", str(self.garage)]
        self._server = subprocess.Popen(
            [sys.executable, "-m", "floatbowl", *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        try:
            self._wait_for(self._server)
        except AssertionError:
            self.kill()
            raise

    def _wait_for(self, server: subprocess.Popen[str]) -> None:
        until = time.monotonic() + OPENING
        while not self._answers():
            assert server.poll() is None, "the server ended before it answered"
            assert time.monotonic() < until, "the server does not answer"
            time.sleep(0.05)

    def kill(self) -> None:
        """Pull the plug: no time to say goodbye."""
        if self._server is not None:
            self._server.kill()
            self._server.wait()
            self._server = None

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.address}/static/", timeout=5):  # noqa: S310  (our own server)
                return True
        except urllib.error.HTTPError:
            return True  # it answers, whatever it says
        except (urllib.error.URLError, TimeoutError, ConnectionError):
            return False


def free_port() -> int:
    """Give a port of this machine that nobody answers at."""
    with closing(socket.socket()) as asking:
        asking.bind(("127.0.0.1", 0))
        return int(asking.getsockname()[1])


def demo_garage(folder: Path) -> Path:
    """Set out the three bikes of the demo in a file that is kept."""
    place = folder / "demo.garage"
    with open_demo(place):
        return place
