"""Setups within one change, weighed; and the plan of a few changes together."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.advice.dry_fit import dry_fit
from floatbowl.advice.rank import Panel, plan, rank, step_between
from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe
from floatbowl.belief.scene import Stage
from floatbowl.bike.drawer import Drawer, one_change_away
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from tests.belief.simulated import Ground, demo_bike


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give one bike of the demo."""
    return demo_bike("magpie")


@pytest.fixture(scope="module")
def belief(ground: Ground) -> Belief:
    """Give what is thought of it before any word: only the weighing is tested here."""
    rng = np.random.default_rng(2)
    return believe(ground.bike, setup=ground.setup, day=ground.day, trials=(), rng=rng, draws=400)


@pytest.fixture(scope="module")
def panel(ground: Ground, belief: Belief) -> Panel:
    """Give the panel."""
    return Panel.of(Stage.of(ground.bike, ground.setup), belief)


def test_the_twenty_sit_first(panel: Panel, belief: Belief) -> None:
    """The panel is the twenty and then sound bikes only."""
    assert (panel.draws[:OF] == belief.twenty).all()
    assert (belief.fault[panel.draws[OF:]] < 0).all()
    assert panel.sound.tolist() == [False] * OF + [True] * (len(panel.draws) - OF)


def test_every_change_is_ranked_once(ground: Ground, panel: Panel) -> None:
    """All that the drawer allows is there, each once, best first, and each step makes its setup."""
    options = rank(panel, ground.drawer)
    changes = list(one_change_away(ground.setup, ground.drawer, grooves=ground.bike.carb.needle.grooves))
    assert sorted(str(o.setup) for o in options) == sorted(str(setup) for _, setup in changes)
    totals = [option.total for option in options]
    assert totals == sorted(totals)
    for option in options:
        assert option.step == step_between(option.step.part, ground.setup, option.setup)


def test_the_setup_as_it_is_leaves_what_it_leaves(ground: Ground, panel: Panel, belief: Belief) -> None:
    """Weighed on the panel, the present setup has the errors of the belief itself."""
    assert panel.error(ground.setup) == pytest.approx(belief.error[panel.draws], rel=1e-9)


def test_a_plan_is_never_worse_than_nothing(ground: Ground, panel: Panel) -> None:
    """A plan takes and leaves no more minutes than leaving all as it is, with one change of each part."""
    now = panel.error(ground.setup)
    made = plan(panel, rank(panel, ground.drawer), now=now)
    assert made.minutes + made.left <= panel.left(now)
    parts = [option.step.part for option in made.options]
    assert len(parts) == len(set(parts)) <= 3
    assert made.minutes == pytest.approx(sum(option.minutes for option in made.options))


def test_what_parts_do_together_adds_up_nearly(ground: Ground, panel: Panel) -> None:
    """Two changes together are within 2 in the hundred (rms) of what each does added up, as plans reckon."""
    now = panel.error(ground.setup)
    options = {o.step.part: o for o in rank(panel, Drawer(mains=("107",)))}
    both = panel.error(_with(ground, clip_from_top=4, main="107"))
    clip = panel.error(_with(ground, clip_from_top=4))
    added = clip + options["main"].error - now
    assert float(np.sqrt(((both - added) ** 2).mean())) < 0.02


def _with(ground: Ground, **changes: str | float) -> Setup:
    return replace(ground.setup, **changes)  # type: ignore[arg-type]


def test_a_dry_fit_of_what_is_fitted_moves_nothing(ground: Ground, belief: Belief) -> None:
    """Trying on paper what is fitted already gives the belief's own errors, counts and say."""
    tried = dry_fit(belief, ground.setup)
    assert tried.error == pytest.approx(belief.error, rel=1e-9)
    assert tried.say == pytest.approx(belief.say, abs=1e-9)
    assert [tried.counts_at(at) for at in RUNGS] == [belief.counts_at(at) for at in RUNGS]


def test_a_dry_fit_keeps_the_same_twenty(ground: Ground, belief: Belief) -> None:
    """A bigger main on paper: the same twenty bikes, none of them shorter at full."""
    tried = dry_fit(belief, _with(ground, main="107"))
    assert (tried.twenty == belief.twenty).all()
    assert (tried.error[:, -1] >= belief.error[:, -1]).all()
