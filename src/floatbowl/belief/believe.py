"""From a bike and what it did to what is probably true."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.belief import OF, Belief, Suspect
from floatbowl.belief.check import FEWEST_EFFECTIVE, trust
from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.sample import Crowd, sample, slot_odds, take_on
from floatbowl.belief.scene import Stage
from floatbowl.belief.twenty import pick_twenty
from floatbowl.belief.unknowns import CLOSE_ENOUGH, MOST_FAULTS, wanted
from floatbowl.bike.bike import assumptions
from floatbowl.bike.faults import SECOND
from floatbowl.figures import Figure
from floatbowl.flow.mixture import mixture
from floatbowl.flow.say import say

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.bike import Bike
    from floatbowl.bike.day import Day
    from floatbowl.bike.setup import Setup
    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import Trial

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

DRAWS = 1000
"""How many likely bikes are drawn."""
_LEANED = 0.02
"""Share of the spread of the errors at some rung that a measure must explain to be named (judgement)."""


def believe(  # noqa: PLR0913  (what is fitted, the air, what was seen, the dice, what was thought before)
    bike: Bike,
    *,
    setup: Setup,
    day: Day,
    trials: tuple[Trial, ...],
    rng: Generator,
    draws: int = DRAWS,
    since: Belief | None = None,
) -> Belief:
    """Give what is probably true of the bike as it stands: ``setup`` on ``day``, after all ``trials``.

    What was believed ``since`` fewer signs is taken on from there where it can be.
    """
    stage = _stage(bike, setup, day, trials, since)
    heard = AllHeard.of(stage, trials)
    crowd = _crowd(stage, heard, since, rng=rng, draws=draws)
    seen = stage.glimpse(setup, day, crowd.z, crowd.fault)
    twenty = pick_twenty(seen.error, kinds_of(crowd.fault), close_enough=np.asarray(CLOSE_ENOUGH))
    the_say, fuel_share = who_rules(stage, setup, day, crowd.z)
    keys = tuple(fault.key for fault in stage.faults)
    remarks = sum(len(trial.remarks) for trial in trials)
    return Belief(
        bike=bike,
        setup=setup,
        day=day,
        error=seen.error,
        lam=seen.lam,
        weight=np.full(len(crowd.z), 1.0 / len(crowd.z)),
        fault=crowd.fault,
        fault_keys=keys,
        twenty=twenty,
        say=the_say,
        fuel_share=fuel_share,
        target=wanted(bike.engine.strokes),
        close_enough=np.asarray(CLOSE_ENOUGH),
        suspects=_suspects(crowd.fault, crowd.fault[twenty], keys),
        trust=trust(crowd, remarks=remarks, unexplained=heard.unexplained(crowd.z, crowd.fault)),
        leaned_on=_leaned_on(stage, stage.ran.row(crowd.z), seen),
        z=crowd.z,
        stage=stage,
        trials=trials,
    )


def _stage(bike: Bike, setup: Setup, day: Day, trials: tuple[Trial, ...], since: Belief | None) -> Stage:
    """Set the stage as the bike was first ridden, or take the one it stands on already."""
    first_setup, first_day = (trials[0].setup, trials[0].day) if trials else (setup, day)
    others = (setup, *(trial.setup for trial in trials))
    if since is not None and since.bike == bike and since.stage.serves(first_setup, first_day, others):
        return since.stage
    return Stage.of(bike, first_setup, ran_on=first_day, others=others)


def _crowd(stage: Stage, heard: AllHeard, since: Belief | None, *, rng: Generator, draws: int) -> Crowd:
    odds = fault_odds(stage, mended=heard.mended)
    log_odds = slot_odds(odds, second=SECOND.value)
    severity = stage.places.severity
    fresh = tuple(range(severity.start, severity.stop))
    if heard.is_silent:
        return _before_the_signs(stage, log_odds, rng=rng, draws=draws)
    if since is not None and since.stage is stage and since.trials and len(since.z) == draws:
        before = AllHeard.of(stage, since.trials)
        if before.mended == heard.mended and since.trust.effective_draws >= FEWEST_EFFECTIVE:
            crowd = Crowd(z=since.z, fault=since.fault, effective=float(draws), moved=1.0, degrees=0)
            return take_on(crowd, before, heard, log_odds=log_odds, fresh=fresh, rng=rng)
    return sample(heard, unknowns=stage.places.size, log_odds=log_odds, fresh=fresh, rng=rng, draws=draws)


def _before_the_signs(stage: Stage, log_odds: Array, *, rng: Generator, draws: int) -> Crowd:
    pairs = rng.choice(log_odds.size, size=draws, p=np.exp(log_odds).ravel())
    fault = np.stack(np.divmod(pairs, len(log_odds)), axis=1)
    return Crowd(
        z=rng.standard_normal((draws, stage.places.size)),
        fault=np.where(fault == len(log_odds) - 1, -1, fault),
        effective=float(draws),
        moved=1.0,
        degrees=0,
    )


def kinds_of(fault: Whole) -> Whole:
    """Give one whole number for each set of faults, (draw,), the order of the slots aside; -1 for none."""
    low, high = fault.min(axis=1), fault.max(axis=1)
    return np.asarray(np.where(low < 0, high, high + (low + 1) * _APART))


_APART = 1000


def fault_odds(stage: Stage, *, mended: frozenset[str] = frozenset()) -> Array:
    """Give the chance of each fault before any sign, and last of none, with what the bike's story changes.

    What was mended on it, by key, is less likely to be the fault again.
    """
    rates = []
    for fault in stage.faults:
        more = [times for key, times in fault.more_often if key in stage.bike.story]
        again = MENDED_AGAIN.value if fault.key in mended else 1.0
        rates.append(fault.rate.value * float(np.prod(more)) * again)
    total = float(np.sum(rates))
    # However bad the story, a bike that runs badly may still be sound.
    rates_array = np.asarray(rates) * min(1.0, _MOST_FAULTY / total)
    return np.append(rates_array, 1.0 - rates_array.sum())


_MOST_FAULTY = 0.75
MENDED_AGAIN = Figure(0.3, 0.1, 0.6, "judgement: a mend that did not hold, or a second fault of the kind")


def _suspects(fault: Whole, of_twenty: Whole, keys: tuple[str, ...]) -> tuple[Suspect, ...]:
    found = [
        Suspect(
            fault=key,
            count=int((of_twenty == k).any(axis=1).sum()),
            chance=float((fault == k).any(axis=1).mean()),
        )
        for k, key in enumerate(keys)
    ]
    listed = [suspect for suspect in found if suspect.chance >= 0.5 / OF]
    return tuple(sorted(listed, key=lambda suspect: -suspect.chance))


def who_rules(stage: Stage, setup: Setup, day: Day, z: Array) -> tuple[Array, Array]:
    """Give the say (rung, part) and fuel shares (rung, passage) of the middle bike: the mean draw, sound."""
    middle = z.mean(axis=0, keepdims=True)
    p = stage.parameters(setup, day, middle, np.full((1, MOST_FAULTS), -1))
    breath = stage.air(day).at(p)
    m = mixture(p, stage.grid, breath=breath)
    pilot = (m.pilot_fuel / np.maximum(m.fuel, 1e-12))[0, :, 0]
    return say(p, stage.grid, breath=breath), np.stack([pilot, 1.0 - pilot], axis=1)


def _leaned_on(stage: Stage, row: Array, seen: Seen) -> tuple[str, ...]:
    """Name the assumed measures that still move the answer, the most moving first."""
    unread = {path for unknown in stage.unknowns if unknown.stamp for path in unknown.leans_on}
    assumed = {*assumptions(stage.bike), *unread}
    errors = seen.error - seen.error.mean(axis=0)
    errors = errors / np.maximum(errors.std(axis=0), 1e-9)
    moving: dict[str, float] = {}
    for k, unknown in enumerate(stage.unknowns):
        beside = (row[:, k] - row[:, k].mean()) @ errors / len(row) / max(float(row[:, k].std()), 1e-9)
        share = float(np.max(beside**2))
        for path in unknown.leans_on:
            if share > _LEANED and path in assumed:
                moving[path] = max(share, moving.get(path, 0.0))
    return tuple(sorted(moving, key=lambda path: -moving[path]))
