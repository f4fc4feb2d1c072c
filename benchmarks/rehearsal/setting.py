"""How a bike comes to be wrong: what would be right, what the drawer holds, and how it was mis-set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.rehearsal import kinds, world
from benchmarks.rehearsal.world import Broken, TrueBike
from floatbowl.bike.assume import likely_main_bore, likely_pilot_bore
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.faults import SECOND, Fault, faults_for
from floatbowl.bike.setup import Setup
from floatbowl.flow.holes import round_area
from floatbowl.flow.stamps import bore_by_bore, bore_by_flow, cutaway_height
from floatbowl.units import MILLIMETRE

Array = NDArray[np.float64]

RIGHT = 0.05
"""Error at every rung, in ln(fuel), within which a bike is right."""
WELL = 0.03
CUTAWAYS = ("2.0", "2.5", "3.0", "3.5")
TURNS = tuple(0.5 + 0.25 * k for k in range(13))
SMALLEST = 20.0
"""Smallest jet that anybody sells, by its number."""
MAIN_STEP = 2.5
PILOT_STEP = 2.5
MOST_SETTINGS = 60
"""Tries at a mis-setting before a bike is given up as one that hardly anything upsets."""
FAULTY = 0.40
"""Share of the bikes that come in with a fault."""
HARDLY_MATCHED = 0.12
"""Error that the chosen setup may leave before its maker has filed anything."""
STRANGE = 0.012
"""Error that a maker would rather file away than go one step from the ordinary for."""
FELT = 0.08
"""Error from which on somebody brings the bike in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The true error of every setup: (main side, pilot side, rung), with the setups behind both sides."""

    main_side: tuple[Setup, ...]
    pilot_side: tuple[tuple[str, float], ...]
    error: Array

    def setup(self, i: int, j: int) -> Setup:
        """Give one setup of the table."""
        pilot, turns = self.pilot_side[j]
        return replace(self.main_side[i], pilot=pilot, screw_turns=turns)

    @property
    def worst(self) -> Array:
        """Give the largest error of every setup, (main side, pilot side)."""
        return np.asarray(np.abs(self.error).max(axis=2))


def table(bike: TrueBike, day: Day, drawer: Drawer, like: Setup) -> Table:
    """Work out the true error of every setup that the drawer allows, bike sound.

    The two sides draw their fuel apart from each other, so each is worked out alone.
    """
    mains, sides = [], []
    for needle in (None, *drawer.needles):
        rows = [
            replace(like, needle=needle, main=main, clip_from_top=clip, cutaway=cutaway)
            for main, clip, cutaway in product(
                drawer.mains, range(1, (needle or bike.known.carb.needle).grooves + 1), drawer.cutaways
            )
        ]
        sides.append(_main_side(bike, day, rows))
        mains.extend(rows)
    pilots = tuple(product(drawer.pilots, TURNS))
    main, pilot = np.concatenate(sides), _pilot_side(bike, day, like, pilots)
    p = bike.parameters(like, day)
    breath = bike.breath(p)
    wanted_fuel = (
        breath.air[0, :, 0]
        * float(np.asarray(p.dry_share))
        / (bike.wanted * float(np.asarray(p.air_per_fuel)))
    )
    error = np.logaddexp(main[:, None, :], pilot[None, :, :]) - np.log(wanted_fuel)
    return Table(main_side=tuple(mains), pilot_side=pilots, error=error)


def _area(bike: TrueBike, part: str, stamp: str) -> float:
    scale = bike.known.carb.main_scale if part == "main" else bike.known.carb.pilot_scale
    bore = (bore_by_flow if scale == "flow" else bore_by_bore)(float(stamp))
    return float(round_area(float(bore) * bike.jet(part, stamp)))


def _main_side(bike: TrueBike, day: Day, rows: list[Setup]) -> Array:
    first = rows[0]
    p = bike.parameters(first, day)
    fitted = bike.real.carb.needle if first.needle is None else bike.needles[first.needle.stamp]
    pitch = fitted.groove_pitch.value
    clips = np.array([row.clip_from_top - first.clip_from_top for row in rows])
    many = replace(
        p,
        main_area=np.array([_area(bike, "main", row.main) for row in rows]),
        needle_position=np.asarray(p.needle_position) + pitch * clips,
        cutaway=np.array([float(cutaway_height(row.cutaway) or 0.0) for row in rows]),
    )
    return bike.log_fuel(many, bike.breath(p), bike.grid)[0]


def _pilot_side(bike: TrueBike, day: Day, like: Setup, pilots: tuple[tuple[str, float], ...]) -> Array:
    p = bike.parameters(like, day)
    many = replace(
        p,
        pilot_area=np.array([_area(bike, "pilot", pilot) for pilot, _ in pilots]),
        screw_turns=np.array([turns for _, turns in pilots]),
    )
    return bike.log_fuel(many, bike.breath(p), bike.grid)[1]


def number_of(bore: float, scale: str) -> float:
    """Give the number of the jet of this bore (m), to the nearest size."""
    plain = bore / (0.01 * MILLIMETRE)
    number = (
        plain if scale == "bore" else plain**2 / float(bore_by_flow(100.0) / (0.01 * MILLIMETRE)) ** 2 * 100
    )
    return max(SMALLEST, round(number / 2.5) * 2.5)


def sizes(middle: float, *, down: int, up: int, step: float) -> tuple[str, ...]:
    """Give stamps around a middle size."""
    return tuple(f"{middle + step * k:g}" for k in range(-down, up + 1) if middle + step * k >= SMALLEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One bike as it comes in: the truth, what it was like when right, and what is wrong now."""

    number: int
    bike: TrueBike
    day: Day
    home: Day | None
    """Where it was last right, if it came from another place."""
    drawer: Drawer
    right: Setup
    start: Setup
    broken: tuple[Broken, ...]
    story: str
    touched: str | None
    table: Table

    @property
    def kind(self) -> str:
        """Name the kind of bike for the report."""
        return "two-stroke" if self.bike.known.engine.strokes == 2 else "four-stroke"


