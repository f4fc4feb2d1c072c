"""What we let the signs move, each with the spread it has before anything is said.

Every unknown is one standard normal number; what it does to the flow is a
factor, a shift or a growth of one flow parameter. Spreads come from the bike's
own measures where there are any, else from the Figures beside the formulas.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from floatbowl.bike.assume import LIKELY_CUTAWAY
from floatbowl.bike.rung import RUNGS
from floatbowl.figures import Figure
from floatbowl.flow import needle, nominal, slide
from floatbowl.flow.stamps import BORE_SPREAD, NOT_KNOWN, jet_number
from floatbowl.signs.seen import HABITS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.bike.bike import Bike
    from floatbowl.bike.faults import Ailment, Fault
    from floatbowl.bike.measure import Measure
    from floatbowl.bike.setup import Setup
    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

How = Literal["times", "plus", "grows"]

LEAK = Figure(0.08e-6, 0.0, 0.16e-6, "judgement: what a sound joint lets by, m2")
IDLE_STOP = Figure(1.0, 0.92, 1.08, "judgement: idle speed is set by ear, and never on the same day")
FLOAT_LEVEL = Figure(0.0, -0.003, 0.003, "judgement: gauge and bent tang, m")
MEASURED_FLOAT_LEVEL = Figure(0.0, -0.001, 0.001, "judgement: float height taken with a caliper, m")
AIR_PER_FUEL = Figure(1.0, 0.97, 1.03, "judgement: petrol differs from petrol")
PILOT_DISCHARGE = Figure(1.0, 0.79, 1.27, "judgement: small holes, laminar and never quite clean")
SLIP_SPREAD = 0.6
UNREAD_MAIN = Figure(1.0, 0.76, 1.32, "judgement: a main nobody can read, area over the likely one")
UNREAD_PILOT = Figure(1.0, 0.61, 1.65, "judgement: a pilot nobody can read, area over the likely one")

MODEL_SPREAD = Figure(
    0.06, 0.03, 0.10, "judgement: how far a real carburettor strays from ours along the throttle"
)
"""Standard deviation of the smooth model error, in ln(fuel)."""
MODEL_REACH = 0.35
"""How far along the ladder a model error is shared, as a share of its length (judgement)."""
MODEL_ROUGH = 0.015
"""What is left of the model error from one rung to the next (judgement)."""
MODEL_TILT = Figure(0.05, 0.02, 0.10, "judgement: model error along engine speed at one opening")
"""Standard deviation of the model error for an e-fold change of speed at one opening."""

WANTED_FOUR = (0.87, 0.90, 0.92, 0.92, 0.89, 0.86)
WANTED_TWO = (0.84, 0.87, 0.90, 0.90, 0.88, 0.84)
"""Lambda wanted at each rung, shut to full (common practice: crisp in the middle, safe at full)."""
WANT_COMMON = Figure(0.014, 0.01, 0.03, "judgement: engines and riders differ")
WANT_OWN = Figure(0.012, 0.01, 0.03, "judgement: the same, rung by rung")
CLOSE_ENOUGH = (0.05, 0.05, 0.05, 0.05, 0.05, 0.05)
"""Error that an engine would not feel, shut to full, in ln(fuel) (judgement): half of what riders do."""
_SET = "judgement: how far off owners and makers leave a part, by common practice"
SET_WRONG: tuple[tuple[str, Literal["times", "plus"], Figure], ...] = (
    ("main_area", "times", Figure(0.10, 0.05, 0.20, _SET)),
    ("needle_position", "plus", Figure(1.0e-3, 0.5e-3, 2.0e-3, _SET)),
    ("pilot_area", "times", Figure(0.14, 0.07, 0.28, _SET)),
    ("screw_turns", "plus", Figure(0.5, 0.25, 1.0, _SET)),
    ("cutaway", "plus", Figure(0.35e-3, 0.15e-3, 0.7e-3, _SET)),
    ("air_per_fuel", "times", Figure(0.03, 0.01, 0.08, "judgement: moved to another height, other petrol")),
)
"""How far each part of a bike that once ran may be off, one standard deviation: of an area or amount.

