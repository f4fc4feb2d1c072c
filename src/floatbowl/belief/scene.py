"""The flow of thousands of likely bikes in one setup on one day, seen at the rungs that matter."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.unknowns import (
    MODEL_TILT,
    WANT_COMMON,
    WANT_OWN,
    Layout,
    Unknown,
    ailments_of,
    break_things,
    layout,
    model_root,
    spread_over,
    unknowns_in,
    unknowns_of,
    wanted,
)
from floatbowl.bike.faults import Fault, faults_for
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.flow import bowl
from floatbowl.flow.breath import AirTable, Grid, riding_line
from floatbowl.flow.mixture import mixture
from floatbowl.flow.nominal import nominal
from floatbowl.signs.seen import Seen

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from floatbowl.bike.bike import Bike
    from floatbowl.bike.day import Day
    from floatbowl.flow.parameters import Parameters

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

OPENINGS = np.array([rung.opening for rung in RUNGS])
ANY_SETUP = Setup(number=0, main="?", pilot="?", clip_from_top=1, cutaway="?", screw_turns=1.5)
"""A setup for the air side, which does not feel one."""
_WIDE = (-2.6, -1.3, 0.0, 1.3, 2.6)
_LEAKS = np.array([0.0, 0.03, 0.08, 0.2, 0.5, 1.2, 2.6, 4.5]) * 1e-6
_DROPS = np.array([0.0, 60.0, 120.0, 250.0, 500.0, 1000.0, 2000.0, 3500.0])
_SHUT = np.array([0.0, 0.5, 0.75, 0.9])
_LIFTS = np.array([0.55, 0.75, 1.0, 1.3, 1.7, 2.3, 3.2])
_LEAST_LAMBDA, _MOST_LAMBDA = 0.2, 6.0
"""Bounds on lambda, so that a dry or drowned carburettor stays a number."""


@dataclass(slots=True)
class Stage:
    """One bike's likely selves: what all scenes share, the unknowns, the faults, the air tables by day."""

    bike: Bike
    unknowns: tuple[Unknown, ...]
    places: Layout
    faults: tuple[Fault, ...]
    root: Array
    _air: dict[Day, AirTable] = field(default_factory=dict)
    _middle: dict[tuple[Setup, Day], Parameters] = field(default_factory=dict)

    @classmethod
    def of(cls, bike: Bike, setup: Setup) -> Stage:
        """Set the stage for a bike; ``setup`` says what is not even stamped."""
        unknowns = unknowns_of(bike, setup)
        return cls(
            bike=bike,
            unknowns=unknowns,
            places=layout(unknowns),
            faults=_felt_faults(bike),
            root=model_root(),
        )

    @property
    def grid(self) -> Grid:
        """Give the rungs along the riding line."""
        return riding_line(self.bike, OPENINGS)

    def air(self, day: Day) -> AirTable:
        """Give the air table of a day; made once."""
        if day not in self._air:
            p = self.middle(ANY_SETUP, day)
            self._air[day] = AirTable.around(p, self.grid, knots=_knots(p, self.unknowns))
        return self._air[day]

    def middle(self, setup: Setup, day: Day) -> Parameters:
        """Give the middle bike in a setup on a day; worked out once."""
        if (setup, day) not in self._middle:
            self._middle[setup, day] = nominal(self.bike, setup, day)
        return self._middle[setup, day]

    def wanted(self, z: Array) -> Array:
        """Give the lambda that each draw's engine wants, (draw, rung)."""
        moved = (
            WANT_COMMON.value * z[:, [self.places.want_common]] + WANT_OWN.value * z[:, self.places.want_own]
        )
        return np.asarray(wanted(self.bike.engine.strokes) * np.exp(moved))

    def strays(self, z: Array) -> Array:
        """Give each draw's model error, (draw, rung), in ln(fuel)."""
        return np.asarray(z[:, self.places.model] @ self.root.T)

    def parameters(self, setup: Setup, day: Day, z: Array, fault: Whole) -> Parameters:
        """Give the flow parameters of every draw in one setup on one day."""
        p = spread_over(self.middle(setup, day), unknowns_in(setup, self.unknowns), z)
        return _kept_physical(break_things(p, self.faults, fault, self._severity(z)))

    def _severity(self, z: Array) -> Array:
        """Give how bad each draw's faults are, 0 to 1, (draw, 2)."""
        return np.clip(_share_below(z[:, self.places.severity]), 0.0, 1.0)

    def seen(  # noqa: PLR0913  (a scene is a setup, a day, and who plays)
        self,
        setup: Setup,
        day: Day,
        z: Array,
        fault: Whole,
        *,
        rungs: tuple[int, ...] = tuple(range(len(RUNGS))),
        rpm: Mapping[int, float] | None = None,
    ) -> Seen:
        """Give what each draw would let one see; only ``rungs`` (places in ``RUNGS``) are worked out.

        ``rpm`` gives another speed than the riding line's for some of them:
        the model error may tilt along speed.
        """
        p = self.parameters(setup, day, z, fault)
        grid = _part(self.grid, rungs)
        breath = self.air(day).at(p, throttles=rungs)
        m = mixture(p, grid, breath=breath)
        lam = np.clip(m.lam[:, :, 0], _LEAST_LAMBDA, _MOST_LAMBDA)
        log_lam = np.log(lam) - self.strays(z)[:, list(rungs)]
        for place, speed in (rpm or {}).items():
            at = rungs.index(place)
            log_lam[:, at] -= MODEL_TILT.value * z[:, self.places.tilt] * np.log(speed / grid.rpm[at, 0])
        full = np.full((z.shape[0], len(RUNGS)), np.nan)
        full[:, list(rungs)] = log_lam
        error = np.log(self.wanted(z)) - full
        shut = breath.air[:, 0, 0] if rungs[0] == 0 else np.zeros(z.shape[0])
        set_for = float(self.air(day).middle_air[0, 0])
        drop = np.broadcast_to(np.asarray(p.level_drop, dtype=np.float64), (z.shape[0],))
        lacks = np.zeros_like(full)
        lacks[:, list(rungs)] = bowl.starved(m.fuel[:, :, 0], np.reshape(p.fuel_supply, (-1, 1)))
        return Seen(
            error=error,
            lam=np.exp(full),
            level_drop=drop,
            extra_air=shut / set_for - 1.0,
            starved=lacks,
            ailing=ailments_of(self.faults, fault, self._severity(z)),
        )


