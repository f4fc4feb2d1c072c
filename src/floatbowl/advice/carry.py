"""The same likely bikes on another day and at another height: what they do there, and what to fit.

What the other air changes is worked out wholly, draw by draw, and added to what
is believed here; so carrying to the same day changes nothing, and there and
back is where one began. The textbook's square-root rule stands beside the
answer as a check and moves nothing.

Source: own derivation, docs/model/carry.md; the rule [mathur-sharma] chapter 11, example 11.7.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.air_way import AirWay, thickness
from floatbowl.advice.all_setups import parts_between
from floatbowl.advice.cost import RIDE, is_far_short, minutes_of
from floatbowl.advice.desk import is_safe
from floatbowl.advice.dry_fit import DryFit, dry_fit
from floatbowl.advice.rank import Panel, plan, rank, step_between
from floatbowl.advice.shop import worth_buying
from floatbowl.advice.swaps import SWAPPED, Band, Range, Scan, SwapLine, bands_of, swap_lines
from floatbowl.belief.believe import who_rules
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.flow.elementary import jet_size_factor, lambda_factor
from floatbowl.flow.stamps import jet_number

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.advice.advice import Step
    from floatbowl.advice.rank import Option
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.day import Day
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A setup for the air there: the steps from what is fitted, the minutes of the job, what it would do."""

    steps: tuple[Step, ...]
    minutes: float
    after: DryFit
    bad_tail_count: int
    """How many of the twenty are far short at 3/4 or full with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """Where one part takes over from another: ``thin`` the better bet in thinner air, ``thick`` in thicker.

    ``thickness`` is in kg/m3, up a hill on a mild day where the line is met
    there, and ``height`` in metres the same line; ``warmth`` is in kelvin at the
    pressure at the door there. A way on which the line is not met gives None.
    ``by_rule`` is the thickness that the square-root rule would give.
    """

    part: str
    thin: str | float
    thick: str | float
    thickness: Range
    height: Range | None
    warmth: Range | None
    by_rule: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """The square-root rule beside the answer: ``shift`` in ln(fuel) from here to there, alike at every rung.

    ``worked_out`` (rung,) is what the model says instead, on the mean of the
    sound bikes; ``main`` the number that the rule would fit, None where the
    one fitted cannot be read.
    """

    shift: float
    worked_out: Array
    main: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A belief carried to another day: ``here`` and ``there``, what would serve there, and the swap lines.

    ``fits`` are the setups that would serve better there than what is fitted,
    best first; none where nothing in the drawer would. ``mains`` are the bands
    of the main jet up the hill, and ``main_lines`` the lines between them.
    """

    here: Belief
    there: Belief
    fits: tuple[Fit, ...]
    buy: tuple[Step, ...]
    mains: tuple[Band, ...]
    main_lines: tuple[SwapLine, ...]
    swaps: tuple[Swap, ...]
    rule: Rule

    @property
    def bad_tail_count(self) -> int:
        """Count those of the twenty that are far short at 3/4 or full there, as it is fitted."""
        return int(is_far_short(self.there.error[self.there.twenty]).sum())

    @property
    def thickness_here(self) -> float:
        """Give how thick the air is here, kg/m3."""
        return thickness(self.here.day)

    @property
    def thickness_there(self) -> float:
        """Give how thick the air is there, kg/m3."""
        return thickness(self.there.day)


def carried_to(belief: Belief, day: Day) -> Belief:
    """Give the same likely bikes on another day: what they do there, and who has the say."""
    stage = belief.stage
    here, there = (stage.seen(belief.setup, one, belief.z, belief.fault) for one in (belief.day, day))
    shift = there.error - here.error
    the_say, fuel_share = who_rules(stage, belief.setup, day, belief.z)
    return replace(
        belief,
        day=day,
        error=belief.error + shift,
        lam=belief.lam * np.exp(-shift),
        say=the_say,
        fuel_share=fuel_share,
    )


def carry(belief: Belief, *, drawer: Drawer, day: Day) -> Carried:
    """Say what the likely bikes do on another day, what to fit there, and where other parts take over."""
    there = carried_to(belief, day)
    hill = Scan(belief, AirWay.up_the_hill(belief.day.height, day.height))
    warmth = AirWay.along_the_thermometer(pressure=day.pressure.value, humidity=day.humidity.value)
    mains = bands_of(hill, "main", drawer)
    fits, buy = fits_for(there, drawer)
    return Carried(
        here=belief,
        there=there,
        fits=fits,
        buy=buy,
        mains=mains,
        main_lines=swap_lines(hill, mains),
        swaps=_swaps(hill, Scan(belief, warmth), drawer),
        rule=_rule(belief, there),
    )