About two sizes of the main, a groove, a size and a half of the pilot, half a turn of the screw.
"""
SET_WRONG_FRESH = Figure(1.6, 1.2, 2.5, "judgement: a carburettor never matched is set wrong by more")
"""How many times further off with a carburettor that was never matched to the engine."""
_RIGHT = "judgement: with the right parts an ordinary carburettor is that near right at every rung"
RAN_WITHIN = (
    Figure(0.06, 0.03, 0.12, _RIGHT),
    *(Figure(0.045, 0.025, 0.09, _RIGHT) for _ in RUNGS[1:]),
)
"""What is left of the error at each rung once every part is right, in ln(fuel), one standard deviation."""
MOST_FAULTS = 2
"""Faults that one bike may have at once."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """One uncertain thing: the flow parameter it moves, how, by how much, and the measures it leans on.

    With a ``stamp``, a field of the setup, it counts only in setups where nobody can read that.
    """

    field: str
    how: How
    spread: float
    leans_on: tuple[str, ...] = ()
    stamp: str = ""


def unknowns_of(bike: Bike, setup: Setup, *, others: tuple[Setup, ...] = ()) -> tuple[Unknown, ...]:
    """List the unknowns of a bike in a fixed order; air side first, stamps that nobody can read last.

    A stamp is unread if it is so in ``setup`` or in any of the ``others``.
    """
    return (
        *_air_side(bike),
        *_needle_side(bike, setup),
        *_pilot_side(bike),
        *_rest(bike, setup),
        *(unread for unread in _UNREAD if any(_is_unread(one, unread) for one in (setup, *others))),
    )


_UNREAD = (
    Unknown("main_area", "times", UNREAD_MAIN.log_spread, ("setup.main",), stamp="main"),
    Unknown("pilot_area", "times", UNREAD_PILOT.log_spread, ("setup.pilot",), stamp="pilot"),
    Unknown("cutaway", "plus", LIKELY_CUTAWAY.spread, ("setup.cutaway",), stamp="cutaway"),
)


def _is_unread(setup: Setup, unknown: Unknown) -> bool:
    return bool(getattr(setup, unknown.stamp).strip() == NOT_KNOWN)


def unknowns_in(setup: Setup, unknowns: tuple[Unknown, ...]) -> tuple[Unknown, ...]:
    """Give the unknowns as they stand in a setup: where a stamp can be read, it leaves nothing open."""
    return tuple(
        replace(one, spread=0.0) if one.stamp and not _is_unread(setup, one) else one for one in unknowns
    )


def _relative(measure: Measure) -> float:
    return abs(measure.spread / measure.value)


def _area(measure: Measure) -> float:
    return 2.0 * _relative(measure)


def _air_side(bike: Bike) -> tuple[Unknown, ...]:
    e = bike.engine
    exhaust = (
        Unknown("back_pressure", "plus", nominal.BACK_PRESSURE.spread)
        if e.strokes == 4  # noqa: PLR2004
        else Unknown("pipe_suction", "plus", nominal.PIPE_SUCTION.spread / 2.0)
    )
    return (
        Unknown("inlet_length", "times", _relative(e.inlet_length), ("engine.inlet_length",)),
        Unknown("port_volume", "times", _relative(e.port_volume), ("engine.port_volume",)),
        Unknown("inlet_loss", "times", nominal.INLET_LOSS.log_spread),
        Unknown("filter_loss", "times", nominal.FILTER_LOSS.log_spread),
        Unknown("leak_area", "grows", LEAK.spread),
        Unknown("idle_lift", "times", IDLE_STOP.log_spread, ("engine.idle_rpm",)),
        exhaust,
    )


def _needle_side(bike: Bike, setup: Setup) -> tuple[Unknown, ...]:
    carb = bike.carb
    fitted = setup.needle or carb.needle
    first, last = fitted.stations[0], fitted.stations[-1]
    height = math.hypot(
        carb.needle_seat.spread,
        fitted.first_groove.spread,
        carb.needle_jet_rise.spread,
        first.distance.spread,
    )
    # Another needle than the carburettor's own has no measure of the bike's to lean on.
    own = setup.needle is None
    top = ("carb.needle.stations[1].diameter",) if own else ()
    tip = (f"carb.needle.stations[{len(fitted.stations)}].diameter",) if own else ()
    return (
        _signal_gain(carb.bore),
        Unknown("signal_reach", "times", slide.SIGNAL_REACH.log_spread),
        Unknown("cutaway_share", "plus", slide.CUTAWAY_SHARE.spread),
        Unknown("reverse_share", "plus", slide.REVERSE_SHARE.spread),
        Unknown("ring_discharge", "times", needle.RING_DISCHARGE.log_spread),
        Unknown("needle_wear", "plus", _clearance(bike, setup), ("carb.needle_jet_bore", *top)),
        Unknown("needle_tip", "plus", last.diameter.spread, tip),
        Unknown("needle_position", "plus", height, ("carb.needle_seat", "carb.needle_jet_rise")),
        Unknown("main_discharge", "times", nominal.MAIN_DISCHARGE.log_spread),
        Unknown("main_air_area", "times", _area(carb.main_air_bore), ("carb.main_air_bore",)),
        Unknown("bleed_depth", "plus", carb.bleed_depth.spread, ("carb.bleed_depth",)),
        Unknown("slip", "times", SLIP_SPREAD),
        Unknown("lip_height", "plus", carb.lip_height.spread, ("carb.lip_height",)),
    )


def _signal_gain(bore: Measure) -> Unknown:
    """Give the pull's own factor: with a bore that nobody measured, less sure by the bore's fourth power."""
    if not bore.is_assumed:
        return Unknown("signal_gain", "times", slide.SIGNAL_GAIN.log_spread)
    spread = math.hypot(slide.SIGNAL_GAIN.log_spread, 4.0 * _relative(bore))
    return Unknown("signal_gain", "times", spread, ("carb.bore",))


def _pilot_discharge(swept: Measure) -> Unknown:
    """Give what the pilot lets by; idle air goes with the swept volume, where nobody knows that."""
    if not swept.is_assumed:
        return Unknown("pilot_discharge", "times", PILOT_DISCHARGE.log_spread)
    spread = math.hypot(PILOT_DISCHARGE.log_spread, _relative(swept))
    return Unknown("pilot_discharge", "times", spread, ("engine.swept_volume",))


def _clearance(bike: Bike, setup: Setup) -> float:
    """Give the spread of needle jet less needle: an assumed one is assumed as a pair."""
    jet = bike.carb.needle_jet_bore
    top = (setup.needle or bike.carb.needle).stations[0].diameter
    return top.spread if jet.is_assumed and top.is_assumed else math.hypot(jet.spread, top.spread)


def _pilot_side(bike: Bike) -> tuple[Unknown, ...]:
    carb = bike.carb
    hole = carb.bypass[0].diameter if carb.bypass else None
    return (
        _pilot_discharge(bike.engine.swept_volume),
        Unknown("pilot_air_area", "times", _area(carb.pilot_air_bore), ("carb.pilot_air_bore",)),
        Unknown("pilot_outlet_area", "times", _area(carb.pilot_outlet_bore), ("carb.pilot_outlet_bore",)),
        Unknown(
            "screw_area_per_turn", "times", _relative(carb.screw_area_per_turn), ("carb.screw_area_per_turn",)
        ),
        *((Unknown("bypass_share", "times", _area(hole), ("carb.bypass[1].diameter",)),) if hole else ()),
    )


def _rest(bike: Bike, setup: Setup) -> tuple[Unknown, ...]:
    level = FLOAT_LEVEL if setup.float_height_mm is None else MEASURED_FLOAT_LEVEL
    jets = 2.0 * BORE_SPREAD["copy" if "fresh replacement" in bike.story else "genuine"].value
    return (
        Unknown("level_drop", "plus", level.spread, ("carb.float_height",)),
        Unknown("main_area", "times", FAMILY * jets),
        Unknown("pilot_area", "times", 1.5 * FAMILY * jets),
        Unknown("air_per_fuel", "times", AIR_PER_FUEL.log_spread, ("fuel.ethanol_share",)),
    )


FAMILY = math.sqrt(0.5)
"""Share of a jet's spread that all jets of a drawer have in common; as much is each jet's own (judgement)."""
STAMPS = {"main": 8, "pilot": 5}
"""How many stamps of a part are told apart: neighbours in a drawer always are."""
_BETWEEN = 2.5


def stamp_place(stamp: str, *, part: Literal["main", "pilot"]) -> int:
    """Give the place of a stamp among those for a part's own errors; the first if nobody can read it."""
    number = jet_number(stamp, part=part)
    return 0 if number is None else round(float(number) / _BETWEEN) % STAMPS[part]