def invent_case(number: int, seed: int) -> tuple[Case, int]:
    """Give a bike that something in the drawer makes right, and how many had to be given up for it."""
    rng = np.random.default_rng([seed, number])
    for given_up in range(1000):
        case = _try(number, rng)
        if case is not None:
            return case, given_up
    text = "no bike came right in a thousand tries"
    raise RuntimeError(text)


def _try(number: int, rng: Generator) -> Case | None:
    known = kinds.invent(number, rng)
    day = kinds.invent_day(rng)
    moved = rng.random() < 0.2
    home = kinds.invent_day(rng) if moved else None
    needles = kinds.other_needles(known, rng)
    bike = world.make(number, known, (day, home) if home else (day,), needles, rng)
    ordinary = _ordinary(known)
    wide = _wide_drawer(known, needles)
    found = _matched(bike, table(bike, home or day, wide, ordinary), ordinary, rng)
    if found is None:
        return None
    bike, right = found
    drawer = _drawer_around(right, needles, rng)
    all_setups = table(bike, day, drawer, right)
    if all_setups.worst.min() > RIGHT:
        return None
    return _mis_set(number, bike, day, home, drawer, right, all_setups, rng)


def _ordinary(known: Bike) -> Setup:
    carb = known.carb
    return Setup(
        number=1,
        main=f"{number_of(likely_main_bore(known), carb.main_scale):g}",
        pilot=f"{number_of(likely_pilot_bore(known), carb.pilot_scale):g}",
        clip_from_top=3,
        cutaway="2.5",
        screw_turns=1.5,
    )