def main_bands(belief: Belief, drawer: Drawer) -> tuple[Band, ...]:
    """Give the heights, on a mild day, in which each main jet at hand is the best bet, from the top down.

    None where only what is fitted is at hand.
    """
    return bands_of(Scan(belief, AirWay.up_the_hill(belief.day.height)), "main", drawer)


# --- what to fit there -------------------------------------------------------------------------------------


def fits_for(there: Belief, drawer: Drawer) -> tuple[tuple[Fit, ...], tuple[Step, ...]]:
    """Give the best plan there, the best single change if that is another, and what would be worth buying."""
    panel = Panel.of(there)
    options = tuple(option for option in rank(panel, drawer) if is_safe(option.error, panel))
    best = plan(panel, options)
    setups = [_joined(there.setup, best.options)] if best.options else []
    single = options[0] if options and options[0].total < panel.left(panel.now) else None
    if single is not None and len(best.options) > 1:
        setups.append(single.setup)
    bought = worth_buying(panel, drawer, best=best.minutes + best.left)
    return tuple(_fit(there, setup) for setup in setups), tuple(option.step for option in bought)


def _joined(setup: Setup, options: tuple[Option, ...]) -> Setup:
    changed = {PART_FIELDS[o.step.part]: getattr(o.setup, PART_FIELDS[o.step.part]) for o in options}
    return replace(setup, **changed)


def _fit(there: Belief, setup: Setup) -> Fit:
    after = dry_fit(there, setup)
    parts = parts_between(there.setup, setup)
    return Fit(
        steps=tuple(step_between(part, there.setup, setup) for part in parts),
        minutes=minutes_of(parts) + RIDE.value,
        after=after,
        bad_tail_count=int(is_far_short(after.error).sum()),
    )


# --- swap lines --------------------------------------------------------------------------------------------


def _swaps(hill: Scan, warmth: Scan, drawer: Drawer) -> tuple[Swap, ...]:
    """Give the lines of every part, met up the hill or along the thermometer, from thin air."""
    found = []
    for part in SWAPPED:
        up, along = (
            {(line.thin, line.thick): line for line in swap_lines(scan, bands_of(scan, part, drawer))}
            for scan in (hill, warmth)
        )
        swaps = [
            _swap(hill.belief, line, up.get(key), along.get(key)) for key, line in {**along, **up}.items()
        ]
        found += sorted(swaps, key=lambda swap: swap.thickness.value)
    return tuple(found)


def _swap(belief: Belief, line: SwapLine, up: SwapLine | None, along: SwapLine | None) -> Swap:
    return Swap(
        part=line.part,
        thin=line.thin,
        thick=line.thick,
        thickness=line.thickness,
        height=up.there if up else None,
        warmth=along.there if along else None,
        by_rule=_by_rule(belief, line) if line.part == "main" else None,
    )


# --- the square-root rule ----------------------------------------------------------------------------------


def rule_shift(here: Day, there: Day) -> float:
    """Give what the square-root rule makes of other air, no part changed, in ln(fuel): too much above zero.

    Source: [mathur-sharma] chapter 11, example 11.7.
    """
    return -float(np.log(lambda_factor(thickness(there) / thickness(here))))


def _rule(here: Belief, there: Belief) -> Rule:
    sound = here.is_sound if here.is_sound.any() else np.ones(len(here.z), dtype=bool)
    return Rule(
        shift=rule_shift(here.day, there.day),
        worked_out=(there.error - here.error)[sound].mean(axis=0),
        main=_main_by_rule(here, thickness(there.day) / thickness(here.day)),
    )


def _main_by_rule(belief: Belief, ratio: float) -> float | None:
    number = jet_number(belief.setup.main, part="main")
    if number is None:
        return None
    return float(number * jet_size_factor(ratio) ** _numbers_per_bore(belief))


def _numbers_per_bore(belief: Belief) -> float:
    """Give the power of the bore by which a main's number goes: 1 if it counts bore, 2 if it counts flow."""
    return 1.0 if belief.bike.carb.main_scale == "bore" else 2.0


def _by_rule(belief: Belief, line: SwapLine) -> float | None:
    """Give the thickness at which the rule wants a jet halfway between two, the fitted one right here."""
    numbers = [jet_number(str(stamp), part="main") for stamp in (line.thin, line.thick, belief.setup.main)]
    if None in numbers:
        return None
    thin, thick, fitted = (float(number) for number in numbers if number is not None)
    bore = (np.sqrt(thin * thick) / fitted) ** (1.0 / _numbers_per_bore(belief))
    return thickness(belief.day) * float(bore) ** 4
