"""What is looked up: exact where the flow was run, near it elsewhere."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.lookup import KNOTS, SEVERITIES, Lookup
from floatbowl.belief.scene import Stage
from floatbowl.belief.triangle import through_triangle
from tests.belief.simulated import SOUND, Ground, demo_bike

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

BIKES = ("magpie", "thistle", "otter")
MIDDLE, SPREAD = np.array([0.3, -0.2, 0.1]), np.array([1.0, 0.5, 0.8])
FLOW, FAULTS = 2, 2
WORST = (-9.0, 0.0, 9.0)
"""Severities at both ends of their range and in the middle of it, as standard normal numbers."""


@cache
def stage_of(name: str) -> tuple[Ground, Stage]:
    """Give a bike of the demo that was ridden, and its stage."""
    ground = demo_bike(name)
    return ground, Stage.of(ground.bike, ground.setup, ran_on=ground.day)


def bent(rows: Array, fault: Whole, severity: Array) -> Array:
    """Give three values of a row that bend, each with both unknowns and the faults added up."""
    broken = np.where(fault >= 0, np.exp(severity) * (1.0 + fault), 0.0).sum(axis=1)
    one, other = np.sin(rows[:, 0]), rows[:, 1] ** 3
    return np.stack([one + broken, other - broken, one - other], axis=1)


def straight(rows: Array, fault: Whole, severity: Array) -> Array:
    """Give two values of a row that are straight in everything."""
    broken = np.where(fault >= 0, severity * (1.0 + fault), 0.0).sum(axis=1)
    return np.stack([2.0 * rows[:, 0] - rows[:, 1] + broken, 0.5 + rows[:, 1] - 3.0 * broken], axis=1)


def table(worked: object) -> Lookup:
    """Give the table of one of them."""
    return Lookup.of(worked, middle=MIDDLE, spread=SPREAD, flow=FLOW, faults=FAULTS)  # type: ignore[arg-type]


def test_what_is_straight_is_looked_up_exactly(rng: Generator) -> None:
    """Where all is straight, rows and severities anywhere with up to two faults give the thing itself."""
    rows = MIDDLE + SPREAD * np.clip(rng.standard_normal((200, 3)), -3.5, 3.5)
    fault = rng.permuted(np.tile([-1, 0, 1], (200, 1)), axis=1)[:, :2]
    severity = rng.random((200, 2))
    told = table(straight).at(rows, fault, severity)
    assert told == pytest.approx(straight(rows, fault, severity), abs=1e-12)


def test_what_bends_is_exact_at_its_knots() -> None:
    """However it bends, unknowns that add up are exact where each stands on a knot, and faults on theirs."""
    one, other, bad = np.meshgrid(KNOTS, KNOTS, SEVERITIES, indexing="ij")
    rows = np.tile(MIDDLE, (one.size, 1))
    rows[:, 0] += SPREAD[0] * one.ravel()
    rows[:, 1] += SPREAD[1] * other.ravel()
    fault = np.tile([1, 0], (one.size, 1))
    severity = np.stack([bad.ravel(), bad.ravel()[::-1]], axis=1)
    assert table(bent).at(rows, fault, severity) == pytest.approx(bent(rows, fault, severity), abs=1e-12)


def test_between_its_knots_it_does_not_bend() -> None:
    """Control: halfway between knots what bends is missed."""
    rows = MIDDLE[None, :] + np.array([[0.5 * (KNOTS[4] + KNOTS[5]), 0.0, 0.0]])
    nothing = np.full((1, 2), -1)
    zeros = np.zeros((1, 2))
    assert np.abs(table(bent).at(rows, nothing, zeros) - bent(rows, nothing, zeros)).max() > 0.05


def test_far_out_the_line_goes_on_a_little_and_stops() -> None:
    """Beyond the last knot the line goes on by half its last step, and not further."""
    rows = np.tile(MIDDLE, (3, 1))
    last, step = KNOTS[-1], 0.5 * (KNOTS[-1] - KNOTS[-2])
    rows[:, 0] += SPREAD[0] * np.array([last + step, last + 5.0, last + 50.0])
    told = table(straight).at(rows, np.full((3, 2), -1), np.zeros((3, 2)))[:, 0]
    assert told == pytest.approx(np.full(3, told[0]))
    assert told[0] == pytest.approx(straight(rows[:1], np.full((1, 2), -1), np.zeros((1, 2)))[0, 0])


@pytest.mark.parametrize("name", BIKES)
def test_a_glimpse_is_exact_at_the_knots(name: str) -> None:
    """With one unknown at a knot and all else in the middle, a glimpse is the flow itself."""
    ground, stage = stage_of(name)
    middle, spread = stage.ran.middle_and_spread()
    rows = np.repeat(middle[None, :], stage.places.flow * 2, axis=0)
    for k, unknown in enumerate(stage.unknowns):
        if unknown.field in {"main_area", "pilot_area"}:
            continue  # a jet's own error comes on top of that of its drawer
        rows[2 * k, k] += spread[k] * KNOTS[1]
        rows[2 * k + 1, k] += spread[k] * KNOTS[5]
    z = through_triangle(rows - stage.ran.shift, stage.ran.root)
    sound = np.tile(SOUND, (len(z), 1))
    seen, glimpse = (see(ground.setup, ground.day, z, sound) for see in (stage.seen, stage.glimpse))
    for thing in ("error", "lam", "starved", "extra_air", "level_drop"):
        assert getattr(glimpse, thing) == pytest.approx(getattr(seen, thing), abs=1e-9), thing


@pytest.mark.parametrize("name", BIKES)
def test_a_glimpse_of_one_fault_is_exact(name: str) -> None:
    """The middle bike with any one fault, at its mildest, middling and worst, is the flow itself."""
    ground, stage = stage_of(name)
    kinds = np.repeat(np.arange(len(stage.faults)), len(WORST))
    rows = np.repeat(stage.ran.shift[None, :], len(kinds), axis=0)
    rows[:, stage.places.severity] = np.tile(WORST, len(stage.faults))[:, None]
    z = through_triangle(rows - stage.ran.shift, stage.ran.root)
    fault = np.stack([np.full(len(kinds), -1), kinds], axis=1)
    seen, glimpse = (see(ground.setup, ground.day, z, fault) for see in (stage.seen, stage.glimpse))
    for thing in ("error", "lam", "starved", "extra_air", "level_drop"):
        assert getattr(glimpse, thing) == pytest.approx(getattr(seen, thing), abs=1e-9), thing
    assert glimpse.ailing.keys() == seen.ailing.keys()


@pytest.mark.parametrize("name", BIKES)
def test_a_glimpse_is_near_the_flow(name: str, rng: Generator) -> None:
    """For sound bikes the error looked up is within 0.06 (rms) of the flow at every rung, half within 0.02.

    Measured, 1500 bikes: 0.05 on the Magpie at 1/4, where half are within 0.037; 0.04 or less elsewhere.
    """
    ground, stage = stage_of(name)
    z, sound = rng.standard_normal((400, stage.places.size)), np.tile(SOUND, (400, 1))
    seen, glimpse = (see(ground.setup, ground.day, z, sound).error for see in (stage.seen, stage.glimpse))
    off = np.abs(glimpse - seen)
    assert (np.sqrt((off**2).mean(axis=0)) < 0.06).all()
    assert np.median(off) < 0.02


@pytest.mark.parametrize("name", BIKES)
def test_a_glimpse_of_broken_bikes_is_less_near(name: str, rng: Generator) -> None:
    """With one fault four in five lie within 0.10 of the flow at every rung, and half within 0.05.

    Measured, 1500 bikes: 0.12 (rms) at idle and 0.08 at 1/4 at the most. A blocked bowl vent and all that
    leaves the idle nearly dry come worst, at 0.15 to 0.36 there: what is that far off is not mistaken.
    """
    ground, stage = stage_of(name)
    kinds = np.repeat(np.arange(len(stage.faults)), 20)
    fault = np.stack([kinds, np.full(len(kinds), -1)], axis=1)
    z = rng.standard_normal((len(kinds), stage.places.size))
    seen, glimpse = (see(ground.setup, ground.day, z, fault).error for see in (stage.seen, stage.glimpse))
    off = np.abs(glimpse - seen)
    assert (np.quantile(off, 0.8, axis=0) < 0.10).all()
    assert (np.median(off, axis=0) < 0.05).all()


@pytest.mark.parametrize("name", BIKES)
def test_a_glimpse_does_not_feel_which_rungs_are_asked(name: str, rng: Generator) -> None:
    """At the rungs asked for a glimpse is what it is of all of them, and nan at the others."""
    ground, stage = stage_of(name)
    z, sound = rng.standard_normal((20, stage.places.size)), np.tile(SOUND, (20, 1))
    whole = stage.glimpse(ground.setup, ground.day, z, sound)
    part = stage.glimpse(ground.setup, ground.day, z, sound, rungs=(0, 4))
    assert (part.error[:, [0, 4]] == whole.error[:, [0, 4]]).all()
    assert np.isnan(part.error[:, [1, 2, 3, 5]]).all()
    assert (part.extra_air == whole.extra_air).all()


def test_a_number_is_no_setup() -> None:
    """One setup under two numbers is one table: the number of a setup moves nothing."""
    ground, stage = stage_of("otter")
    z, sound = np.zeros((1, stage.places.size)), SOUND[None, :]
    stage.glimpse(ground.setup, ground.day, z, sound)
    tables = len(stage._tables)
    stage.glimpse(replace(ground.setup, number=99), ground.day, z, sound)
    assert len(stage._tables) == tables
