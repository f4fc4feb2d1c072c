"""Where the garage lies when nobody says where."""

from __future__ import annotations

import os
import sys
from pathlib import Path

FILE_NAME = "home.garage"


def default_garage() -> Path:
    """Give the garage's file in the folder this system keeps a person's data in."""
    return data_folder() / "floatbowl" / FILE_NAME


def data_folder() -> Path:
    """Give the folder for a person's data, as this system has it."""
    if sys.platform == "win32":
        return _from_environment("LOCALAPPDATA") or Path.home() / "AppData" / "Local"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    return _from_environment("XDG_DATA_HOME") or Path.home() / ".local" / "share"


def _from_environment(name: str) -> Path | None:
    folder = os.environ.get(name)
    return Path(folder) if folder else None
