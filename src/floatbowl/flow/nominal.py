"""From the bike on the stand to the numbers the sums need."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from floatbowl.bike.assume import LIKELY_CUTAWAY, likely_main_bore, likely_pilot_bore
from floatbowl.bike.shape import needle_mouth_position
from floatbowl.figures import Figure
from floatbowl.flow import air, bowl
from floatbowl.flow.choke import ENRICHENER_PULL
from floatbowl.flow.engine import PISTON_PORT, REED, VALVE
from floatbowl.flow.fuel import fuel_state
from floatbowl.flow.holes import round_area
from floatbowl.flow.idle import idle_stop
from floatbowl.flow.main_jet import SLIP
from floatbowl.flow.needle import RING_DISCHARGE
from floatbowl.flow.parameters import Parameters
from floatbowl.flow.pilot import PILOT_MIX_HEIGHT
from floatbowl.flow.slide import (
    CUTAWAY_SHARE,
    FLAT_DISCHARGE,
    FLAT_SIGNAL,
    REVERSE_SHARE,
    SIGNAL_FLOOR,
    SIGNAL_GAIN,
    SIGNAL_REACH,
)
from floatbowl.flow.stamps import bore_by_bore, bore_by_flow, cutaway_height, jet_number
from floatbowl.units import MILLIMETRE, MINUTE, Metre

if TYPE_CHECKING:
    from floatbowl.bike.bike import Bike
    from floatbowl.bike.carb import StampScale
    from floatbowl.bike.day import Day
    from floatbowl.bike.setup import Setup

INLET_LOSS = Figure(
    2.0, 0.8, 4.0, "judgement: bends, box and edges; loss in dynamic pressures of the bore's mean stream"
)
PORT_HEATING = Figure(30.0, 15.0, 50.0, "judgement: warming of the air in a hot port, K")
BACK_PRESSURE = Figure(1.04, 1.0, 1.15, "judgement: exhaust pressure over ambient when the inlet opens")
PIPE_SUCTION = Figure(0.10, 0.0, 0.18, "judgement: set for a delivery of 0.7 to 0.9 at greatest power")
FILTER_LOSS = Figure(120.0, 40.0, 400.0, "judgement: clean foam at full flow, Pa")
MAIN_DISCHARGE = Figure(
    1.05, 0.90, 1.25, "joachim1926: small fuel jets 0.62 to 0.88, above a square-edged tube when chamfered"
)
"""Factor on the discharge of a square-edged jet: real jets are a little rounded."""
SURFACE_PULL = Figure(
    8.0, 0.0, 40.0, "own derivation: 4 x surface tension over the width of ring or tube, Pa"
)
MIX_DEPTH = Figure(0.0, -0.004, 0.004, "judgement: place where bleed air meets fuel, above the fuel level, m")
SUPPLY = Figure(
    0.30, 0.20, 0.50, "from memory: a free tap lets by 0.2 to 0.4 L/min on a 125 to 250, over its air at full"
)
"""Most fuel that can flow into the bowl over the air at greatest power: about four times what is burnt."""
FILLING = 0.85
"""Share of the swept volume taken in at greatest power, only to scale the filter's loss (judgement)."""


def nominal(bike: Bike, setup: Setup, day: Day, *, idle_lift: Metre | None = None) -> Parameters:
    """Give the middle value of every flow parameter, in SI, for a bike in a setup on a day.

    The idle stop is set so that the engine idles at its book speed on a mild
    day at sea level: that is what a mechanic does by ear. ``idle_lift``, in m, is where it
    rests if that is known already: no jet, needle or screw changes it, nor the day.

    Source: common practice for the idle stop; the rest is the bike's own measures.
    """
    p = _without_stop(bike, setup, day)
    if idle_lift is not None:
        return replace(p, idle_lift=idle_lift)
    book = replace(p, **_day_fields(air.ISA_PRESSURE, air.ISA_TEMPERATURE, 0.0))
    return replace(p, idle_lift=idle_stop(book, bike.engine.idle_rpm.value))


def _day_fields(pressure: float, temperature: float, humidity: float) -> dict[str, Any]:
    vapour = float(air.vapour_fraction(pressure, temperature=temperature, humidity=humidity))
    moist = float(air.density(pressure, temperature=temperature, humidity=humidity))
    dry = float(air.dry_density(pressure, temperature=temperature, humidity=humidity))
    return {
        "ambient_pressure": pressure,
        "ambient_temperature": temperature,
        "gas_constant": float(air.gas_constant(vapour)),
        "air_density": moist,
        "dry_share": dry / moist,
    }


