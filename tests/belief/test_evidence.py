"""All that was said and measured, held against any draw."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.scene import Stage
from floatbowl.bike.carb import ScrewKind
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import elsewhere
from floatbowl.signs.trial import (
    ChokeReading,
    GasReading,
    HandReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    TouchedReading,
    Trial,
)
from tests.belief.simulated import SOUND, Ground, demo_bike

Array = NDArray[np.float64]
BOGS = Remark(entry="ride-1", did="bogs", at=Rung.QUARTER, how="snap")


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give one bike of the demo."""
    return demo_bike("magpie")


@pytest.fixture(scope="module")
def stage(ground: Ground) -> Stage:
    """Give its stage."""
    return Stage.of(ground.bike, ground.setup, ran_on=ground.day)


def known(stage: Stage, *trials: Trial, fault: int = -1, draws: int = 30) -> Array:
    """Give what some trials say of some bikes, all of which have one fault, or none."""
    z = rows(stage, draws)
    return AllHeard.of(stage, trials)(z, np.tile([fault, -1], (draws, 1)))


def rows(stage: Stage, draws: int) -> Array:
    """Give always the same bikes."""
    return np.random.default_rng(2).standard_normal((draws, stage.places.size))


def ride(ground: Ground, *remarks: Remark) -> Trial:
    """Give one trial."""
    return Trial(setup=ground.setup, day=ground.day, remarks=remarks)


def test_trials_add_up(ground: Ground, stage: Stage) -> None:
    """What two trials say together is the sum of what each says."""
    one = ride(ground, BOGS)
    other = replace(ride(ground, replace(BOGS, at=Rung.FULL)), setup=replace(ground.setup, clip_from_top=4))
    assert known(stage, one, other) == pytest.approx(known(stage, one) + known(stage, other))


def test_remarks_on_one_ride_add_up(ground: Ground, stage: Stage) -> None:
    """A remark's weight does not depend on what else was said on the same ride.

    Story: at 1/4 it did, by up to 4 in the hundred, when something was said at shut as well.
    """
    idle = Remark(entry="ride-2", did="hangs", at=Rung.SHUT, how="snap")
    other = Remark(entry="ride-3", did="thick", at=Rung.HALF)
    weight = known(stage, ride(ground, BOGS, idle)) - known(stage, ride(ground, BOGS))
    beside = known(stage, ride(ground, BOGS, other, idle)) - known(stage, ride(ground, BOGS, other))
    assert beside == pytest.approx(weight)


def test_the_same_remark_again_is_one_made_surer(ground: Ground, stage: Stage) -> None:
    """Three equal remarks on one ride tell more than one, less than twice as much, whatever their names."""
    once = known(stage, ride(ground, BOGS))
    names = ("ride-1", "ride-2", "ride-3")
    thrice = known(stage, ride(ground, *(replace(BOGS, entry=name) for name in names)))
    assert np.ptp(once) < np.ptp(thrice) < 2.0 * np.ptp(once)


def test_silence_is_no_evidence(ground: Ground, stage: Stage) -> None:
    """A ride of which nothing was said tells nothing, and nothing said at all is silent."""
    empty = ride(ground)
    assert AllHeard.of(stage, (empty,)).is_silent
    assert known(stage, empty, ride(ground, BOGS)) == pytest.approx(known(stage, ride(ground, BOGS)))


def test_a_roll_on_needs_its_pair(ground: Ground, stage: Stage) -> None:
    """A roll-on without its run with the choke off, or from another opening, tells nothing; the pair does."""
    off = RollOnReading(entry="reading-1", at=Rung.QUARTER, seconds=(4.0,))
    half = replace(off, entry="reading-2", choke="half", seconds=(3.4,))
    beside = replace(half, at=Rung.HALF)
    plain = ride(ground)
    for lonely in ((off,), (half,), (off, beside)):
        assert known(stage, replace(plain, readings=lonely)) == pytest.approx(np.zeros(30))
    assert np.ptp(known(stage, replace(plain, readings=(off, half)))) > 0.1


