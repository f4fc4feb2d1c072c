"""What to do next, on bikes whose hidden truth we know and of which much was said and measured."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from floatbowl.advice.advice import Advice
from floatbowl.advice.advise import advise
from floatbowl.advice.looks import LOOKS, look_for
from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.faults import FAULTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import Remark, Trial
from floatbowl.words import looks as look_words
from tests.belief.simulated import Ground, demo_bike, right_bike

DRAWS = 500


@dataclass(frozen=True)
class Evening:
    """One bike, what is fitted, what was said, and what we think of it."""

    ground: Ground
    setup: Setup
    trials: tuple[Trial, ...]
    belief: Belief

    def advice(self, drawer: Drawer | None = None) -> Advice:
        """Ask what to do next."""
        return advise(self.belief, drawer=drawer or self.ground.drawer, trials=self.trials)


@cache
def evening(name: str, fault: str | None = None, **wrong: str | float) -> Evening:
    """Ride a bike that is right but for one part or a bad fault; every rung is said and measured."""
    ground = demo_bike(name)
    truth = right_bike(name)
    if fault is not None:
        kind = [known.key for known in truth.stage.faults].index(fault)
        z = truth.z.copy()
        z[truth.stage.places.severity] = 0.8
        truth = replace(truth, z=z, fault=kind)
    setup = replace(ground.setup, **wrong)  # type: ignore[arg-type]
    return thought(ground, setup, (truth.typical(setup, ground.day),))


def thought(ground: Ground, setup: Setup, trials: tuple[Trial, ...]) -> Evening:
    """Believe."""
    belief = believe(
        ground.bike,
        setup=setup,
        day=ground.day,
        trials=trials,
        rng=np.random.default_rng(4),
        draws=DRAWS,
    )
    return Evening(ground=ground, setup=setup, trials=trials, belief=belief)


def main_too_big() -> Evening:
    """Give the Otter with its main three sizes too big."""
    return evening("otter", main="167.5")


def main_too_small() -> Evening:
    """Give the Otter with its main three sizes too small."""
    return evening("otter", main="152.5")


def needle_too_low() -> Evening:
    """Give the Magpie with its needle two grooves too low."""
    return evening("magpie", clip_from_top=1)


def leaking() -> Evening:
    """Give the Thistle with a bad leak."""
    return evening("thistle", fault="air leak")


def all_right() -> Evening:
    """Give the Otter with nothing wrong."""
    return evening("otter")


EVENINGS: tuple[Callable[[], Evening], ...] = (
    main_too_big,
    main_too_small,
    needle_too_low,
    leaking,
    all_right,
)


def test_a_main_too_big_is_made_smaller() -> None:
    """Three sizes too much at full, said and measured: a smaller main."""
    (step,) = main_too_big().advice().steps
    assert step.part == "main"
    assert float(step.after) < float(step.before)


def test_a_main_too_small_is_made_bigger() -> None:
    """Three sizes short at full, said and measured: a bigger main."""
    (step,) = main_too_small().advice().steps
    assert step.part == "main"
    assert float(step.after) > float(step.before)


def test_a_needle_too_low_is_raised() -> None:
    """Two grooves too low, said and measured: the needle comes up."""
    (step,) = needle_too_low().advice().steps
    assert step.part == "clip"
    assert int(step.after) > int(step.before)


def test_a_leak_hangs_the_stop_tag() -> None:
    """A bad leak, said and measured: the tag names extra air at idle and its look, and no part is touched.

    A leak and a slide that hangs both let air in at idle; what is said of a ride hardly tells them apart.
    """
    advice = leaking().advice()
    assert advice.kind == "stop"
    assert advice.suspect in {"air leak", "slide hangs open"}
    assert advice.look == look_for(advice.suspect).key
    assert advice.steps == ()
    assert advice.setup == leaking().setup
    assert advice.expect is None
    extra_air = [s.count for s in leaking().belief.suspects if s.fault in {"air leak", "slide hangs open"}]
    assert sum(extra_air) >= 10


def test_a_right_bike_is_left_alone() -> None:
    """Right at every rung, said and measured: nothing is to be done."""
    assert all_right().advice().kind == "done"


def test_nothing_said_asks_for_a_ride() -> None:
    """Of a bike of which nothing was said we ask to ride it and say, whatever we think of it."""
    ground = demo_bike("otter")
    silent = thought(ground, ground.setup, ())
    advice = silent.advice()
    assert (advice.kind, advice.look, advice.why.key) == ("look", "ride and say", "unknown")


def held(drawer: Drawer, part: str) -> set[str]:
    """Name what a drawer holds of one part."""
    return set({"main": drawer.mains, "pilot": drawer.pilots, "cutaway": drawer.cutaways}.get(part, ()))


@pytest.mark.parametrize("made", EVENINGS)
def test_an_advice_is_of_one_piece(made: Callable[[], Evening]) -> None:
    """The setup is the setup with the step made, counts add to twenty, and the entries named exist."""
    here = made()
    advice = here.advice()
    assert advice.setup == _after(here.setup, advice)
    if advice.expect is not None:
        e = advice.expect
        assert e.right + e.short + e.too_much == OF
        assert e.lift_mm > 0.0
    assert 0 <= advice.why.count <= OF
    assert 0 <= advice.bad_tail_count <= OF
    entries = {said.entry for trial in here.trials for said in (*trial.remarks, *trial.readings)}
    assert set(advice.why.speaks_for) | set(advice.why.speaks_against) <= entries
    assert not set(advice.why.speaks_for) & set(advice.why.speaks_against)
    assert advice.minutes >= 0.0


def _after(setup: Setup, advice: Advice) -> Setup:
    for step in advice.steps:
        field = {"clip": "clip_from_top", "screw": "screw_turns"}.get(step.part, step.part)
        assert getattr(setup, field) == step.before
        setup = replace(setup, **{field: step.after})  # type: ignore[arg-type]
    return setup


@pytest.mark.parametrize("made", [main_too_big, main_too_small, needle_too_low])
def test_a_change_has_its_reasons(made: Callable[[], Evening]) -> None:
    """One step, out of the drawer; an entry speaks for it; runners-up are other steps with reasons."""
    here = made()
    advice = here.advice()
    (step,) = advice.steps
    if step.part in {"main", "pilot", "cutaway"}:
        assert step.after in held(here.ground.drawer, step.part)
    assert advice.why.speaks_for
    assert all(runner.steps != advice.steps and runner.why_not for runner in advice.runners_up)
    assert len(advice.runners_up) <= 3


@pytest.mark.parametrize("made", [main_too_big, main_too_small, needle_too_low])
def test_a_change_helps_where_it_is_expected_to(made: Callable[[], Evening]) -> None:
    """More of the twenty come right where the change is made for, and the truth itself comes nearer."""
    here = made()
    advice = here.advice()
    assert advice.expect is not None
    assert advice.expect.right >= here.belief.counts_at(advice.expect.at)[1]
    truth, place = right_bike(here.ground.bike.name.lower()), RUNGS.index(advice.expect.at)
    before, after = (abs(truth.error(setup, here.ground.day)[place]) for setup in (here.setup, advice.setup))
    assert after < before


def test_a_two_stroke_short_at_full_never_loses_main() -> None:
    """Short at full on a two-stroke: the main never shrinks, whatever the drawer holds; care is asked."""
    here = main_too_small()
    for mains in (("150", "155"), ("147.5", "150"), here.ground.drawer.mains):
        advice = here.advice(replace(here.ground.drawer, mains=mains))
        for step in advice.steps:
            assert step.part != "main" or float(step.after) > float(step.before)
    assert "two-stroke short" in here.advice().care


def test_an_empty_drawer_still_has_hands() -> None:
    """With nothing in the drawer a change is of clip or screw, or a part to buy, of which three at most."""
    for made in (main_too_big, main_too_small, needle_too_low):
        advice = made().advice(Drawer())
        assert len(advice.buy) <= 3
        for step in advice.steps:
            assert step.part in {"clip", "screw"} or step in advice.buy


def test_what_is_to_buy_points_the_right_way() -> None:
    """Three sizes too much and an empty drawer: a smaller main is on the list; three short, a bigger one."""
    for made, sign in ((main_too_big, -1.0), (main_too_small, 1.0)):
        (main,) = [step for step in made().advice(Drawer()).buy if step.part == "main"]
        assert sign * (float(main.after) - float(main.before)) > 0.0


def test_words_that_do_not_fit_ask_for_a_look() -> None:
    """Where most of what was said is not explained, nothing is changed."""
    here = all_right()
    spoilt = replace(here.belief, trust=replace(here.belief.trust, is_good=False, why="unexplained"))
    advice = advise(spoilt, drawer=here.ground.drawer, trials=here.trials)
    assert (advice.kind, advice.why.key) == ("look", "unexplained")


def test_the_same_belief_gives_the_same_advice() -> None:
    """There are no dice in it."""
    assert main_too_big().advice() == main_too_big().advice()


def test_a_slide_that_hangs_is_not_ridden() -> None:
    """A slide that does not shut is a runaway: the bike is not to be run."""
    ground = demo_bike("magpie")
    hangs = Remark(entry="ride-1", did="hangs", at=Rung.SHUT, how="snap")
    here = thought(ground, ground.setup, (Trial(setup=ground.setup, day=ground.day, remarks=(hangs,)),))
    kind = here.belief.fault_keys.index("slide hangs open")
    stuck = replace(
        here.belief,
        fault=np.full(DRAWS, kind),
        suspects=(replace(here.belief.suspects[0], fault="slide hangs open", count=OF, chance=1.0),),
    )
    advice = advise(stuck, drawer=ground.drawer, trials=here.trials)
    assert (advice.kind, advice.use) == ("stop", "not")


@pytest.mark.parametrize("fault", sorted({fault.key for fault in FAULTS}))
def test_every_fault_has_its_look(fault: str) -> None:
    """Each fault is shown by a look of the advice, and the words send to the same look."""
    look = look_for(fault)
    assert look_words.SUSPECTS[fault].look == look.key


def test_every_look_has_its_words() -> None:
    """Each look that can be asked for is told how to make, and takes some minutes."""
    for look in LOOKS:
        assert look_words.LOOKS[look.key].act
        assert look.minutes > 0.0
