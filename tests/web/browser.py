"""A browser on this machine, as far as it says where it is, asking a garage without a network."""

from __future__ import annotations

import warnings
from functools import partial
from pathlib import Path

from floatbowl.jobs import reopen_demo
from floatbowl.web.app import garage_app
from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.web.guard import guard_here
from floatbowl.web.shop import Shop
from floatbowl.web.thinking import Thinking

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it would rather have a client that is not in the lock
    from starlette.testclient import TestClient

__all__ = ["AFAR", "HERE", "OURS", "PORT", "Browser", "NoThinking", "TestClient", "browser_on"]

PORT = 8377
HERE = f"http://127.0.0.1:{PORT}"
OURS = {"Origin": HERE}
"""What a form of ours says of itself."""


class NoThinking(Thinking):
    """Thinks nothing: whoever asks is told to wait, at once."""

    def about(self, *_: object, **__: object) -> None:
        """Have no thought."""
        return

    def do(self, *_: object, **__: object) -> None:
        """Have no time."""
        return


class Browser(TestClient):
    """A browser, with a way to what the pages share."""

    shop: Shop


AFAR = "192.168.1.5"
"""The address of this machine in its network, for a browser that is not on it."""


def browser_on(
    shed: Path,
    *,
    keeper: DoorKeeper | None = None,
    thinking: Thinking | None = None,
    peer: str = "127.0.0.1",
    host: str = "127.0.0.1",
) -> Browser:
    """Open a demo's shed to a browser, with a door where there is a keeper; no thread thinks by itself.

    ``peer`` is where the browser calls from, and ``host`` the name at which it calls.
    """
    guard = guard_here(PORT, keeper=keeper, beyond=(AFAR,) if host == AFAR else ())
    app = garage_app(partial(reopen_demo, shed), guard=guard, thinking=thinking or NoThinking())
    base = f"http://{host}:{PORT}"
    browser = Browser(
        app, base_url=base, client=(peer, 50_000), follow_redirects=False, raise_server_exceptions=False
    )
    browser.shop = app.state.shop
    return browser