def _wide_drawer(known: Bike, needles: tuple[Needle, ...]) -> Drawer:
    ordinary = _ordinary(known)
    main, pilot = float(ordinary.main), float(ordinary.pilot)
    wide = max(6, round(0.25 * main / MAIN_STEP))
    return Drawer(
        mains=sizes(main, down=wide, up=wide, step=MAIN_STEP),
        pilots=sizes(pilot, down=5, up=5, step=PILOT_STEP),
        cutaways=CUTAWAYS,
        needles=needles,
    )


def _matched(bike: TrueBike, setups: Table, ordinary: Setup, rng: Generator) -> tuple[TrueBike, Setup] | None:
    """Give the bike as its maker left it, and the setup he fitted: cut for this engine, nearly.

    He starts from nearly ordinary parts; what they leave wrong, rung by rung, he files away at needle, slide
    and holes. A replacement carburettor is matched less well. None where even that leaves it so far off that
    nobody would have sold it.
    """
    worst = setups.worst
    place = np.unravel_index(int((worst + STRANGE * _strange(setups, ordinary)).argmin()), worst.shape)
    if worst[place] > HARDLY_MATCHED:
        return None
    low, high = (0.015, 0.045) if "fresh replacement" in bike.known.story else (0.005, 0.03)
    keep = min(1.0, float(rng.uniform(low, high)) / float(worst[place]))
    filed = (1.0 - keep) * setups.error[place]
    law = replace(bike.law, main_stray=bike.law.main_stray - filed, pilot_stray=bike.law.pilot_stray - filed)
    return replace(bike, law=law), setups.setup(int(place[0]), int(place[1]))


def _strange(setups: Table, ordinary: Setup) -> Array:
    """Give how far every setup is from what makers fit, in steps of a part, (main side, pilot side)."""
    main = [
        abs(one.clip_from_top - 3)
        + 2.0 * abs(float(one.cutaway) - 2.5)
        + 10.0 * abs(float(one.main) / float(ordinary.main) - 1.0)
        + (3.0 if one.needle is not None else 0.0)
        for one in setups.main_side
    ]
    pilot = [
        abs(turns - 1.5)
        + 3.0 * max(0.0, 1.0 - turns, turns - 2.5)
        + 5.0 * abs(float(stamp) / float(ordinary.pilot) - 1.0)
        for stamp, turns in setups.pilot_side
    ]
    return np.asarray(np.array(main)[:, None] + np.array(pilot)[None, :])


def _drawer_around(right: Setup, needles: tuple[Needle, ...], rng: Generator) -> Drawer:
    """Give a drawer that holds what is right, not always in its middle."""
    down = int(rng.integers(2, 7))
    pilot_down = int(rng.integers(1, 4))
    return Drawer(
        mains=sizes(float(right.main), down=down, up=8 - down, step=MAIN_STEP),
        pilots=sizes(float(right.pilot), down=pilot_down, up=4 - pilot_down, step=PILOT_STEP),
        cutaways=CUTAWAYS,
        needles=needles,
    )


STORIES = ("main", "clip", "pilot", "screw", "cutaway", "several")


def _mis_set(  # noqa: PLR0913, PLR0917  (all that a case holds)
    number: int,
    bike: TrueBike,
    day: Day,
    home: Day | None,
    drawer: Drawer,
    right: Setup,
    setups: Table,
    rng: Generator,
) -> Case | None:
    faulty = rng.random() < FAULTY
    for _ in range(MOST_SETTINGS):
        broken = _break(bike, rng) if faulty else ()
        off: tuple[str, ...] = ()
        if home is not None:
            story = "another height"
            if rng.random() < 0.2:
                off = (str(rng.choice(STORIES[:4])),)
        elif broken and rng.random() < 0.6:
            story = "nothing off"
        else:
            story = str(rng.choice(STORIES, p=(0.2, 0.2, 0.15, 0.1, 0.1, 0.25)))
            off = _several(rng) if story == "several" else (story,)
        start = right
        for part in off:
            start = _put_off(part, start, right=right, drawer=drawer, bike=bike, rng=rng)
        truth = bike.see(start, day, broken)
        sound = bike.see(start, day)
        ails = max(truth.ailing.values(), default=0.0) > 0.3 or truth.starved.min() < -0.1
        fault_felt = ails or float(np.abs(truth.error - sound.error).max()) > 0.04
        if (broken and not fault_felt) or not (ails or truth.worst >= FELT):
            if home is not None and not off and rng.random() < 0.1:
                home = None
            continue
        return Case(
            number=number,
            bike=bike,
            day=day,
            home=home,
            drawer=drawer,
            right=right,
            start=replace(start, number=1),
            broken=broken,
            story=story,
            touched=_touched(off, broken, rng),
            table=setups,
        )
    return None