def _without_stop(bike: Bike, setup: Setup, day: Day) -> Parameters:
    engine, carb = bike.engine, bike.carb
    needle = setup.needle or carb.needle
    full_flow = (
        FILLING * engine.swept_volume.value * 1.2 * engine.peak_rpm.value / MINUTE / (engine.strokes / 2)
    )
    kind = {"valve": VALVE, "reed": REED, "piston port": PISTON_PORT}[engine.inlet]
    return Parameters(
        **_day_fields(day.pressure.value, day.temperature.value, day.humidity.value),
        kind=kind,
        swept_volume=engine.swept_volume.value,
        stroke_to_bore=engine.stroke_to_bore.value,
        rod_to_stroke=engine.rod_to_stroke.value,
        compression_ratio=engine.compression_ratio.value,
        valve_diameter=engine.valve_diameter.value,
        valve_lift=engine.valve_lift.value,
        inlet_opens=engine.inlet_opens_deg.value,
        inlet_shuts=engine.inlet_shuts_deg.value,
        transfer_opens=engine.transfer_opens_deg.value,
        back_pressure=BACK_PRESSURE.value if engine.strokes == 4 else 1.0,  # noqa: PLR2004
        pipe_suction=0.0 if engine.strokes == 4 else PIPE_SUCTION.value,  # noqa: PLR2004
        peak_rpm=engine.peak_rpm.value,
        inlet_length=engine.inlet_length.value,
        inlet_loss=INLET_LOSS.value,
        port_volume=engine.port_volume.value,
        port_heating=PORT_HEATING.value,
        filter_loss=FILTER_LOSS.value,
        full_flow=full_flow,
        leak_area=0.0,
        bore=carb.bore.value,
        full_lift=carb.full_lift.value,
        idle_lift=0.9 * MILLIMETRE,
        slide_discharge=FLAT_DISCHARGE.value if carb.slide == "flat" else 1.0,
        cutaway=_cutaway(setup),
        cutaway_share=CUTAWAY_SHARE.value,
        signal_gain=SIGNAL_GAIN.value * (FLAT_SIGNAL.value if carb.slide == "flat" else 1.0),
        signal_reach=SIGNAL_REACH.value,
        signal_floor=SIGNAL_FLOOR.value,
        reverse_share=REVERSE_SHARE.value,
        choke_shut=0.0,
        needle_jet_bore=carb.needle_jet_bore.value,
        needle_distances=tuple(station.distance.value for station in needle.stations),
        needle_diameters=tuple(station.diameter.value for station in needle.stations),
        needle_wear=0.0,
        needle_position=float(needle_mouth_position(bike, setup, 0.0)),
        ring_discharge=RING_DISCHARGE.value,
        main_area=float(
            round_area(_jet(setup.main, carb.main_scale, likely_main_bore(bike), part="main jet"))
        ),
        main_discharge=MAIN_DISCHARGE.value,
        main_air_area=float(round_area(carb.main_air_bore.value)),
        bleed_depth=carb.bleed_depth.value,
        slip=SLIP.value,
        air_joins_after_ring=1.0 if carb.needle_jet_kind == "primary" else 0.0,
        lip_height=carb.lip_height.value,
        level_drop=_level_drop(bike, setup),
        mix_depth=MIX_DEPTH.value,
        surface_pull=SURFACE_PULL.value,
        pilot_area=float(
            round_area(_jet(setup.pilot, carb.pilot_scale, likely_pilot_bore(bike), part="pilot jet"))
        ),
        pilot_discharge=1.0,
        pilot_air_area=float(round_area(carb.pilot_air_bore.value)),
        pilot_outlet_area=float(round_area(carb.pilot_outlet_bore.value)),
        screw_turns=setup.screw_turns,
        screw_area_per_turn=carb.screw_area_per_turn.value,
        screw_is_air=1.0 if carb.screw == "air" else 0.0,
        bypass_areas=tuple(float(round_area(hole.diameter.value)) for hole in carb.bypass),
        bypass_lifts=tuple(hole.uncovered_at.value for hole in carb.bypass),
        bypass_share=1.0,
        pilot_head=PILOT_MIX_HEIGHT.value,
        enrichener_area=0.0,
        enrichener_share=ENRICHENER_PULL.value,
        bowl_offset=0.0,
        vent_in_airbox=1.0 if carb.vent == "airbox" else 0.0,
        fuel_supply=SUPPLY.value * full_flow,
        **_fuel_fields(bike, day),
    )


def _fuel_fields(bike: Bike, day: Day) -> dict[str, Any]:
    state = fuel_state(
        bike.fuel.ethanol_share.value, temperature=day.temperature.value, oil_ratio=bike.fuel.oil_ratio
    )
    return {
        "fuel_density": float(state.density),
        "fuel_viscosity": float(state.viscosity),
        "air_per_fuel": float(state.air_per_fuel),
        "heating_value": float(state.heating_value),
    }


def _jet(stamp: str, scale: StampScale, likely: float, *, part: str) -> float:
    number = jet_number(stamp, part=part)
    if number is None:
        return likely
    return float(bore_by_flow(number) if scale == "flow" else bore_by_bore(number))


def _cutaway(setup: Setup) -> float:
    height = cutaway_height(setup.cutaway)
    return LIKELY_CUTAWAY.value if height is None else float(height)


def _level_drop(bike: Bike, setup: Setup) -> float:
    if setup.float_height_mm is None:
        return 0.0
    return float(bowl.level_drop(setup.float_height_mm * MILLIMETRE, bike.carb.float_height.value))
