"""Measures of a bike told anew: its file with a few keys changed, checked as any file is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from floatbowl.record.bike_file import BikeFile, read_bike_file
from floatbowl.record.bike_text import write_bike_file
from floatbowl.record.trouble import BikeFileTrouble, EntryTrouble, Trouble

_TABLES = ("engine", "carb", "fuel")


def remeasured(file: BikeFile, fields: Mapping[str, object]) -> BikeFile:
    """Give the file with some measures told anew, by their places in it: ``{"carb.bore_mm": 26.5}``.

    None takes a measure back: it is assumed again. Raises ``EntryTrouble`` for what no bike file may hold;
    what would only be doubtful in a file is refused too, as the person is still there to say it again.
    """
    changed = file
    for place, value in fields.items():
        changed = _changed(changed, place, value)
    try:
        read = read_bike_file(write_bike_file(changed), source_name=file.source_name)
    except BikeFileTrouble as error:
        raise EntryTrouble([replace(trouble, line=None) for trouble in error.troubles]) from None
    _refuse_odd(read, {place.rpartition(".")[2] for place in fields})
    return read


def _changed(file: BikeFile, place: str, value: object) -> BikeFile:
    first, *inner = place.split(".")
    if first not in _TABLES or not inner:
        what = f"{place} is no measure of a bike"
        raise EntryTrouble([Trouble(None, what, "Name one as in a bike file, like carb.bore_mm")])
    table = _with(getattr(file, first), inner, value)
    return replace(file, **{first: table})  # type: ignore[arg-type]  # one of the three tables above


def _with(table: Mapping[str, Any], path: list[str], value: object) -> dict[str, Any]:
    """Give a table with one key, however deep, set anew or taken out."""
    key, *inner = path
    if inner:
        value = _with(table.get(key, {}), inner, value) or None
    rest = {name: told for name, told in table.items() if name != key}
    return rest if value is None else {**rest, key: value}


def _refuse_odd(read: BikeFile, told: set[str]) -> None:
    """Refuse what was told just now and would be kept without being used."""
    doubtful = [doubt for doubt in read.doubts if doubt.key.rpartition(".")[2] in told]
    unknown = [key for key in read.unknown if key.key.rpartition(".")[2] in told]
    troubles = [
        *(Trouble(None, f"{doubt.key} is {doubt.value}, which cannot be", doubt.hint) for doubt in doubtful),
        *(Trouble(None, f"{key.key} means nothing to us", "Leave it out") for key in unknown),
    ]
    if troubles:
        raise EntryTrouble(troubles)
