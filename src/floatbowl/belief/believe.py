"""From a bike and what it did to what is probably true."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.belief import OF, Belief, Suspect
from floatbowl.belief.check import trust
from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.sample import Crowd, sample
from floatbowl.belief.scene import Stage
from floatbowl.belief.twenty import pick_twenty
from floatbowl.belief.unknowns import CLOSE_ENOUGH, wanted
from floatbowl.bike.bike import assumptions
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
_LEANED = 0.03
"""Share of the spread of the errors at some rung that a measure must explain to be named (judgement)."""


def believe(  # noqa: PLR0913  (what is fitted, the air, what was seen, the dice)
    bike: Bike,
    *,
    setup: Setup,
    day: Day,
    trials: tuple[Trial, ...],
    rng: Generator,
    draws: int = DRAWS,
) -> Belief:
    """Give what is probably true of the bike as it stands: ``setup`` on ``day``, after all ``trials``."""
    stage = Stage.of(bike, setup)
    heard = AllHeard.of(stage, trials)
    crowd = _crowd(stage, heard, rng=rng, draws=draws)
    seen = stage.seen(setup, day, crowd.z, crowd.fault)
    twenty = pick_twenty(seen.error, crowd.fault, close_enough=np.asarray(CLOSE_ENOUGH))
    the_say, fuel_share = _who_rules(stage, setup, day, crowd.z)
    keys = tuple(fault.key for fault in stage.faults)
    remarks = sum(len(trial.remarks) for trial in trials)
    return Belief(
        bike=bike,
        setup=setup,
        day=day,
        error=seen.error,
        lam=seen.lam,
        weight=np.full(draws, 1.0 / draws),
        fault=crowd.fault,
        fault_keys=keys,
        twenty=twenty,
        say=the_say,
        fuel_share=fuel_share,
        target=wanted(bike.engine.strokes),
        close_enough=np.asarray(CLOSE_ENOUGH),
        suspects=_suspects(crowd.fault, crowd.fault[twenty], keys),
        trust=trust(crowd, remarks=remarks, unexplained=heard.unexplained(crowd.z, crowd.fault)),
        leaned_on=_leaned_on(stage, crowd.z, seen),
        z=crowd.z,
    )


def _crowd(stage: Stage, heard: AllHeard, *, rng: Generator, draws: int) -> Crowd:
    odds = fault_odds(stage, mended=heard.mended)
    if heard.is_silent:
        fault = rng.choice(len(odds), size=draws, p=odds)
        sound = np.where(fault == len(odds) - 1, -1, fault)
        z = rng.standard_normal((draws, stage.places.size))
        return Crowd(z=z, fault=sound, effective=float(draws), moved=1.0, degrees=0)
    return sample(heard, unknowns=stage.places.size, fault_odds=odds, rng=rng, draws=draws)


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
        Suspect(fault=key, count=int(np.sum(of_twenty == k)), chance=float(np.mean(fault == k)))
        for k, key in enumerate(keys)
    ]
    listed = [suspect for suspect in found if suspect.chance >= 0.5 / OF]
    return tuple(sorted(listed, key=lambda suspect: -suspect.chance))


def _who_rules(stage: Stage, setup: Setup, day: Day, z: Array) -> tuple[Array, Array]:
    """Give the say and the fuel shares of the middle bike: the mean draw, sound."""
    middle = z.mean(axis=0, keepdims=True)
    p = stage.parameters(setup, day, middle, np.array([-1]))
    breath = stage.air(day).at(p)
    m = mixture(p, stage.grid, breath=breath)
    pilot = (m.pilot_fuel / np.maximum(m.fuel, 1e-12))[0, :, 0]
    return say(p, stage.grid, breath=breath), np.stack([pilot, 1.0 - pilot], axis=1)


def _leaned_on(stage: Stage, z: Array, seen: Seen) -> tuple[str, ...]:
    """Name the assumed measures that still move the answer, the most moving first."""
    unread = {path for unknown in stage.unknowns if unknown.stamp for path in unknown.leans_on}
    assumed = {*assumptions(stage.bike), *unread}
    errors = seen.error - seen.error.mean(axis=0)
    errors = errors / np.maximum(errors.std(axis=0), 1e-9)
    moving: dict[str, float] = {}
    for k, unknown in enumerate(stage.unknowns):
        beside = (z[:, k] - z[:, k].mean()) @ errors / len(z) / max(float(z[:, k].std()), 1e-9)
        share = float(np.max(beside**2))
        for path in unknown.leans_on:
            if share > _LEANED and path in assumed:
                moving[path] = max(share, moving.get(path, 0.0))
    return tuple(sorted(moving, key=lambda path: -moving[path]))
