"""Lambda over throttle and speed, who supplied the fuel, and which part has the say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.flow import balance, bowl
from floatbowl.flow.balance import Fed, Part, Place
from floatbowl.flow.breath import NEEDLE_SHADOW, Breath, Grid, breathe, lift_at
from floatbowl.flow.choke import flap_hindrance
from floatbowl.flow.engine import VALVE, Out
from floatbowl.flow.holes import round_area, round_diameter
from floatbowl.flow.needle import needle_diameter, ring_area
from floatbowl.flow.pilot import screw_area, uncovered_share
from floatbowl.flow.slide import open_area, signal_per_flow, signal_ramp
from floatbowl.units import MINUTE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """The mixture. Every array is (draw, throttle, rpm), SI units.

    ``lam`` is infinite where no fuel comes. ``pull`` is the even pull that
    would draw the same fuel from the needle jet; ``pilot_pull`` that of the
    engine at the pilot outlet.
    """

    lam: Array
    main_fuel: Array
    pilot_fuel: Array
    air: Array
    pull: Array
    pilot_pull: Array

    @property
    def fuel(self) -> Array:
        """Give all the fuel, kg/s."""
        return self.main_fuel + self.pilot_fuel


def mixture(p: Parameters, grid: Grid, *, breath: Breath | None = None) -> Mixture:
    """Work out the mixture, in SI, for every draw of ``p`` at every place of ``grid``.

    ``breath`` is the air side if it is at hand already, with as many draws as
    ``p`` or one; otherwise the crank-angle model is run for each draw.

    Source: own derivation; lambda is oxygen-bearing air over fuel times the stoichiometric ratio.
    """
    if breath is None:
        breath = breathe(p, grid)
    places = _places(p, grid, breath)
    fed = balance.feed(breath.flows, places, _parts(p), _draws(p.ambient_pressure, p.draws))
    fuel = fed[..., Fed.MAIN] + fed[..., Fed.PILOT]
    oxygen = breath.air * _cube(p.dry_share)
    with np.errstate(divide="ignore"):
        lam = oxygen / (fuel * _cube(p.air_per_fuel))
    return Mixture(
        lam=lam,
        main_fuel=fed[..., Fed.MAIN],
        pilot_fuel=fed[..., Fed.PILOT],
        air=np.broadcast_to(breath.air, lam.shape),
        pull=fed[..., Fed.PULL],
        pilot_pull=places[..., Place.PILOT_PULL],
    )


def ring_at(p: Parameters, lift: Array) -> Array:
    """Give the plain area of the ring (draw, throttle) round the needle at each lift in m, m2.

    Source: own derivation, see ``flow.needle``.
    """
    along = lift + _column(p.needle_position)
    across = needle_diameter(
        along, [_column(x) for x in p.needle_distances], [_column(x) for x in p.needle_diameters]
    )
    return np.asarray(ring_area(_column(p.needle_jet_bore), across - _column(p.needle_wear)))


def _places(p: Parameters, grid: Grid, breath: Breath) -> Array:
    draws, (throttles, speeds) = p.draws, grid.rpm.shape
    lift = lift_at(p, grid.opening)
    bore = _column(p.bore)
    opening = lift / bore
    section = open_area(lift + _column(p.cutaway_share) * _column(p.cutaway), bore, NEEDLE_SHADOW * bore)
    gain = _column(p.signal_gain) * signal_ramp(opening, _column(p.signal_reach), _column(p.signal_floor))
    ring = np.maximum(ring_at(p, lift), 1e-12)
    outlet, covered = _pilot_holes(p, lift)
    drop = breath.table[..., Out.FILTER_DROP]
    surplus = bowl.bowl_surplus(drop, _cube(p.bowl_offset), p.vent_in_airbox)
    out = np.empty((draws, throttles, speeds, len(Place)))
    out[..., Place.SIGNAL] = np.asarray(signal_per_flow(section, gain, _column(p.air_density)))[:, :, None]
    out[..., Place.RING] = (_column(p.ring_discharge) * ring)[:, :, None]
    out[..., Place.RING_AREA] = ring[:, :, None]
    out[..., Place.SURPLUS] = surplus
    out[..., Place.PILOT_PULL] = breath.table[..., Out.PILOT_PULL] - drop + surplus
    out[..., Place.OUTLET] = outlet[:, :, None]
    out[..., Place.COVERED] = covered[:, :, None]
    out[..., Place.CYCLE_RATE] = grid.rpm / MINUTE / (2.0 if p.kind == VALVE else 1.0)
    return out


def _pilot_holes(p: Parameters, lift: Array) -> tuple[Array, Array]:
    """Give what of outlet and bypass holes feels the engine, and what still feels the air side."""
    outlet = _column(p.pilot_outlet_area)
    if not p.screw_is_air:
        outlet = np.asarray(screw_area(_column(p.screw_turns), _column(p.screw_area_per_turn), outlet))
    open_holes = outlet + np.zeros_like(lift)
    covered = np.zeros_like(lift)
    for area, at in zip(p.bypass_areas, p.bypass_lifts, strict=True):
        hole = _column(area) * _column(p.bypass_share)
        share = uncovered_share(lift, _column(at))
        open_holes = open_holes + hole * share
        covered = covered + hole * (1.0 - share)
    return open_holes, covered


def _parts(p: Parameters) -> Array:
    pilot_air = p.pilot_air_area
    if p.screw_is_air:
        pilot_air = screw_area(p.screw_turns, p.screw_area_per_turn, pilot_air)
    flap = flap_hindrance(round_area(p.bore), p.choke_shut)
    columns = {
        Part.REVERSE: p.reverse_share,
        Part.MAIN_AREA: p.main_area,
        Part.MAIN_BORE: round_diameter(p.main_area),
        Part.MAIN_SCALE: p.main_discharge,
        Part.MAIN_AIR: p.main_air_area,
        Part.BLEED_DEPTH: np.asarray(p.bleed_depth) - p.level_drop,
        Part.SLIP: p.slip,
        Part.LIP: np.asarray(p.lip_height) + p.level_drop,
        Part.MIX_DEPTH: np.asarray(p.mix_depth) + p.level_drop,
        Part.SURFACE_PULL: p.surface_pull,
        Part.PILOT_AREA: p.pilot_area,
        Part.PILOT_BORE: round_diameter(p.pilot_area),
        Part.PILOT_SCALE: p.pilot_discharge,
        Part.PILOT_AIR: pilot_air,
        Part.PILOT_HEAD: np.asarray(p.pilot_head) + p.level_drop,
        Part.ENRICHENER: p.enrichener_area,
        Part.ENRICHENER_SHARE: p.enrichener_share,
        Part.FUEL_DENSITY: p.fuel_density,
        Part.FUEL_VISCOSITY: p.fuel_viscosity,
        Part.AIR_DENSITY: p.air_density,
        Part.CHOKE_PULL: 1.0 / (2.0 * np.asarray(p.air_density) * flap**2),
        Part.PRIMARY: p.air_joins_after_ring,
    }
    out = np.empty((p.draws, len(Part)))
    for part, value in columns.items():
        out[:, part] = value
    return out


def _draws(value: object, draws: int) -> Array:
    return np.broadcast_to(np.asarray(value, dtype=np.float64), (draws,))


def _column(value: object) -> Array:
    return np.asarray(value, dtype=np.float64).reshape(-1, 1)


def _cube(value: object) -> Array:
    return np.asarray(value, dtype=np.float64).reshape(-1, 1, 1)
