"""The two fuel networks written once more in plain Python and solved by bracketing, slowly and surely.

The equations are those of ``docs/model/balance.md``. Nothing of the product's
kernel is used but the closed formula for a jet, which has its own tests.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from floatbowl.flow import holes, main_jet, needle, pilot
from floatbowl.flow.balance import Part, Place
from floatbowl.units import GRAVITY

Array = NDArray[np.float64]

WELL_INERTIA = 6000.0
"""Length over area of jet and well, 1/m, as docs/model/balance.md has it."""


@dataclass(frozen=True)
class Network:
    """One place of one draw: the pulse, and what the kernel is told."""

    flows: Array
    place: Array
    part: Array

    def here(self, column: Place) -> float:
        """Give a number that differs along throttle and speed."""
        return float(self.place[column])

    def of(self, column: Part) -> float:
        """Give a number of the draw."""
        return float(self.part[column])

    def jet(self, area: float, drop: float, length: float, scale: float) -> float:
        """Give the fuel through a round jet of this area."""
        if drop <= 0.0 or area <= 0.0:
            return 0.0
        return scale * float(
            holes.through_short_tube(
                float(holes.round_diameter(area)),
                length_over_bore=length,
                drop=drop,
                density=self.of(Part.FUEL_DENSITY),
                viscosity=self.of(Part.FUEL_VISCOSITY),
            )
        )

    def air(self, area: float, pull: float) -> float:
        """Give the air through a bleed of this effective area, from the carburettor's mouth."""
        drop = max(pull - self.here(Place.SURPLUS), 0.0)
        return area * math.sqrt(2.0 * self.of(Part.AIR_DENSITY) * drop)

    def loss(self, fuel: float, air: float, area: float) -> float:
        """Give the pressure that a two-phase stream at a given slip loses through an effective area."""
        slip = self.of(Part.SLIP)
        by_volume = air / self.of(Part.AIR_DENSITY) + slip * fuel / self.of(Part.FUEL_DENSITY)
        return by_volume * (air + fuel / slip) / (2.0 * area**2)

    def weight(self, height: float) -> float:
        """Give the pressure under a column of plain fuel."""
        return self.of(Part.FUEL_DENSITY) * GRAVITY * height

    def pulls(self) -> Array:
        """Give the pull at the needle jet in each slice of the pulse."""
        square = self.flows**2
        into = (self.here(Place.SIGNAL) + self.of(Part.CHOKE_PULL)) * square
        back = (self.of(Part.REVERSE) * self.here(Place.SIGNAL) - self.of(Part.CHOKE_PULL)) * square
        return np.asarray(np.where(self.flows >= 0.0, into, back) + self.here(Place.SURPLUS))

    def well(self, pull: float) -> tuple[float, float]:
        """Give fuel and bleed air of the well at a pull below the bowl."""
        drop = pull - self.weight(self.of(Part.MIX_DEPTH))
        fuel = self.jet(self.of(Part.MAIN_AREA), drop, main_jet.MAIN_LENGTH.value, self.of(Part.MAIN_SCALE))
        share = main_jet.bleed_uncovered(
            pull, self.of(Part.BLEED_DEPTH), main_jet.BLEED_SPAN.value, self.of(Part.FUEL_DENSITY)
        )
        bleed = pilot.AIR_JET_DISCHARGE.value * self.of(Part.MAIN_AIR) * float(share)
        return fuel, self.air(bleed, pull)

    def main(self) -> float:
        """Give the fuel of the needle jet, kg/s."""
        lift = self.of(Part.LIP) - self.of(Part.MIX_DEPTH)
        below = self.weight(self.of(Part.MIX_DEPTH))
        column, q, fuel = self.of(Part.FUEL_DENSITY), 0.75, 0.0
        for _ in range(200):
            head = column * GRAVITY * lift + below + self.of(Part.SURFACE_PULL)
            net = np.maximum(self.pulls() - head, 0.0)
            drive = float(np.mean(net**q) ** (1.0 / q))
            if drive <= 1e-3:
                return 0.0
            pull = self._balanced(drive + below)
            fuel, air = self.well(pull)
            lag = (
                (WELL_INERTIA + needle.RING_LENGTH.value / self.here(Place.RING_AREA)) * fuel / (2.0 * drive)
            )
            swing = 1.5 * 2.0 * math.pi * self.here(Place.CYCLE_RATE) * lag
            last, q = (column, q), 0.5 + 0.5 * swing / (1.0 + swing)
            column = self._column(fuel, air)
            if abs(column - last[0]) < 1e-6 and abs(q - last[1]) < 1e-9:
                break
        return fuel

    def _balanced(self, drive: float) -> float:
        def excess(pull: float) -> float:
            fuel, air = self.well(pull)
            if self.of(Part.PRIMARY):
                air = 0.0
            return self.loss(fuel, air, self.here(Place.RING)) + pull - drive

        lowest = min(0.0, self.weight(self.of(Part.MIX_DEPTH)), self.here(Place.SURPLUS))
        return float(brentq(excess, lowest, drive, xtol=1e-10, rtol=1e-14))

    def _column(self, fuel: float, air: float) -> float:
        """Give the density of the running column between mixing place and mouth."""
        fuel_density, air_density = self.of(Part.FUEL_DENSITY), self.of(Part.AIR_DENSITY)
        if air <= 0.0 or self.of(Part.PRIMARY):
            return fuel_density
        by_air, by_fuel = air / air_density, self.of(Part.SLIP) * fuel / fuel_density
        return (by_air * air_density + by_fuel * fuel_density) / (by_air + by_fuel)

    def pilot(self, ambient: float) -> float:
        """Give the fuel of pilot jet and enrichener, kg/s."""
        engine = min(self.here(Place.PILOT_PULL), 0.45 * ambient)
        below = self.weight(self.of(Part.PILOT_HEAD))
        inlets = pilot.AIR_JET_DISCHARGE.value * self.of(Part.PILOT_AIR)
        inlets += pilot.OUTLET_DISCHARGE.value * self.here(Place.COVERED)
        outlets = pilot.OUTLET_DISCHARGE.value * self.here(Place.OUTLET)

        def fuel_at(pull: float) -> float:
            scale = self.of(Part.PILOT_SCALE)
            return self.jet(self.of(Part.PILOT_AREA), pull - below, main_jet.PILOT_LENGTH.value, scale)

        def excess(pull: float) -> float:
            return self.loss(fuel_at(pull), self.air(inlets, pull), outlets) + pull - engine

        fuel = 0.0
        if outlets > 1e-12 and engine > 1e-3:
            lowest = min(0.0, below, self.here(Place.SURPLUS))
            fuel = fuel_at(float(brentq(excess, lowest, engine, xtol=1e-10, rtol=1e-14)))
        felt = self.here(Place.PILOT_PULL) * self.of(Part.ENRICHENER_SHARE) - below
        return fuel + self.jet(self.of(Part.ENRICHENER), felt, main_jet.PILOT_LENGTH.value, 1.0)
