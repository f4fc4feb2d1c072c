"""The fuel that is drawn: a spray of fixed scatter behind the jets, and triangles under them by their share.

Nothing is thrown here: the same bike at the same lift gives the same drops.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sin, sqrt

import numpy as np

from floatbowl.belief.belief import Belief
from floatbowl.draw.cutaway_air import streams
from floatbowl.draw.moving import Swept, Travel
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point

TIERS = 5
"""Drops come in tiers: one after the other appears as more fuel is drawn."""
PORT_TIERS = 2
DROPS = 30
"""Drops of a tier behind the needle jet; the ports have fewer."""

_STEP = (0.7548776662466927, 0.5698402909980532)
"""Steps of the evenest scatter of pairs: powers of one over the root of x^3 = x + 1."""
_STRAY = 0.06
"""How far drops stray from that scatter, so that no rows show."""


@dataclass(frozen=True, slots=True)
class Shares:
    """What share of the fuel comes through each passage, along the slide's travel."""

    travel: Travel
    pilot: tuple[float, ...]
    main: tuple[float, ...]
    """Shares at the six rungs."""

    def at(self, lift: float, passage: Sequence[float]) -> float:
        """Give a passage's share at a lift, evenly between the rungs."""
        return float(np.interp(lift, self.travel.rungs, passage))


def shares_of(belief: Belief, travel: Travel) -> Shares:
    """Take the shares from a belief."""
    pilot, main = (tuple(float(x) for x in column) for column in belief.fuel_share.T)
    return Shares(travel, pilot, main)


@dataclass(frozen=True, slots=True)
class Tier:
    """Drops that appear together; ``seen`` gives how strongly at a lift, 0 to 1."""

    drops: Swept
    size: float
    """Diameter of a drop, mm."""
    seen: Callable[[float], float]


def sprays(s: Section, shares: Shares) -> tuple[Tier, ...]:
    """Give all tiers: those behind the needle jet and those behind pilot outlet and bypass."""
    main = [_tier(s, shares, i, is_main=True) for i in range(TIERS)]
    pilot = [_tier(s, shares, i, is_main=False) for i in range(PORT_TIERS)]
    return (*main, *pilot)


def _tier(s: Section, shares: Shares, number: int, *, is_main: bool) -> Tier:
    tiers = TIERS if is_main else PORT_TIERS
    passage = shares.main if is_main else shares.pilot

    def seen(lift: float) -> float:
        drawn = shares.at(lift, passage) * rate(shares.travel, lift) if is_main else shares.at(lift, passage)
        return min(1.0, max(0.0, drawn * tiers - number))

    points = _plume(s, number) if is_main else _at_ports(s, number)
    return Tier(_swept(s, points), size=(0.50 - 0.06 * number) * s.wall, seen=seen)


def rate(travel: Travel, lift: float) -> float:
    """Give roughly how much fuel is drawn there over that at full opening: a picture, no sum."""
    return sqrt(lift / travel.full)


def _scatter(seed: int, count: int) -> list[tuple[float, float]]:
    """Give pairs between 0 and 1, evenly scattered and always the same."""
    return [
        ((_STEP[0] * i + _STRAY * sin(7.3 * i)) % 1.0, (_STEP[1] * i + _STRAY * sin(11.9 * i * i)) % 1.0)
        for i in range(seed, seed + count)
    ]


def _plume(s: Section, number: int) -> list[Point]:
    """Give each drop behind the needle jet by its x and its share of the stream's height."""
    start, end = s.jet_width.mm / 2 + 0.3 * s.wall, s.outlet_length.mm
    found = []
    for way, off in _scatter(1 + DROPS * number, DROPS):
        x = start + (end - start) * way**1.6
        spread = 0.07 + 0.62 * way**0.8
        found.append((x, _within(0.27 + 0.17 * way + spread * (off - 0.5))))
    return found


def _at_ports(s: Section, number: int) -> list[Point]:
    """Give the drops behind outlet and bypass, low over the floor."""
    ports = (s.outlet_port, s.outlet_port, *s.bypass)
    found = []
    for i, (way, off) in enumerate(_scatter(7 + 30 * number, 5 * len(ports))):
        port = ports[i % len(ports)]
        reach = 0.55 * (s.outlet_length.mm - port.x)
        found.append((port.x + reach * way**1.4, _within(0.03 + (0.05 + 0.16 * way) * off)))
    return found


def _within(share: float) -> float:
    return min(0.94, max(0.02, share))


def _swept(s: Section, points: list[Point]) -> Swept:
    """Place drops by their share of the stream's height at both stops."""
    shut, full = streams(s)
    ends: list[tuple[Point, Point]] = [(shut.at(x, share), full.at(x, share)) for x, share in points]
    return Swept(tuple(a for a, _ in ends), tuple(b for _, b in ends))
