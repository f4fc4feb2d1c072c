"""What we assume of a bike until somebody measures it, each with its spread.

The figures we ask for first are strokes, swept volume and the bore of the
carburettor; of the last two, one that nobody knows is taken from the other.
All else follows from them by rules of size, pencilled as assumed. The rules are
our own judgement, set so that an ordinary matched carburettor meters an
ordinary mixture; ``docs/decisions/0010`` says how.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Carb, Hole, Needle, Station
from floatbowl.bike.engine import Engine, Fuel
from floatbowl.bike.measure import Measure
from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE, SQUARE_MILLIMETRE

_MM = MILLIMETRE

MEASURED_SPREAD = 0.004
"""Relative standard deviation of a measure taken with a caliper or read from a book (judgement)."""


LIKELY_CUTAWAY = Measure(2.5 * MILLIMETRE, 0.35 * MILLIMETRE)
"""Cutaway of a slide whose stamp is not known."""

FOUR_STROKE = 4

_REFERENCE_FLOW = 11.1e-3
"""Full air flow, kg/s, of the engine on which the rules of size were set."""


@dataclass(frozen=True, slots=True)
class _Rule:
    """A size that grows with a power of something: ``at_one`` times that thing to the power."""

    at_one: float
    power: float

    def of(self, thing: float) -> float:
        return float(self.at_one * thing**self.power)


@dataclass(frozen=True, slots=True)
class _Rules:
    """Sizes in millimetres that let a matched carburettor meter an ordinary mixture.

    ``ring``, ``middle`` and ``tip`` are how much thinner than the needle jet the
    needle is at its straight part, at the end of a first taper if it has two,
    and at its tip, by relative air flow; ``main`` goes by the carburettor's
    bore in millimetres; pilot jet and outlet by relative idle air; the lifts at
    which the bypass holes half feel the engine by the lift at idle, in
    millimetres. ``idle_lift`` is that lift for one cc in a bore of 1 mm.
    """

    ring: _Rule
    middle: _Rule | None
    tip: _Rule
    main: _Rule
    pilot: _Rule
    outlet: _Rule
    air_screw_outlet: _Rule
    first_bypass: _Rule
    second_bypass: _Rule
    idle_lift: float
    idle_volume: float
    """Swept volume, m3, at which the relative idle air is 1."""


_FOUR = _Rules(
    ring=_Rule(0.0771, 1.10),
    middle=None,
    tip=_Rule(0.5625, 0.82),
    main=_Rule(0.0702, 0.83),
    pilot=_Rule(0.371, 0.65),
    outlet=_Rule(0.365, 0.34),
    air_screw_outlet=_Rule(0.348, 0.32),
    first_bypass=_Rule(2.13, 0.64),
    second_bypass=_Rule(3.46, 1.29),
    idle_lift=0.071,
    idle_volume=199e-6,
)
_TWO = _Rules(
    ring=_Rule(0.0714, 1.26),
    middle=_Rule(0.229, 1.35),
    tip=_Rule(0.870, 1.72),
    main=_Rule(0.0481, 0.99),
    pilot=_Rule(0.496, 0.68),
    outlet=_Rule(0.434, 0.28),
    air_screw_outlet=_Rule(0.397, 0.26),
    first_bypass=_Rule(2.00, 0.67),
    second_bypass=_Rule(2.91, 1.16),
    idle_lift=0.1255,
    idle_volume=115e-6,
)


def _rules(engine: Engine) -> _Rules:
    return _FOUR if engine.strokes == FOUR_STROKE else _TWO


def _relative_flow(engine: Engine, bore: float) -> float:
    """Give the root of the full air flow over the reference one: what the engine asks, what the bore lets."""
    asked = 0.85 * engine.swept_volume.value * 1.2 * engine.peak_rpm.value / 60.0 / (engine.strokes / 2)
    let = 20.2 * bore**2
    flow = (asked**-2 + let**-2) ** -0.5
    return float((flow / _REFERENCE_FLOW) ** 0.5)


def _relative_idle(engine: Engine) -> float:
    return float((engine.swept_volume.value / _rules(engine).idle_volume) ** 0.5)


USUAL_SWEPT = 125.0 * CUBIC_CENTIMETRE
"""Swept volume of an engine of which not even the carburettor's bore is known (judgement)."""
SWEPT_SPREAD = 0.30
"""How far off that is, relative, one standard deviation (judgement); from a bore it is little better."""
BORE_SPREAD = 0.09
"""How far a carburettor's bore is from the usual one for the engine, relative (judgement)."""
_USUAL_BORE = {4: _Rule(24.5, 0.38), 2: _Rule(30.0, 0.40)}
"""Bore in millimetres by swept volume over 125 cc, by strokes (judgement, from ordinary small bikes)."""


