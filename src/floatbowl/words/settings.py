"""What a garage can set for itself, in words."""

from __future__ import annotations

from pathlib import Path

from floatbowl.words.forms import Form, form

SETTINGS: dict[str, str] = {
    "units": "units",
    "backup_folder": "folder for copies",
    "home_place": "home",
}
"""Every setting by its key."""


def backup_words(place: Path) -> str:
    """Say where the copy lies."""
    return (
        f"The whole garage was copied into {place}. It opens like any other: floatbowl garage --garage FILE."
    )


def backup_form(place: Path) -> Form:
    """Give where the copy lies."""
    return form("backup", file=str(place), words=backup_words(place))
