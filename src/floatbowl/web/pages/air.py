"""The air here and now: what was read, what is assumed, and the places we know."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.day import Day
from floatbowl.bike.place import NOT_KNOWN, assume_day
from floatbowl.draw.airline import Pin, airline, pin_of
from floatbowl.draw.svg import Svg
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.web.units import UNITS, Units, air_typed, height_told, height_typed
from floatbowl.words import on_forms
from floatbowl.words.air import air_words
from floatbowl.words.trouble import NotUnderstoodError

MOST_PINS = 6
"""Pins on the line of which a person keeps sight."""


def show(asked: Asked) -> Response:
    """Show the air as it is known, and ask for it anew."""
    garage = asked.garage
    day, places, units = garage.air(), garage.places(), UNITS[garage.settings().units]
    return asked.page(
        "air.html",
        rows=air_words(day),
        place="" if day.place == NOT_KNOWN else day.place,
        units=units,
        words=on_forms,
        places=[(one.name, height_told(one.height, units)) for one in places],
        picture=_line(asked, day),
        bikes=garage.bikes(),
    )


def _line(asked: Asked, day: Day) -> Svg:
    """Draw the air of now among that of each bike's last ride, and of the other places on a mild day."""
    garage = asked.garage
    pins = [pin_of(day, "now", is_today=True)]
    last = {name: trials[-1].day for name in garage.bikes() if (trials := garage.trials(name))}
    pins += [pin_of(there, f"{name} ridden") for name, there in last.items()]
    pins += [_mild(one.name, one.height) for one in garage.places() if one.name != day.place]
    return airline(pins[:MOST_PINS])


def _mild(place: str, height: float) -> Pin:
    return pin_of(assume_day(place, height=height), f"{place}, a mild day")


def take(asked: Asked) -> Response:
    """Write the air down; what is left empty is assumed."""
    units = UNITS[asked.garage.settings().units]
    if asked.field("here"):
        asked.garage.note_air(place=asked.field("here"))
        return asked.go("/air")
    read = {name: _read(asked, name, units) for name in ("temperature", "pressure", "humidity")}
    known = {name: value for name, value in read.items() if value is not None}
    height = asked.read("height", lambda typed: height_typed(typed, units))
    place = asked.field("place") or None
    if not known and height is None and place is None:
        raise NotUnderstoodError(on_forms.NO_AIR_TYPED)
    asked.garage.note_air(place=place, height=height, **known)
    return asked.go("/air")


def _read(asked: Asked, name: str, units: Units) -> float | None:
    return asked.read(name, lambda typed: air_typed(typed, field=name, units=units))


routes: list[Route] = [page("/air", show, take=take)]