def _likely_bore(engine: Engine) -> Measure:
    """Give the bore that such an engine mostly breathes through."""
    bore = _USUAL_BORE[engine.strokes].of(engine.swept_volume.value / USUAL_SWEPT) * _MM
    return Measure(bore, BORE_SPREAD * bore)


def _likely_swept(strokes: int, bore: float | None) -> Measure:
    """Give the swept volume of the engine that mostly has a carburettor of this bore (m)."""
    rule = _USUAL_BORE[strokes]
    size = 1.0 if bore is None else float((bore / _MM / rule.at_one) ** (1.0 / rule.power))
    return Measure(size * USUAL_SWEPT, SWEPT_SPREAD * size * USUAL_SWEPT)


def likely_main_bore(bike: Bike) -> float:
    """Give the bore, in metres, of the main jet that such a bike most likely has."""
    return _rules(bike.engine).main.of(bike.carb.bore.value / _MM) * _MM


def likely_pilot_bore(bike: Bike) -> float:
    """Give the bore, in metres, of the pilot jet that such a bike most likely has."""
    return _rules(bike.engine).pilot.of(_relative_idle(bike.engine)) * _MM


def measured(value: float, spread: float | None = None) -> Measure:
    """Make a measure that somebody took; the spread is that of ordinary shop tools unless given."""
    return Measure(value, abs(value) * MEASURED_SPREAD if spread is None else spread, "measured")


def _pick(known: Mapping[str, Any], name: str, value: float, spread: float) -> Measure:
    got = known.get(name)
    if got is None:
        return Measure(value, spread, "assumed")
    return got if isinstance(got, Measure) else measured(float(got))


def assume_engine(known: Mapping[str, Any]) -> Engine:
    """Fill an engine from what is known of it. ``strokes`` must be there.

    ``swept_volume`` (m3), where nobody knows it, is that of an ordinary engine.

    ``known`` holds fields of ``Engine``: plain SI numbers or ``Measure`` for
    measures, text and literals for the rest.
    """
    strokes = known["strokes"]
    four = strokes == FOUR_STROKE
    inlet = known.get("inlet", "valve" if four else "reed")
    swept = known.get("swept_volume") or _likely_swept(strokes, None)
    swept_measure = swept if isinstance(swept, Measure) else measured(float(swept))
    litres = swept_measure.value / (1000.0 * CUBIC_CENTIMETRE)
    size = (litres / 0.125) ** (1.0 / 3.0)
    return Engine(
        strokes=strokes,
        inlet=inlet,
        cooling=known.get("cooling", "air"),
        swept_volume=swept_measure,
        stroke_to_bore=_pick(known, "stroke_to_bore", 0.92 if four else 1.0, 0.10),
        rod_to_stroke=_pick(known, "rod_to_stroke", 1.80, 0.10),
        compression_ratio=_pick(known, "compression_ratio", 10.0 if four else 1.45, 0.8 if four else 0.06),
        valve_diameter=_pick(
            known, "valve_diameter", (27.0 if four else 24.0) * size * _MM, 2.0 * size * _MM
        ),
        valve_lift=_pick(known, "valve_lift", 6.9 * size * _MM, 0.6 * size * _MM),
        inlet_opens_deg=_pick(known, "inlet_opens_deg", 15.0 if four else 75.0, 8.0 if four else 5.0),
        inlet_shuts_deg=_pick(known, "inlet_shuts_deg", 48.0 if four else 75.0, 8.0 if four else 5.0),
        transfer_opens_deg=_pick(known, "transfer_opens_deg", 118.0, 4.0),
        inlet_length=_pick(known, "inlet_length", 0.125 * size, 0.03 * size),
        port_volume=_pick(known, "port_volume", 0.35 * swept_measure.value, 0.09 * swept_measure.value),
        idle_rpm=_pick(known, "idle_rpm", 1500.0, 120.0),
        peak_rpm=_pick(known, "peak_rpm", 8200.0 if four else 8800.0, 700.0),
        exhaust=known.get("exhaust", "not known"),
        air_filter=known.get("air_filter", "not known"),
    )


@dataclass(frozen=True, slots=True)
class OrdinaryNeedle:
    """How much thinner than its jet an ordinary needle is, in metres; ``middle`` if it has two tapers."""

    ring: float
    middle: float | None
    tip: float


