"""The flow of thousands of likely bikes in one setup on one day, seen at the rungs that matter."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.lookup import Lookup
from floatbowl.belief.triangle import times_triangle
from floatbowl.belief.unknowns import (
    MODEL_TILT,
    MOST_FAULTS,
    RAN_WITHIN,
    SET_WRONG,
    SET_WRONG_FRESH,
    WANT_COMMON,
    WANT_OWN,
    Layout,
    Unknown,
    ailments_of,
    break_things,
    layout,
    model_root,
    own_errors,
    spread_over,
    unknowns_in,
    unknowns_of,
    wanted,
)
from floatbowl.bike.faults import Fault, faults_for
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.flow import transient
from floatbowl.flow.breath import AirTable, Breath, Grid, riding_line
from floatbowl.flow.mixture import Mixture, mixture
from floatbowl.flow.nominal import nominal
from floatbowl.signs.seen import Seen

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

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
ALL_RUNGS = tuple(range(len(RUNGS)))
LEAST_FUEL = 1e-4
"""Fuel over air below which a passage counts as dry."""
_LEAST_LOG, _MOST_LOG = np.log(0.2), np.log(6.0)
"""Bounds on lambda, so that a dry or drowned carburettor stays a number."""


@dataclass(slots=True)
class Stage:
    """One bike's likely selves: what all scenes share, the unknowns, the faults, the air tables by day."""

    bike: Bike
    unknowns: tuple[Unknown, ...]
    places: Layout
    faults: tuple[Fault, ...]
    root: Array
    ran: Ran
    first: tuple[Setup, Day | None]
    """The setup it was first ridden in, and the day, if it is known to have been ridden."""
    _air: dict[Day, AirTable] = field(default_factory=dict)
    _snap_air: dict[Day, AirTable] = field(default_factory=dict)
    _middle: dict[tuple[Setup, Day], Parameters] = field(default_factory=dict)
    _tables: dict[tuple[Setup, Day], Lookup] = field(default_factory=dict)
    _snap_tables: dict[tuple[Setup, Day], Lookup] = field(default_factory=dict)

    @classmethod
    def of(
        cls, bike: Bike, setup: Setup, *, ran_on: Day | None = None, others: tuple[Setup, ...] = ()
    ) -> Stage:
        """Set the stage for a bike; ``setup`` and ``others`` say what is not even stamped.

        With a day, the bike is known to have been ridden in ``setup`` on it: a bike that was ridden at all
        cannot be as far off as the measures alone would let it be.
        """
        unknowns = unknowns_of(bike, setup, others=others)
        places = layout(unknowns)
        stage = cls(
            bike=bike,
            unknowns=unknowns,
            places=places,
            faults=_felt_faults(bike),
            root=model_root(),
            ran=Ran.unknown(places.size),
            first=(setup, ran_on),
        )
        if ran_on is not None:
            stage.ran = Ran.about(stage, setup, ran_on)
        return stage

    def serves(self, setup: Setup, ran_on: Day, others: tuple[Setup, ...]) -> bool:
        """Say whether the stage would be the same if it were set anew."""
        return self.first == (setup, ran_on) and self.unknowns == unknowns_of(self.bike, setup, others=others)

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

    def snap_air(self, day: Day) -> AirTable:
        """Give the air table of what snaps pass beyond their rungs, see ``transient.way``; made once."""
        if day not in self._snap_air:
            p = self.middle(ANY_SETUP, day)
            knots = _knots(p, self.unknowns)
            self._snap_air[day] = AirTable.around(p, transient.way(self.grid), knots=knots)
        return self._snap_air[day]

    def middle(self, setup: Setup, day: Day) -> Parameters:
        """Give the middle bike in a setup on a day; worked out once."""
        if (setup, day) not in self._middle:
            known = next(iter(self._middle.values()), None)
            stop = None if known is None else float(known.idle_lift)
            self._middle[setup, day] = nominal(self.bike, setup, day, idle_lift=stop)
        return self._middle[setup, day]

    def strays(self, z: Array) -> Array:
        """Give each draw's model error, (draw, rung), in ln(fuel)."""
        return self._strays(self.ran.row(z))

    def wanted(self, z: Array) -> Array:
        """Give the lambda that each draw's engine wants, (draw, rung)."""
        return self._wanted(self.ran.row(z))

    def parameters(self, setup: Setup, day: Day, z: Array, fault: Whole) -> Parameters:
        """Give the flow parameters of every draw in one setup on one day; ``fault`` is (draw, 2)."""
        row = self.ran.row(z)
        return self._parameters(setup, day, row, fault, self._severity(row))

    def seen(  # noqa: PLR0913  (a scene is a setup, a day, and who plays)
        self,
        setup: Setup,
        day: Day,
        z: Array,
        fault: Whole,
        *,
        rungs: tuple[int, ...] = ALL_RUNGS,
        rpm: Mapping[int, float] | None = None,
        snaps: tuple[int, ...] = (),
        breath: Breath | None = None,
    ) -> Seen:
        """Give what each draw would let one see; only ``rungs`` (places in ``RUNGS``) are worked out.

        ``rpm`` gives another speed than the riding line's for some of them:
        the model error may tilt along speed. ``snaps``, among the rungs, are those
        from which the throttle is snapped. ``breath`` is what ``breathed`` gives of the
        same draws for the same rungs, if it is at hand: no setup changes it.
        """
        row = self.ran.row(z)
        severity = self._severity(row)
        p = self._parameters(setup, day, row, fault, severity)
        worked = self._worked(p, day, rungs, breath)
        scene = self._scene(day, row, fault, severity, worked, rungs=rungs, rpm=rpm or {})
        if not snaps:
            return scene
        return self._snapped(scene, row, worked, passed=self._passed(p, day), snaps=snaps)

    def breathed(self, setup: Setup, day: Day, z: Array, fault: Whole) -> Breath:
        """Give what each draw breathes at every rung."""
        return self.air(day).at(self.parameters(setup, day, z, fault))

    def glimpse(  # noqa: PLR0913  (as above)
        self,
        setup: Setup,
        day: Day,
        z: Array,
        fault: Whole,
        *,
        rungs: tuple[int, ...] = ALL_RUNGS,
        rpm: Mapping[int, float] | None = None,
        snaps: tuple[int, ...] = (),
    ) -> Seen:
        """Give what ``seen`` gives, looked up: some ten times sooner, and mostly within 0.02."""
        row = self.ran.row(z)
        severity = self._severity(row)
        fitted = own_errors(setup, self.unknowns, self.places, row)
        values = self._lookup(setup, day).at(fitted, fault, severity)
        scene = self._scene(day, row, fault, severity, values, rungs=rungs, rpm=rpm or {})
        if not snaps:
            return scene
        passed = self._snap_lookup(setup, day).at(fitted, fault, severity)
        return self._snapped(scene, row, values, passed=passed, snaps=snaps)

    def _lookup(self, setup: Setup, day: Day) -> Lookup:
        """Give the table of one setup on one day; made once."""
        key = (replace(setup, number=0), day)
        if key not in self._tables:
            self._tables[key] = self._table(setup, day, lambda p: self._worked(p, day, ALL_RUNGS))
        return self._tables[key]

    def _snap_lookup(self, setup: Setup, day: Day) -> Lookup:
        """Give the table of what snaps pass in one setup on one day; made once, where there is a snap."""
        key = (replace(setup, number=0), day)
        if key not in self._snap_tables:
            self._snap_tables[key] = self._table(setup, day, lambda p: self._passed(p, day))
        return self._snap_tables[key]

    def _table(self, setup: Setup, day: Day, run: Callable[[Parameters], Array]) -> Lookup:
        middle, spread = self.ran.middle_and_spread()
        # Rows that are looked up hold the errors of single jets already: the table is made around such a row.
        middle = own_errors(setup, self.unknowns, self.places, middle[None, :])[0]
        for part in self.places.jets.values():
            middle[part] = 0.0

        def worked(rows: Array, fault: Whole, severity: Array) -> Array:
            return run(self._parameters(setup, day, rows, fault, severity))

        return Lookup.of(worked, middle=middle, spread=spread, flow=self.places.flow, faults=len(self.faults))

    def _worked(self, p: Parameters, day: Day, rungs: tuple[int, ...], breath: Breath | None = None) -> Array:
        """Run the flow: (draw, value), see ``_Value``; rungs that are not asked for hold nan."""
        breath = breath or self.air(day).at(p, throttles=rungs)
        m = mixture(p, _part(self.grid, rungs), breath=breath)
        out = np.full((m.lam.shape[0], _Value.SIZE), np.nan)
        at = list(rungs)
        fed = _fed(p, m)
        for block, one in zip((_Value.MAIN, _Value.PILOT, _Value.OXYGEN), fed, strict=True):
            out[:, block][:, at] = one
        out[:, _Value.SHUT_AIR] = np.log(breath.air[:, 0, 0])
        out[:, _Value.SUPPLY] = np.log(p.fuel_supply)
        out[:, _Value.DROP] = p.level_drop
        return out

    def _passed(self, p: Parameters, day: Day) -> Array:
        """Run the flow at all that snaps pass beyond their rungs, (draw, value): blocks as of ``_fed``."""
        way = transient.way(self.grid)
        m = mixture(p, way, breath=self.snap_air(day).at(p))
        return np.concatenate(_fed(p, m), axis=1)

    def _snapped(
        self, scene: Seen, row: Array, values: Array, *, passed: Array, snaps: tuple[int, ...]
    ) -> Seen:
        """Give the scene with the error felt on snaps from some rungs; at the others the error itself."""
        way = transient.way(self.grid)
        main, pilot, oxygen = np.split(passed, 3, axis=1)
        log_lam = np.clip(oxygen - np.logaddexp(main, pilot), _LEAST_LOG, _MOST_LOG)
        want_here = np.log(self._wanted(row))
        want = _along(want_here, way.opening)
        faster = np.log(way.rpm / riding_line(self.bike, way.opening).rpm)[:, 0]
        strays = _along(self._strays(row), way.opening)
        strays += MODEL_TILT.value * row[:, [self.places.tilt]] * faster
        wanted = np.exp(_nodes(values[:, _Value.OXYGEN] - want_here, oxygen - want))
        off = _nodes(scene.error, want - log_lam + strays)
        starts = [place for place in snaps if OPENINGS[place] < 1.0]
        snap = scene.error.copy()
        snap[:, starts] = transient.snap_error(wanted[:, starts], off[:, starts], opening=OPENINGS[starts])
        return replace(scene, snap=snap)

    def _scene(  # noqa: PLR0913  (what was worked out, and for whom)
        self,
        day: Day,
        row: Array,
        fault: Whole,
        severity: Array,
        values: Array,
        *,
        rungs: tuple[int, ...],
        rpm: Mapping[int, float],
    ) -> Seen:
        """Put a scene together from what was worked out or looked up."""
        fuel = np.exp(values[:, _Value.MAIN]) + np.exp(values[:, _Value.PILOT])
        log_lam = np.clip(values[:, _Value.OXYGEN] - np.log(fuel), _LEAST_LOG, _MOST_LOG)
        full = log_lam - self._strays(row)
        speeds = self.grid.rpm[:, 0]
        for place, speed in rpm.items():
            full[:, place] -= MODEL_TILT.value * row[:, self.places.tilt] * np.log(speed / speeds[place])
        full[:, [k for k in ALL_RUNGS if k not in rungs]] = np.nan
        set_for = float(self.air(day).middle_air[0, 0])
        shut = np.exp(values[:, _Value.SHUT_AIR]) if 0 in rungs else np.zeros(len(row))
        return Seen(
            error=np.log(self._wanted(row)) - full,
            lam=np.exp(full),
            level_drop=values[:, _Value.DROP],
            extra_air=shut / set_for - 1.0,
            starved=np.minimum(values[:, [_Value.SUPPLY]] - np.log(fuel), 0.0),
            ailing=ailments_of(self.faults, fault, severity),
            habits=row[:, self.places.habits],
        )

    def _parameters(self, setup: Setup, day: Day, row: Array, fault: Whole, severity: Array) -> Parameters:
        fitted = own_errors(setup, self.unknowns, self.places, row)
        p = spread_over(self.middle(setup, day), unknowns_in(setup, self.unknowns), fitted)
        return _kept_physical(break_things(p, self.faults, fault, severity))

    def _severity(self, row: Array) -> Array:
        """Give how bad each draw's faults are, 0 to 1, (draw, 2)."""
        return np.clip(_share_below(row[:, self.places.severity]), 0.0, 1.0)

    def _wanted(self, row: Array) -> Array:
        moved = (
            WANT_COMMON.value * row[:, [self.places.want_common]]
            + WANT_OWN.value * row[:, self.places.want_own]
        )
        return np.asarray(wanted(self.bike.engine.strokes) * np.exp(moved))

    def _strays(self, row: Array) -> Array:
        return np.asarray(row[:, self.places.model] @ self.root.T)


