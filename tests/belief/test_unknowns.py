"""What the signs may move: the middle is the nominal bike, everything moves something, measures narrow."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from floatbowl.belief.believe import believe
from floatbowl.belief.scene import Stage
from floatbowl.belief.unknowns import (
    MOST_FAULTS,
    ailments_of,
    break_things,
    layout,
    model_root,
    spread_over,
    unknowns_of,
)
from floatbowl.bike.bike import Bike, assumptions
from floatbowl.bike.faults import FAULTS, Fault
from floatbowl.bike.measure import Measure
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.flow.breath import breathe
from floatbowl.flow.mixture import mixture
from floatbowl.flow.nominal import nominal
from floatbowl.flow.parameters import Parameters
from tests.belief.simulated import SOUND, Ground, demo_bike

Array = NDArray[np.float64]
NAMES = ("magpie", "thistle", "otter")
OTTER = demo_bike("otter")


@pytest.fixture(scope="module", params=NAMES)
def ground(request: pytest.FixtureRequest) -> Ground:
    """Give each bike of the demo in turn."""
    return demo_bike(request.param)


@pytest.fixture(scope="module")
def stage(ground: Ground) -> Stage:
    """Give its stage."""
    return Stage.of(ground.bike, ground.setup)


def moved_by(stage: Stage, ground: Ground, column: int, by: float) -> Array:
    """Give the error at each rung with one number of the row moved."""
    row = np.zeros((1, stage.places.size))
    row[0, column] = by
    return np.asarray(stage.seen(ground.setup, ground.day, row, SOUND[None, :]).error[0])


def test_the_middle_bike_is_the_nominal_one(ground: Ground, stage: Stage) -> None:
    """A row of zeros is the nominal bike, in every flow parameter, and wants what such an engine wants."""
    p = nominal(ground.bike, ground.setup, ground.day)
    zeros = np.zeros((1, stage.places.size))
    q = stage.parameters(ground.setup, ground.day, zeros, SOUND[None, :])
    for field in fields(p):
        one, other = getattr(p, field.name), getattr(q, field.name)
        assert np.allclose(np.asarray(one, dtype=float), np.asarray(other, dtype=float).ravel()), field.name
    seen = stage.seen(ground.setup, ground.day, zeros, SOUND[None, :])
    lam = mixture(p, stage.grid, breath=breathe(p, stage.grid)).lam[0, :, 0]
    # The air table holds the middle bike itself; its leak of zero lies on a knot, its other axes on theirs.
    assert seen.lam[0] == pytest.approx(lam, rel=2e-3)


def test_every_unknown_moves_something(ground: Ground, stage: Stage) -> None:
    """Each number of the row moves the error somewhere, or tilts it, or is a fault's severity or a habit."""
    still = moved_by(stage, ground, 0, 0.0)
    # A primary needle jet takes its air after the ring: by our sums that air draws no fuel.
    places = stage.places
    severity = set(range(places.size)[places.severity])
    beside = set(range(places.habits.start, places.size))  # habits of the signs, and jets that are not fitted
    silent = {"main_air_area", "bleed_depth"} if ground.bike.carb.needle_jet_kind == "primary" else set()
    skipped = {k for k, unknown in enumerate(stage.unknowns) if unknown.field in silent}
    for column in set(range(places.size)) - skipped - severity - beside - {places.tilt}:
        both = [np.abs(moved_by(stage, ground, column, by) - still).max() for by in (-1.5, 1.5)]
        assert max(both) > 1e-5, column


def test_severity_makes_a_fault_worse(ground: Ground, stage: Stage) -> None:
    """Each fault moves the mixture, the air at idle, the supply, or what ails it, the more the worse it is.

    Story: a main air jet was suspected where air joins after the ring, though it could change nothing there;
    no sign could ever clear it.
    """
    rows = np.zeros((5, stage.places.size))
    for slot in range(MOST_FAULTS):
        rows[:, range(stage.places.size)[stage.places.severity][slot]] = np.linspace(-2.5, 2.5, 5)
        for kind, fault in enumerate(stage.faults):
            mild_to_bad = felt(stage, ground, rows, kind=kind, slot=slot)
            if _is_worst_when_low(fault):
                mild_to_bad = mild_to_bad[::-1]
            assert mild_to_bad.max() > 0.02, fault.key
            # A wrong needle is wrong to either side: there is no worse end.
            assert fault.key == "wrong needle" or mild_to_bad[-1] >= mild_to_bad[0], fault.key


