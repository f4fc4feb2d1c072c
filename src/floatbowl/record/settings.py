"""What a garage has set for itself: units, where copies of the record go, where home is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import msgspec

from floatbowl.record.entries import Entry
from floatbowl.record.history import living
from floatbowl.record.trouble import EntryTrouble, Trouble

UnitSystem = Literal["metric", "imperial"]
LONGEST_TEXT = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The settings of a garage, as they are until somebody sets them otherwise."""

    units: UnitSystem = "metric"
    backup_folder: str = ""
    home_place: str = ""


KEYS = tuple(Settings.__dataclass_fields__)


def settings(entries: Iterable[Entry]) -> Settings:
    """Add up what was set: the last word on each counts."""
    told = {entry.body["key"]: entry.body["value"] for entry in living(entries, "setting")}
    return msgspec.convert(told, Settings)


def checked_setting(key: str, value: str) -> str:
    """Give a setting's value as it is kept. Raises ``EntryTrouble`` for one that there is not."""
    text = value.strip()
    trouble = _trouble(key, text)
    if trouble is not None:
        raise EntryTrouble([trouble])
    return text


def _trouble(key: str, text: str) -> Trouble | None:
    if key not in KEYS:
        return Trouble(None, f"{key!r} cannot be set", f"Set one of {', '.join(KEYS)}")
    if key == "units" and text not in {"metric", "imperial"}:
        return Trouble(None, f"units is {text!r}", "Write metric or imperial")
    if len(text) > LONGEST_TEXT or not text.isprintable():
        return Trouble(None, f"{key} is no line of text that can be kept", "Write it shorter, in one line")
    return None
