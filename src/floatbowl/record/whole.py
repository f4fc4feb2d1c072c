"""The whole garage as plain files in a folder, and back: bike files, a garage file, the logbook as a table.

The bike files and the garage file are for people and for other garages. The logbook holds
every entry, struck ones too, so that a garage comes back out of it exactly as it was.
"""

from __future__ import annotations

import csv
import io
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from floatbowl.record import stands, striking
from floatbowl.record.entries import Entries
from floatbowl.record.log import LogLine
from floatbowl.record.rows import COLUMNS, Row, insert, row_of, rows_of, why_unreadable
from floatbowl.record.trouble import CannotStrike, LogbookTrouble, NotKept, Trouble

FORM = "floatbowl.logbook/1"
LOGBOOK = "logbook.csv"
GARAGE = "garage.toml"
BIKES = "bikes"
_TOLD = ("bike", "what", "struck out")
"""Columns for people; they are written and never read."""
_KEPT = ("when", "kind", "name", "about", "setup", "air", "strikes", "mark", "facts")
_IN_ROW = dict(
    zip(_KEPT, ("at", "kind", "name", "bike", "setup", "day", "strikes", "uid", "body"), strict=True)
)
HEAD = (FORM, *_TOLD, *_KEPT)
"""Below the form's name stand the numbers of the entries."""
_NUMBERS = ("about", "setup", "air", "strikes")
_LARGEST = 64_000_000
"""Bytes of a logbook that are read: some hundred thousand entries."""
_LONGEST_CELL = 4_000_000

