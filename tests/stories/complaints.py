"""Complaints with a known cause, put to the belief and the advice, and how well both did.

The suspects of a story are all faults that the bike can have, each with the chance that the bike has it, and
beside them ``SET_WRONG`` with the chance that it has none. Where the cause is a fault, its place is counted
among the faults, as a card lists them; ``place_of_all`` lets ``SET_WRONG`` stand in its way as well. Where
the cause is a setting, ``SET_WRONG`` must have the place among all, and most of the bikes without a fault
must err to the story's side at the story's opening; else the place is the last.

Advice is *stop or look* when it is a stop tag or a look that shows a fault, else it is about the setting: a
change, a ride or a measurement. Strictly, any look at all is *stop or look*, a ride and a measurement too,
and only a change is about the setting. ``done`` is wrong for every story, either way.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from floatbowl.advice.advice import Advice
from floatbowl.advice.advise import advise
from floatbowl.belief.belief import Belief
from floatbowl.belief.believe import believe
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.faults import FAULT_KEYS
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.record.bike_file import read_bike_file
from floatbowl.signs.trial import (
    SHOWS,
    ChokeReading,
    HandReading,
    IdleSweepReading,
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

SET_WRONG = "set wrong"
GROUND: dict[str, dict[str, Any]] = {
    "magpie": {"clip_from_top": 3},
    "thistle": {"clip_from_top": 3, "pilot": "45"},
    "otter": {},
    "wren": {},
}
"""What each bike wears when nothing is wrong, where its file says otherwise."""
_HERE = Path(__file__).parent
_NOUN: dict[str, type[Reading]] = {
    "lambda": LambdaReading,
    "plug": PlugReading,
    "rollon": RollOnReading,
    "look": LookReading,
    "choke": ChokeReading,
    "hand": HandReading,
    "sweep": IdleSweepReading,
    "level": LevelReading,
    "touched": TouchedReading,
}


@dataclass(frozen=True, kw_only=True)
class Complaint:
    """One story: the bike as it stands at the door, what was told of it, and the cause nobody knows yet."""

    name: str
    told: str
    truth: str
    bike: Bike
    day: Day
    trial: Trial
    drawer: Drawer

    @property
    def is_broken(self) -> bool:
        """Say whether a fault is the cause."""
        return self.truth in FAULT_KEYS

    @property
    def side(self) -> tuple[Rung, Literal[-1, 1]]:
        """Give the opening at which it is set wrong, and -1 for short or 1 for too much."""
        side, _, opening = self.truth.rpartition(" at ")
        return Rung(opening), {"short": -1, "too much": 1}[side]  # type: ignore[return-value]


@cache
def complaints() -> tuple[Complaint, ...]:
    """Read all stories."""
    stories = tomllib.loads((_HERE / "complaints.toml").read_text(encoding="utf-8"))["story"]
    return tuple(_complaint(story) for story in stories)


def _complaint(story: dict[str, Any]) -> Complaint:
    bike, ground, day = _ground(story["bike"])
    if "height_m" in story:
        day = assume_day(height=float(story["height_m"]))
    setup = replace(ground, **story.get("setup", {}))
    said = enumerate(story.get("said", []), start=1)
    read = enumerate(story.get("readings", []), start=1)
    trial = Trial(
        setup=setup,
        day=day,
        remarks=tuple(msgspec.convert({"entry": f"ride-{k}", **one}, Remark) for k, one in said),
        readings=tuple(_reading(one, entry=f"reading-{k}") for k, one in read),
    )
    return Complaint(
        name=story["name"],
        told=story["told"],
        truth=story["truth"],
        bike=replace(bike, story=frozenset(story.get("history", []))),
        day=day,
        trial=trial,
        drawer=_drawer(ground, setup),
    )


def _reading(written: dict[str, Any], *, entry: str) -> Reading:
    facts = {key: value for key, value in written.items() if key != "kind"}
    return msgspec.convert({"entry": entry, **facts}, _NOUN[written["kind"]])


@cache
def _ground(name: str) -> tuple[Bike, Setup, Day]:
    own = _HERE / f"{name}.toml"
    where = own if own.exists() else resources.files("floatbowl.demo").joinpath(f"{name}.toml")
    read = read_bike_file(where.read_text(encoding="utf-8"), source_name=name)
    return read.bike, replace(read.setup, **GROUND[name]), read.trials[-1].day


def _drawer(ground: Setup, setup: Setup) -> Drawer:
    """Give a drawer around the ground's jets, without what is fitted."""
    main, pilot = float(ground.main), float(ground.pilot)
    mains = {f"{main + 2.5 * k:g}" for k in range(-4, 5)}
    pilots = {f"{pilot + 2.5 * k:g}" for k in range(-3, 4)}
    return Drawer(
        mains=tuple(sorted(mains - {setup.main}, key=float)),
        pilots=tuple(sorted(pilots - {setup.pilot}, key=float)),
        cutaways=tuple(sorted({"2.0", "2.5", "3.0"} - {setup.cutaway})),
    )