def _felt_faults(bike: Bike) -> tuple[Fault, ...]:
    """Give the faults that can change anything: air that joins after the needle's ring draws no fuel."""
    silent = {"main air jet blocked"} if bike.carb.needle_jet_kind == "primary" else set()
    faults = faults_for(strokes=bike.engine.strokes, choke=bike.carb.choke)
    return tuple(fault for fault in faults if fault.key not in silent)


def _part(grid: Grid, rungs: tuple[int, ...]) -> Grid:
    return Grid(opening=grid.opening[list(rungs)], rpm=grid.rpm[list(rungs)])


def _knots(p: Parameters, unknowns: tuple[Unknown, ...]) -> dict[str, Array]:
    """Give where to run the air side: wide enough for every unknown and every fault."""
    knots = {
        "leak_area": _LEAKS,
        "filter_loss": _DROPS,
        "idle_lift": _LIFTS * float(p.idle_lift),
        "choke_shut": _SHUT,
    }
    for unknown in unknowns:
        if unknown.field in {"inlet_length", "port_volume", "inlet_loss"}:
            middle = float(getattr(p, unknown.field))
            knots[unknown.field] = middle * np.exp(unknown.spread * np.array(_WIDE))
        if unknown.field in {"back_pressure", "pipe_suction"}:
            knots[unknown.field] = float(getattr(p, unknown.field)) + unknown.spread * np.array(_WIDE)
    return knots


def _kept_physical(p: Parameters) -> Parameters:
    """Hold shares between nothing and all."""
    return replace(
        p,
        cutaway=np.maximum(p.cutaway, 0.0),
        cutaway_share=np.clip(p.cutaway_share, 0.1, 1.2),
        reverse_share=np.clip(p.reverse_share, 0.0, 1.0),
        bleed_depth=np.maximum(p.bleed_depth, 0.0005),
    )


def _share_below(z: Array) -> Array:
    """Give the share of a standard normal below each number.

    Within 0.0004 by the hyperbolic tangent form (from memory); it only spreads
    how bad a fault is.
    """
    return np.asarray(0.5 * (1.0 + np.tanh(0.7978845608 * (z + 0.044715 * z**3))))
