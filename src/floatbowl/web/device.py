"""What the person in front of this screen chose for it; kept in the browser, not in the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

THEMES = ("paper", "sun", "lamp")
TEXT_SIZES = ("100", "125", "150", "200")


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """Theme (empty: as the system has it) and text size in per cent."""

    theme: str = ""
    text: str = "100"


def device_of(cookies: Mapping[str, str]) -> Device:
    """Read what was chosen; whatever is not a choice counts as none."""
    usual = Device()
    return Device(
        theme=_one_of(cookies.get("theme"), THEMES, usual.theme),
        text=_one_of(cookies.get("text"), TEXT_SIZES, usual.text),
    )


def _one_of(said: str | None, known: tuple[str, ...], usual: str) -> str:
    return said if said in known else usual
