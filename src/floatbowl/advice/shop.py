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
"""Minutes that a bought part must save over the drawer's best to be worth the way to the shop (judgement)."""
_SAME = 1.0
"""Numbers closer than this are the same size for our purpose."""
_LEAST_SIZE = 20.0
"""No jet that small is sold, whatever its stamp counts."""
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
    for stamp in _sizes_near(setup.main, held=drawer.mains, part="main"):
        yield "main", replace(setup, main=stamp)
    for stamp in _sizes_near(setup.pilot, held=drawer.pilots, part="pilot"):
        yield "pilot", replace(setup, pilot=stamp)


def _sizes_near(fitted: str, *, held: tuple[str, ...], part: str) -> Iterator[str]:
    """Give the stamps of the sizes next to the fitted jet that are not in the drawer."""
    number = jet_number(fitted, part=part)
    if number is None:
        return
    numbers = (jet_number(stamp, part=part) for stamp in held)
    near = [float(number), *(float(other) for other in numbers if other is not None)]
    for size in _SIZES:
        there = round((float(number) + size) / 2.5) * 2.5
        if there >= _LEAST_SIZE and all(abs(there - other) > _SAME for other in near):
            yield f"{there:g}"
