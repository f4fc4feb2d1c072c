"""The two tables that stand for every setup, against whole scenes worked out one by one."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.belief.scene import Stage
from floatbowl.belief.sides import Crowd, main_side, pilot_side
from floatbowl.bike.carb import Needle
from tests.belief.simulated import Ground, demo_bike

BIKES = ("magpie", "thistle", "otter")
DRAWS = 40


def crowd_of(ground: Ground, rng: Generator) -> Crowd:
    """Give likely bikes, three in four with a fault, one in four with two."""
    stage = Stage.of(ground.bike, ground.setup, ran_on=ground.day)
    kinds = len(stage.faults)
    fault = np.stack([rng.integers(0, kinds, DRAWS), rng.integers(0, kinds, DRAWS)], axis=1)
    fault[: DRAWS // 4] = -1
    fault[: 3 * DRAWS // 4, 1] = -1
    fault[fault[:, 0] == fault[:, 1], 1] = -1
    z = rng.standard_normal((DRAWS, stage.places.size))
    return Crowd(stage=stage, setup=ground.setup, day=ground.day, z=z, fault=fault)


def longer_needle(needle: Needle) -> Needle:
    """Give a needle of one station more, its taper in two steps."""
    first, last = needle.stations[0], needle.stations[-1]
    middle = replace(
        last,
        distance=replace(last.distance, value=0.5 * (first.distance.value + last.distance.value)),
        diameter=replace(last.diameter, value=0.3 * first.diameter.value + 0.7 * last.diameter.value),
    )
    return replace(needle, stamp="two", stations=(*needle.stations[:-1], middle, last))


@pytest.mark.parametrize("name", BIKES)
def test_two_sides_add_to_the_whole_scene(name: str, rng: Generator) -> None:
    """Any main side and any pilot side, sound or broken, add to the error of the whole scene, to rounding.

    A scene keeps lambda between 0.2 and 6: only there the error must agree.
    """
    ground = demo_bike(name)
    crowd = crowd_of(ground, rng)
    now, drawer, own = ground.setup, ground.drawer, ground.bike.carb.needle
    mains = [
        replace(now, main=drawer.mains[0], clip_from_top=5),
        replace(now, main=drawer.mains[-1], needle=longer_needle(own), clip_from_top=1),
        replace(now, cutaway=drawer.cutaways[0], needle_washer_mm=0.5),
        now,
    ]
    pilots = [
        replace(now, pilot=drawer.pilots[0], screw_turns=3.25),
        replace(now, pilot=drawer.pilots[-1]),
        replace(now, screw_turns=0.5),
    ]
    ours, theirs = main_side(crowd, mains), pilot_side(crowd, pilots)
    for i, one in enumerate(mains):
        for j, other in enumerate(pilots):
            setup = replace(one, pilot=other.pilot, screw_turns=other.screw_turns)
            seen = crowd.stage.seen(setup, crowd.day, crowd.z, crowd.fault)
            ordinary = (seen.lam > 0.25) & (seen.lam < 4.5)
            found = np.log(ours[i] + theirs[j]).T
            assert ordinary.mean() > 0.8
            assert found[ordinary] == pytest.approx(seen.error[ordinary], abs=1e-5)


def test_the_float_stands_in_both_sides(rng: Generator) -> None:
    """With the float set two millimetres off, both sides are those of the scene with that float."""
    ground = demo_bike("otter")
    crowd = crowd_of(ground, rng)
    high = replace(ground.setup, float_height_mm=1e3 * ground.bike.carb.float_height.value - 2.0)
    moved = replace(crowd, setup=high)
    found = np.log(main_side(moved, [high])[0] + pilot_side(moved, [high])[0]).T
    error = crowd.stage.seen(high, crowd.day, crowd.z, crowd.fault).error
    assert found[:, 2:] == pytest.approx(error[:, 2:], abs=1e-5)
    assert (main_side(moved, [high]) > main_side(crowd, [high]))[0, 2:].mean() > 0.9


@pytest.mark.parametrize("name", BIKES)
def test_more_of_a_part_gives_more_fuel(name: str, rng: Generator) -> None:
    """No bike gets less fuel from a bigger main, a lower clip or a bigger pilot, stamped as they are."""
    ground = demo_bike(name)
    drawn = crowd_of(ground, rng)
    stage, z = Stage.of(ground.bike, ground.setup), drawn.z.copy()
    for own in stage.places.jets.values():
        z[:, own] = 0.0
    crowd = replace(drawn, stage=stage, z=z)
    now, drawer = ground.setup, ground.drawer
    by_main = main_side(crowd, [replace(now, main=main) for main in drawer.mains])
    by_clip = main_side(crowd, [replace(now, clip_from_top=clip) for clip in (1, 2, 3, 4, 5)])
    by_pilot = pilot_side(crowd, [replace(now, pilot=pilot) for pilot in drawer.pilots])
    for table in (by_main, by_clip, by_pilot):
        assert (np.diff(table, axis=0) >= -1e-6 * table[:-1]).all()


def test_many_rows_are_as_each_alone(rng: Generator) -> None:
    """Rows run together, in more than one go, do not feel each other."""
    ground = demo_bike("magpie")
    crowd = crowd_of(ground, rng)
    turns = np.linspace(0.5, 3.5, 500)
    setups = [replace(ground.setup, screw_turns=float(turn)) for turn in turns]
    together = pilot_side(crowd, setups)
    for k in (0, 408, 409, 410, 499):
        assert together[k] == pytest.approx(pilot_side(crowd, [setups[k]])[0], rel=1e-6)
