"""What comes from a door is checked the same way as what stands in a file, before it is kept.

What would only be doubtful in a file is refused here: the person is still there
and can say it again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import Enum

from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.faults import faults_for
from floatbowl.bike.place import Place
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import contradictions
from floatbowl.record.checking import Notes, Table
from floatbowl.record.fields import Choice
from floatbowl.record.garage_file import read_place
from floatbowl.record.setup_file import checked_stamp, read_setup, setup_written
from floatbowl.record.trial_file import day_written, read_day, read_reading, read_remark
from floatbowl.record.trouble import EntryTrouble, SetupTrouble, Trouble, Troubles, tell
from floatbowl.signs.trial import Reading, Remark


def checked_remark(fields: Mapping[str, object]) -> Remark:
    """Make a remark of its fields; the record gives it its name. Raises ``EntryTrouble``."""
    table = _table(fields)
    remark = read_remark(table, entry="ride-1")
    if remark is None:
        raise _trouble(table)
    _refuse(table)
    return remark


def checked_reading(fields: Mapping[str, object]) -> Reading:
    """Make a reading of its fields; the record gives it its name. Raises ``EntryTrouble``."""
    table = _table(fields)
    reading = read_reading(table, entry="reading-1")
    if reading is None:
        raise _trouble(table)
    _refuse(table)
    return reading


def check_setup(bike: Bike, setup: Setup) -> None:
    """Refuse a setup that cannot be on this bike. Raises ``SetupTrouble``."""
    table = _table(setup_written(setup))
    read_setup(table, bike=bike, number=setup.number)
    _refuse(table, SetupTrouble)
    told = [Trouble(None, *tell(contradiction)) for contradiction in contradictions(bike, setup)]
    if told:
        raise SetupTrouble(told)


def check_day(day: Day) -> None:
    """Refuse air that cannot be. Raises ``EntryTrouble``."""
    table = _table({**day_written(day), "height_m": day.height})
    read_day(table)
    _refuse(table)


def check_place(place: Place) -> None:
    """Refuse a place that cannot be. Raises ``EntryTrouble``."""
    table = _table({"name": place.name, "height_m": place.height})
    read_place(table)
    _refuse(table)


def checked_stamps(kind: str, stamps: Iterable[str]) -> list[str]:
    """Give the stamps of parts, each once. Raises ``EntryTrouble`` for what is not stamped on such a part."""
    table = _table({})
    checked = [checked_stamp(table, kind, stamp.strip()) for stamp in stamps]
    _refuse(table)
    return list(dict.fromkeys(stamp for stamp in checked if stamp is not None))


def checked_fault(bike: Bike, fault: str) -> str:
    """Give the key of a fault that a bike of this kind can have. Raises ``EntryTrouble`` with the nearest."""
    faults = faults_for(strokes=bike.engine.strokes, choke=bike.carb.choke)
    known = Choice("fault", "fault", tuple(one.key for one in faults))
    table = _table({})
    key = table.checked_choice(fault.strip().casefold(), known)
    if key is None:
        raise _trouble(table)
    return key


def _table(fields: Mapping[str, object]) -> Table:
    return Table({key: _plain(value) for key, value in fields.items()}, path=(), notes=Notes())


def _plain(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    return list(value) if isinstance(value, tuple) else value


def _refuse(table: Table, trouble: type[Troubles] = EntryTrouble) -> None:
    table.report_unknown()
    if _troubles(table.notes):
        raise _trouble(table, trouble)


def _trouble(table: Table, trouble: type[Troubles] = EntryTrouble) -> Troubles:
    return trouble(_troubles(table.notes))


def _troubles(notes: Notes) -> list[Trouble]:
    doubtful = [
        Trouble(None, f"{doubt.key} is {doubt.value}, which cannot be", doubt.hint) for doubt in notes.doubts
    ]
    unknown = [Trouble(None, f"{key.key} means nothing to us", "Leave it out") for key in notes.unknown]
    return [*notes.troubles, *doubtful, *unknown]
