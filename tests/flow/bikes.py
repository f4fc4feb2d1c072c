"""Ordinary bikes of all sizes, and random bikes around them, for the tests of the flow."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.measure import Measure
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.flow import air
from floatbowl.flow.breath import Grid, riding_line
from floatbowl.flow.engine import VALVE
from floatbowl.flow.nominal import _day_fields, nominal
from floatbowl.flow.parameters import Parameters
from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE, SQUARE_MILLIMETRE

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Size:
    """What one must know of a bike: strokes, swept volume, bore, speed of greatest power, kind of screw."""

    strokes: int
    volume_cc: float
    bore_mm: float
    peak_rpm: float
    screw: str
    inlet: str = ""

    def __str__(self) -> str:
        """Name the bike by its sizes, for the list of tests."""
        return f"{self.strokes}-stroke {self.volume_cc:.0f} cc {self.bore_mm:.0f} mm {self.screw}"


SIZES = (
    Size(4, 50, 17, 9000, "air"),
    Size(4, 72, 18, 9000, "fuel"),
    Size(4, 110, 20, 8500, "air"),
    Size(4, 124, 26, 9000, "fuel"),
    Size(4, 199, 28, 8000, "fuel"),
    Size(4, 230, 30, 8000, "air"),
    Size(4, 250, 34, 8800, "fuel"),
    Size(4, 450, 39, 8500, "fuel"),
    Size(2, 50, 19, 9500, "air"),
    Size(2, 65, 24, 11000, "air"),
    Size(2, 85, 28, 11000, "air"),
    Size(2, 125, 36, 11000, "air"),
    Size(2, 175, 30, 8000, "fuel", "piston port"),
    Size(2, 250, 38, 8200, "air"),
)
"""Fourteen bikes from 50 to 450 cc 17 to 39 mm: both strokes, both screws, valve, reed and piston port."""

MILD = Day(
    place="Low Meadow",
    height=0.0,
    temperature=Measure(288.15, 1.0),
    pressure=Measure(101325.0, 100.0),
    humidity=Measure(0.5, 0.1),
)
ORDINARY = Setup(number=1, main="?", pilot="?", clip_from_top=3, cutaway="2.5", screw_turns=1.5)

RUNG_OPENINGS = np.array([rung.opening for rung in RUNGS])
OPENED = np.array([0.0, 0.0625, 0.125, 0.1875, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0])


def bike_of(size: Size) -> Bike:
    """Make the bike of which only its size is known."""
    engine = {
        "strokes": size.strokes,
        "swept_volume": size.volume_cc * CUBIC_CENTIMETRE,
        "peak_rpm": size.peak_rpm,
    }
    carb = {"bore": size.bore_mm * MILLIMETRE, "screw": size.screw}
    inlet = {"inlet": size.inlet} if size.inlet else {}
    return assume_bike(name="Wren", what="", engine=engine | inlet, carb=carb, fuel={"ethanol_share": 0.0})


def ordinary(size: Size) -> Parameters:
    """Give the flow parameters of the bike of this size, ordinarily fitted, on a mild day."""
    return nominal(bike_of(size), ORDINARY, MILD)


def line(size: Size, openings: Array) -> Grid:
    """Give the riding line of the bike of this size."""
    return riding_line(bike_of(size), openings)


def in_air(p: Parameters, *, pressure: float, temperature: float) -> Parameters:
    """Give the same bike with the same idle stop in other, dry air."""
    return replace(p, **_day_fields(pressure, temperature, 0.0))


def at_height(p: Parameters, height: float) -> Parameters:
    """Give the same bike in the dry standard air of a height in metres."""
    return in_air(
        p,
        pressure=float(air.isa_pressure(height)),
        temperature=float(air.isa_temperature(height)),
    )


def unlike(p: Parameters, rng: np.random.Generator, count: int) -> Parameters:
    """Give ``count`` random plausible bikes around one: sizes, gains, heights and bleeds all differ."""

    def about(value: object, spread: float) -> Array:
        return np.asarray(np.asarray(value) * np.exp(spread * rng.standard_normal(count)))

    def between(low: float, high: float) -> Array:
        return rng.uniform(low, high, count)

    mm, mm2 = MILLIMETRE, SQUARE_MILLIMETRE
    ring = p.needle_jet_bore - np.asarray(p.needle_diameters)
    thinner = about(1.0, 0.15)
    return replace(
        p,
        inlet_length=about(p.inlet_length, 0.25),
        port_volume=about(p.port_volume, 0.25),
        inlet_loss=about(p.inlet_loss, 0.3),
        filter_loss=between(0.0, 1500.0),
        leak_area=np.maximum(0.0, between(-0.3, 0.3)) * mm2,
        idle_lift=np.asarray(p.idle_lift) + between(-0.1, 0.3) * mm,
        cutaway=between(1.0, 4.0) * mm,
        cutaway_share=between(0.3, 1.0),
        signal_gain=about(p.signal_gain, 0.22),
        signal_reach=between(0.18, 0.34),
        signal_floor=between(0.0, 0.10),
        reverse_share=between(0.0, 0.8),
        needle_diameters=tuple(p.needle_jet_bore - gap * thinner for gap in ring),
        needle_position=np.asarray(p.needle_position) + between(-2.0, 2.0) * mm,
        ring_discharge=between(0.55, 0.88),
        main_area=about(p.main_area, 0.12),
        main_air_area=between(0.05, 0.6) * mm2,
        bleed_depth=between(4.0, 14.0) * mm,
        slip=about(p.slip, 0.6),
        air_joins_after_ring=rng.integers(0, 2, count).astype(np.float64),
        lip_height=between(8.0, 20.0) * mm,
        level_drop=between(-3.0, 3.0) * mm,
        mix_depth=between(-3.0, 3.0) * mm,
        surface_pull=between(0.0, 30.0),
        pilot_area=about(p.pilot_area, 0.2),
        pilot_air_area=about(p.pilot_air_area, 0.25),
        pilot_outlet_area=about(p.pilot_outlet_area, 0.25),
        screw_turns=between(0.7, 3.0),
        bypass_share=between(0.3, 1.3),
        pilot_head=between(0.0, 10.0) * mm,
        bowl_offset=np.minimum(0.0, between(-200.0, 200.0)),
        enrichener_area=np.maximum(0.0, between(-0.2, 0.2)) * mm2,
        fuel_viscosity=about(p.fuel_viscosity, 0.2),
    )


def is_four_stroke(p: Parameters) -> bool:
    """Say whether the bike has valves."""
    return p.kind == VALVE