class _Value:
    """Where each thing stands among the values that are worked out; all but the last are logarithms."""

    MAIN = slice(0, len(RUNGS))
    PILOT = slice(len(RUNGS), 2 * len(RUNGS))
    OXYGEN = slice(2 * len(RUNGS), 3 * len(RUNGS))
    SHUT_AIR = 3 * len(RUNGS)
    SUPPLY = SHUT_AIR + 1
    DROP = SHUT_AIR + 2
    SIZE = SHUT_AIR + 3


@dataclass(frozen=True, slots=True)
class Ran:
    """What a bike tells by having been ridden at all: a shift and a narrowing of the rows.

    The errors are taken as straight in the unknowns around the middle bike, so
    that a row of standard normal numbers stays what the crowd is made of.

    Source: own derivation, a normal law held against weak readings of it at the six rungs.
    """

    shift: Array
    root: Array

    @classmethod
    def unknown(cls, size: int) -> Ran:
        """Give what leaves every row as it is."""
        return cls(shift=np.zeros(size), root=np.eye(size))

    @classmethod
    def about(cls, stage: Stage, setup: Setup, day: Day) -> Ran:
        """Work it out for a bike that was ridden in a setup on a day, before anything broke."""
        size = stage.places.size
        rows = np.concatenate([np.zeros((1, size)), _STEP * np.eye(size), -_STEP * np.eye(size)])
        sound = np.full((len(rows), MOST_FAULTS), -1)
        error = stage.seen(setup, day, rows, sound).error
        slope = (error[1 : size + 1] - error[size + 1 :]).T / (2.0 * _STEP)
        weighed = np.linalg.solve(_off_as_found(stage, setup, day), slope)
        cover = np.linalg.inv(np.eye(size) + slope.T @ weighed)
        return cls(
            shift=-cover @ (weighed.T @ error[0]),
            root=np.asarray(np.linalg.cholesky(cover)),
        )

    def middle_and_spread(self) -> tuple[Array, Array]:
        """Give the middle of every unknown and its standard deviation, (unknown,)."""
        return self.shift, np.sqrt((self.root**2).sum(axis=1))

    def row(self, z: Array) -> Array:
        """Give the unknowns of every row of standard normal numbers, (draw, unknown)."""
        return np.asarray(self.shift + times_triangle(np.ascontiguousarray(z), self.root))


