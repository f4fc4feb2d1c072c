"""One bike, as known."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass

from floatbowl.bike.carb import Carb
from floatbowl.bike.engine import Engine, Fuel
from floatbowl.bike.measure import Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Bike:
    """A bike on the stand. ``story`` holds what is known of its past, as plain keys.

    Story keys: ``fresh replacement``, ``stood for months``, ``just worked on``.
    """

    name: str
    what: str
    engine: Engine
    carb: Carb
    fuel: Fuel
    story: frozenset[str] = frozenset()


def assumptions(bike: Bike) -> tuple[str, ...]:
    """Name every measure of the bike that nobody has measured, as ``carb.bore`` and the like."""
    return tuple(_assumed(bike, ""))


def _assumed(thing: object, path: str) -> list[str]:
    if isinstance(thing, Measure):
        return [path] if thing.is_assumed else []
    if isinstance(thing, tuple):
        return [name for i, item in enumerate(thing) for name in _assumed(item, f"{path}[{i + 1}]")]
    if is_dataclass(thing):
        dot = "." if path else ""
        return [
            name
            for field in fields(thing)
            for name in _assumed(getattr(thing, field.name), f"{path}{dot}{field.name}")
        ]
    return []
