"""Setups within one change, weighed; and the plan of a few changes together."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.advice.cost import RIDE, minutes_of
from floatbowl.advice.dry_fit import dry_fit, error_with
from floatbowl.advice.rank import MOST_STEPS, Panel, Plan, plan, planned, rank, step_between
from floatbowl.advice.shop import worth_buying
from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe
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
def panel(belief: Belief) -> Panel:
    """Give the panel."""
    return Panel.of(belief)


def test_the_twenty_sit_first(panel: Panel, belief: Belief) -> None:
    """The panel is the twenty and then draws of all kinds, the sound of which are weighed for jetting."""
    assert (panel.draws[:OF] == belief.twenty).all()
    assert panel.weighed.tolist() == [False] * OF + [True] * (len(panel.draws) - OF)
    assert (panel.sound == panel.weighed & belief.is_sound[panel.draws]).all()
    assert 0 < panel.sound.sum() < panel.weighed.sum()


def test_with_no_bike_sound_all_are_weighed(belief: Belief) -> None:
    """Where every draw has a fault, all of the weighed stand in for the sound ones."""
    broken = Panel.of(replace(belief, fault=np.zeros_like(belief.fault)))
    assert (broken.sound == broken.weighed).all()


def test_a_broken_bike_costs_the_same_whatever_is_fitted(panel: Panel, belief: Belief) -> None:
    """Jets change nothing of what a fault still costs; on sound bikes they change what is left."""
    now, much = panel.cost(panel.now), panel.cost(panel.now + 0.3)
    broken = ~belief.is_sound[panel.draws[panel.weighed]]
    assert (now[broken] == much[broken]).all()
    assert np.ptp(now[broken]) == 0.0
    assert (now[~broken] != much[~broken]).all()


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


def total(one: Plan) -> float:
    """Give the minutes that a plan takes and leaves."""
    return one.minutes + one.left


def test_a_plan_is_never_worse_than_nothing(ground: Ground, panel: Panel) -> None:
    """A plan takes and leaves no more than leaving all as it is or any one change, with one of each part."""
    options = rank(panel, ground.drawer)
    made = plan(panel, options)
    assert total(made) <= panel.left(panel.now)
    parts = [option.step.part for option in made.options]
    assert len(parts) == len(set(parts)) <= MOST_STEPS
    assert not {"clip", "needle"} <= set(parts)
    if made.options:
        assert made.minutes == pytest.approx(minutes_of(parts) + RIDE.value)
        assert total(made) <= options[0].total + 1e-9


def test_a_plan_has_nothing_needless(ground: Ground, panel: Panel) -> None:
    """Without any one of its changes a plan is worse."""
    wrong = np.array([0.25, 0.1, -0.1, -0.1, 0.15, 0.2])
    off = replace(panel, now=0.2 * panel.now + wrong)
    made = plan(off, rank(off, ground.drawer))
    assert len(made.options) > 1
    for option in made.options:
        rest = planned(off, tuple(other for other in made.options if other is not option))
        assert total(rest) > total(made)


def test_a_change_that_others_made_needless_is_dropped(ground: Ground, panel: Panel) -> None:
    """Offered one change that does all and two that do half each, the plan ends with the cheapest."""
    off = replace(panel, now=np.full_like(panel.now, -0.2))
    screw, main, clip = (
        next(o for o in rank(panel, ground.drawer) if o.step.part == part)
        for part in ("screw", "main", "clip")
    )
    half = np.full_like(off.now, -0.1)
    whole = np.zeros_like(off.now)
    halves = (replace(screw, error=half, minutes=13.0), replace(main, error=half, minutes=25.0))
    made = plan(off, (*halves, replace(clip, error=whole, minutes=25.0)))
    assert [option.step.part for option in made.options] == ["clip"]


def test_two_that_pay_only_together_are_found(ground: Ground, panel: Panel) -> None:
    """Two changes, each of which by itself makes a bike worse, are found where together they put it right."""
    ranked = rank(panel, ground.drawer)
    main, clip = (next(o for o in ranked if o.step.part == part) for part in ("main", "clip"))
    tilt = np.linspace(-0.3, 0.3, len(RUNGS))
    off = replace(panel, now=np.zeros_like(panel.now) + 0.2 * tilt + 0.1)
    pair = (replace(main, error=off.now + 0.4 + tilt), replace(clip, error=off.now - 0.5 - 1.2 * tilt))
    assert all(panel.left(one.error) + one.minutes > panel.left(off.now) for one in pair)
    assert {option.step.part for option in plan(off, pair).options} == {"main", "clip"}


def test_what_is_to_buy_is_not_in_the_drawer(ground: Ground, panel: Panel) -> None:
    """At most three parts are to buy, one of each kind, none of them held, each better than what is held."""
    best = panel.left(panel.now)
    bought = worth_buying(panel, ground.drawer, best=best)
    parts = [option.step.part for option in bought]
    assert len(set(parts)) == len(parts) <= 3
    held = {*ground.drawer.mains, *ground.drawer.pilots, ground.setup.main, ground.setup.pilot}
    assert not {str(option.step.after) for option in bought} & held
    assert all(option.total < best for option in bought)
    assert worth_buying(panel, ground.drawer, best=0.0) == ()


def test_what_parts_do_together_adds_up_nearly(ground: Ground, panel: Panel) -> None:
    """Two changes together are within 2 in the hundred (rms) of what each does added up, as plans reckon."""
    options = {o.step.part: o for o in rank(panel, Drawer(mains=("107",)))}
    both = panel.error(_with(ground, clip_from_top=4, main="107"))
    clip = panel.error(_with(ground, clip_from_top=4))
    added = clip + options["main"].error - panel.now
    assert float(np.sqrt(((both - added) ** 2).mean())) < 0.02


def _with(ground: Ground, **changes: str | float) -> Setup:
    return replace(ground.setup, **changes)  # type: ignore[arg-type]


def test_a_dry_fit_of_what_is_fitted_moves_nothing(ground: Ground, belief: Belief) -> None:
    """Trying on paper what is fitted already gives the belief's own errors, counts and say."""
    tried = dry_fit(belief, ground.setup)
    assert tried.error == pytest.approx(belief.error[belief.twenty], rel=1e-9)
    assert tried.say == pytest.approx(belief.say, abs=1e-9)
    assert [tried.counts_at(at) for at in RUNGS] == [belief.counts_at(at) for at in RUNGS]


def test_a_dry_fit_keeps_the_same_twenty(ground: Ground, belief: Belief) -> None:
    """A bigger main on paper: the same twenty bikes, most of them with more at full."""
    tried = dry_fit(belief, _with(ground, main="107"))
    assert tried.error == pytest.approx(
        error_with(belief, _with(ground, main="107"))[belief.twenty], rel=1e-9
    )
    assert (tried.error[:, -1] > belief.error[belief.twenty, -1]).mean() > 0.8