Say = Callable[[LogLine], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written: the folder, the files of the bikes, and how many entries the logbook has."""

    folder: Path
    bikes: tuple[str, ...]
    entries: int


# --- out ---------------------------------------------------------------------------------------------------


def write_out(folder: Path, files: Mapping[str, str], logbook: str) -> None:
    """Write files by their names into a new folder, the logbook last. Raises ``NotKept``."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            text = f"There is something in {folder} already, and it was left alone. Name a new folder."
            raise NotKept(text)
        for name, text in {**files, LOGBOOK: logbook}.items():
            place = folder / name
            place.parent.mkdir(exist_ok=True)
            place.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        why = error.strerror or error
        text = f"Not all of the garage was written into {folder} ({why}). Name another folder."
        raise NotKept(text) from None


def file_names(bikes: Iterable[str]) -> dict[str, str]:
    """Give every bike a file name that any system takes.

    >>> file_names(["Magpie", "magpie?", "../Otter 2"])
    {'Magpie': 'bikes/magpie.toml', 'magpie?': 'bikes/magpie-2.toml', '../Otter 2': 'bikes/otter-2.toml'}
    """
    names: dict[str, str] = {}
    for bike in bikes:
        stem = re.sub(r"[^a-z0-9]+", "-", bike.casefold()).strip("-") or "bike"
        tries = (f"{BIKES}/{stem}{'' if k == 1 else f'-{k}'}.toml" for k in count(1))
        names[bike] = next(name for name in tries if name not in names.values())
    return names


def logbook_text(entries: Entries, lines: Iterable[LogLine], say: Say) -> str:
    """Write the logbook as a table: for people what happened in words, and all that the record holds."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(HEAD)
    for row, line in zip(rows_of(entries.connection), lines, strict=True):
        told = (line.bike, say(line), "yes" if line.struck else "")
        kept = (getattr(row, _IN_ROW[name]) for name in _KEPT)
        table.writerow([row.id, *map(_for_a_sheet, told), *("" if cell is None else cell for cell in kept)])
    return out.getvalue()


def _for_a_sheet(text: str) -> str:
    """Keep a spreadsheet from taking what a person wrote for a sum to be worked out."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


# --- in ----------------------------------------------------------------------------------------------------


def load_logbook(path: Path) -> list[Row]:
    """Read the entries of a logbook from disk. Raises ``LogbookTrouble`` with every line that is wrong."""
    try:
        size = path.stat().st_size
        if size > _LARGEST:
            text = f"it is {size // 1_000_000} MB large, and no logbook is"
            raise LogbookTrouble(
                [Trouble(None, text, "Look whether it is the right file")], source_name=path.name
            )
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        trouble = Trouble(None, "it is not text in UTF-8", "Save it as CSV in UTF-8")
        raise LogbookTrouble([trouble], source_name=path.name) from None
    except OSError as error:
        what = f"{path} cannot be read ({error.strerror or error})."
        raise NotKept(what) from None
    return read_logbook(text, source_name=path.name)


def read_logbook(text: str, *, source_name: str) -> list[Row]:
    """Read the entries of a logbook. Raises ``LogbookTrouble`` with every line that is wrong."""
    if not text.startswith(FORM):
        trouble = Trouble(1, f"its first cell is not {FORM}", "Look whether it is a logbook of floatbowl")
        raise LogbookTrouble([trouble], source_name=source_name)
    read = list(_lines(text))
    troubles = [one for one in read if isinstance(one, Trouble)]
    if troubles:
        raise LogbookTrouble(troubles[:_MOST_TROUBLES], source_name=source_name)
    return [one for one in read if isinstance(one, Row)]


_MOST_TROUBLES = 20


def _lines(text: str) -> Iterator[Row | Trouble]:
    before = csv.field_size_limit(_LONGEST_CELL)
    try:
        table = csv.reader(io.StringIO(text, newline=""), delimiter=text[len(FORM) : len(FORM) + 1] or ",")
        head = next(table)
        if missing := [name for name in _KEPT if name not in head]:
            yield Trouble(1, f"it has no column {missing[0]}", "Take the logbook as it was written")
            return
        for cells in table:
            if cells:
                yield _row(dict(zip(head, cells, strict=False)), table.line_num)
    except (csv.Error, TypeError) as error:
        yield Trouble(None, f"it is no table ({error})", "Take the logbook as it was written")
    finally:
        csv.field_size_limit(before)


def _row(cells: Mapping[str, str], line: int) -> Row | Trouble:
    try:
        number = int(cells[FORM])
        told = {
            _IN_ROW[name]: int(cells[name]) if name in _NUMBERS and cells[name] else cells[name] or None
            for name in _KEPT
        }
        row = row_of(number, (None, *(told[name] for name in COLUMNS[1:])))
        why = "its cells are of the wrong kind" if row is None else why_unreadable(row)
    except (KeyError, ValueError) as error:
        row, why = None, str(error)
    if row is None or why:
        what = f"this entry makes no sense ({' '.join(why.split())[:120]})"
        return Trouble(line, what, "Take the line as it was written")
    return row


def restore(entries: Entries, rows: Iterable[Row]) -> int:
    """Put all entries of a logbook into an empty record, within ``writing``, and give how many.

    Raises ``LogbookTrouble`` where they do not make a record.
    """
    made = 0
    for row in rows:
        try:
            insert(entries.connection, row)
        except (sqlite3.IntegrityError, OverflowError) as error:
            trouble = Trouble(None, f"entry {row.id} does not fit to the others ({error})", _AS_WRITTEN)
            raise LogbookTrouble([trouble], source_name=LOGBOOK) from None
        made += 1
    try:
        stands.refuse_twins(entries)
        striking.refuse_bare(entries)
    except CannotStrike as error:
        trouble = Trouble(None, f"its entries make no garage ({error})", _AS_WRITTEN)
        raise LogbookTrouble([trouble], source_name=LOGBOOK) from None
    return made


_AS_WRITTEN = "Take the logbook as it was written"


def is_empty(entries: Entries) -> bool:
    """Say whether nothing was ever written in a record."""
    return next(rows_of(entries.connection), None) is None


def bike_files_in(folder: Path) -> list[Path]:
    """Name the bike files in a folder, those in its ``bikes`` as well."""
    found = [*folder.glob("*.toml"), *(folder / BIKES).glob("*.toml")]
    return sorted(path for path in found if path.name != GARAGE)
