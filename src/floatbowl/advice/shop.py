"""Parts to buy where nothing in the drawer serves: at most three."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from floatbowl.advice.rank import Option, Panel, rank_changes
from floatbowl.flow.stamps import jet_number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup

MOST = 3
WORTH = 8.0
"""Minutes that a bought part must save over the best in the drawer to be worth the way to the shop (judgement)."""
_SIZES = (-10.0, -7.5, -5.0, -2.5, 2.5, 5.0, 7.5, 10.0)


def worth_buying(panel: Panel, drawer: Drawer, *, best: float) -> tuple[Option, ...]:
    """Give jets that are not in the drawer and would save much over ``best`` minutes in all, the best first.

    One of each kind: the main and the pilot that would serve best.
    """
    wanted = rank_changes(panel, _not_in(drawer, panel.belief.setup))
    chosen: dict[str, Option] = {}
    for option in wanted:
        if option.total < best - WORTH:
            chosen.setdefault(option.step.part, option)
    return tuple(chosen.values())[:MOST]


def _not_in(drawer: Drawer, setup: Setup) -> Iterator[tuple[str, Setup]]:
    for part, held, fitted in (("main", drawer.mains, setup.main), ("pilot", drawer.pilots, setup.pilot)):
        number = jet_number(fitted, part=part)
        if number is None:
            continue
        near = [float(stamp) for stamp in held if stamp.replace(".", "", 1).isdigit()]
        for size in _SIZES:
            stamp = round((number + size) / 2.5) * 2.5
            if stamp > 0 and all(abs(stamp - other) > 1.0 for other in (*near, number)):
                yield part, replace(setup, **{part: f"{stamp:g}"})
