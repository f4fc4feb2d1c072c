"""Beliefs and advice made by hand, so that words and pictures are tested without the sums."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

import numpy as np
import pytest

from floatbowl.advice.advice import Advice, Expect, RunnerUp, Step, Why
from floatbowl.belief.belief import OF, Belief, Suspect, Trust
from floatbowl.belief.scene import Stage
from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import LambdaReading, PlugReading, Remark, RollOnReading, Trial

SAY = np.array(
    [
        [0.92, 0.05, 0.03, 0.00],
        [0.52, 0.26, 0.20, 0.02],
        [0.22, 0.14, 0.58, 0.06],
        [0.06, 0.04, 0.67, 0.23],
        [0.03, 0.02, 0.31, 0.64],
        [0.02, 0.00, 0.06, 0.92],
    ]
)
"""A usual ladder of says, shut to full; made up."""

CLOSE = np.array([0.05, 0.05, 0.05, 0.05, 0.03, 0.03])


@pytest.fixture
def bike() -> Bike:
    """Give a four-stroke with an air screw and five grooves."""
    return assume_bike(
        name="Magpie",
        what="125 four-stroke, replacement round slide 26",
        engine={"strokes": 4, "swept_volume": 124.1e-6},
        carb={"bore": 0.026, "screw": "air", "needle": {"grooves": 5}},
        fuel={},
    )


@pytest.fixture
def setup() -> Setup:
    """Give what is fitted."""
    return Setup(number=8, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)


@pytest.fixture
def trials(setup: Setup) -> tuple[Trial, ...]:
    """Give one ride with three bogs and the rest of a day's remarks and readings."""
    remarks = (
        Remark(entry="ride-1", did="bogs", at=Rung.QUARTER, how="snap"),
        Remark(entry="ride-2", did="bogs", at=Rung.QUARTER, how="snap"),
        Remark(entry="ride-3", did="bogs", at=Rung.QUARTER, how="snap"),
        Remark(entry="ride-4", did="flat", at=Rung.HALF, often="once"),
        Remark(entry="ride-5", did="thick", at=Rung.FULL),
    )
    readings = (
        PlugReading(entry="plug-1", at=Rung.FULL, colour="sooty"),
        LambdaReading(entry="lambda-1", at=Rung.HALF, value=0.92, rpm=5200.0),
        RollOnReading(entry="rollon-1", at=Rung.QUARTER, seconds=(3.9, 4.0)),
    )
    return (
        Trial(setup=setup, day=assume_day("Tarn Hollow", height=1450.0), remarks=remarks, readings=readings),
    )


@pytest.fixture
def believe_by_hand(bike: Bike, setup: Setup) -> Callable[..., Belief]:
    """Give a maker of beliefs: how far off, in per cent, at each rung from shut to full."""

    def make(
        off_pct: tuple[float, ...] = (0, -2, -9, -7, 1, 6),
        *,
        spread_pct: float = 2.5,
        faulty: int = 0,
        twice: int = 0,
    ) -> Belief:
        steps = np.linspace(-1.7, 1.7, OF)
        error = np.log1p((np.array(off_pct) + spread_pct * steps[:, None]) / 100.0)
        place = np.arange(OF)
        fault = np.column_stack([np.where(place < faulty, 0, -1), np.where(place < twice, 1, -1)])
        return Belief(
            bike=bike,
            setup=setup,
            day=assume_day("Tarn Hollow", height=1450.0),
            error=error,
            lam=0.88 * np.exp(-error),
            weight=np.full(OF, 1.0 / OF),
            fault=fault,
            fault_keys=("air leak", "weak spark"),
            twenty=np.arange(OF),
            say=SAY,
            fuel_share=np.column_stack([SAY[:, 0], 1.0 - SAY[:, 0]]),
            target=np.full(len(RUNGS), 0.88),
            close_enough=CLOSE,
            suspects=(Suspect(fault="air leak", count=faulty, chance=faulty / OF),) if faulty else (),
            trust=Trust(is_good=True, why="", effective_draws=800.0),
            leaned_on=("carb.needle_jet_bore", "carb.bypass[1].diameter"),
            z=np.empty((OF, 0)),
            stage=cast("Stage", None),  # no words ask for the sums
            trials=(),
        )

    return make


@pytest.fixture
def raise_needle(setup: Setup) -> Advice:
    """Give the job card of design: raise the needle one groove."""
    return Advice(
        kind="change",
        steps=(Step("clip", 3, 4),),
        setup=replace(setup, number=9, clip_from_top=4),
        minutes=20.0,
        why=Why(
            key="short",
            at=Rung.QUARTER,
            count=18,
            speaks_for=("ride-1", "ride-2", "ride-3"),
            speaks_against=("ride-5",),
        ),
        expect=Expect(at=Rung.QUARTER, lift_mm=6.5, right=15, short=4, too_much=1),
        runners_up=(RunnerUp(steps=(Step("main", "110", "108"),), why_not="one at a time"),),
        care=("bowl off", "slide out"),
        assumed=("carb.needle_jet_bore", "carb.bypass[1].diameter"),
    )


@pytest.fixture
def stop_for_leak(setup: Setup) -> Advice:
    """Give a stop tag for an air leak."""
    return Advice(
        kind="stop",
        steps=(),
        setup=setup,
        minutes=10.0,
        why=Why(key="fault", at=Rung.SHUT, count=16, speaks_for=("ride-1",)),
        expect=None,
        look="soap on the joints",
        suspect="air leak",
        suspect_count=16,
        use="gently",
    )