def _off_as_found(stage: Stage, setup: Setup, day: Day) -> Array:
    """Give the covariance (rung, rung) of the error of a bike that runs, before its signs are heard.

    With the right parts it would be nearly right everywhere; some of its parts are not the right ones. What a
    wrong part does at each rung is worked out on the middle bike.
    """
    p = stage.parameters(setup, day, np.zeros((1, stage.places.size)), np.full((1, MOST_FAULTS), -1))
    further = SET_WRONG_FRESH.value if "fresh replacement" in stage.bike.story else 1.0
    breath = stage.air(day).at(p)
    here = np.log(mixture(p, stage.grid, breath=breath).lam[0, :, 0])
    cover = np.diag([figure.value**2 for figure in RAN_WITHIN])
    for field_, how, figure in SET_WRONG:
        off = further * figure.value
        value = np.asarray(getattr(p, field_))
        moved = value * np.exp(off) if how == "times" else value + off
        wrong = replace(p, **{field_: moved})  # type: ignore[arg-type]
        away = here - np.log(mixture(wrong, stage.grid, breath=breath).lam[0, :, 0])
        cover += np.outer(away, away)
    return cover


_STEP = 0.7
"""Spreads to each side over which an unknown's slope is taken: about where its draws lie (judgement)."""


def _felt_faults(bike: Bike) -> tuple[Fault, ...]:
    """Give the faults that can change anything: air that joins after the needle's ring draws no fuel."""
    silent = {"main air jet blocked"} if bike.carb.needle_jet_kind == "primary" else set()
    faults = faults_for(strokes=bike.engine.strokes, choke=bike.carb.choke)
    return tuple(fault for fault in faults if fault.key not in silent)


def _fed(p: Parameters, m: Mixture) -> tuple[Array, Array, Array]:
    """Give the logarithms of main fuel, pilot fuel, and fuel that would burn all the air, (draw, place)."""
    least = LEAST_FUEL * m.air[:, :, 0]
    oxygen = m.air[:, :, 0] * np.reshape(p.dry_share / np.asarray(p.air_per_fuel), (-1, 1))
    main, pilot = (np.maximum(fuel[:, :, 0], least) for fuel in (m.main_fuel, m.pilot_fuel))
    return np.log(main), np.log(pilot), np.log(oxygen)


def _nodes(held: Array, passed: Array) -> Array:
    """Put what holds at the rungs and what snaps pass side by side: (draw, rung but the last, node)."""
    middle, end = np.split(passed, 2, axis=1)
    return np.stack([held[:, :-1], middle, end], axis=-1)


def _along(at_rungs: Array, opening: Array) -> Array:
    """Give what is known at the rungs, (draw, rung), at openings between them, by straight lines."""
    counts = np.stack([np.interp(opening, OPENINGS, one) for one in np.eye(len(RUNGS))])
    return np.asarray(at_rungs @ counts)


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