def felt(stage: Stage, ground: Ground, rows: Array, *, kind: int, slot: int) -> Array:
    """Give how far rows with one fault in one slot are from a sound bike, in all that can be felt."""
    fault = np.full((len(rows), MOST_FAULTS), -1)
    sound = stage.seen(ground.setup, ground.day, rows, fault)
    fault[:, slot] = kind
    broken = stage.seen(ground.setup, ground.day, rows, fault)
    away = np.abs(broken.error - sound.error).max(axis=1) + np.abs(broken.extra_air - sound.extra_air)
    assert broken.starved is not None
    assert sound.starved is not None
    away += np.abs(broken.starved - sound.starved).max(axis=1)
    return np.asarray(away + sum(broken.ailing.values(), np.zeros(len(rows))))


def _is_worst_when_low(fault: Fault) -> bool:
    """Say whether the low end of its change is further from nothing than its high end."""
    if not fault.changes:
        return False
    first = fault.changes[0]
    if first.how == "plus":
        return abs(first.low) > abs(first.high)
    return abs(math.log(max(first.low, 1e-9))) > abs(math.log(first.high))


@pytest.mark.parametrize("fault", [fault for fault in FAULTS if fault.changes and fault.felt])
def test_what_is_worse_is_felt_more(fault: Fault) -> None:
    """Story: a float that sank furthest dripped least: its level fell where its dripping rose."""
    assert not _is_worst_when_low(fault)
    assert all(felt.low <= felt.high for felt in fault.felt)


@given(st.integers(0, len(FAULTS) - 1), st.floats(0.0, 1.0), st.integers(0, 1))
def test_a_fault_stays_within_its_range(kind: int, severity: float, slot: int) -> None:
    """However bad it is, a fault's change lies between its low and its high, and nothing else moves."""
    p = nominal(OTTER.bike, OTTER.setup, OTTER.day)
    which, bad = np.full((2, MOST_FAULTS), -1), np.full((2, MOST_FAULTS), 0.5)
    which[0, slot], bad[0, slot] = kind, severity
    broken = break_things(p, FAULTS, which, bad)
    for change in FAULTS[kind].changes:
        was, (now, sound) = getattr(p, change.parameter), np.asarray(getattr(broken, change.parameter))
        amount = now / was if change.how == "times" else now - was
        low, high = sorted((change.low, change.high))
        assert low - 1e-12 <= amount <= high + 1e-12
        assert sound == pytest.approx(was)
    touched = {change.parameter for change in FAULTS[kind].changes}
    assert all(getattr(p, f.name) is getattr(broken, f.name) for f in fields(p) if f.name not in touched)


@given(
    st.integers(0, len(FAULTS) - 1), st.integers(0, len(FAULTS) - 1), st.floats(0.0, 1.0), st.floats(0.0, 1.0)
)
def test_two_faults_do_what_each_does(one: int, other: int, bad: float, worse: float) -> None:
    """A pair changes each parameter as first the one and then the other would, in either order."""
    p = nominal(OTTER.bike, OTTER.setup, OTTER.day)

    def alone(p: Parameters, kind: int, severity: float) -> Parameters:
        return break_things(p, FAULTS, np.array([[kind, -1]]), np.array([[severity, 0.0]]))

    in_turn = alone(alone(p, min(one, other), bad), max(one, other), worse)
    pair = np.array([[min(one, other), max(one, other)]])
    for which, severity in ((pair, [[bad, worse]]), (pair[:, ::-1], [[worse, bad]])):
        both = break_things(p, FAULTS, which, np.array(severity))
        for change in (*FAULTS[one].changes, *FAULTS[other].changes):
            if one != other:
                assert getattr(both, change.parameter) == pytest.approx(getattr(in_turn, change.parameter))