def test_every_entry_is_heard_by_itself(ground: Ground, stage: Stage, rng: Generator) -> None:
    """Each entry by itself has a say by its own name; with what was not said they make the whole."""
    trial = Trial(
        setup=ground.setup,
        day=ground.day,
        remarks=(BOGS, Remark(entry="ride-2", did="drips")),
        readings=(
            PlugReading(entry="reading-1", at=Rung.FULL, colour="tan"),
            LambdaReading(entry="reading-2", at=Rung.HALF, value=0.9, rpm=5000.0),
            LookReading(entry="look-1", look="soap on the joints", outcome="clear"),
        ),
    )
    z, fault = rng.standard_normal((20, stage.places.size)), np.tile(SOUND, (20, 1))
    heard = AllHeard.of(stage, (trial,))
    each = heard.each(z, fault)
    assert set(each) == {"ride-1", "ride-2", "reading-1", "reading-2", "look-1"}
    (scene,) = heard.scenes
    assert set(scene.unsaid) == set(elsewhere.ELSEWHERE) - {"drips"}
    seen = stage.glimpse(ground.setup, ground.day, z, fault)
    unsaid = sum(elsewhere.silence_log_likelihood(did, seen) for did in scene.unsaid)
    assert sum(each.values()) + unsaid == pytest.approx(heard(z, fault))


def test_what_was_mended_was_there_before(ground: Ground, stage: Stage) -> None:
    """A ride before the mending is held against bikes with the mended fault, beside what they have now."""
    leak = [fault.key for fault in stage.faults].index("air leak")
    hangs = ride(ground, Remark(entry="ride-1", did="hangs", at=Rung.SHUT, how="snap"))
    before = replace(hangs, mended=("air leak",))
    assert known(stage, before) == pytest.approx(known(stage, hangs, fault=leak))
    assert known(stage, before, fault=leak) == pytest.approx(known(stage, hangs, fault=leak))


@pytest.mark.parametrize(
    ("mended", "now", "then"),
    [
        (("air leak",), (), {"air leak"}),
        (("air leak",), ("weak spark",), {"air leak", "weak spark"}),
        (("air leak",), ("air leak",), {"air leak"}),
        (("air leak",), ("air leak", "weak spark"), {"air leak", "weak spark"}),
        (("air leak", "weak spark"), ("fuel level low",), {"air leak", "weak spark"}),
        ((), ("fuel level low", "weak spark"), {"fuel level low", "weak spark"}),
    ],
)
def test_what_it_had_then(
    ground: Ground, stage: Stage, mended: tuple[str, ...], now: tuple[str, ...], then: set[str]
) -> None:
    """On an older ride it had what was mended since and, in the slot left, what it has now; nothing twice."""
    keys = [fault.key for fault in stage.faults]
    kinds = [*(keys.index(key) for key in now), -1, -1][:2]
    trial = replace(ride(ground, BOGS), mended=mended)
    for slots in (kinds, kinds[::-1]):
        (had,) = AllHeard.of(stage, (trial,)).fault_then(trial, np.array([slots]))
        assert sorted(keys[kind] for kind in had if kind >= 0) == sorted(then)


def test_a_fault_that_stays_is_as_bad_then_as_now(ground: Ground, stage: Stage) -> None:
    """Story: a fault it still has moved to the other slot on rides before a mend, as bad as the mended
    one on them: a bad one before, a slight one after, on the same bike.
    """
    keys = [fault.key for fault in stage.faults]
    trial = replace(ride(ground, BOGS), mended=("air leak",))
    low = keys.index("fuel level low")
    for slots in ([low, -1], [-1, low]):
        (had,) = AllHeard.of(stage, (trial,)).fault_then(trial, np.array([slots]))
        assert had[slots.index(low)] == low


def test_with_both_slots_full_one_gives_way(ground: Ground, stage: Stage) -> None:
    """Two faults now and a third mended since: on the older ride the mended one and one of the two."""
    keys = [fault.key for fault in stage.faults]
    leak, low, spark = (keys.index(key) for key in ("air leak", "fuel level low", "weak spark"))
    trial = replace(ride(ground, BOGS), mended=("air leak",))
    (had,) = AllHeard.of(stage, (trial,)).fault_then(trial, np.array([[low, spark]]))
    assert leak in had
    assert set(had) & {low, spark}


