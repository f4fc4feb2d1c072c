"""What we assume of a bike until somebody measures it, each with its spread.

The only figures we insist on are strokes, swept volume and the bore of the
carburettor. All else follows from them by rules of size, pencilled as assumed.
The rules are our own judgement, set so that an ordinary matched carburettor
meters an ordinary mixture; ``docs/decisions/0010`` says how.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Carb, Hole, Needle, Station
from floatbowl.bike.engine import Engine, Fuel
from floatbowl.bike.measure import Measure
from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE, SQUARE_MILLIMETRE

MEASURED_SPREAD = 0.004
"""Relative standard deviation of a measure taken with a caliper or read from a book (judgement)."""

_MM = MILLIMETRE


def measured(value: float, spread: float | None = None) -> Measure:
    """Make a measure that somebody took; the spread is that of ordinary shop tools unless given."""
    return Measure(value, abs(value) * MEASURED_SPREAD if spread is None else spread, "measured")


def _pick(known: Mapping[str, Any], name: str, value: float, spread: float) -> Measure:
    got = known.get(name)
    if got is None:
        return Measure(value, spread, "assumed")
    return got if isinstance(got, Measure) else measured(float(got))


def assume_engine(known: Mapping[str, Any]) -> Engine:
    """Fill an engine from what is known of it. ``strokes`` and ``swept_volume`` (m3) must be there.

    ``known`` holds fields of ``Engine``: plain SI numbers or ``Measure`` for
    measures, text and literals for the rest.
    """
    strokes = known["strokes"]
    inlet = known.get("inlet", "valve" if strokes == 4 else "reed")  # noqa: PLR2004
    swept = known["swept_volume"]
    swept_measure = swept if isinstance(swept, Measure) else measured(float(swept))
    litres = swept_measure.value / (1000.0 * CUBIC_CENTIMETRE)
    size = (litres / 0.125) ** (1.0 / 3.0)
    four = strokes == 4  # noqa: PLR2004
    return Engine(
        strokes=strokes,
        inlet=inlet,
        cooling=known.get("cooling", "air"),
        swept_volume=swept_measure,
        stroke_to_bore=_pick(known, "stroke_to_bore", 0.92 if four else 1.0, 0.10),
        rod_to_stroke=_pick(known, "rod_to_stroke", 1.80, 0.10),
        compression_ratio=_pick(known, "compression_ratio", 10.0 if four else 1.45, 0.8 if four else 0.06),
        valve_diameter=_pick(known, "valve_diameter", (27.0 if four else 24.0) * size * _MM, 2.0 * size * _MM),
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


def assume_needle(known: Mapping[str, Any], *, bore: float, jet_bore: float) -> Needle:
    """Fill a needle. ``bore`` is the carburettor's, ``jet_bore`` the needle jet's, in metres.

    ``known`` may hold ``stamp``, ``grooves``, ``length``, ``first_groove``,
    ``groove_pitch`` and either ``stations`` (pairs of distance from the blunt
    end and diameter) or ``top``, ``straight`` and ``tip``: diameter above,
    length of the straight part, and diameter at the tip.
    """
    length = _pick(known, "length", 1.5 * bore, 0.06 * bore)
    stations = known.get("stations")
    if stations is not None:
        placed = tuple(
            Station(measured(float(along), 0.2 * _MM), measured(float(across), 0.004 * _MM)) for along, across in stations
        )
    else:
        straight = _pick(known, "straight", 0.55 * bore, 0.05 * bore)
        top_known, tip_known = known.get("top"), known.get("tip")
        top = measured(float(top_known), 0.005 * _MM) if top_known is not None else Measure(jet_bore - 0.10 * _MM, 0.02 * _MM)
        tip = measured(float(tip_known), 0.01 * _MM) if tip_known is not None else Measure(jet_bore - 0.72 * _MM, 0.08 * _MM)
        placed = (Station(straight, top), Station(length, tip))
    return Needle(
        stamp=str(known.get("stamp", "?")),
        length=length,
        stations=placed,
        grooves=int(known.get("grooves", 5)),
        first_groove=_pick(known, "first_groove", 1.2 * _MM, 0.2 * _MM),
        groove_pitch=_pick(known, "groove_pitch", 1.0 * _MM, 0.04 * _MM),
    )


def assume_carb(known: Mapping[str, Any]) -> Carb:
    """Fill a carburettor from what is known of it. ``bore`` (m) must be there.

    ``known`` holds fields of ``Carb`` in SI, with ``needle`` as a mapping for
    ``assume_needle`` and ``bypass`` as pairs of diameter and lift.
    """
    got_bore = known["bore"]
    bore = got_bore if isinstance(got_bore, Measure) else measured(float(got_bore))
    mm = bore.value / _MM
    jet = known.get("needle_jet_bore")
    needle_jet = (
        measured(float(jet), 0.005 * _MM) if jet is not None else Measure(2.60 * (mm / 28.0) ** 0.5 * _MM, 0.05 * _MM)
    )
    holes = known.get("bypass")
    bypass = (
        tuple(Hole(measured(float(d), 0.03 * _MM), measured(float(x), 0.15 * _MM)) for d, x in holes)
        if holes is not None
        else (
            Hole(Measure(0.60 * _MM, 0.10 * _MM), Measure(0.045 * bore.value, 0.010 * bore.value)),
            Hole(Measure(0.60 * _MM, 0.10 * _MM), Measure(0.085 * bore.value, 0.015 * bore.value)),
        )
    )
    return Carb(
        slide=known.get("slide", "round"),
        bore=bore,
        full_lift=_pick(known, "full_lift", bore.value, 0.02 * bore.value),
        needle=assume_needle(known.get("needle", {}), bore=bore.value, jet_bore=needle_jet.value),
        needle_seat=_pick(known, "needle_seat", 0.31 * bore.value, 0.02 * bore.value),
        needle_jet_bore=needle_jet,
        needle_jet_kind=known.get("needle_jet_kind", "bleed"),
        needle_jet_rise=_pick(known, "needle_jet_rise", 0.108 * bore.value, 0.02 * bore.value),
        main_jet_top=_pick(known, "main_jet_top", 1.10 * bore.value, 0.05 * bore.value),
        main_air_bore=_pick(known, "main_air_bore", 0.50 * _MM, 0.10 * _MM),
        bleed_depth=_pick(known, "bleed_depth", 8.0 * _MM, 3.0 * _MM),
        pilot_air_bore=_pick(known, "pilot_air_bore", 1.0 * _MM, 0.10 * _MM),
        pilot_outlet_bore=_pick(known, "pilot_outlet_bore", 0.45 * _MM, 0.07 * _MM),
        bypass=bypass,
        screw=known.get("screw", "air"),
        screw_area_per_turn=_pick(known, "screw_area_per_turn", 0.15 * SQUARE_MILLIMETRE, 0.04 * SQUARE_MILLIMETRE),
        main_scale=known.get("main_scale", "bore"),
        pilot_scale=known.get("pilot_scale", "bore"),
        lip_height=_pick(known, "lip_height", 14.0 * _MM, 2.0 * _MM),
        float_height=_pick(known, "float_height", 18.0 * _MM, 1.5 * _MM),
        vent=known.get("vent", "open"),
        choke=known.get("choke", "plunger"),
    )


def assume_fuel(known: Mapping[str, Any], *, strokes: int) -> Fuel:
    """Fill in the fuel: pump petrol with up to a tenth of ethanol; a two-stroke's mix is 40:1."""
    return Fuel(
        ethanol_share=_pick(known, "ethanol_share", 0.05, 0.03),
        oil_ratio=float(known.get("oil_ratio", 0.0 if strokes == 4 else 40.0)),  # noqa: PLR2004
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

    Raises ``KeyError`` where strokes, swept volume or the carburettor's bore is missing.
    """
    filled = assume_engine(engine)
    return Bike(
        name=name,
        what=what,
        engine=filled,
        carb=assume_carb(carb),
        fuel=assume_fuel(fuel, strokes=filled.strokes),
        story=story,
    )
