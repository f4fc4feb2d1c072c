"""The drawer and the places in one plain text file, of the same kind as a bike file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.place import Place
from floatbowl.record import toml_text
from floatbowl.record.checking import Doubt, Notes, Table, UnknownKey
from floatbowl.record.fields import HEIGHT
from floatbowl.record.setup_file import needle_known, needle_written, read_needle, stamp_of
from floatbowl.record.trial_file import LONGEST_PLACE
from floatbowl.record.trouble import GarageFileTrouble
from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE

FORM = "floatbowl.garage/1"
_PARTS = {"main": "mains", "pilot": "pilots", "cutaway": "cutaways"}
_TAPERED = ("top_mm", "straight_mm", "tip_mm", "length_mm")
_BY_STATIONS = ("stations", "length_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class GarageFile:
    """What a garage file tells: the parts at hand and the places."""

    drawer: Drawer
    places: tuple[Place, ...] = ()
    unknown: tuple[UnknownKey, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    text: str = field(default="", compare=False, repr=False)
    source_name: str = field(default="", compare=False)


def load_garage_file(path: Path) -> GarageFile:
    """Read a garage file from disk. Raises ``GarageFileTrouble`` for anything that stands in the way."""
    data = toml_text.read_bytes(path, trouble=GarageFileTrouble)
    text = toml_text.text_of(data, source_name=path.name, trouble=GarageFileTrouble)
    return read_garage_file(text, source_name=path.name)


def read_garage_file(text: str, *, source_name: str) -> GarageFile:
    """Read a garage file. Raises ``GarageFileTrouble`` with everything that is wrong, each with its line.

    >>> file = read_garage_file('drawer = { mains = ["105", 108] }', source_name="garage.toml")
    >>> file.drawer.mains
    ('105', '108')
    """
    written = toml_text.parse(text, source_name=source_name, trouble=GarageFileTrouble)
    notes = Notes(written.lines)
    whole = Table(written.data, path=(), notes=notes)
    whole.check_form(FORM)
    drawer = _drawer(whole.table("drawer"))
    places = tuple(place for place in map(read_place, whole.tables("place")) if place)
    whole.report_unknown()
    if notes.troubles:
        raise GarageFileTrouble(notes.troubles, source_name=source_name)
    return GarageFile(
        drawer=drawer,
        places=places,
        unknown=tuple(notes.unknown),
        doubts=tuple(notes.doubts),
        text=written.text,
        source_name=source_name,
    )


def _drawer(table: Table) -> Drawer:
    stamps = {key: _stamps(table, part, key) for part, key in _PARTS.items()}
    needles = tuple(needle for needle in map(_needle, table.tables("needle")) if needle)
    table.report_unknown()
    return Drawer(**stamps, needles=needles)


def _stamps(table: Table, part: str, key: str) -> tuple[str, ...]:
    found = [
        stamp_of(table, part, item, path=(*table.path, key, place))
        for place, item in enumerate(table.items(key))
    ]
    return tuple(dict.fromkeys(stamp for stamp in found if stamp is not None))


def _needle(table: Table) -> Needle | None:
    """Read a needle that belongs to no bike: nothing can be assumed of it, so all its shape must be there."""
    facts = read_needle(table)
    wanted = ("stamp", *(_BY_STATIONS if "stations" in table else _TAPERED))
    missing = [key for key in wanted if key not in facts]
    for key in missing:
        table.trouble(
            key, f"a needle in the drawer needs {key}", f"Write {key}; without it we cannot know the needle"
        )
    return None if missing else loose_needle(facts)


def loose_needle(facts: Mapping[str, Any]) -> Needle:
    """Make a needle whose whole shape is known; only its grooves may be assumed, alike on any bike."""
    bike = assume_bike(
        name="",
        what="",
        engine={"strokes": 4, "swept_volume": 125.0 * CUBIC_CENTIMETRE},
        carb={"bore": 26.0 * MILLIMETRE, "needle": needle_known(facts)},
        fuel={},
    )
    return bike.carb.needle


def read_place(table: Table) -> Place | None:
    """Read a place and its height."""
    name = table.text("name", longest=LONGEST_PLACE)
    height = table.number(HEIGHT, needed=True)
    if "name" not in table:
        table.trouble("name", "this place has no name", 'Write name = "Tarn Hollow"')
    if HEIGHT.key not in table:
        table.trouble(HEIGHT.key, "this place has no height", f"Write {HEIGHT.key} = 1450")
    table.report_unknown()
    return Place(name=name, height=height) if name and height is not None else None


def garage_written(file: GarageFile) -> dict[str, Any]:
    """Give a garage file as plain data."""
    drawer = file.drawer
    stamps = {"mains": list(drawer.mains), "pilots": list(drawer.pilots), "cutaways": list(drawer.cutaways)}
    needles = [needle_written(needle) for needle in drawer.needles]
    known = {
        **{key: value for key, value in stamps.items() if value},
        **({"needle": needles} if needles else {}),
    }
    places = [{"name": place.name, "height_m": place.height} for place in file.places]
    return {"form": FORM, **({"drawer": known} if known else {}), **({"place": places} if places else {})}