def test_a_look_tells_of_its_fault_alone(ground: Ground, stage: Stage) -> None:
    """A clear look makes its own fault less likely and leaves every other as it was."""
    clear = LookReading(entry="look-1", look="soap on the joints", outcome="clear")
    trial = replace(ride(ground), readings=(clear,))
    keys = [fault.key for fault in stage.faults]
    told = [float(known(stage, trial, fault=kind)[0]) for kind in range(-1, len(keys))]
    leak = told.pop(keys.index("air leak") + 1)
    assert leak < min(told)
    assert np.ptp(told) == 0.0


def test_a_remark_that_fits_no_bike_is_unexplained(ground: Ground, stage: Stage) -> None:
    """Where the whole crowd is far short, thick is not explained, and bogs is."""
    z = np.zeros((50, stage.places.size))
    # A crowd that wants far more fuel than it gets, everywhere.
    z[:, stage.places.want_common] = -10.0
    thick = replace(BOGS, entry="ride-2", did="thick")
    heard = AllHeard.of(stage, (ride(ground, BOGS, thick),))
    assert heard.unexplained(z, np.tile(SOUND, (50, 1))) == ("ride-2",)


def test_one_setup_on_one_day_is_one_scene(ground: Ground, stage: Stage) -> None:
    """Two rides of one setup in one air say what one ride would on which all of it was said, once or twice.

    The number of the setup does not matter; another day does.
    """
    idle = replace(BOGS, entry="ride-2", did="hangs", at=Rung.SHUT)
    probe = LambdaReading(entry="reading-1", at=Rung.HALF, value=0.9)
    first = replace(ride(ground, BOGS, idle), readings=(probe,))
    second = replace(ride(ground, BOGS), setup=replace(ground.setup, number=7))
    whole = replace(first, remarks=(*first.remarks, BOGS))
    assert len(AllHeard.of(stage, (first, second)).scenes) == 1
    assert known(stage, first, second) == pytest.approx(known(stage, whole))
    another = replace(second, day=replace(ground.day, date="another"))
    assert len(AllHeard.of(stage, (first, another)).scenes) == 2


DRAWS = 600


def weighed(stage: Stage, ground: Ground, *readings: Reading, at: Rung) -> float:
    """Give the mean error at a rung of sound bikes, each weighed by what some readings say of it."""
    z = rows(stage, DRAWS)
    error = stage.glimpse(ground.setup, ground.day, z, np.tile(SOUND, (DRAWS, 1))).error_at(at)
    told = known(stage, replace(ride(ground), readings=readings), draws=DRAWS)
    return float(np.average(error, weights=np.exp(told - told.max())))


def gain(stage: Stage, ground: Ground, reading: Reading, fault: str) -> float:
    """Give by how much a reading speaks for a fault over sound bikes, as the logarithm of its odds."""
    trial = replace(ride(ground), readings=(reading,))
    kind = [known.key for known in stage.faults].index(fault)
    broken, sound = (np.exp(known(stage, trial, fault=k, draws=DRAWS)).mean() for k in (kind, -1))
    return float(np.log(broken / sound))


@pytest.mark.parametrize("at", [Rung.EIGHTH, Rung.QUARTER, Rung.HALF])
def test_better_with_a_little_choke_is_short(ground: Ground, stage: Stage, at: Rung) -> None:
    """Better with half a choke speaks for short there, worse for too much, each against nothing said."""
    better, worse = (
        ChokeReading(entry="reading-1", at=at, outcome=outcome) for outcome in ("better", "worse")
    )
    still = weighed(stage, ground, at=at)
    assert weighed(stage, ground, better, at=at) < still - 0.01
    assert weighed(stage, ground, worse, at=at) > still


