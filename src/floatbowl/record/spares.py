"""Spare copies: whole copies of the record beside it, made by themselves, old ones given up by turns.

They lie in a folder named after the record, ``home.garage-spares``. Once a day there is a
new one, if anything was written since; one more is made before the record takes a further step.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path

from floatbowl.record import steps
from floatbowl.record.trouble import NotKept

UNFINISHED = ".part"
"""A copy that is not whole yet carries this at the end of its name."""
DAYS_KEPT = 7
"""Copies of the last days on which something was written."""
MONTHS_KEPT = 12
"""Beyond them the last copy of each of as many months."""
STEPS_KEPT = 3
LONGEST_COPY = 3600.0
"""Seconds after which a copy that is not whole is nobody's any more."""
_COUNT = count(1)
"""Tells the copies apart that one program makes at once."""
_DAY = re.compile(r"(\d{4}-\d{2})-\d{2}")


@dataclass(frozen=True, slots=True)
class Spare:
    """A copy of the record: where it lies, and how many entries are in it."""

    place: Path
    entries: int


def folder_of(record: Path) -> Path:
    """Give the folder in which the spare copies of a record lie."""
    return record.with_name(f"{record.name}-spares")


def keep_daily(connection: sqlite3.Connection, record: Path, *, now: datetime) -> Path | None:
    """Make the copy of the day and give it; None where there is one already or nothing new to keep.

    Raises ``NotKept`` where it cannot be made.
    """
    folder, name = folder_of(record), f"{now.date().isoformat()}{record.suffix}"
    if _age(folder / name)[0] or not _holds_more(connection, folder, record.suffix):
        return None
    made = copy_into(connection, folder, [name])
    for old in [*given_up([path.name for path in folder.iterdir()], suffix=record.suffix), *_left_over(made)]:
        (folder / old).unlink(missing_ok=True)
    return made


def _left_over(made: Path) -> list[str]:
    """Name the unfinished copies of programs that were stopped: much older than the one just made."""
    now = made.stat().st_mtime
    unfinished = made.parent.glob(f"*{UNFINISHED}*")
    return [path.name for path in unfinished if now - _age(path)[0] > LONGEST_COPY]


def _holds_more(connection: sqlite3.Connection, folder: Path, suffix: str) -> bool:
    """Say whether the record holds more than its newest daily copy."""
    days = sorted(path for path in _listed(folder) if _DAY.fullmatch(path.name.removesuffix(suffix)))
    there = _entries_in(days[-1]) if days else 0
    return bool(connection.execute("select count(*) from entry").fetchone()[0] != there)


def keep_before_step(connection: sqlite3.Connection, record: Path, *, step: int) -> Path:
    """Make a copy of the record as it is before it takes a further step. Raises ``NotKept``."""
    stem = f"before-step-{step + 1}"
    names = (f"{stem}{'' if number == 1 else f'-{number}'}{record.suffix}" for number in count(1))
    return copy_into(connection, folder_of(record), names)


def given_up(names: Iterable[str], *, suffix: str) -> list[str]:
    """Name the copies whose turn is over.

    The last days stay, beyond them the last of each month, and the last made before a step.

    >>> days = [f"2026-03-{day:02}.garage" for day in range(1, 11)]
    >>> given_up(["2026-02-11.garage", "2026-02-27.garage", *days], suffix=".garage")
    ['2026-03-03.garage', '2026-03-02.garage', '2026-03-01.garage', '2026-02-11.garage']
    """
    known = sorted((name for name in names if name.endswith(suffix)), reverse=True)
    days = [name for name in known if _DAY.fullmatch(name.removesuffix(suffix))]
    recent, older = days[:DAYS_KEPT], days[DAYS_KEPT:]
    months = list(dict.fromkeys(name[:7] for name in older))[:MONTHS_KEPT]
    last_of = {month: next(name for name in older if name.startswith(month)) for month in months}
    seen = {name[:7] for name in recent}
    kept = {*recent, *(name for month, name in last_of.items() if month not in seen)}
    before = [name for name in known if name.startswith("before-step-")]
    return [*(name for name in days if name not in kept), *before[STEPS_KEPT:]]


def copy_into(connection: sqlite3.Connection, folder: Path, names: Iterable[str]) -> Path:
    """Copy the whole record into a folder, under the first of the names that is free, and give the file.

    The name is there only once the copy is whole, even if we are stopped in the middle;
    what lies there already stays. Raises ``NotKept``.
    """
    unfinished = folder / f"{os.getpid()}-{next(_COUNT)}{UNFINISHED}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _copy(connection, unfinished)
        return _named(unfinished, folder, names)
    except (OSError, sqlite3.Error) as error:
        raise _no_copy(folder, getattr(error, "strerror", None) or str(error)) from None
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def _copy(connection: sqlite3.Connection, path: Path) -> None:
    """Copy the record, as it stands, into a new file; others may go on writing meanwhile."""
    path.unlink(missing_ok=True)  # left by somebody who was stopped in the middle
    with closing(sqlite3.connect(path)) as copy:
        connection.backup(copy)
        copy.execute("pragma journal_mode = delete")  # the copy is one file, without a log beside it


def _named(copy: Path, folder: Path, names: Iterable[str]) -> Path:
    """Give a copy the first name that nothing has yet."""
    for name in names:
        with suppress(FileExistsError):
            _move(copy, folder / name)
            return folder / name
    raise FileExistsError(None, "another program has made it")


def _move(copy: Path, place: Path) -> None:
    """Move a copy to a name in one stroke; where something has that name raise ``FileExistsError``."""
    try:
        os.link(copy, place)
    except FileExistsError:
        raise
    except OSError:  # a stick may know no second names: take the name first, then fill it
        place.touch(exist_ok=False)
        copy.replace(place)


def _no_copy(folder: Path, why: str) -> NotKept:
    text = f"No copy was made in {folder} ({why}). Name another folder. The record itself is as it was."
    return NotKept(text)


# --- finding them again ------------------------------------------------------------------------------------


def spares(record: Path) -> list[Spare]:
    """Give the whole copies there are, the newest last; also those that ``backup`` made, if they lie here."""
    places = [*_listed(folder_of(record)), *_asked_for(record)]
    found = [Spare(place, _entries_in(place)) for place in sorted(places, key=_age)]
    return [spare for spare in found if spare.entries > 0]


def newest_whole(record: Path) -> Path | None:
    """Give the newest copy that is whole, None where there is none."""
    return next((spare.place for spare in reversed(spares(record))), None)


def _listed(folder: Path) -> list[Path]:
    with suppress(OSError):
        return [path for path in folder.iterdir() if UNFINISHED not in path.name]
    return []


def _asked_for(record: Path) -> Iterator[Path]:
    """Give the dated copies that ``backup`` made beside the record."""
    for path in _listed(record.parent):
        if path.suffix == record.suffix and path.stem.startswith(f"{record.stem}-20"):
            yield path


def _age(path: Path) -> tuple[float, str]:
    with suppress(OSError):
        return path.stat().st_mtime, path.name
    return 0.0, path.name


def _entries_in(path: Path) -> int:
    """Count the entries of a copy; 0 where it is not whole, or no record of ours."""
    uri = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(uri, uri=True)) as copy:
            is_ours = copy.execute("pragma application_id").fetchone()[0] == steps.APPLICATION_ID
            is_whole = is_ours and copy.execute("pragma quick_check(1)").fetchone()[0] == "ok"
            return int(copy.execute("select count(*) from entry").fetchone()[0]) if is_whole else 0
    except sqlite3.Error:
        return 0