def _several(rng: Generator) -> tuple[str, ...]:
    count = int(rng.integers(2, 4))
    return tuple(str(part) for part in rng.choice(STORIES[:4], size=count, replace=False))


def _put_off(  # noqa: PLR0913  (what is put off, from where, and with what)
    part: str, start: Setup, *, right: Setup, drawer: Drawer, bike: TrueBike, rng: Generator
) -> Setup:
    if part == "main":
        return replace(start, main=_other(drawer.mains, right.main, most=4, rng=rng))
    if part == "pilot":
        return replace(start, pilot=_other(drawer.pilots, right.pilot, most=2, rng=rng))
    if part == "cutaway":
        return replace(start, cutaway=_other(drawer.cutaways, right.cutaway, most=2, rng=rng))
    if part == "clip":
        grooves = (right.needle or bike.known.carb.needle).grooves
        near = [c for c in range(1, grooves + 1) if 1 <= abs(c - right.clip_from_top) <= 2]
        return replace(start, clip_from_top=int(rng.choice(near)))
    turns = [t for t in TURNS if 0.5 <= abs(t - right.screw_turns) <= 1.25]
    return replace(start, screw_turns=float(rng.choice(turns)))


def _other(stamps: tuple[str, ...], right: str, *, most: int, rng: Generator) -> str:
    place = stamps.index(right)
    near = [s for k, s in enumerate(stamps) if 1 <= abs(k - place) <= most]
    return str(rng.choice(near))


def _break(bike: TrueBike, rng: Generator) -> tuple[Broken, ...]:
    known = bike.known
    faults = faults_for(strokes=known.engine.strokes, choke=known.carb.choke)
    weight = np.array([_odds(fault, known) for fault in faults])
    count = 2 if rng.random() < SECOND.value else 1
    picked = rng.choice(len(faults), size=count, replace=False, p=weight / weight.sum())
    # Worse and milder than reckoned, a little: brought in is what is felt.
    return tuple(Broken(fault=faults[int(k)], severity=float(1.1 * rng.beta(1.6, 1.6))) for k in picked)


def _odds(fault: Fault, known: Bike) -> float:
    more = [times for key, times in fault.more_often if key in known.story]
    # A world in which faults are not just as common as reckoned.
    return float(fault.rate.value * np.prod(more))


_BY_PART = {"main": "jets", "pilot": "jets", "clip": "needle", "screw": "jets", "cutaway": "needle"}
_BY_FAULT = {
    "air leak": "carburettor off",
    "fuel level low": "float",
    "fuel level high": "float",
    "wrong needle": "needle",
    "bowl vent blocked": "hoses",
    "air filter torn or gone": "filter",
    "slide hangs open": "cable",
    "valve too tight": "valves",
    "water or stale fuel": "fuel",
    "exhaust leaks": "exhaust",
}


def _touched(off: tuple[str, ...], broken: tuple[Broken, ...], rng: Generator) -> str | None:
    """Give what was worked on last, as far as anybody remembers; sometimes it is something else."""
    dice = rng.random()
    if dice < 0.45:
        return None
    if dice < 0.60:
        return str(rng.choice(["plug", "fuel", "cleaning", "filter", "nothing"]))
    if broken:
        return _BY_FAULT.get(broken[0].fault.key, "nothing")
    return _BY_PART[off[0]] if off else "nothing"