def ordinary_needle(engine: Engine, *, bore: float) -> OrdinaryNeedle:
    """Give the needle that an ordinary carburettor of this bore (m) has on this engine."""
    rules, flow = _rules(engine), _relative_flow(engine, bore)
    middle = rules.middle.of(flow) * _MM if rules.middle is not None else None
    return OrdinaryNeedle(ring=rules.ring.of(flow) * _MM, middle=middle, tip=rules.tip.of(flow) * _MM)


def assume_needle(
    known: Mapping[str, Any], *, bore: float, jet_bore: float, ordinary: OrdinaryNeedle
) -> Needle:
    """Fill a needle. ``bore`` is the carburettor's, ``jet_bore`` the needle jet's, in metres.

    ``known`` may hold ``stamp``, ``grooves``, ``length``, ``first_groove``,
    ``groove_pitch`` and either ``stations`` (pairs of distance from the blunt
    end and diameter) or ``top``, ``straight`` and ``tip``: diameter above,
    length of the straight part, and diameter at the tip.
    """
    length = _pick(known, "length", 1.2 * bore + 6.7 * _MM, 0.03 * bore)
    stations = known.get("stations")
    return Needle(
        stamp=str(known.get("stamp", "?")),
        length=length,
        stations=_tapers(known, bore, jet_bore, length, ordinary)
        if stations is None
        else tuple(
            Station(measured(float(x), 0.2 * _MM), measured(float(d), 0.004 * _MM)) for x, d in stations
        ),
        grooves=int(known.get("grooves", 5)),
        first_groove=_pick(known, "first_groove", 1.2 * _MM, 0.2 * _MM),
        groove_pitch=_pick(known, "groove_pitch", 1.0 * _MM, 0.04 * _MM),
    )


def _tapers(
    known: Mapping[str, Any], bore: float, jet_bore: float, length: Measure, ordinary: OrdinaryNeedle
) -> tuple[Station, ...]:
    straight = _pick(known, "straight", 0.427 * bore + 3.2 * _MM, 0.03 * bore)
    top = _across(known.get("top"), jet_bore - ordinary.ring, 0.18 * ordinary.ring, 0.005 * _MM)
    if known.get("tip") is not None:
        return Station(straight, top), Station(length, _across(known["tip"], 0.0, 0.0, 0.01 * _MM))
    end = Measure(1.2 * bore + 3.2 * _MM, 0.03 * bore)
    tip = Station(end, Measure(jet_bore - ordinary.tip, 0.12 * ordinary.tip))
    if ordinary.middle is None:
        return Station(straight, top), tip
    along = Measure(0.802 * bore + 3.2 * _MM, 0.03 * bore)
    return (
        Station(straight, top),
        Station(along, Measure(jet_bore - ordinary.middle, 0.15 * ordinary.middle)),
        tip,
    )


def _across(known: Any, value: float, spread: float, tool: float) -> Measure:  # noqa: ANN401  (a bike file's value)
    if known is None:
        return Measure(value, spread, "assumed")
    return known if isinstance(known, Measure) else measured(float(known), tool)


