"""Every setup of the drawer, however many changes away, and what it takes to get there."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from floatbowl.advice.all_setups import (
    best_setups,
    main_sides,
    minutes_between,
    parts_between,
    pilot_sides,
    price,
)
from floatbowl.advice.cost import MINUTES, RIDE, is_far_short, minutes_left, minutes_off
from floatbowl.advice.rank import Panel
from floatbowl.belief.believe import believe
from floatbowl.bike.drawer import Drawer, one_change_away
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from tests.belief.simulated import Ground, demo_bike


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give a two-stroke of the demo."""
    return demo_bike("otter")


@pytest.fixture(scope="module")
def panel(ground: Ground) -> Panel:
    """Give a small panel of what is thought of it before any word."""
    rng = np.random.default_rng(2)
    belief = believe(ground.bike, setup=ground.setup, day=ground.day, trials=(), rng=rng, draws=400)
    return Panel.of(belief, weighed=60)


def test_the_best_of_all_is_found(ground: Ground, panel: Panel) -> None:
    """The best of 260 setups worked out one by one stands first, with its minutes and its share far short."""
    drawer = Drawer(mains=(ground.drawer.mains[3],))
    now, strokes = ground.setup, ground.bike.engine.strokes
    mains, pilots = main_sides(panel, drawer, now), pilot_sides(drawer, now)
    every = [
        replace(main, pilot=pilot.pilot, screw_turns=pilot.screw_turns)
        for main, pilot in product(mains, pilots)
    ]
    assert len(set(every)) == len(every) == 2 * 5 * 2 * 13

    def total(setup: Setup) -> float:
        left = minutes_left(panel.error(setup)[panel.sound], panel.belief.close_enough, strokes=strokes)
        job = minutes_between(now, setup) + RIDE.value if setup != now else 0.0
        return float(left.mean()) + job

    found = best_setups(panel, drawer)
    best = min(every, key=total)
    assert found[0].setup == best
    assert found[0].total == pytest.approx(total(best))
    assert found[0].far_short == is_far_short(panel.error(best)[panel.sound]).mean()
    assert [one.total for one in found] == sorted(one.total for one in found)


def test_all_one_change_away_are_among_them(ground: Ground, panel: Panel) -> None:
    """What one change makes, the float's apart, is among the pairs of a main side and a pilot side."""
    own = ground.bike.carb.needle
    now = ground.setup
    mains = set(main_sides(panel, ground.drawer, now))
    pilots = set(pilot_sides(ground.drawer, now))
    for part, after in one_change_away(now, ground.drawer, grooves=own.grooves):
        if part == "float":
            continue
        main = replace(after, pilot=now.pilot, screw_turns=now.screw_turns)
        pilot = replace(now, pilot=after.pilot, screw_turns=after.screw_turns)
        assert main in mains
        assert pilot in pilots


def test_a_bike_short_of_fuel_is_given_more(ground: Ground, panel: Panel) -> None:
    """Likely bikes a sixth short all along are given more fuel; a third fewer are left far short."""
    short = replace(panel, now=panel.now - 0.18)
    best = best_setups(short, ground.drawer)[0]
    after = short.error(best.setup)[short.sound]
    assert (after - short.now[short.sound]).mean() > 0.05
    assert best.far_short < 0.7 * is_far_short(short.now[short.sound]).mean()
    assert best.total < short.left(short.now)


def test_each_height_of_the_float_is_a_ranking_of_its_own(ground: Ground, panel: Panel) -> None:
    """With other heights to try, no setup is lost and the best is none the worse."""
    book = 1e3 * ground.bike.carb.float_height.value
    drawer = Drawer()
    as_it_is = best_setups(panel, drawer, most=5)
    tried = best_setups(panel, drawer, float_heights=(book - 1.0, book + 1.0), most=400)
    assert tried[0].total <= as_it_is[0].total
    assert {one.setup.float_height_mm for one in tried} == {
        ground.setup.float_height_mm,
        book - 1.0,
        book + 1.0,
    }


def test_what_chooses_costs_about_what_decides(panel: Panel) -> None:
    """The price of the pairs is within half a band of the advice's own, and knows the same high rungs."""
    told, band = price(panel), panel.belief.close_enough
    bands = np.linspace(0.0, 20.0, 81)
    near = np.minimum(bands, 1.0)
    parabola = near * (bands - 0.5 * near)
    smooth = np.sqrt(1.0 + bands**2) - 1.0
    assert np.abs(parabola - smooth).max() <= 0.5
    assert [rung.value for rung, high in zip(RUNGS, told.is_high, strict=True) if high] == ["3/4", "full"]
    further = minutes_off(60.0 * band, band) - minutes_off(50.0 * band, band)
    assert told.worth == pytest.approx(further / 10.0, rel=2e-3)


def test_parts_behind_one_strip_down_share_it() -> None:
    """Two jets take less than one after the other, jet and clip do not; nothing changed takes nothing."""
    now = Setup(number=1, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    main, both = replace(now, main="115"), replace(now, main="115", pilot="42")
    clip = replace(main, clip_from_top=4)
    alone = {part: figure.value for part, figure in MINUTES.items()}
    assert minutes_between(now, now) == 0.0
    assert minutes_between(now, main) == alone["main"]
    assert minutes_between(now, both) < alone["main"] + alone["pilot"]
    assert minutes_between(now, both) > max(alone["main"], alone["pilot"])
    assert minutes_between(now, clip) == alone["main"] + alone["clip"]
    assert minutes_between(now, both) == minutes_between(both, now)


def test_every_part_is_told_apart() -> None:
    """Each field that a hand can change is named by its part; the number of a setup is none."""
    now = Setup(number=1, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    assert parts_between(now, replace(now, number=2)) == ()
    moved = {
        "main": replace(now, main="115"),
        "pilot": replace(now, pilot="42"),
        "clip": replace(now, clip_from_top=4),
        "washer": replace(now, needle_washer_mm=0.5),
        "cutaway": replace(now, cutaway="3.0"),
        "screw": replace(now, screw_turns=2.0),
        "float": replace(now, float_height_mm=21.0),
    }
    assert {part: parts_between(now, after) for part, after in moved.items()} == {
        part: (part,) for part in moved
    }