def own_errors(setup: Setup, unknowns: tuple[Unknown, ...], places: Layout, row: Array) -> Array:
    """Give the rows as they stand in a setup: the error of its own jets added to that of the whole drawer."""
    moved = row.copy()
    for k, unknown in enumerate(unknowns):
        part: Literal["main", "pilot"] | None = _JETS.get(unknown.field)
        if part is not None and not unknown.stamp:
            place = places.jets[part].start + stamp_place(getattr(setup, part), part=part)
            moved[:, k] += row[:, place]
    return moved


_JETS: dict[str, Literal["main", "pilot"]] = {"main_area": "main", "pilot_area": "pilot"}


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each thing sits in a row of standard normal numbers."""

    flow: int
    severity: slice
    model: slice
    tilt: int
    want_common: int
    want_own: slice
    habits: slice
    jets: dict[str, slice]
    """Each jet's own error, by part: a few places for the stamps of a drawer."""
    size: int


def layout(unknowns: tuple[Unknown, ...]) -> Layout:
    """Lay out the row: flow, how bad the faults are, model error, wants, habits of the signs, single jets."""
    n, rungs = len(unknowns), len(RUNGS)
    severity = slice(n, n + MOST_FAULTS)
    model = slice(severity.stop, severity.stop + rungs)
    tilt = model.stop
    own = slice(tilt + 2, tilt + 2 + rungs)
    habits = slice(own.stop, own.stop + len(HABITS))
    mains = slice(habits.stop, habits.stop + STAMPS["main"])
    jets = {"main": mains, "pilot": slice(mains.stop, mains.stop + STAMPS["pilot"])}
    return Layout(
        flow=n,
        severity=severity,
        model=model,
        tilt=tilt,
        want_common=tilt + 1,
        want_own=own,
        habits=habits,
        jets=jets,
        size=jets["pilot"].stop,
    )