def assume_carb(known: Mapping[str, Any], *, engine: Engine) -> Carb:
    """Fill a carburettor from what is known of it; its ``bore`` (m), where nobody knows it, by the engine.

    ``known`` holds fields of ``Carb`` in SI, with ``needle`` as a mapping for
    ``assume_needle`` and ``bypass`` as pairs of diameter and lift. The engine
    it feeds sets what an ordinary match would be.
    """
    got_bore = known.get("bore") or _likely_bore(engine)
    bore = (got_bore if isinstance(got_bore, Measure) else measured(float(got_bore))).value
    rules, idle = _rules(engine), _relative_idle(engine)
    ordinary = ordinary_needle(engine, bore=bore)
    jet = _needle_jet(known, bore=bore, ordinary=ordinary)
    screw = known.get("screw", "air")
    by_air = screw == "air"
    outlet = (rules.air_screw_outlet if by_air else rules.outlet).of(idle) * _MM
    per_turn = (0.60 if by_air else 0.15) * SQUARE_MILLIMETRE
    return Carb(
        slide=known.get("slide", "round"),
        bore=got_bore if isinstance(got_bore, Measure) else measured(bore),
        full_lift=_pick(known, "full_lift", bore, 0.02 * bore),
        needle=assume_needle(known.get("needle", {}), bore=bore, jet_bore=jet.value, ordinary=ordinary),
        needle_seat=_pick(known, "needle_seat", 0.31 * bore, 0.02 * bore),
        needle_jet_bore=jet,
        needle_jet_kind=known.get("needle_jet_kind", "bleed" if engine.strokes == FOUR_STROKE else "primary"),
        needle_jet_rise=_pick(known, "needle_jet_rise", 0.108 * bore, 0.02 * bore),
        main_jet_top=_pick(known, "main_jet_top", 0.86 * bore + 6.2 * _MM, 0.05 * bore),
        main_air_bore=_pick(known, "main_air_bore", 0.50 * _MM, 0.10 * _MM),
        bleed_depth=_pick(known, "bleed_depth", 8.0 * _MM, 3.0 * _MM),
        pilot_air_bore=_pick(known, "pilot_air_bore", (1.30 if by_air else 1.0) * _MM, 0.06 * _MM),
        pilot_outlet_bore=_pick(known, "pilot_outlet_bore", outlet, 0.05 * outlet),
        bypass=_bypass(known.get("bypass"), engine=engine, bore=bore),
        screw=screw,
        screw_area_per_turn=_pick(known, "screw_area_per_turn", per_turn, 0.15 * per_turn),
        main_scale=known.get("main_scale", "bore"),
        pilot_scale=known.get("pilot_scale", "bore"),
        lip_height=_pick(known, "lip_height", 14.0 * _MM, 2.0 * _MM),
        float_height=_pick(known, "float_height", 18.0 * _MM, 1.5 * _MM),
        vent=known.get("vent", "open"),
        choke=known.get("choke", "plunger"),
    )


def _needle_jet(known: Mapping[str, Any], *, bore: float, ordinary: OrdinaryNeedle) -> Measure:
    """Give the needle jet: as measured, else as an ordinary match of the measured needle, else by size."""
    top = known.get("needle", {}).get("top")
    if top is None:
        return _across(
            known.get("needle_jet_bore"), 2.60 * (bore / (28.0 * _MM)) ** 0.5 * _MM, 0.05 * _MM, 0.005 * _MM
        )
    across = top.value if isinstance(top, Measure) else float(top)
    return _across(known.get("needle_jet_bore"), across + ordinary.ring, 0.18 * ordinary.ring, 0.005 * _MM)


def _bypass(known: Any, *, engine: Engine, bore: float) -> tuple[Hole, ...]:  # noqa: ANN401  (a bike file's value)
    """Give the bypass holes: as measured, else two, placed for a smooth way up from the idle."""
    if known is not None:
        return tuple(Hole(measured(float(d), 0.03 * _MM), measured(float(x), 0.15 * _MM)) for d, x in known)
    rules, mm = _rules(engine), bore / _MM
    idle_lift = (
        rules.idle_lift * (engine.swept_volume.value / CUBIC_CENTIMETRE) ** (2.0 / 3.0) / mm ** (1.0 / 3.0)
    )
    diameter = 0.74 * (mm / 28.0) ** 0.42 * _MM
    across = Measure(diameter, 0.10 * diameter)
    places = (rules.first_bypass.of(idle_lift) * _MM, rules.second_bypass.of(idle_lift) * _MM)
    return tuple(Hole(across, Measure(at, 0.10 * at)) for at in places)


def assume_fuel(known: Mapping[str, Any], *, strokes: int) -> Fuel:
    """Fill in the fuel: pump petrol with up to a tenth of ethanol; a two-stroke's mix is 40:1."""
    return Fuel(
        ethanol_share=_pick(known, "ethanol_share", 0.05, 0.03),
        oil_ratio=float(known.get("oil_ratio", 0.0 if strokes == FOUR_STROKE else 40.0)),
    )


def assume_bike(  # noqa: PLR0913  (the sections of a bike file, one each)
    *,
    name: str,
    what: str,
    engine: Mapping[str, Any],
    carb: Mapping[str, Any],
    fuel: Mapping[str, Any],
    story: frozenset[str] = frozenset(),
) -> Bike:
    """Make a whole bike out of what is known: mappings of the fields of each part, in SI.

    Of swept volume and bore one that is missing is taken from the other. Raises ``KeyError`` where the
    strokes are missing.
    """
    if "swept_volume" not in engine:
        engine = {**engine, "swept_volume": _likely_swept(engine["strokes"], carb.get("bore"))}
    filled = assume_engine(engine)
    return Bike(
        name=name,
        what=what,
        engine=filled,
        carb=assume_carb(carb, engine=filled),
        fuel=assume_fuel(fuel, strokes=filled.strokes),
        story=story,
    )
