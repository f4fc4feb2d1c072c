"""All numbers the flow needs, one field each: a plain number, or one for each draw."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from floatbowl.units import (
    CubicMetre,
    JoulePerKg,
    JoulePerKgKelvin,
    Kelvin,
    KgPerCubicMetre,
    KgPerSecond,
    Metre,
    Pascal,
    PascalSecond,
    Ratio,
    Real,
    SquareMetre,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameters:
    """One bike in one setup on one day, ready for the sums. SI units; crank angles in degrees.

    Every field is a number or an array (draw,); the needle's stations and the
    bypass holes are tuples of such. Faults and unknowns are changes to these
    fields, made with ``dataclasses.replace``.
    """

    # The air.
    ambient_pressure: Pascal
    ambient_temperature: Kelvin
    gas_constant: JoulePerKgKelvin
    air_density: KgPerCubicMetre
    dry_share: Ratio
    """Share of the air by mass that carries oxygen."""
    # The engine.
    kind: float
    swept_volume: CubicMetre
    stroke_to_bore: Ratio
    rod_to_stroke: Ratio
    compression_ratio: Ratio
    valve_diameter: Metre
    valve_lift: Metre
    inlet_opens: Real
    inlet_shuts: Real
    transfer_opens: Real
    back_pressure: Ratio
    """Exhaust pressure over ambient: when the inlet opens, or while the transfers are open."""
    pipe_suction: Ratio
    """Two-stroke: how far below ambient the pipe pulls at the speed it is tuned to, as a share of ambient."""
    peak_rpm: Real
    inlet_length: Metre
    inlet_loss: Ratio
    port_volume: CubicMetre
    port_heating: Kelvin
    filter_loss: Pascal
    """Fall across the filter at ``full_flow`` in the air of the standard sea level."""
    full_flow: KgPerSecond
    """Air the engine takes at full opening and greatest power, roughly: only scales ``filter_loss``."""
    leak_area: SquareMetre
    """Effective area of a leak behind the carburettor."""
    # The slide.
    bore: Metre
    full_lift: Metre
    idle_lift: Metre
    slide_discharge: Ratio
    """Factor on the slide's discharge coefficient."""
    cutaway: Metre
    cutaway_share: Ratio
    signal_gain: Ratio
    signal_reach: Ratio
    signal_floor: Ratio
    reverse_share: Ratio
    choke_shut: Ratio
    """How far a choke flap is shut, 0 to 1."""
    # Needle, needle jet, main jet.
    needle_jet_bore: Metre
    needle_distances: tuple[Real, ...]
    needle_diameters: tuple[Real, ...]
    needle_wear: Metre
    """How much thinner the needle is than its stations say."""
    needle_position: Metre
    """Distance from the needle's blunt end at the needle jet's mouth when the slide stands on the floor."""
    ring_discharge: Ratio
    main_area: SquareMetre
    main_discharge: Ratio
    main_air_area: SquareMetre
    bleed_depth: Metre
    slip: Ratio
    air_joins_after_ring: Ratio
    """1 for a needle jet whose air joins above the ring, else 0."""
    lip_height: Metre
    level_drop: Metre
    """How far the fuel stands below its book level: every height over the fuel grows by it."""
    mix_depth: Metre
    surface_pull: Pascal
    # Pilot, choke, bowl.
    pilot_area: SquareMetre
    pilot_discharge: Ratio
    pilot_air_area: SquareMetre
    pilot_outlet_area: SquareMetre
    screw_turns: Ratio
    screw_area_per_turn: SquareMetre
    screw_is_air: float
    bypass_areas: tuple[Real, ...]
    bypass_lifts: tuple[Real, ...]
    bypass_share: Ratio
    """Factor on all bypass holes: below 1 when they are blocked."""
    pilot_head: Metre
    enrichener_area: SquareMetre
    enrichener_share: Ratio
    bowl_offset: Pascal
    vent_in_airbox: float
    fuel_supply: KgPerSecond
    """Most fuel that tank, tap and float valve let into the bowl, held."""
    # The fuel.
    fuel_density: KgPerCubicMetre
    fuel_viscosity: PascalSecond
    air_per_fuel: Ratio
    heating_value: JoulePerKg

    @property
    def draws(self) -> int:
        """Give how many draws the arrays hold; 1 when all is plain numbers."""
        return max(_length(getattr(self, field.name)) for field in fields(self))


def _length(value: object) -> int:
    if isinstance(value, tuple):
        return max((_length(item) for item in value), default=1)
    return int(np.size(value)) if isinstance(value, np.ndarray) else 1
