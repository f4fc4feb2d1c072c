"""The engine as far as the carburettor feels it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.measure import Measure

Strokes = Literal[2, 4]
Inlet = Literal["valve", "reed", "piston port"]
Cooling = Literal["air", "liquid"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """A single-cylinder engine. Lengths in metres, volumes in m3, crank angles in degrees.

    For a two-stroke ``compression_ratio`` is that of the crankcase; the valve
    fields then hold the port: its diameter as a round hole of equal area, and
    the crank angles at which the piston opens and shuts it (piston port only).
    """

    strokes: Strokes
    inlet: Inlet
    cooling: Cooling
    swept_volume: Measure
    stroke_to_bore: Measure
    rod_to_stroke: Measure
    compression_ratio: Measure
    valve_diameter: Measure
    valve_lift: Measure
    inlet_opens_deg: Measure
    """Crank angle before top dead centre at which the inlet opens."""
    inlet_shuts_deg: Measure
    """Crank angle at which it shuts: after bottom (valve) or after top dead centre (piston port)."""
    transfer_opens_deg: Measure
    """Two-stroke: crank angle after top dead centre at which the transfers open."""
    inlet_length: Measure
    """Length of the air column that swings: mouth of the carburettor to the inlet port."""
    port_volume: Measure
    """Volume between slide and inlet valve, reed or piston."""
    idle_rpm: Measure
    peak_rpm: Measure
    """Engine speed of greatest power: the speed ridden at full opening."""
    exhaust: str
    air_filter: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuel:
    """What is in the tank. ``oil_ratio`` is petrol to oil by volume; 0 means no oil."""

    ethanol_share: Measure
    oil_ratio: float