def test_a_hand_that_helps_is_short_or_leaks(ground: Ground, stage: Stage) -> None:
    """An idle that rises under a hand speaks for short at idle and for a leak; one that only sinks, not."""
    rises, sinks = (HandReading(entry="reading-1", outcome=outcome) for outcome in ("rises", "sinks"))
    assert weighed(stage, ground, rises, at=Rung.SHUT) < weighed(stage, ground, at=Rung.SHUT) - 0.02
    assert weighed(stage, ground, sinks, at=Rung.SHUT) > weighed(stage, ground, at=Rung.SHUT) + 0.02
    assert gain(stage, ground, rises, "air leak") > 0.5
    assert gain(stage, ground, sinks, "air leak") < -0.5


def test_a_level_speaks_for_its_fault(ground: Ground, stage: Stage) -> None:
    """A level 4 mm below the book speaks for a low one and against a high one; above it, the other way."""
    below, above = (LevelReading(entry="reading-1", above_mm=mm) for mm in (-4.0, 4.0))
    assert gain(stage, ground, below, "fuel level low") > 1.0
    assert gain(stage, ground, below, "fuel level high") < -0.2
    assert gain(stage, ground, above, "fuel level high") > 1.0
    assert gain(stage, ground, above, "fuel level low") < -0.2


def test_what_was_touched_is_suspected(ground: Ground, stage: Stage) -> None:
    """Worked on the exhaust: a leak there is likelier, other faults a little less so, any bike alike."""
    touched = TouchedReading(entry="reading-1", part="exhaust")
    assert gain(stage, ground, touched, "exhaust leaks") > 1.0
    assert gain(stage, ground, touched, "fuel level low") < 0.0
    assert np.ptp(known(stage, replace(ride(ground), readings=(touched,)))) == 0.0


@pytest.mark.parametrize(("screw", "per_turn"), [("air", 0.60e-6), ("fuel", 0.15e-6)])
def test_an_idle_that_peaks_elsewhere_is_off(ground: Ground, screw: ScrewKind, per_turn: float) -> None:
    """Fastest further in: too rich with a fuel screw, short with an air screw; further out, the other."""
    measure = replace(ground.bike.carb.screw_area_per_turn, value=per_turn, spread=0.1 * per_turn)
    carb = replace(ground.bike.carb, screw=screw, screw_area_per_turn=measure)
    stage = Stage.of(replace(ground.bike, carb=carb), ground.setup, ran_on=ground.day)
    turns = tuple(ground.setup.screw_turns + step for step in (-1.0, -0.5, 0.0, 0.5, 1.0))
    further_in = IdleSweepReading(
        entry="reading-1", turns=turns, rpm=(1520.0, 1510.0, 1440.0, 1330.0, 1200.0)
    )
    further_out = replace(further_in, rpm=further_in.rpm[::-1])
    richest, leanest = (further_in, further_out) if screw == "fuel" else (further_out, further_in)
    told = [weighed(stage, ground, reading, at=Rung.SHUT) for reading in (richest, leanest)]
    assert told[0] > told[1] + 0.05


@pytest.mark.parametrize(("after", "side"), [(3.5, -1.0), (4.6, 1.0)])
def test_a_roll_on_tells_before_from_after(ground: Ground, stage: Stage, after: float, side: float) -> None:
    """Quicker with a bigger main was short at full before it; slower was right or too much."""
    off = RollOnReading(entry="reading-1", at=Rung.FULL, seconds=(4.0, 4.0, 4.0))
    bigger = replace(ground.setup, main=f"{float(ground.setup.main) + 7.5:g}")
    before = replace(ride(ground), readings=(off,))
    then = replace(before, setup=bigger, readings=(replace(off, entry="reading-2", seconds=(after,) * 3),))
    z = rows(stage, DRAWS)
    error = stage.glimpse(ground.setup, ground.day, z, np.tile(SOUND, (DRAWS, 1))).error_at(Rung.FULL)
    told = known(stage, before, then, draws=DRAWS)
    moved = float(np.average(error, weights=np.exp(told - told.max())) - error.mean())
    assert side * moved > 0.01