@dataclass(frozen=True, kw_only=True)
class Suspected:
    """One suspect: how many of the twenty, and the chance behind it."""

    name: str
    count: int
    chance: float


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What the belief and the advice made of a story."""

    story: Complaint
    suspects: tuple[Suspected, ...]
    """All of them, likeliest first."""
    leans_right: bool
    """A setting story: most of the bikes without a fault err to its side."""
    is_trusted: bool
    advice: Advice

    @property
    def place(self) -> int:
        """Give the place of the truth, from 1: a fault's among the faults, a setting's among all."""
        if not self.story.is_broken:
            return self.place_of_all
        return _place(self.story.truth, [one.name for one in self.suspects if one.name != SET_WRONG])

    @property
    def place_of_all(self) -> int:
        """Give the place of the truth among all suspects, a wrong setting one of them."""
        if not (self.story.is_broken or self.leans_right):
            return len(self.suspects)
        name = self.story.truth if self.story.is_broken else SET_WRONG
        return _place(name, [one.name for one in self.suspects])

    @property
    def asks_for_fault(self) -> bool:
        """Say whether the advice is to stop or to look for a fault."""
        advice = self.advice
        return advice.kind == "stop" or (advice.kind == "look" and advice.look in SHOWS)

    @property
    def is_advised_well(self) -> bool:
        """Say whether a fault is looked for where there is one, and the setting worked on elsewhere."""
        return self.advice.kind != "done" and self.asks_for_fault == self.story.is_broken

    @property
    def is_advised_well_strictly(self) -> bool:
        """Say the same where any look counts as looking for a fault, and only a change as setting."""
        return self.advice.kind in ({"stop", "look"} if self.story.is_broken else {"change"})


def _place(name: str, names: list[str]) -> int:
    """Give the place of a name, from 1; behind all others where the belief does not know it at all."""
    return (names.index(name) if name in names else len(names)) + 1


def heard(story: Complaint, *, draws: int = 1000, seed: int = 7) -> Outcome:
    """Tell a story and ask what to do."""
    belief = believe(
        story.bike,
        setup=story.trial.setup,
        day=story.day,
        trials=(story.trial,),
        rng=np.random.default_rng(seed),
        draws=draws,
    )
    return Outcome(
        story=story,
        suspects=suspected(belief),
        leans_right=story.is_broken or _leans(belief, story),
        is_trusted=belief.trust.is_good,
        advice=advise(belief, drawer=story.drawer, trials=(story.trial,), rng=np.random.default_rng(seed)),
    )


def suspected(belief: Belief) -> tuple[Suspected, ...]:
    """Give every fault the bike can have and a wrong setting, likeliest first."""
    found = [_suspected(key, belief.has(key), belief) for key in belief.fault_keys]
    found.append(_suspected(SET_WRONG, belief.is_sound, belief))
    return tuple(sorted(found, key=lambda suspect: -suspect.chance))


def _suspected(name: str, has: NDArray[np.bool_], belief: Belief) -> Suspected:
    return Suspected(name=name, count=int(has[belief.twenty].sum()), chance=float(has @ belief.weight))


def _leans(belief: Belief, story: Complaint) -> bool:
    rung, side = story.side
    place = RUNGS.index(rung)
    errs = side * belief.error[:, place] > belief.close_enough[place]
    sound = belief.is_sound
    return bool((errs & sound) @ belief.weight > 0.5 * (sound @ belief.weight))


@dataclass(frozen=True, kw_only=True)
class Score:
    """How well a run of stories went, each a share from 0 to 1."""

    first: float
    in_three: float
    first_of_all: float
    in_three_of_all: float
    balanced: float
    """Accuracy of stop-or-look against change, both kinds of story weighing the same."""
    balanced_strictly: float


def score(outcomes: Iterable[Outcome]) -> Score:
    """Count a run of stories."""
    run = list(outcomes)
    place = np.array([outcome.place for outcome in run])
    of_all = np.array([outcome.place_of_all for outcome in run])
    return Score(
        first=float(np.mean(place == 1)),
        in_three=float(np.mean(place <= 3)),
        first_of_all=float(np.mean(of_all == 1)),
        in_three_of_all=float(np.mean(of_all <= 3)),
        balanced=_balanced(run, [outcome.is_advised_well for outcome in run]),
        balanced_strictly=_balanced(run, [outcome.is_advised_well_strictly for outcome in run]),
    )


def _balanced(run: list[Outcome], well: list[bool]) -> float:
    kinds = [
        [good for outcome, good in zip(run, well, strict=True) if outcome.story.is_broken is broken]
        for broken in (True, False)
    ]
    return float(np.mean([np.mean(kind) for kind in kinds]))
