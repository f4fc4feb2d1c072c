"""Keeping the record: striking out, settings, copies, and whether all is well."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from floatbowl.record.log import LogLine
from floatbowl.record.settings import Settings
from floatbowl.record.store import Record

if TYPE_CHECKING:
    from floatbowl.record.health import Finding
    from floatbowl.record.rescue import Saved
    from floatbowl.record.whole import Say, Written


NEEDED = (
    "click",
    "jinja2",
    "msgspec",
    "multipart",
    "numba",
    "numpy",
    "segno",
    "starlette",
    "tomlkit",
    "typst",
    "uvicorn",
)
"""What floatbowl is built on, by the names it is imported under; the doctor looks whether all is there."""


def undo(record: Record, name: str | None, *, now: datetime, uid: str | None = None) -> LogLine | None:
    """Strike out the last entry of a bike, or of the whole garage; it stays in the logbook, struck."""
    return record.undo(name, now=now, uid=uid)


def strike(record: Record, entry_id: int, *, now: datetime, uid: str | None = None) -> LogLine:
    """Strike out one entry by its number in the logbook; striking out a strike brings back."""
    return record.strike(entry_id, now=now, uid=uid)


def set_setting(record: Record, key: str, value: str, *, now: datetime, uid: str | None = None) -> Settings:
    """Set one thing of the garage: ``units``, ``backup_folder``, ``home_place``."""
    return record.set_setting(key, value, now=now, uid=uid)


def backup(record: Record, folder: Path | None, *, now: datetime) -> Path:
    """Copy the whole record into a dated file, in this folder, else the one that is set, else beside it."""
    set_folder = record.settings().backup_folder
    default = Path(set_folder).expanduser() if set_folder else record.path.parent
    return record.backup(folder or default, now=now)


def export_all(record: Record, folder: Path, say: Say) -> Written:
    """Write the whole garage as plain files into a new folder; ``say`` puts a line of the log in words."""
    return record.write_out(folder, say=say)


def read_folder(record: Record, folder: Path, *, replace: bool = False, now: datetime) -> int | None:
    """Take in a folder of plain files: into an empty garage all comes back as it was, else only what is new.

    Give how many entries came back, None where files were added one by one.
    """
    return record.read_in(folder, now=now, replace=replace)


def examine(path: Path) -> tuple[Finding, ...]:
    """Say how the record in a file and this installation are. Nothing is written."""
    from floatbowl.record import health

    missing = tuple(
        health.Finding(key="missing package", weight="bad", facts={"name": name}) for name in _missing()
    )
    return (*health.examine(path, now=datetime.now(UTC)), *missing)


def _missing() -> Iterator[str]:
    """Name the packages that floatbowl needs and that are not there."""
    from importlib.util import find_spec

    yield from (name for name in NEEDED if find_spec(name) is None)


def repair(path: Path, new: Path) -> Saved:
    """Save all that can be read out of a damaged record into a new file; the old one is only read."""
    from floatbowl.record.rescue import rescue

    return rescue(path, new)