def test_a_roll_on_high_up_is_not_held_against_one_below(ground: Ground, stage: Stage) -> None:
    """Story: times were held against each other over a mountain or a mend, as if thin air were fuel."""
    off = RollOnReading(entry="reading-1", at=Rung.FULL, seconds=(4.0,))
    below = replace(ride(ground), readings=(off,))
    again = replace(off, entry="reading-2", seconds=(5.0,))
    high = replace(below, day=assume_day(place="", height=ground.day.height + 1500.0), readings=(again,))
    mended = replace(below, mended=("weak spark",))
    for pair in ((below, high), (mended, replace(below, readings=(again,)))):
        assert known(stage, *pair) == pytest.approx(np.zeros(30))


def test_two_faults_are_both_heard(ground: Ground, stage: Stage) -> None:
    """Beside a low level, a spark that cuts out is heard as loudly as alone: neither slot hides the other."""
    cuts = ride(ground, Remark(entry="ride-1", did="cuts out"))
    keys = [fault.key for fault in stage.faults]
    low, spark = keys.index("fuel level low"), keys.index("ignition cuts out")
    z = rows(stage, 30)
    z[:, stage.places.severity] = 0.0
    alone, first, second = (
        AllHeard.of(stage, (cuts,))(z, np.tile(slots, (30, 1)))
        for slots in ([spark, -1], [spark, low], [low, spark])
    )
    assert first == pytest.approx(second)
    assert first == pytest.approx(alone, abs=0.05)


def test_a_remark_sees_the_rungs_it_looks_at(ground: Ground, stage: Stage) -> None:
    """Every behaviour finds the rungs it looks at: none is heard as nan."""
    for did in ("hard start", "drips", "fouls", "cuts out", "fades", "rest helps"):
        assert np.isfinite(known(stage, ride(ground, Remark(entry="ride-1", did=did)))).all(), did
    for at in (None, *RUNGS):
        assert np.isfinite(known(stage, ride(ground, replace(BOGS, at=at)))).all(), at


def test_a_log_of_lambda_tells_of_every_rung_it_held(ground: Ground, stage: Stage, rng: Generator) -> None:
    """A log over two rungs and three speeds is heard as one entry, and lean bikes fit a lean log better."""
    log = LambdaLogReading(
        entry="reading-1",
        at=(Rung.QUARTER, Rung.HALF, Rung.HALF),
        value=(1.0, 1.0, 1.02),
        spread=(0.004, 0.004, 0.004),
        rpm=(4000.0, 5000.0, 7000.0),
    )
    trial = replace(ride(ground), readings=(log,))
    z, fault = rng.standard_normal((400, stage.places.size)), np.tile(SOUND, (400, 1))
    heard = AllHeard.of(stage, (trial,))
    assert heard.scenes[0].rungs == (RUNGS.index(Rung.QUARTER), RUNGS.index(Rung.HALF))
    told = heard(z, fault)
    assert set(heard.each(z, fault)) == {"reading-1"}
    lam = stage.glimpse(ground.setup, ground.day, z, fault).lam_at(Rung.HALF)
    lean, rich = lam > np.quantile(lam, 0.8), lam < np.quantile(lam, 0.2)
    assert told[lean].mean() > told[rich].mean() + 1.0


def test_exhaust_gas_tells_of_the_mixture(ground: Ground, stage: Stage, rng: Generator) -> None:
    """Gas full of carbon monoxide, 6 per cent, speaks for rich bikes, with the bike's own fuel."""
    gas = GasReading(entry="reading-1", at=Rung.HALF, co_pct=6.0, co2_pct=10.5, hc_ppm=300.0, o2_pct=0.4)
    z, fault = rng.standard_normal((400, stage.places.size)), np.tile(SOUND, (400, 1))
    told = AllHeard.of(stage, (replace(ride(ground), readings=(gas,)),))(z, fault)
    lam = stage.glimpse(ground.setup, ground.day, z, fault).lam_at(Rung.HALF)
    lean, rich = lam > np.quantile(lam, 0.8), lam < np.quantile(lam, 0.3)
    assert told[rich].mean() > told[lean].mean() + 1.0