def test_what_ails_a_bike_is_the_worse_of_two() -> None:
    """Of two faults that ail it alike the worse is felt; a draw without either has none of it."""
    keys = [fault.key for fault in FAULTS]
    sinks, leaks = keys.index("float sinks"), keys.index("float valve leaks")
    which = np.array([[sinks, leaks], [leaks, -1], [-1, -1]])
    ailing = ailments_of(FAULTS, which, np.array([[0.0, 1.0], [0.0, 0.0], [1.0, 1.0]]))
    assert set(ailing) == {"dripping"}
    assert ailing["dripping"] == pytest.approx([1.0, 0.5, 0.0])


def test_the_model_error_is_smooth_and_of_its_size() -> None:
    """The model error is 6 in the hundred at each rung, hangs together nearby and not from end to end."""
    cover = model_root() @ model_root().T
    assert np.sqrt(np.diag(cover)) == pytest.approx(np.full(len(RUNGS), np.hypot(0.06, 0.015)))
    alike = cover / cover[0, 0]
    assert alike[2, 3] > 0.7
    assert alike[0, 5] < 0.05


def test_every_leaning_is_a_measure_of_the_bike(ground: Ground) -> None:
    """Each measure that an unknown leans on is a measure that the bike has, named as it names it."""
    everything = set(assumptions(_all_assumed(ground.bike)))
    for unknown in unknowns_of(ground.bike, ground.setup):
        assert set(unknown.leans_on) <= everything, unknown.field


def _all_assumed(thing: Bike) -> Bike:
    """Give the same bike as if nobody had measured anything."""
    return _pencilled(thing)  # type: ignore[return-value]


def _pencilled(thing: object) -> object:
    if isinstance(thing, Measure):
        return replace(thing, origin="assumed")
    if isinstance(thing, tuple):
        return tuple(_pencilled(one) for one in thing)
    if hasattr(thing, "__dataclass_fields__"):
        names = [f.name for f in fields(thing)]  # type: ignore[arg-type]
        return replace(thing, **{n: _pencilled(getattr(thing, n)) for n in names})  # type: ignore[type-var]
    return thing


def spread(bike: Bike, setup: Setup, ground: Ground, rung: Rung) -> float:
    """Give the spread of the error of sound bikes at a rung before any sign."""
    stage = Stage.of(bike, setup)
    rows = np.random.default_rng(3).standard_normal((600, stage.places.size))
    error = stage.seen(setup, ground.day, rows, np.tile(SOUND, (600, 1))).error[:, RUNGS.index(rung)]
    return float(np.diff(np.quantile(error, [0.16, 0.84]))[0] / 2.0)


def test_a_measured_outlet_narrows_the_idle() -> None:
    """With the pilot outlet gauged instead of assumed, the likely bikes lie closer together at idle."""
    ground = demo_bike("otter")
    outlet = replace(ground.bike.carb.pilot_outlet_bore, spread=0.005e-3, origin="measured")
    known = replace(ground.bike, carb=replace(ground.bike.carb, pilot_outlet_bore=outlet))
    before, after = (spread(bike, ground.setup, ground, Rung.SHUT) for bike in (ground.bike, known))
    assert after < 0.98 * before  # a tenth of its area was open, beside all else that moves the idle


def test_a_measured_needle_narrows_the_middle() -> None:
    """With needle and needle jet under the micrometer, the likely bikes lie closer together at 1/4."""
    ground = demo_bike("otter")
    carb = ground.bike.carb
    stations = tuple(
        replace(one, diameter=replace(one.diameter, spread=0.004e-3, origin="measured"))
        for one in carb.needle.stations
    )
    jet = replace(carb.needle_jet_bore, spread=0.005e-3, origin="measured")
    needle = replace(carb.needle, stations=stations)
    known = replace(ground.bike, carb=replace(carb, needle_jet_bore=jet, needle=needle))
    before, after = (spread(bike, ground.setup, ground, Rung.QUARTER) for bike in (ground.bike, known))
    assert after < 0.95 * before


def test_a_measured_float_height_narrows_the_level() -> None:
    """A float height taken with a caliper narrows how high the fuel stands."""
    ground = demo_bike("otter")
    stands = {
        height: next(u.spread for u in unknowns_of(ground.bike, setup) if u.field == "level_drop")
        for height, setup in (
            (None, replace(ground.setup, float_height_mm=None)),
            (18.0, replace(ground.setup, float_height_mm=18.0)),
        )
    }
    assert stands[18.0] < stands[None]


