"""Another day and another height."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from floatbowl.bike.day import Day
from floatbowl.bike.hour import Forecast, Hour
from floatbowl.bike.place import assume_day
from floatbowl.jobs.airs import air, height_of
from floatbowl.jobs.thinking import carry_thought, facts_of, lay_out_day
from floatbowl.record.store import Record
from floatbowl.record.trouble import (
    UnknownPlace,
)

if TYPE_CHECKING:
    from floatbowl.advice.carry import Carried
    from floatbowl.advice.day_sheet import DaySheet


def day_at(
    record: Record, to: str | None, *, height: float | None = None, date: str = "", read: Mapping[str, float]
) -> Day:
    """Give the air expected at a place, in SI; where none is named it is the place of now.

    ``read`` holds ``temperature``, ``humidity``, and ``pressure`` at the door or the forecast's
    ``sea_level_pressure``. What is not told is assumed from the height and a mild day.
    """
    place = to or air(record).place
    metres = height_of(record, place) if height is None else height
    if metres is None and place == air(record).place:
        metres = air(record).height
    if metres is None:
        known = ", ".join(one.name for one in record.places()) or "none yet"
        text = f"We do not know how high {place} lies. Say its height as well. Places we know: {known}."
        raise UnknownPlace(text)
    told = dict(read)
    if "sea_level_pressure" in told:
        from floatbowl.flow.air import station_pressure

        told["pressure"] = float(station_pressure(told.pop("sea_level_pressure"), height=metres))
    return assume_day(place, date=date, height=metres, **told)


def carry(record: Record, name: str, day: Day) -> Carried:
    """Carry what we think to another day: what it does there, what to fit, where other parts take over."""
    return carry_thought(facts_of(record, name, None), record.drawer(), day)


def hours_at(
    record: Record, to: str | None, forecasts: Sequence[Forecast], *, height: float | None, date: str = ""
) -> tuple[Hour, ...]:
    """Give the hours of a day ahead at a place, each with its air; see ``day_at``."""
    return tuple(
        Hour(
            minute=one.minute,
            what=one.what,
            day=day_at(record, to, height=height, date=date, read=_told_of(one)),
        )
        for one in forecasts
    )


def _told_of(one: Forecast) -> dict[str, float]:
    told = {key: getattr(one, key) for key in ("temperature", "pressure", "sea_level_pressure", "humidity")}
    return {key: value for key, value in told.items() if value is not None}


def day_sheet(record: Record, name: str, hours: tuple[Hour, ...]) -> DaySheet:
    """Lay a day out: the air hour by hour, the swap lines across it, what to take along and what to buy."""
    return lay_out_day(facts_of(record, name, None), record.drawer(), hours)
