"""The ear: recordings heard, and what comes of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from floatbowl.jobs.nouns import NothingAskedError
from floatbowl.record.store import Record
from floatbowl.signs.trial import (
    IdleNoteReading,
    IdleSweepReading,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from floatbowl.record.sound_file import Sound
    from floatbowl.signs.best_idle import BestIdle
    from floatbowl.signs.ear.blips import Blip
    from floatbowl.signs.ear.idle import IdleHeard
    from floatbowl.signs.ear.track import Track


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Listened:
    """A recording listened to: its line of speed, and the idle and the blips in it."""

    name: str
    sound: Sound
    track: Track
    idle: IdleHeard | None
    blips: tuple[Blip, ...]
    is_idle: bool
    """Whether it is an idle, with or without blips, and no engine held or pulled."""

    @property
    def range(self) -> tuple[float, float]:
        """Give the lowest and the highest speed that it was at for more than a moment."""
        import numpy as np

        low, high = np.quantile(self.track.rpm, (0.03, 0.97))
        return float(low), float(high)

    @property
    def middle(self) -> float:
        """Give the speed in the middle of all."""
        import numpy as np

        return float(np.median(self.track.rpm))


def listen_to(record: Record, name: str, path: Path) -> Listened:
    """Listen to a recording of a bike; nothing is written down. Raises ``RecordTrouble`` where it cannot."""
    from floatbowl.record.sound_file import load_sound, refuse_short
    from floatbowl.signs.ear.blips import blips
    from floatbowl.signs.ear.idle import idle_heard, is_idle
    from floatbowl.signs.ear.listen import SHORTEST, listen

    strokes = record.bike(name).engine.strokes
    sound = load_sound(path)
    refuse_short(sound, least=SHORTEST)
    track = listen(sound.samples, sound.rate, strokes=strokes)
    return Listened(
        name=path.name,
        sound=sound,
        track=track,
        idle=idle_heard(track),
        blips=blips(track),
        is_idle=is_idle(track),
    )


def record_note(
    record: Record, name: str, heard: Listened, *, now: datetime, uid: str | None = None
) -> IdleNoteReading:
    """Write down an idle that was heard, and what came of its blips."""
    from statistics import median

    idle, blips = heard.idle, heard.blips
    if idle is None or not heard.is_idle:
        raise NothingAskedError(record.bike(name).name, "idle")
    hunts = {} if idle.hunts is None else {"hunts_per_s": round(idle.hunts, 2)}
    sank = 2 * sum(blip.sinks for blip in blips) > len(blips)
    after: dict[str, object] = {
        "hangs_s": round(median(blip.hangs for blip in blips), 1) if blips else None,
        "after_blip": "sinks" if sank else "settles",
    }
    fields = {
        "kind": "ear",
        "rpm": round(idle.rpm, 1),
        "spread_rpm": round(idle.spread, 1),
        "wander_pct": round(100.0 * idle.wander, 2),
        **hunts,
        **(after if blips else {}),
    }
    return cast("IdleNoteReading", record.read(name, fields, now=now, uid=uid))


def time_by_ear(heard: Listened, *, low: float, high: float) -> float | None:
    """Give how long a run that was heard takes from one engine speed to another, s; None: it did not."""
    from floatbowl.signs.roll_on_runs import Run, seconds_between

    track = heard.track
    took = seconds_between(Run(track.seconds, track.rpm, track.spread / track.rpm), low, high)
    return None if took is None else took[0]


def best_idle_of(record: Record, name: str, reading: IdleSweepReading) -> BestIdle:
    """Say where the mixture screw is best by a sweep, and whether the pilot is a size out."""
    from floatbowl.signs.best_idle import best_idle

    return best_idle(reading, screw=record.bike(name).carb.screw)


def shades_of(heard: Listened, *, highest: float, rows: int) -> NDArray[np.float32]:
    """Give the shades of a recording for its picture, (row, column), from ``highest`` rpm to nought."""
    from floatbowl.signs.ear.listen import per_repeat
    from floatbowl.signs.ear.shades import shades

    repeats = highest / per_repeat(heard.track.strokes)
    return shades(heard.sound.samples, heard.sound.rate, highest=repeats, rows=rows)