@pytest.mark.parametrize(
    ("part", "stamp", "rung"),
    [("main", "160", Rung.FULL), ("pilot", "65", Rung.SHUT), ("cutaway", "3.0", Rung.QUARTER)],
)
def test_a_stamp_nobody_can_read_leaves_its_part_open(part: str, stamp: str, rung: Rung) -> None:
    """It moves the fuel where its part has the say, and only in setups where it cannot be read."""
    ground = demo_bike("otter")
    unread, read = (replace(ground.setup, **{part: told}) for told in ("?", stamp))  # type: ignore[arg-type]
    stage = Stage.of(ground.bike, unread)
    (column,) = (k for k, unknown in enumerate(stage.unknowns) if unknown.stamp == part)
    rows = np.zeros((2, stage.places.size))
    rows[1, column] = 1.0
    moved = [
        np.diff(stage.seen(setup, ground.day, rows, np.tile(SOUND, (2, 1))).error[:, RUNGS.index(rung)])
        for setup in (unread, read)
    ]
    assert abs(float(moved[0][0])) > 0.01
    assert moved[1] == 0.0


def test_a_stamp_that_was_read_is_no_unknown() -> None:
    """With every stamp read nothing is left open on their account."""
    ground = demo_bike("otter")
    assert [unknown for unknown in unknowns_of(ground.bike, ground.setup) if unknown.stamp] == []


def test_what_matters_most_is_named_first() -> None:
    """Where one assumed measure is very wide, the belief names it first; measured, not at all."""
    ground = demo_bike("otter")
    seat = ground.bike.carb.needle_seat
    for origin, named in (("assumed", True), ("measured", False)):
        wide = Measure(seat.value, 1.5e-3, origin)  # type: ignore[arg-type]
        bike = replace(ground.bike, carb=replace(ground.bike.carb, needle_seat=wide))
        belief = believe(
            bike,
            setup=ground.setup,
            day=ground.day,
            trials=(),
            rng=np.random.default_rng(1),
            draws=2000,
        )
        assert (belief.leaned_on[:1] == ("carb.needle_seat",)) is named


def test_a_measure_that_makes_it_leaner_is_leaned_on_too() -> None:
    """Story: a measure was named only where more of it meant more fuel; a needle's tip, whose thickness takes
    fuel away, was never named, however wide; and one of two tapers was named by its middle station.
    """
    ground = demo_bike("otter")
    needle = ground.bike.carb.needle
    tip = needle.stations[-1]
    wide = replace(tip, diameter=replace(tip.diameter, spread=0.35e-3, origin="assumed"))
    bike = replace(
        ground.bike,
        carb=replace(ground.bike.carb, needle=replace(needle, stations=(*needle.stations[:-1], wide))),
    )
    belief = believe(
        bike, setup=ground.setup, day=ground.day, trials=(), rng=np.random.default_rng(1), draws=400
    )
    assert f"carb.needle.stations[{len(needle.stations)}].diameter" in belief.leaned_on


def test_the_row_is_laid_out_without_gaps(ground: Ground) -> None:
    """Every place of the row belongs to exactly one thing."""
    unknowns = unknowns_of(ground.bike, ground.setup)
    places = layout(unknowns)
    every = range(places.size)
    taken = [*range(places.flow), places.tilt, places.want_common]
    for field in fields(places):
        held = getattr(places, field.name)
        parts = held.values() if isinstance(held, dict) else [held]
        taken += [place for part in parts if isinstance(part, slice) for place in every[part]]
    assert sorted(taken) == list(range(places.size))


def test_moving_by_nothing_changes_nothing(ground: Ground) -> None:
    """Spreading over zeros gives back the nominal parameters."""
    unknowns = unknowns_of(ground.bike, ground.setup)
    p = nominal(ground.bike, ground.setup, ground.day)
    q = spread_over(p, unknowns, np.zeros((1, len(unknowns))))
    assert np.allclose(
        [float(np.ravel(x)[0]) for x in (p.needle_position, p.main_area, p.pilot_area)],
        [float(np.ravel(x)[0]) for x in (q.needle_position, q.main_area, q.pilot_area)],
    )
