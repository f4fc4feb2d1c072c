# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What the ear heard, in words: the idle, a blip, a roll-on, the screw; or that we cannot tell, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from floatbowl.words.forms import form
from floatbowl.words.names import plural

if TYPE_CHECKING:
    from collections.abc import Sequence

    from floatbowl.bike.bike import Bike
    from floatbowl.jobs import Listened
    from floatbowl.signs.best_idle import BestIdle
    from floatbowl.signs.ear.track import WhyNot
    from floatbowl.words.forms import Form

_AGAIN = "Hold the phone an arm's length from the pipe, out of the wind, and record ten seconds."
CANNOT: dict[WhyNot, str] = {
    "too short": "it is too short.",
    "silent": "every moment of it is alike: nothing was recorded. See that the microphone is not covered or barred.",
    "no beat": f"nothing in it repeats as an engine does. Wind, rain, or an engine too far off, sound like this. {_AGAIN}",
    "comes and goes": f"it swells and stops, as speech does. Record the engine alone. {_AGAIN}",
    "moves in steps": f"it stands still and leaps, as music does. Switch off what plays and keep one gear. {_AGAIN}",
}
"""Why no speed is told, after "We cannot tell the engine speed:"."""


def cannot_words(why: WhyNot) -> str:
    """Say that we cannot tell, and why."""
    return f"We cannot tell the engine speed: {CANNOT[why]}"


def heard_words(heard: Listened) -> list[str]:
    """Say what was heard, a sentence a thing."""
    track = heard.track
    if track.why_not is not None:
        return [cannot_words(track.why_not)]
    told = [*_speed_words(heard), *_blip_words(heard), *_firing_words(heard)]
    if heard.sound.is_cut:
        told.append(f"We listened to the first {heard.sound.seconds:.0f} seconds of it.")
    return told


def _speed_words(heard: Listened) -> list[str]:
    if heard.idle is None or not heard.is_idle:
        low, high = heard.range
        return [f"The engine goes from {low:.0f} to {high:.0f} rpm."]
    idle = heard.idle
    even = f"{idle.rpm:.0f} rpm, give or take {max(1.0, 2.0 * idle.spread):.0f}; it wanders by {100.0 * idle.wander:.1f} %."
    if idle.hunts is None:
        return [f"The idle is {even}"]
    up_and_down = (
        f"It hunts: up and down every {1.0 / idle.hunts:.1f} seconds, by {100.0 * idle.depth:.0f} %."
    )
    return [f"The idle is {even}", up_and_down]


def _blip_words(heard: Listened) -> list[str]:
    if not heard.blips:
        return []
    times = ", ".join(f"{blip.hangs:.1f}" for blip in heard.blips)
    sank = (
        " It sinks below the idle and comes back."
        if 2 * sum(blip.sinks for blip in heard.blips) > len(heard.blips)
        else ""
    )
    return [f"After {plural(len(heard.blips), 'blip')} the last half of the fall took {times} s.{sank}"]


def _firing_words(heard: Listened) -> list[str]:
    track, told = heard.track, []
    if track.four_stroking is not None and track.four_stroking >= _WORTH_SAYING:
        told.append(f"It four-strokes {100.0 * track.four_stroking:.0f} % of the time.")
    elif track.missed >= _WORTH_SAYING:
        told.append(f"About {100.0 * track.missed:.0f} % of the firings were hardly heard.")
    if track.is_twice_possible:
        told.append(
            f"If it fires every second turn throughout, it turns twice as fast: {2.0 * heard.middle:.0f} rpm."
        )
    return told


_WORTH_SAYING = 0.05


def best_idle_words(best: BestIdle, *, bike: Bike) -> str:
    """Say where the screw is best, and whether the pilot is a size out."""
    screw = f"{bike.carb.screw} screw"
    place = f"The idle is best at {plural(round(best.turns, 1), 'turn')} out of the {screw}"
    beyond = ", the last place tried" if best.is_at_end else ""
    match best.verdict:
        case "right":
            return f"{place}, {best.rpm:.0f} rpm. The pilot is the right size."
        case "pilot too big":
            return f"{place}{beyond}: the pilot is a size too big."
        case "pilot too small":
            return f"{place}{beyond}: the pilot is a size too small."
        case _ if best.rpm <= 0.0:
            return "It ran at none of these places: nothing can be said of the pilot from this."
        case _ if best.is_at_end:
            return f"{place}{beyond}. Try further that way before you leave it there."
        case _:
            return "The idle hardly changes with the screw, so no place is best."


def best_fields(best: BestIdle) -> Form:
    """Give the best place of the screw and what it says of the pilot, for a program."""
    return {"best_turns": round(best.turns, 2), "pilot": best.verdict}


def heard_form(heard: Listened, *, bike: str, entry: str | None) -> Form:
    """Give what was heard, for a program."""
    track, idle = heard.track, heard.idle if heard.is_idle else None
    return form(
        "ear",
        bike=bike,
        entry=entry,
        file=heard.name,
        seconds=round(track.length, 2),
        cannot_tell=track.why_not,
        idle=None
        if idle is None
        else {
            "rpm": round(idle.rpm, 1),
            "spread_rpm": round(idle.spread, 1),
            "wander_pct": round(100.0 * idle.wander, 2),
            "hunts_per_s": None if idle.hunts is None else round(idle.hunts, 2),
            "hunts_by_pct": round(100.0 * idle.depth, 1),
        },
        blips=[
            {
                "at_s": round(blip.at, 2),
                "top_rpm": round(blip.top_rpm),
                "hangs_s": round(blip.hangs, 2),
                "sinks": blip.sinks,
            }
            for blip in heard.blips
        ],
        four_stroking_pct=None if track.four_stroking is None else round(100.0 * track.four_stroking, 1),
        missed_pct=round(100.0 * track.missed, 1),
        is_twice_possible=track.is_twice_possible,
        moments=_moments(heard) if track.is_told else [],
        words=" ".join(heard_words(heard)),
    )


def _moments(heard: Listened) -> Sequence[Form]:
    track = heard.track
    told = zip(
        track.seconds.tolist(),
        track.rpm.tolist(),
        track.spread.tolist(),
        track.is_heard.tolist(),
        strict=True,
    )
    return [
        {"at_s": round(second, 3), "rpm": round(rpm, 1), "spread_rpm": round(spread, 1), "heard": is_heard}
        for second, rpm, spread, is_heard in told
    ]
