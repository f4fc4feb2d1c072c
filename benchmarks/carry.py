"""What height does to twelve ordinary bikes: `python -m benchmarks.carry` draws it and prints the table.

Every bike is one of which only its sizes are known, ridden at the sea on a
mild day and carried up: the mean of its sound likely bikes, nothing changed on
them. Beside it stands the square-root rule of the textbooks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.plots import heights_of
from floatbowl.advice.air_way import thickness
from floatbowl.advice.carry import carried_to, rule_shift
from floatbowl.belief.belief import Belief
from floatbowl.belief.believe import believe
from floatbowl.bike.assume import likely_main_bore, likely_pilot_bore
from floatbowl.bike.day import Day
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.flow.elementary import jet_size_factor
from floatbowl.units import MILLIMETRE
from tests.flow.bikes import SIZES, Size, bike_of

Array = NDArray[np.float64]

SHOWN = (*SIZES[:5], *SIZES[6:12], SIZES[13])
"""Twelve of the fourteen bikes of the tests, 50 to 450 cc."""
HEIGHTS = (0.0, 1000.0, 2000.0, 3000.0)
DRAWS = 400
PICTURE = Path(__file__).resolve().parents[1] / "docs" / "heights.svg"
HEAD = ("bike", *(f"{height:.0f} m" for height in HEIGHTS[1:]), "shut, 3000 m", "main at 3000 m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Climb:
    """One bike carried up: ``fuel`` (height, rung) in ln(fuel) against the sea, and its main at the top.

    ``main`` is the number that keeps full opening as it is at the sea, over the one fitted there.
    """

    size: Size
    fuel: Array
    main: float


def day_at(height: float) -> Day:
    """Give a mild day at a height."""
    return assume_day("a hill", height=height)


def rule_at(height: float) -> float:
    """Give what the square-root rule makes of a height, in ln(fuel) against the sea."""
    return rule_shift(day_at(0.0), day_at(height))


def main_by_rule(height: float) -> float:
    """Give the factor on the main's number that the rule would fit."""
    return float(jet_size_factor(thickness(day_at(height)) / thickness(day_at(0.0))))


def climb(size: Size, *, draws: int = DRAWS) -> Climb:
    """Carry one bike up."""
    bike = bike_of(size)
    main, pilot = (f"{100.0 * bore(bike) / MILLIMETRE:.1f}" for bore in (likely_main_bore, likely_pilot_bore))
    setup = Setup(number=1, main=main, pilot=pilot, clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    rng = np.random.default_rng(round(size.volume_cc))
    belief = believe(bike, setup=setup, day=day_at(0.0), trials=(), rng=rng, draws=draws)
    carried = [carried_to(belief, day_at(height)) for height in HEIGHTS]
    fuel = [(there.error - belief.error)[belief.is_sound].mean(axis=0) for there in carried]
    return Climb(size=size, fuel=np.array(fuel), main=main_kept(belief, day_at(HEIGHTS[-1])))


def main_kept(belief: Belief, day: Day) -> float:
    """Give the factor on the main's number with which full opening is there as it is here."""
    full, number = RUNGS.index(Rung.FULL), float(belief.setup.main)
    sound = belief.is_sound
    z, fault = belief.z[sound], belief.fault[sound]

    def mean(factor: float, there: Day) -> float:
        setup = replace(belief.setup, main=f"{number * factor:.4f}")
        return float(belief.stage.seen(setup, there, z, fault, rungs=(full,)).error[:, full].mean())

    wanted, low, high = mean(1.0, belief.day), 0.8, 1.05
    while high - low > _CLOSE:
        middle = (low + high) / 2.0
        low, high = (low, middle) if mean(middle, day) > wanted else (middle, high)
    return (low + high) / 2.0


_CLOSE = 5e-4


def row(one: Climb) -> list[str]:
    """Give a line of the table: per cent too much, from an eighth up; shut; the main in per cent."""
    per_cent = 100.0 * np.expm1(one.fuel)
    stretches = [f"{at[1:].min():.1f} to {at[1:].max():.1f}" for at in per_cent[1:]]
    return [str(one.size), *stretches, f"{per_cent[-1, 0]:.1f}", f"{100.0 * one.main:.1f}"]


def rule_row() -> list[str]:
    """Give the rule's line of the table."""
    by_rule = [100.0 * np.expm1(rule_at(height)) for height in HEIGHTS]
    return [
        "the square-root rule",
        *(f"{value:.1f}" for value in by_rule[1:]),
        f"{by_rule[-1]:.1f}",
        f"{100.0 * main_by_rule(HEIGHTS[-1]):.1f}",
    ]


def main() -> None:
    """Carry all twelve, draw them and print the table."""
    climbs = [climb(size) for size in SHOWN]
    rows = [row(one) for one in climbs]
    for cells in (HEAD, ["---"] * len(HEAD), *rows, rule_row()):
        print(f"| {' | '.join(cells)} |")
    rule = [100.0 * np.expm1(rule_at(height)) for height in HEIGHTS]
    panels = [(str(one.size), 100.0 * np.expm1(one.fuel)) for one in climbs]
    names = [rung.value for rung in RUNGS]
    PICTURE.write_text(heights_of(panels, names=names, heights=HEIGHTS, rule=rule), encoding="utf-8")


if __name__ == "__main__":
    main()