def spread_over(p: Parameters, unknowns: tuple[Unknown, ...], z: Array) -> Parameters:
    """Give the parameters of every draw: ``p`` moved by the unknowns at ``z`` (draw, unknown)."""
    moved: dict[str, object] = {}
    for k, unknown in enumerate(unknowns):
        if unknown.field == "needle_tip":
            moved["needle_diameters"] = _tapers(p, unknown.spread * z[:, k])
            continue
        value = np.asarray(moved.get(unknown.field, getattr(p, unknown.field)), dtype=np.float64)
        moved[unknown.field] = _MOVE[unknown.how](value, unknown.spread, z[:, k])
    return replace(p, **moved)  # type: ignore[arg-type]


def _tapers(p: Parameters, thicker: Array) -> tuple[object, ...]:
    """Move the taper: the tip by ``thicker``, stations before it as far as they are ground off."""
    first, last = p.needle_diameters[0], p.needle_diameters[-1]
    ground = first - last
    return tuple(d + thicker * (first - d) / ground for d in p.needle_diameters)


_MOVE = {
    "times": lambda value, spread, z: value * np.exp(spread * z),
    "plus": lambda value, spread, z: value + spread * z,
    "grows": lambda value, spread, z: value + spread * np.abs(z),
}


def break_things(p: Parameters, faults: tuple[Fault, ...], which: Whole, severity: Array) -> Parameters:
    """Give the parameters with each draw's faults in them; ``which`` (draw, 2) is -1 where there is none.

    ``severity`` (draw, 2) runs from 0 to 1 through each change's range.
    """
    moved: dict[str, Array] = {}
    for number, fault in enumerate(faults):
        for slot in range(which.shape[1]):
            has = which[:, slot] == number
            if not has.any():
                continue
            for change in fault.changes:
                before = moved.get(change.parameter, getattr(p, change.parameter))
                value = np.broadcast_to(np.asarray(before, dtype=np.float64), has.shape)
                amount = change.low + (change.high - change.low) * severity[:, slot]
                changed = value * amount if change.how == "times" else value + amount
                moved[change.parameter] = np.where(has, changed, value)
    return replace(p, **moved)  # type: ignore[arg-type]


def ailments_of(faults: tuple[Fault, ...], which: Whole, severity: Array) -> dict[Ailment, Array]:
    """Give how much of each thing besides the mixture ails each draw, (draw,) each; only what ails any."""
    found: dict[Ailment, Array] = {}
    for number, fault in enumerate(faults):
        for slot in range(which.shape[1]):
            has = which[:, slot] == number
            if not has.any():
                continue
            for felt in fault.felt:
                much = np.where(has, felt.low + (felt.high - felt.low) * severity[:, slot], 0.0)
                found[felt.ailment] = np.maximum(found.get(felt.ailment, np.zeros_like(much)), much)
    return found


def model_root() -> Array:
    """Give the lower root (rung, rung) of the model error's covariance along the ladder."""
    place = np.linspace(0.0, 1.0, len(RUNGS))
    apart = (place[:, None] - place[None, :]) / MODEL_REACH
    cover = MODEL_SPREAD.value**2 * np.exp(-0.5 * apart**2) + MODEL_ROUGH**2 * np.eye(len(RUNGS))
    return np.asarray(np.linalg.cholesky(cover))


def wanted(strokes: int) -> Array:
    """Give the lambda wanted at each rung by an ordinary engine of this kind."""
    return np.asarray(WANTED_FOUR if strokes == 4 else WANTED_TWO)  # noqa: PLR2004
