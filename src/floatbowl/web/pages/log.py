"""The logbook: all that happened, newest first; striking out, bringing back, undoing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.jobs import LogLine
from floatbowl.web.addresses import bike_address
from floatbowl.web.asked import Asked
from floatbowl.web.lines import newest_first_by_day, told_lines
from floatbowl.web.page import act, page
from floatbowl.words import on_forms
from floatbowl.words.logbook import struck_words
from floatbowl.words.trouble import NotUnderstoodError

MOST_LINES = 200
"""Lines on one page: a summer's evenings."""
_BACK_TO_BIKE = ("ride", "reading", "log", "strip", "setup")
_BACK_TO_GARAGE = ("log", "drawer", "air")
GARAGE_ONLY = "garage"
"""What stands in the address for the lines that are of no bike."""


def show(asked: Asked) -> Response:
    """Show the logbook of the bike in the address."""
    lines = asked.garage.log(asked.bike)
    return _book(asked, lines, address=bike_address(asked.bike), has_bikes=False, bike=asked.bike)


def show_all(asked: Asked) -> Response:
    """Show the logbook of the whole garage, or of what belongs to no bike."""
    only = asked.query("of") == GARAGE_ONLY
    lines = [line for line in asked.garage.log() if not (only and line.bike)]
    return _book(asked, lines, address="", has_bikes=True)


def _book(asked: Asked, log: Sequence[LogLine], *, address: str, has_bikes: bool, bike: str = "") -> Response:
    """Show lines of the logbook. Without ``has_bikes`` that a bike came in is not struck out with one tap."""
    of_bike: dict[str, Any] = {"bike": bike} if bike else {}
    told = list(zip(log, told_lines(log), strict=True))
    before = asked.query("before")
    upto = int(before) if _is_number(before) else None
    wanted = [(line, one) for line, one in told if upto is None or line.id < upto][-MOST_LINES:]
    lines = [one if has_bikes or line.kind != "bike" else replace(one, strike=None) for line, one in wanted]
    return asked.page(
        "log.html",
        days=newest_first_by_day(reversed(lines)),
        older=wanted[0][0].id if wanted and wanted[0][0].id != log[0].id else None,
        can_undo=upto is None,
        address=address,
        words=on_forms,
        filters=_filters(asked, bike),
        **of_bike,
    )


def _filters(asked: Asked, bike: str) -> list[tuple[str, str, bool]]:
    """Give whose lines can be looked at: words, address, and whether they are these."""
    is_garage = asked.query("of") == GARAGE_ONLY
    return [
        ("All", "/log", not bike and not is_garage),
        *((name, f"{bike_address(name)}/log", name == bike) for name in asked.garage.bikes()),
        ("The garage", f"/log?of={GARAGE_ONLY}", is_garage),
    ]


def take_strike(asked: Asked) -> Response:
    """Strike out one entry of the bike, or bring it back, and go back to the page it was seen on."""
    its_own = {str(line.id) for line in asked.garage.log(asked.bike) if line.kind != "bike"}
    if asked.field("entry") not in its_own:
        raise NotUnderstoodError(on_forms.NOT_ITS_ENTRY)
    _strike(asked)
    back = asked.field("back")
    return asked.go_to_bike(f"/{back}" if back in _BACK_TO_BIKE else "/log")


def take_strike_of_garage(asked: Asked) -> Response:
    """Strike out one entry of the garage, or bring it back."""
    _strike(asked)
    back = asked.field("back")
    return asked.go(f"/{back}" if back in _BACK_TO_GARAGE else "/log")


def _is_number(typed: str) -> bool:
    """Say whether this may be the number of an entry: the record counts no further than 18 digits."""
    return typed.isdecimal() and len(typed) <= 18  # noqa: PLR2004


def _strike(asked: Asked) -> None:
    entry = asked.field("entry")
    if not _is_number(entry):
        raise NotUnderstoodError(on_forms.NO_SUCH_ENTRY)
    asked.garage.strike(int(entry))


def take_undo(asked: Asked) -> Response:
    """Strike out the last entry of the bike."""
    _refuse_nothing(asked.garage.undo(asked.bike))
    return asked.go_to_bike("/log")


def take_undo_of_garage(asked: Asked) -> Response:
    """Strike out the last entry of the garage."""
    _refuse_nothing(asked.garage.undo())
    return asked.go("/log")


def _refuse_nothing(struck: LogLine | None) -> None:
    if struck is None:
        raise NotUnderstoodError(struck_words(None))


routes: list[Route] = [
    page("/log", show_all),
    act("/strike", take_strike_of_garage, back=show_all),
    act("/undo", take_undo_of_garage, back=show_all),
    page("/bikes/{bike}/log", show),
    act("/bikes/{bike}/strike", take_strike, back=show),
    act("/bikes/{bike}/undo", take_undo, back=show),
]
