"""Every setup that the drawer allows, however many changes away, and the best few dozen of them.

Main jet, needle, clip, washer and slide make a main side, pilot jet and screw
a pilot side; every main side is weighed with every pilot side (``belief.every``).
The best are then worked out wholly and put in order by the same minutes as any
other change.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.cost import FAR_SHORT, HARM, RIDE, is_far_short, minutes_of, minutes_off
from floatbowl.advice.rank import Plan, planned, rank_changes
from floatbowl.belief.every import Price, weigh
from floatbowl.belief.sides import Crowd, main_side, pilot_side
from floatbowl.bike.drawer import SCREW_FEWEST_TURNS, SCREW_MOST_TURNS, WASHER_MM
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import PART_FIELDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from floatbowl.advice.rank import Panel
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup

    Array = NDArray[np.float64]

MOST = 24
"""Setups that are worked out wholly and given back."""
_QUARTERS = np.arange(SCREW_FEWEST_TURNS, SCREW_MOST_TURNS + 0.1, 0.25)
_MOST_RUNS = 6_000
"""Main sides times draws that are run: the more main sides, the fewer draws pick the few dozen."""
_FAR_OUT = 1e3
"""Bands off at which one more band costs what it costs anywhere far out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One setup: minutes to get there and ride it, minutes it leaves, and the share of draws far short."""

    setup: Setup
    minutes: float
    left: float
    far_short: float

    @property
    def total(self) -> float:
        """Give the minutes of the job and what comes after it."""
        return self.minutes + self.left


def parts_between(before: Setup, after: Setup) -> tuple[str, ...]:
    """Name the parts in which two setups differ."""
    return tuple(
        part for part, field in PART_FIELDS.items() if getattr(before, field) != getattr(after, field)
    )


def minutes_between(before: Setup, after: Setup) -> float:
    """Give the minutes of the one job that makes a setup of another; parts share their strip-downs."""
    return minutes_of(parts_between(before, after))


def to_setup(panel: Panel, setup: Setup) -> Plan:
    """Give the plan that makes a setup of the one that is fitted, part by part."""
    now = panel.belief.setup
    changes = [
        (part, replace(now, **{PART_FIELDS[part]: getattr(setup, PART_FIELDS[part])}))
        for part in parts_between(now, setup)
    ]
    return planned(panel, rank_changes(panel, changes))


def best_setups(
    panel: Panel, drawer: Drawer, *, float_heights: tuple[float, ...] = (), most: int = MOST
) -> tuple[Ranked, ...]:
    """Give the best setups of all that the drawer allows, best first by minutes to get there and left.

    The float stays as it is unless ``float_heights``, in millimetres, are to be tried as well.
    """
    now = panel.belief.setup
    heights = dict.fromkeys([now.float_height_mm, *float_heights])
    likely = [pair for height in heights for pair in _likely(panel, drawer, height, most)]
    chosen = sorted(likely, key=lambda pair: pair[0])[:most]
    return tuple(sorted((_ranked(panel, setup) for _, setup in chosen), key=lambda one: one.total))


def _ranked(panel: Panel, setup: Setup) -> Ranked:
    """Work one setup out wholly."""
    error = panel.error(setup)
    return Ranked(
        setup=setup,
        minutes=_job(parts_between(panel.belief.setup, setup)),
        left=panel.left(error),
        far_short=float(is_far_short(error[panel.sound]).mean()),
    )


def _job(parts: Sequence[str]) -> float:
    """Give the minutes of a job and the ride after it; nothing where nothing is changed."""
    return minutes_of(parts) + RIDE.value if parts else 0.0


def _likely(panel: Panel, drawer: Drawer, height: float | None, most: int) -> list[tuple[float, Setup]]:
    """Give the best setups with the float at one height, each with its minutes as the tables tell them."""
    base = replace(panel.belief.setup, float_height_mm=height)
    mains, pilots = main_sides(panel, drawer, base), pilot_sides(drawer, base)
    weighed = weigh(*_tables(panel, base, mains, pilots), price(panel))
    harm = HARM[panel.belief.bike.engine.strokes].value
    total = weighed.off + harm * weighed.far_short + _minutes(panel.belief.setup, mains, pilots)
    best = np.argsort(total, axis=None, kind="stable")[:most]
    return [(float(total.flat[k]), _joined(mains[k // len(pilots)], pilots[k % len(pilots)])) for k in best]


def main_sides(panel: Panel, drawer: Drawer, base: Setup) -> list[Setup]:
    """Give every main side that the drawer allows, in the setup ``base``."""
    needles = dict.fromkeys([base.needle, None, *drawer.needles])
    own = panel.belief.bike.carb.needle
    hung = [(n, clip) for n in needles for clip in range(1, (n or own).grooves + 1)]
    return [
        replace(base, main=m, needle=n, clip_from_top=clip, needle_washer_mm=washer, cutaway=c)
        for m, (n, clip), washer, c in product(
            dict.fromkeys([base.main, *drawer.mains]),
            hung,
            sorted({0.0, WASHER_MM, base.needle_washer_mm}),
            dict.fromkeys([base.cutaway, *drawer.cutaways]),
        )
    ]


def pilot_sides(drawer: Drawer, base: Setup) -> list[Setup]:
    """Give every pilot side that the drawer allows, the screw by quarter turns, in the setup ``base``."""
    turns = sorted({base.screw_turns, *_QUARTERS.tolist()})
    pilots = dict.fromkeys([base.pilot, *drawer.pilots])
    return [replace(base, pilot=p, screw_turns=t) for p, t in product(pilots, turns)]


def _joined(main: Setup, pilot: Setup) -> Setup:
    return replace(main, pilot=pilot.pilot, screw_turns=pilot.screw_turns)


def _tables(
    panel: Panel, base: Setup, mains: Sequence[Setup], pilots: Sequence[Setup]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Give both sides' fuel over the fuel wanted on the panel's sound draws, or on every so many of them."""
    places = np.flatnonzero(panel.sound)
    places = places[:: -(-len(places) * len(mains) // _MOST_RUNS)]
    b, draws = panel.belief, panel.draws[places]
    crowd = Crowd(stage=b.stage, setup=base, day=b.day, z=b.z[draws], fault=b.fault[draws])
    # what the panel knows of the present setup beyond the flow holds for every setup
    known = np.exp(panel.now - panel.worked)[places].T.astype(np.float32)
    return main_side(crowd, mains) * known, pilot_side(crowd, pilots) * known


def price(panel: Panel) -> Price:
    """Give the price that tells setups apart: far out, a band more costs what ``minutes_off`` says."""
    band = panel.belief.close_enough
    return Price(
        worth=minutes_off(_FAR_OUT * band, band) / _FAR_OUT,
        band=band,
        is_high=is_far_short(-np.eye(len(RUNGS))),
        floor=float(np.exp(-FAR_SHORT)),
    )


def _minutes(now: Setup, mains: Sequence[Setup], pilots: Sequence[Setup]) -> Array:
    """Give the minutes to get to every pair, (main side, pilot side): one sum for each kind of job."""
    changed = [[frozenset(parts_between(now, one)) for one in side] for side in (mains, pilots)]
    kinds = [list(dict.fromkeys(side)) for side in changed]
    by_kind = np.array([[_job(tuple(one | other)) for other in kinds[1]] for one in kinds[0]])
    at = [[found.index(one) for one in side] for side, found in zip(changed, kinds, strict=True)]
    return np.asarray(by_kind[np.ix_(*at)])
