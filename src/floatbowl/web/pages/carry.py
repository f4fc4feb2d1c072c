"""Carry: the same bike at another height or on another day; two numbers typed are enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.bike.place import NOT_KNOWN
from floatbowl.draw.heights import PlaceMark, main_by_height
from floatbowl.draw.ladder import ladder_picture
from floatbowl.draw.rungs import rung_row
from floatbowl.draw.stops import set_out
from floatbowl.jobs import RecordTrouble
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.web.units import UNITS, Units, air_typed, height_told, height_typed
from floatbowl.words import carry as words
from floatbowl.words.air import air_line
from floatbowl.words.bench import ladder
from floatbowl.words.heard_ahead import sea_level
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from floatbowl.bike.day import Day
    from floatbowl.bike.place import Place
    from floatbowl.jobs import Carried, Stand

FIELDS = ("to", "height", "temperature", "pressure", "humidity")


def show(asked: Asked) -> Response:
    """Ask where to and what the air is like there; once told, show what it would do there."""
    stand = asked.thought().stand
    units, typed = UNITS[asked.garage.settings().units], {name: asked.query(name) for name in FIELDS}
    shown: dict[str, Any] = {}
    if any(typed.values()):
        try:
            shown = _shown(asked, stand, _day(asked, typed, units))
        except (NotUnderstoodError, RecordTrouble) as trouble:
            asked.trouble = str(trouble)
    here, places = asked.garage.air(), asked.garage.places()
    return asked.page(
        "carry.html",
        bike=asked.bike,
        known=stand.bike,
        words=words,
        units=units,
        typed=typed,
        at=asked.query("at") or "door",
        air_here=air_line(here),
        likely=_likely(here, places),
        places=[(one.name, height_told(one.height, units)) for one in places],
        keep=_to_keep(typed, units, places) if shown else None,
        **{"carried": None, **shown},
    )


def _likely(here: Day, places: Sequence[Place]) -> str:
    """Offer the first place we know that is not here."""
    return next((one.name for one in places if one.name != here.place), "")


def _day(asked: Asked, typed: dict[str, str], units: Units) -> Day:
    """Read what was typed of the air there."""
    read = {
        name: air_typed(typed[name], field=name, units=units)
        for name in ("temperature", "pressure", "humidity")
        if typed[name] and not (name == "pressure" and asked.query("at") == "sea")
    }
    if typed["pressure"] and asked.query("at") == "sea":
        read["sea_level_pressure"] = sea_level(typed["pressure"], unit=units["pressure"].word)
    height = height_typed(typed["height"], units) if typed["height"] else None
    return asked.garage.day_at(typed["to"] or None, height=height, **read)


def _to_keep(typed: dict[str, str], units: Units, places: Sequence[Place]) -> tuple[str, float] | None:
    """Give the place that was typed with a height nobody has written down yet."""
    if not (typed["to"] and typed["height"]):
        return None
    metres = height_typed(typed["height"], units)
    known = {one.name.casefold(): one.height for one in places}
    return None if known.get(typed["to"].casefold()) == metres else (typed["to"], metres)


def _shown(asked: Asked, stand: Stand, day: Day) -> dict[str, Any]:
    """Carry it in the thinking thread; while it is busy the page comes again by itself."""
    facts, drawer = asked.garage.facts(asked.bike), asked.garage.drawer()
    carried = asked.think(("carry", facts, day), lambda: jobs.carry_thought(facts, drawer, day))
    if carried is None:
        raise StillThinkingError(asked.bike)
    here, there = ladder(carried.here), words.rows_there(carried)
    _, travel = set_out(stand.bike, carried.here.setup, belief=carried.here)
    return {
        "carried": carried,
        "tag": stand.tag,
        "there": air_line(day),
        "wide": ladder_picture(here, travel=travel, tried=there),
        "rungs": [(row, rung_row(row, before=was)) for was, row in zip(here, there, strict=True)],
        "swaps": words.swap_rows(carried),
        "hill": _hill(carried),
    }


def _hill(carried: Carried) -> str:
    """Draw the mains by height, with here and there; nothing where only one main is at hand."""
    if not carried.mains:
        return ""
    here, there = carried.here.day, carried.there.day
    places = [PlaceMark(name=words.place_words(here.place), metres=here.height, is_home=True)]
    if there.height != here.height:
        places.append(PlaceMark(name=words.place_words(there.place), metres=there.height))
    return main_by_height(
        carried.mains, fitted=carried.here.setup.main, places=places, lines=carried.main_lines
    )


def take(asked: Asked) -> Response:
    """Write a place down with its height."""
    place, height = (
        asked.field("place"),
        asked.read("metres", lambda typed: height_typed(typed, UNITS["metric"])),
    )
    if not place or place == NOT_KNOWN or height is None:
        raise NotUnderstoodError(words.NAME_AND_HEIGHT)
    asked.garage.keep_place(place, height)
    return asked.go_to_bike(f"/carry?{asked.request.url.query}")


routes: list[Route] = [page("/bikes/{bike}/carry", show, take=take)]
