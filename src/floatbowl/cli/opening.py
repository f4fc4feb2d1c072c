"""Opening the second door: the pages, for this machine or for the phones in the garage's network."""

from __future__ import annotations

import io
import os
import sys
import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from floatbowl.cli.door import GARAGE, JSON, Desk, job, put_json
from floatbowl.cli.paper import ASCII, Paper, tell

if TYPE_CHECKING:
    from floatbowl.jobs import Garage
    from floatbowl.web.serving import Place
    from floatbowl.web.shop import OpenGarage

LAN = click.option("--lan", "is_lan", is_flag=True, help="Let phones in this network in, with a door code.")
PORT = click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Answer at this port.")
NO_BROWSER = click.option("--no-browser", "is_quiet", is_flag=True, help="Open no browser here.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Doors:
    """How the door is to be opened."""

    is_lan: bool
    port: int | None
    is_quiet: bool


@job("open", options=(JSON, GARAGE))
@LAN
@PORT
@NO_BROWSER
def open_(desk: Desk, *, is_lan: bool, port: int | None, is_quiet: bool) -> None:
    """Open the garage in the browser; with --lan also for the phones in this network.

    Nothing is ever fetched from outside. It stays open until Ctrl-C.
    """
    from floatbowl.jobs import open_garage

    desk.place.parent.mkdir(parents=True, exist_ok=True)

    def one_visit(*, once: str = "") -> Garage:
        return open_garage(desk.place, once=once)

    open_doors(one_visit, desk, Doors(is_lan=is_lan, port=port, is_quiet=is_quiet), what="garage")


def open_doors(open_garage: OpenGarage, desk: Desk, doors: Doors, *, what: str) -> None:
    """Serve the pages until Ctrl-C, having said where; ``what`` is it that is open."""
    from floatbowl.web.serving import serve, take_place
    from floatbowl.words.door import CLOSED

    with take_place(port=doors.port, is_lan=doors.is_lan) as place:

        def when_open() -> None:
            _say_where(place, desk, what=what)
            if not doors.is_quiet:
                show_in_browser(place.addresses[0])

        try:
            serve(open_garage, place, when_open=when_open)
        except KeyboardInterrupt:
            tell(CLOSED)


def _say_where(place: Place, desk: Desk, *, what: str) -> None:
    from floatbowl.words.door import open_form, open_lines

    keeper = place.guard.keeper
    code = keeper.code if keeper else None
    if desk.is_json:
        put_json(open_form(place.addresses, code=code))
    else:
        click.echo("\n".join(open_lines(place.addresses, code=code, what=what)))
        if keeper:
            click.echo(address_picture(place.addresses[0], desk.paper), color=True)
    sys.stdout.flush()


def address_picture(address: str, paper: Paper) -> str:
    """Draw an address for a phone's camera, two squares to a character; nothing where only ASCII is shown.

    Where there is colour it is drawn white on black, whatever the colours of the terminal.
    """
    if paper.marks is ASCII:
        return ""
    import segno

    out = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out=out, compact=True, border=2)
    lines = out.getvalue().rstrip("\n").split("\n")
    return "\n".join(f"\x1b[38;5;231;48;5;16m{line}\x1b[0m" if paper.has_colour else line for line in lines)


def show_in_browser(address: str) -> None:
    """Open the browser where there is a screen for one; that it cannot be opened is no trouble."""
    has_screen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    if sys.platform.startswith(("linux", "freebsd")) and not has_screen:
        return  # a browser for terminals would take this one
    import webbrowser

    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
