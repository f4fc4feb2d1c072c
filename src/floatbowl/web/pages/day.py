"""A day ahead: four hours typed, one chart, the rules for it; prints on A5."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.bike.hour import Forecast
from floatbowl.draw.day_sheet import day_chart
from floatbowl.jobs import RecordTrouble
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.web.units import UNITS, Units, air_typed, height_told, height_typed
from floatbowl.words import day as words
from floatbowl.words import heights
from floatbowl.words.carry import tag_words
from floatbowl.words.heard_ahead import minute, sea_level
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.bike.hour import Hour
    from floatbowl.jobs import Stand

COLUMNS = ("time", "what", "temperature", "pressure", "humidity")
USUAL = ("09:00", "11:00", "13:00", "15:00")
"""The hours that are offered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedHour:
    """One row of the form, as it was typed."""

    time: str
    what: str = ""
    temperature: str = ""
    pressure: str = ""
    humidity: str = ""

    @property
    def is_told(self) -> bool:
        """Say whether any air was typed for it."""
        return bool(self.temperature or self.pressure or self.humidity)


def show(asked: Asked) -> Response:
    """Ask for the hours; once some are told, lay the day out."""
    stand = asked.thought().stand
    units, rows = UNITS[asked.garage.settings().units], _rows(asked)
    shown: dict[str, Any] = {}
    if any(row.is_told for row in rows):
        try:
            shown = _shown(asked, stand, _hours(asked, rows, units))
        except (NotUnderstoodError, RecordTrouble) as trouble:
            asked.trouble = str(trouble)
    places = asked.garage.places()
    return asked.page(
        "day.html",
        bike=asked.bike,
        known=stand.bike,
        words=words,
        pictured=heights,
        units=units,
        rows=rows,
        to=asked.query("to") or _likely(asked),
        height=asked.query("height"),
        date=asked.query("date"),
        at=asked.query("at") or "sea",
        places=[(one.name, height_told(one.height, units)) for one in places],
        **{"sheet": None, **shown},
    )


def _likely(asked: Asked) -> str:
    """Offer the first place we know that is not here."""
    here = asked.garage.air().place
    return next((one.name for one in asked.garage.places() if one.name != here), "")


def _rows(asked: Asked) -> list[TypedHour]:
    """Give what was typed row by row; rows that were not sent are offered empty."""
    columns = {name: asked.queries(name) for name in COLUMNS}
    return [
        TypedHour(**{name: typed[k] if k < len(typed) else "" for name, typed in columns.items()})
        if k < len(columns["time"])
        else TypedHour(time=usual)
        for k, usual in enumerate(USUAL)
    ]


def _hours(asked: Asked, rows: list[TypedHour], units: Units) -> tuple[Hour, ...]:
    is_sea = (asked.query("at") or "sea") == "sea"
    told = [_forecast(row, units, is_sea=is_sea) for row in rows if row.is_told]
    typed = asked.query("height")
    return asked.garage.hours_at(
        asked.query("to") or None,
        sorted(told, key=lambda one: one.minute),
        height=height_typed(typed, units) if typed else None,
        date=asked.query("date"),
    )


def _forecast(row: TypedHour, units: Units, *, is_sea: bool) -> Forecast:
    def read(field: str) -> float | None:
        typed = getattr(row, field)
        return air_typed(typed, field=field, units=units) if typed else None

    sea = sea_level(row.pressure, unit=units["pressure"].word) if row.pressure and is_sea else None
    return Forecast(
        minute=minute(row.time),
        what=row.what,
        temperature=read("temperature"),
        pressure=None if is_sea else read("pressure"),
        sea_level_pressure=sea,
        humidity=read("humidity"),
    )


def _shown(asked: Asked, stand: Stand, hours: tuple[Hour, ...]) -> dict[str, Any]:
    """Lay the day out in the thinking thread; while it is busy the page comes again by itself."""
    facts, drawer = asked.garage.facts(asked.bike), asked.garage.drawer()
    sheet = asked.think(("day", facts, hours), lambda: jobs.lay_out_day(facts, drawer, hours))
    if sheet is None:
        raise StillThinkingError(asked.bike)
    return {"sheet": sheet, "chart": day_chart(sheet), "tag": tag_words(stand.tag)}


routes: list[Route] = [page("/bikes/{bike}/day", show)]
